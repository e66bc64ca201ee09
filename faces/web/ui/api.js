// The only place that talks to the program.

/**
 * @typedef {object} Summary
 * @property {string} name
 * @property {string} [place]
 * @property {string} [launch] RFC 3339
 * @property {number} [lat_deg]
 * @property {number} [lon_deg]
 * @property {number} [elevation_m]
 * @property {{ line: number, key: string, text: string }[]} missing
 */
/**
 * @typedef {object} Flight
 * @property {string} id
 * @property {string} name
 * @property {number} head
 * @property {number} newest
 * @property {string} created
 * @property {string} changed
 * @property {string} [archived]
 * @property {string} [deleted]
 * @property {boolean} can_undo
 * @property {boolean} can_redo
 * @property {Summary} [summary] in the list of flights
 */
/**
 * @typedef {object} Revision
 * @property {number} number
 * @property {number} parent
 * @property {string} made
 * @property {string} name
 * @property {string} what
 * @property {string} hash
 * @property {string} [document] absent in a history
 */
/** @typedef {{ id: string, text: string, why?: string, place: string, line?: number, missing: boolean }} Step */
/** @typedef {{ flight: Flight, revision: Revision, summary: Summary }} Open */
/** @typedef {{ kind: string, name: string, text: string }} Start */
/** @typedef {{ name: string, version: string, licence: string, text: string }} Library */

/**
 * @typedef {object} Edit one change of a document, by key
 * @property {"set" | "add" | "remove" | "move"} kind
 * @property {string} path as faults name it, such as train[2].length
 * @property {string} [text]
 * @property {{ key: string, text: string }[]} [row]
 * @property {number} [to]
 */
/** @typedef {{ line: number, key: string, text: string }} Fault */
/**
 * @typedef {object} Answers
 * @property {string} document
 * @property {{ path: string, text: string, line: number }[]} written
 * @property {Fault[]} faults
 * @property {string} [trouble]
 * @property {import("./plan/types.js").Plan} [plan]
 * @property {import("./plan/types.js").Course} [course]
 * @property {import("./plan/types.js").Rules} [rules]
 */
/** @typedef {{ wish: string, text: string, offers: { text: string, edits: Edit[], flight: import("./plan/types.js").Outlook, change: import("./plan/types.js").Outlook }[] }} Offers */

const root = "/api/v1";

/** A request that was refused, in the program's words. */
export class Refusal extends Error {
  /** @param {number} status @param {string} detail @param {{ base?: Revision, head?: Revision }} [both] */
  constructor(status, detail, both = {}) {
    super(detail);
    this.status = status;
    this.base = both.base;
    this.head = both.head;
  }
}

/** The program could not be reached: it was ended, or the network is cut. */
export class NoContact extends Error {
  constructor() {
    super("The program does not answer. What you typed is kept here; try again when it runs.");
  }
}

/**
 * @param {string} method
 * @param {string} path below /api/v1
 * @param {unknown} [body]
 */
export async function ask(method, path, body) {
  const file = body instanceof Blob; // a file goes as its bytes, all else as JSON
  let answer;
  try {
    answer = await fetch(root + path, {
      method,
      ...(body === undefined
        ? {}
        : {
            body: file ? body : JSON.stringify(body),
            headers: { "Content-Type": file ? "application/octet-stream" : "application/json" },
          }),
    });
  } catch {
    throw new NoContact();
  }
  const value = await answer.json().catch(() => ({ detail: `an answer that cannot be read (${answer.status})` }));
  if (!answer.ok) throw new Refusal(answer.status, value.detail, value);
  return value;
}

/** Where a file can be fetched by a link. @param {string} path below /api/v1 */
export const apiAddress = (path) => root + path;

/** @param {string} id */
const of = (id) => `/flights/${encodeURIComponent(id)}`;

export const api = {
  /** @returns {Promise<{ version: string, libraries: Library[] }>} */
  about: () => ask("GET", "/about"),
  /** @returns {Promise<{ starts: Start[] }>} */
  starts: () => ask("GET", "/starts"),
  /** @returns {Promise<{ flights: Flight[] }>} */
  flights: () => ask("GET", "/flights"),
  /** @param {{ start?: string, copy?: string, document?: string, name?: string }} from @returns {Promise<Flight>} */
  create: (from) => ask("POST", "/flights", from),
  /** @param {string} id @returns {Promise<Open>} */
  open: (id) => ask("GET", of(id)),
  /** @param {string} id @param {"archive" | "unarchive" | "restore"} act @returns {Promise<Flight>} */
  mark: (id, act) => ask("POST", `${of(id)}/${act}`),
  /** @param {string} id @returns {Promise<Flight>} */
  remove: (id) => ask("DELETE", of(id)),
  /** @param {string} id @param {number} [before] @returns {Promise<{ revisions: Revision[] }>} */
  history: (id, before) => ask("GET", `${of(id)}/revisions${before ? `?before=${before}` : ""}`),
  /** @param {string} id @param {number} number @returns {Promise<Revision>} */
  revision: (id, number) => ask("GET", `${of(id)}/revisions/${number}`),
  /** @param {string} id @param {number} from @param {string} document @param {string} what @returns {Promise<Open>} */
  save: (id, from, document, what) => ask("POST", `${of(id)}/revisions`, { from, document, what }),
  /** @param {string} id @param {"undo" | "redo"} way @param {number} from @returns {Promise<Open>} */
  step: (id, way, from) => ask("POST", `${of(id)}/${way}`, { from }),
  /** @param {string} id @param {{ document?: string, edits?: Edit[], units: string, box?: boolean }} asked @returns {Promise<Answers>} */
  answers: (id, asked) => ask("POST", `${of(id)}/answers`, asked),
  /** @param {string} id @param {string} units @returns {Promise<{ steps: Step[], missing: number }>} */
  next: (id, units) => ask("GET", `${of(id)}/next?units=${units}`),
  /** @param {string} id @param {{ wish: string, document?: string, units: string }} asked @returns {Promise<Offers>} */
  wish: (id, asked) => ask("POST", `${of(id)}/wishes`, asked),
  /** @param {string} id @param {{ units: string, measured: Record<string, string> }} asked @returns {Promise<{ faults: Fault[], fill?: import("./plan/types.js").Fill }>} */
  fill: (id, asked) => ask("POST", `${of(id)}/fill`, asked),
  /** @param {string} id @param {number} from @param {number} to @returns {Promise<Open>} */
  returnTo: (id, from, to) => ask("POST", `${of(id)}/return`, { from, to }),
};

/**
 * Opens the stream of events, and opens it anew where it left off: the browser
 * does so after a cut, and we after a time of silence that no cut explains.
 * @param {string} after id of the last event seen, or empty
 * @param {{ event: (kind: string, data: unknown, id: string) => void, contact: (there: boolean) => void }} tell
 */
export function openEvents(after, tell) {
  const source = new EventSource(`${root}/events${after ? `?after=${encodeURIComponent(after)}` : ""}`);
  source.onopen = () => tell.contact(true);
  source.onerror = () => tell.contact(false);
  for (const kind of ["begin", "reset", "flight", "job"]) {
    source.addEventListener(kind, (e) => tell.event(kind, JSON.parse(e.data), e.lastEventId));
  }
  return source;
}
