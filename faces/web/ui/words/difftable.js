// Draws what differs: gone lines struck through, new ones bold, and long equal
// stretches folded. The signs stand beside, so that looks alone say nothing.
import { html } from "htm/preact";
import { count } from "../quantity.js";
import { diff } from "./diff.js";

/** @typedef {import("./diff.js").Line} Line */

const around = 2; // equal lines kept on each side of a change

/** The lines to show; a number stands for so many equal ones. @param {Line[]} lines */
function folded(lines) {
  const changed = lines.map((l) => l.sign !== " ");
  /** @type {(Line | number)[]} */
  const out = [];
  for (let i = 0; i < lines.length; ) {
    let end = i;
    while (end < lines.length && !changed.slice(Math.max(0, end - around), end + around + 1).some(Boolean)) end++;
    if (end - i > 2) out.push(end - i);
    else out.push(...lines.slice(i, end));
    const line = lines[end];
    if (line) out.push(line);
    i = end + 1;
  }
  return out;
}

/** @param {{ before: string, after: string, label: string }} props */
export function DiffTable({ before, after, label }) {
  const lines = diff(before, after);
  if (lines.every((l) => l.sign === " ")) return html`<p>Both are the same.</p>`;
  return html`<div class="diff" tabindex="0" role="region" aria-label=${label}>
    <table>
      <tbody>
        ${folded(lines).map((l) =>
          typeof l === "number"
            ? html`<tr class="fold"><td></td><td>${count(l, "equal line")}</td></tr>`
            : html`<tr class=${l.sign === "-" ? "gone" : l.sign === "+" ? "come" : ""}>
                <td class="sign">${l.sign === "-" ? html`<span aria-label="gone">−</span>` : l.sign === "+" ? html`<span aria-label="new">+</span>` : ""}</td>
                <td>${l.text || " "}</td>
              </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}
