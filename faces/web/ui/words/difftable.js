// Draws what differs: gone lines struck through, new ones bold, and long equal
// stretches folded. The signs stand beside, so that looks alone say nothing.
import { html } from "htm/preact";
import { count } from "../quantity.js";
import { diff } from "./diff.js";

/** @typedef {import("./diff.js").Line} Line */

const around = 2; // equal lines kept on each side of a change

/** @param {Line[]} lines */
function folded(lines) {
  const near = lines.map((_, i) => lines.slice(Math.max(0, i - around), i + around + 1).some((l) => l.sign !== " "));
  /** @type {(Line | number)[]} */
  const out = [];
  lines.forEach((line, i) => {
    const last = out.at(-1);
    if (near[i]) out.push(line);
    else if (typeof last === "number") out[out.length - 1] = last + 1;
    else out.push(1);
  });
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
            ? html`<tr class="skip"><td></td><td>${count(l, "equal line")}</td></tr>`
            : html`<tr class=${l.sign === "-" ? "gone" : l.sign === "+" ? "come" : ""}>
                <td class="sign">${l.sign === "-" ? html`<span aria-label="gone">−</span>` : l.sign === "+" ? html`<span aria-label="new">+</span>` : ""}</td>
                <td>${l.text || " "}</td>
              </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}
