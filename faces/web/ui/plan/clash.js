// Two windows changed the same of one flight. What stands is left standing, and
// what was typed here waits beside it, through a reload too, until one is chosen.
// Either way both are in the history afterwards.
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { api, Refusal } from "../api.js";
import { fail, notice } from "../notices.js";
import { units } from "../settings.js";

/** @typedef {import("../api.js").Open} Open */
/** @typedef {import("../api.js").Edit} Edit */
/** @typedef {import("../api.js").Answers} Answers */
/** @typedef {import("../api.js").Revision} Revision */
/** @typedef {{ key: string, here: string, there: string }} Both */
/**
 * @typedef {object} Clash
 * @property {Edit[]} edits as they were made here
 * @property {string} what
 * @property {number} from the revision they were made from
 * @property {number} head the revision that stands
 * @property {string} there what was done in the other window
 * @property {string} mine the document when this one stands
 * @property {Both[]} both
 */

const key = (/** @type {string} */ id) => `pappus.clash.${id}`;

/** @param {string} id @returns {Clash[]} */
function kept(id) {
  try {
    return JSON.parse(sessionStorage.getItem(key(id)) ?? "[]");
  } catch {
    return []; // storage is refused: it lasts as long as the page
  }
}

/** What waits for a choice. @param {string} id */
export function useClashes(id) {
  const [list, setList] = useState(() => kept(id));
  /** @param {(list: Clash[]) => Clash[]} change */
  const change = (change) =>
    setList((was) => {
      const next = change(was);
      try {
        sessionStorage.setItem(key(id), JSON.stringify(next));
      } catch {
        // as above
      }
      return next;
    });
  return {
    list,
    /** @param {Clash} clash */
    add: (clash) => change((was) => [...was, clash]),
    /** @param {Clash} old @param {Clash} [next] */
    replace: (old, next) => change((was) => was.flatMap((c) => (c === old ? (next ?? []) : [c]))),
  };
}

/** @param {Answers["written"]} written */
const byPath = (written) => new Map(written.map((w) => [w.path, w.text]));
/** The rows of lists: when they moved, a path may name another part than before. @param {Answers["written"]} written */
const rows = (written) =>
  written
    .filter((w) => /\.part$|\]$/.test(w.path))
    .map((w) => w.path + w.text)
    .join();

/**
 * Puts what was made here beside what stands. Null where the two do not touch.
 * @param {string} id @param {Pick<Clash, "edits" | "what">} own @param {Revision} base @param {Revision} head
 * @returns {Promise<Clash | null>}
 */
export async function clashOf(id, { edits, what }, base, head) {
  /** @param {string} document @param {Edit[]} [changes] */
  const read = (document, changes = []) => api.answers(id, { document, edits: changes, units: units.value });
  const was = await read(base.document ?? "");
  const made = await read(base.document ?? "", edits);
  const now = await read(head.document ?? "");
  const [before, here, there] = [byPath(was.written), byPath(made.written), byPath(now.written)];
  const moved = rows(was.written) !== rows(now.written);
  const touched = edits.some(
    (e) => e.kind !== "set" || before.get(e.path) !== there.get(e.path) || (moved && /\[/.test(e.path)),
  );
  if (!touched) return null;
  const single = edits.every((e) => e.kind === "set") && !moved;
  const mine = single ? (await read(head.document ?? "", edits)).document : made.document;
  const paths = [...new Set([...here.keys(), ...there.keys()])].filter(
    (p) => here.get(p) !== there.get(p) && (!single || edits.some((e) => e.path === p)),
  );
  const both = paths.map((p) => ({ key: p, here: here.get(p) ?? "", there: there.get(p) ?? "" }));
  if (both.length === 0) return null; // both typed the same
  return { edits, what, from: base.number, head: head.number, there: head.what, mine, both };
}

/** @param {{ id: string, clashes: ReturnType<typeof useClashes>, onOpen: (open: Open) => void }} props */
export function Clashes({ id, clashes, onOpen }) {
  return clashes.list.map(
    (c) => html`<${Choice} key=${c.what + c.head} id=${id} clash=${c} clashes=${clashes} onOpen=${onOpen} />`,
  );
}

/** @param {{ id: string, clash: Clash, clashes: ReturnType<typeof useClashes>, onOpen: (open: Open) => void }} props */
function Choice({ id, clash, clashes, onOpen }) {
  const [busy, setBusy] = useState(false);
  /** @param {boolean} back whether the other stands at the end */
  const choose = async (back) => {
    setBusy(true);
    try {
      const open = await api.save(id, clash.head, clash.mine, `${clash.what}, beside revision ${clash.head}`);
      onOpen(back ? await api.returnTo(id, open.revision.number, clash.head) : open);
      clashes.replace(clash);
      notice(back ? "The other stands; yours stays in the history." : "Yours stands; the other stays in the history.");
    } catch (error) {
      if (!(error instanceof Refusal) || error.status !== 409) return fail(error);
      const open = await api.open(id);
      const base = await api.revision(id, clash.from);
      onOpen(open);
      const next = await clashOf(id, clash, base, open.revision);
      clashes.replace(clash, next ?? undefined);
      notice("The flight was changed once more meanwhile: look again.");
    } finally {
      setBusy(false);
    }
  };
  return html`<section class="conflict stack" aria-label="Changed in two windows">
    <h2>Two windows changed the same</h2>
    <p>There: ${clash.there}. Here: ${clash.what}. The other stands for now, and yours is kept here until you choose; both stay in the history.</p>
    <div class="scroll" tabindex="0" role="region" aria-label="Both values">
      <table class="changes">
        <thead><tr><th scope="col">Key</th><th scope="col">Here</th><th scope="col">There</th></tr></thead>
        <tbody>${clash.both.map((b) => html`<tr key=${b.key}><th scope="row">${b.key}</th><td>${b.here || "not there"}</td><td>${b.there || "not there"}</td></tr>`)}</tbody>
      </table>
    </div>
    <div class="row">
      <button type="button" class="first" disabled=${busy} onClick=${() => choose(false)}>Let mine stand</button>
      <button type="button" disabled=${busy} onClick=${() => choose(true)}>Let the other stand</button>
    </div>
  </section>`;
}
