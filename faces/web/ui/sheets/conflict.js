// Two windows changed one flight. Nothing is lost: what fits together is joined,
// and what does not is chosen between, with the other kept in the history.
import { html } from "htm/preact";
import { api } from "../api.js";
import { changedKeys, merge } from "../words/diff.js";
import { DiffTable } from "../words/difftable.js";

/** @typedef {import("../api.js").Open} Open */
/** @typedef {import("../api.js").Revision} Revision */

/** @param {{ id: string, draft: { from: Revision, text: string }, head: Revision, run: (work: Promise<Open>, done?: string) => void }} props */
export function Conflict({ id, draft, head, run }) {
  const base = draft.from.document ?? "";
  const theirs = head.document ?? "";
  const joined = merge(base, draft.text, theirs);
  const what = `changed ${changedKeys(base, draft.text)}`;
  const saveMine = () => api.save(id, head.number, draft.text, `${what}, over revision ${head.number}`);
  const takeTheirs = async () => {
    const mine = await saveMine();
    return api.returnTo(id, mine.revision.number, head.number);
  };
  return html`<section class="conflict stack" aria-labelledby="conflict-title">
    <h2 id="conflict-title">This flight was changed in another window</h2>
    <p>There: ${head.what}. Here: ${what}.${" "}
      ${joined === null ? "Both changed the same lines, so one of them has to stand; the other stays in the history." : "The two do not touch the same lines."}</p>
    <div class="row">
      ${joined !== null && html`<button type="button" class="first" onClick=${() => run(api.save(id, head.number, joined, `${what}, joined with revision ${head.number}`), "Both are saved.")}>Keep both</button>`}
      <button type="button" onClick=${() => run(saveMine(), "Yours is saved; the other stays in the history.")}>Let mine stand</button>
      <button type="button" onClick=${() => run(takeTheirs(), "The other stands; yours stays in the history.")}>Let the other stand</button>
    </div>
    <p>${joined === null ? "From the other to yours:" : "What yours adds to the other:"}</p>
    <${DiffTable} before=${theirs} after=${joined ?? draft.text} label="What differs" />
  </section>`;
}
