// The written form of a flight: the file itself, with undo, redo and save.
import { html } from "htm/preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { api, Refusal } from "../api.js";
import { fail, notice } from "../notices.js";
import { count } from "../quantity.js";
import { changedKeys } from "../words/diff.js";
import { Conflict } from "./conflict.js";

/** @typedef {import("../api.js").Open} Open */
/** @typedef {import("../api.js").Revision} Revision */
/** @typedef {{ from: Revision, text: string }} Draft made from a revision, not saved yet */

// What is typed and not yet saved outlives a reload.
/** @param {string} id @returns {Draft | null} */
function keptDraft(id) {
  try {
    const kept = sessionStorage.getItem(`pappus.draft.${id}`);
    return kept ? JSON.parse(kept) : null;
  } catch {
    return null; // storage is refused: the draft lasts as long as the page
  }
}

/** @param {string} id @param {Draft | null} draft */
function keepDraft(id, draft) {
  try {
    if (draft) sessionStorage.setItem(`pappus.draft.${id}`, JSON.stringify(draft));
    else sessionStorage.removeItem(`pappus.draft.${id}`);
  } catch {
    // as above
  }
}

/** @param {import("../places.js").PlaceProps} props */
export default function Written({ open, line, onOpen }) {
  const { flight, revision } = open;
  const [draft, setDraftState] = useState(() => keptDraft(flight.id));
  const [busy, setBusy] = useState(false);
  const [head, setHead] = useState(/** @type {Revision | null} */ (null)); // of a conflict
  const area = useRef(/** @type {HTMLTextAreaElement | null} */ (null));
  const text = draft?.text ?? revision.document ?? "";
  const dirty = draft !== null && draft.text !== draft.from.document;

  /** @param {Draft | null} next */
  const setDraft = (next) => {
    keepDraft(flight.id, next);
    setDraftState(next);
  };

  useEffect(() => {
    if (line && area.current) showLine(area.current, line);
  }, [line]);

  /** @param {Promise<Open>} work @param {string} [done] */
  const run = (work, done) => {
    setBusy(true);
    work
      .then(
        (next) => {
          setDraft(null);
          setHead(null);
          onOpen(next);
          if (done) notice(done);
        },
        (error) => {
          if (error instanceof Refusal && error.head && draft) setHead(error.head);
          else fail(error);
        },
      )
      .finally(() => setBusy(false));
  };
  const save = () => {
    if (!draft || !dirty) return;
    run(
      api.save(
        flight.id,
        draft.from.number,
        draft.text,
        `changed ${changedKeys(draft.from.document ?? "", draft.text)}`,
      ),
      "Saved.",
    );
  };
  /** @param {"undo" | "redo"} way */
  const step = (way) => run(api.step(flight.id, way, revision.number));
  /** @param {KeyboardEvent} e */
  const keys = (e) => {
    if ((e.ctrlKey || e.metaKey) && e.key === "s") {
      e.preventDefault();
      save();
    }
  };
  const file = `data:text/plain;charset=utf-8,${encodeURIComponent(text)}`;

  return html`<div class="sheet-head">
      <h1>Written form</h1>
      <div class="row">
        <button type="button" disabled=${busy || dirty || !flight.can_undo} onClick=${() => step("undo")}>Undo</button>
        <button type="button" disabled=${busy || dirty || !flight.can_redo} onClick=${() => step("redo")}>Redo</button>
        <a class="button" download=${`${flight.id}.toml`} href=${file}>Export</a>
        ${dirty && html`<button type="button" onClick=${() => setDraft(null)}>Drop my changes</button>`}
        <button type="button" class="first" disabled=${busy || !dirty} onClick=${save}>Save</button>
      </div>
    </div>
    ${head && draft && html`<${Conflict} id=${flight.id} draft=${draft} head=${head} run=${run} />`}
    ${
      !head &&
      dirty &&
      draft.from.number !== revision.number &&
      html`<p class="caution">The flight was changed in another window while you typed. Save to see both and join them.</p>`
    }
    <div class=${`written ${open.summary.missing.length > 0 ? "with-list" : ""}`}>
      <div>
        <label for="document" class="unseen">The flight file of ${flight.name}</label>
        <textarea id="document" ref=${area} spellcheck=${false} autocomplete="off" value=${text} onKeyDown=${keys}
          onInput=${(/** @type {Event} */ e) => setDraft({ from: draft?.from ?? revision, text: /** @type {HTMLTextAreaElement} */ (e.currentTarget).value })}></textarea>
      </div>
      ${open.summary.missing.length > 0 && html`<${Faults} open=${open} show=${(/** @type {number} */ n) => area.current && showLine(area.current, n)} />`}
    </div>`;
}

/** @param {{ open: Open, show: (line: number) => void }} props */
function Faults({ open, show }) {
  return html`<section aria-labelledby="faults-title">
    <h2 id="faults-title">${count(open.summary.missing.length, "thing")} to mend</h2>
    <ul class="faults">
      ${open.summary.missing.map(
        (m) => html`<li>
          <button type="button" class="quiet" onClick=${() => show(m.line)}>Line ${m.line}${m.key && `, ${m.key}`}</button>
          <div>${m.text}</div>
        </li>`,
      )}
    </ul>
  </section>`;
}

/** Marks a line and brings it into sight. @param {HTMLTextAreaElement} area @param {number} line */
function showLine(area, line) {
  const lines = area.value.split("\n");
  const start = lines.slice(0, line - 1).reduce((sum, l) => sum + l.length + 1, 0);
  area.focus();
  area.setSelectionRange(start, start + (lines[line - 1]?.length ?? 0));
  area.scrollTop = (area.scrollHeight / lines.length) * (line - 4);
}
