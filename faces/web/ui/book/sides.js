// Two flights by their answers, side against side.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { api } from "../api.js";
import { fail } from "../notices.js";
import { groupsOf } from "../plan/figures.js";
import { units } from "../settings.js";

/** @typedef {import("./compare.js").Shown} Shown */
/** @typedef {import("../api.js").Answers} Answers */

/** @param {Shown} side */
const answersOf = (side) => api.answers(side.flight, { document: side.document ?? "", units: units.value });

/** @param {{ before: Shown, after: Shown }} props */
export function Sides({ before, after }) {
  const [both, setBoth] = useState(/** @type {Answers[] | null} */ (null));
  useEffect(() => {
    let old = false;
    Promise.all([answersOf(before), answersOf(after)]).then((next) => !old && setBoth(next), fail);
    return () => {
      old = true;
    };
  }, [before.flight, before.number, after.flight, after.number, units.value]);
  if (!both) return html`<p class="loading">Working both out…</p>`;
  const [from, to] = both;
  if (!from?.plan || !to?.plan)
    return html`<p>No answers to compare: ${from?.plan ? after.name : before.name} cannot be worked out as it stands.</p>`;
  const groups = (/** @type {Answers} */ a) =>
    a.plan ? groupsOf(a.plan, units.value, a.course?.launch_time ?? "") : [];
  const right = new Map(groups(to).flatMap((g) => g.figures.map((f) => [f.key, f.number])));
  return html`<div class="scroll" tabindex="0" role="region" aria-label="Answers side by side">
    <table class="changes">
      <thead><tr><th scope="col">Answer</th><th scope="col">${before.name}</th><th scope="col">${after.name}</th></tr></thead>
      ${groups(from).map(
        (g) => html`<tbody key=${g.title}>
          <tr><th scope="rowgroup" colspan="3">${g.title}</th></tr>
          ${g.figures.map((f) => {
            const other = right.get(f.key) ?? "";
            const moved = other !== f.number;
            return html`<tr key=${f.key}><th scope="row">${f.words}</th><td>${f.number}</td><td>${moved ? html`<b>${other}</b>` : other}</td></tr>`;
          })}
        </tbody>`,
      )}
    </table>
  </div>`;
}
