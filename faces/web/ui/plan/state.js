// A flight while it is being changed: what is typed and not yet saved, the
// answers to it, and how it is saved as a revision.
import { useEffect, useRef, useState } from "preact/hooks";
import { api, NoContact, Refusal } from "../api.js";
import { contact } from "../live.js";
import { fail, notice } from "../notices.js";
import { units } from "../settings.js";
import { clashOf, useClashes } from "./clash.js";
import { dropDraft, keepDraft, keptDraft } from "./draft.js";

/** @typedef {import("../api.js").Open} Open */
/** @typedef {import("../api.js").Edit} Edit */
/** @typedef {import("../api.js").Answers} Answers */
/** @typedef {Pick<Answers, "plan" | "course" | "rules">} Good */
/** @typedef {ReturnType<typeof usePlan>} PlanState */

/** @param {{ written: Answers["written"] } | null} answers @param {string} path */
const textOf = (answers, path) => answers?.written.find((w) => w.path === path)?.text ?? "";

/** @param {Open} open @param {(open: Open) => void} onOpen */
export function usePlan(open, onOpen) {
  const id = open.flight.id;
  const number = open.revision.number;
  const document = open.revision.document ?? "";
  const [draft, setDraftState] = useState(() => keptDraft(id));
  const [answers, setAnswers] = useState(/** @type {Answers | null} */ (null));
  const [good, setGood] = useState(/** @type {Good | null} */ (null));
  const [stale, setStale] = useState(true);
  const [base, setBase] = useState(/** @type {{ number: number, written: Answers["written"] } | null} */ (null));
  const clashes = useClashes(id);
  const asking = useRef({ under: false, again: false });
  const saving = useRef(""); // pressing Enter and leaving the field are one wish
  const newest = useRef({ document, draft, number });
  newest.current = { document, draft, number };

  /** @param {Record<string, string>} next */
  const setDraft = (next) => {
    newest.current.draft = next;
    keepDraft(id, next);
    setDraftState(next);
  };

  // One question is under way at a time; whoever types faster than the answers
  // come gets the answer to the last of it.
  const ask = () => {
    if (asking.current.under) {
      asking.current.again = true;
      return;
    }
    asking.current = { under: true, again: false };
    setStale(true);
    const asked = { ...newest.current };
    api
      .answers(id, { document: asked.document, edits: editsOf(asked.draft), units: units.value })
      .then(
        (next) => {
          setAnswers(next);
          if (Object.keys(asked.draft).length === 0) setBase({ number: asked.number, written: next.written });
          if (next.plan) setGood(next);
          setStale(!next.plan);
        },
        (error) => {
          if (!(error instanceof NoContact)) fail(error);
          // A draft that no longer fits the flight must not lock the place.
          if (error instanceof Refusal && Object.keys(newest.current.draft).length > 0) {
            dropDraft(id);
            setDraft({});
            asking.current.again = true;
          }
        },
      )
      .finally(() => {
        const again = asking.current.again;
        asking.current = { under: false, again: false };
        if (again) ask();
      });
  };
  useEffect(ask, [id, document, units.value, contact.value]);

  /** @param {Edit[]} edits @param {string} what @param {Open} [at] where the flight stands @returns {Promise<void>} */
  const save = async (edits, what, at = open) => {
    const made = await api.answers(id, { document: at.revision.document ?? "", edits, units: units.value });
    if (made.document === at.revision.document) return;
    try {
      onOpen(await api.save(id, at.revision.number, made.document, what));
    } catch (error) {
      if (!(error instanceof Refusal) || !error.base) throw error;
      const standing = await api.open(id);
      const clash = await clashOf(id, { edits, what }, error.base, standing.revision);
      onOpen(standing);
      if (clash) return clashes.add(clash);
      await save(edits, `${what}, joined with revision ${standing.revision.number}`, standing);
      notice("Another window changed this flight meanwhile. Both changes are kept.");
    }
  };

  return {
    open,
    clashes,
    answers,
    good,
    /** Whether what is shown is from before the last change. */
    stale,
    /** @param {string} path */
    text: (path) => draft[path] ?? textOf(answers, path),
    /** @param {string} path */
    saved: (path) => (base?.number === number ? textOf(base, path) : textOf(answers, path)),
    /** @param {string} path */
    fault: (path) =>
      draft[path] === undefined && !answers
        ? ""
        : (answers?.faults.find((f) => f.key === path || f.key.startsWith(`${path}[`))?.text ?? ""),
    /** How many rows of a name there are. @param {string} name */
    rows: (name) =>
      answers?.written.filter((w) => w.path.startsWith(`${name}[`) && w.path.endsWith("]") && !w.path.includes("."))
        .length ?? 0,
    /** Types into a key; nothing is saved yet. @param {string} path @param {string} text */
    type: (path, text) => {
      setDraft({ ...newest.current.draft, [path]: text });
      ask();
    },
    /** Forgets what is typed into a key. @param {string} path */
    drop: (path) => {
      const { [path]: _, ...rest } = newest.current.draft;
      setDraft(rest);
      ask();
    },
    /** Saves what is typed into a key, unless it cannot be. @param {string} path @param {string} label */
    commit: async (path, label) => {
      const text = newest.current.draft[path];
      if (text === undefined || saving.current === path + text) return;
      saving.current = path + text;
      const forget = () => {
        if (newest.current.draft[path] !== text) return;
        const { [path]: _, ...rest } = newest.current.draft;
        setDraft(rest);
      };
      try {
        const made = await api.answers(id, { document, edits: [set(path, text)], units: units.value });
        const known = new Set(open.summary.missing.map((m) => m.key + m.text));
        if (made.faults.some((f) => !known.has(f.key + f.text))) return; // said beside the field
        await save([set(path, text)], text.trim() ? `changed ${label} to ${textOf(made, path)}` : `took away ${label}`);
        forget();
        ask();
      } catch (error) {
        if (!(error instanceof NoContact)) forget();
        fail(error);
      } finally {
        saving.current = "";
      }
    },
    /** Makes edits and saves them at once. @param {Edit[]} edits @param {string} what */
    act: (edits, what) => save(edits, what).catch(fail),
    /** @param {"undo" | "redo"} way */
    step: (way) => {
      setDraft({});
      api.step(id, way, number).then(onOpen, fail);
    },
  };
}

/** @param {string} path @param {string} text @returns {Edit} */
export const set = (path, text) => ({ kind: "set", path, text });

/** @param {Record<string, string>} draft @returns {Edit[]} */
const editsOf = (draft) => Object.entries(draft).map(([path, text]) => set(path, text));
