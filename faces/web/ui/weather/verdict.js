// The verdict comes first, and its reasons; above it how far the work is.
import { html } from "htm/preact";
import { count, plain } from "../quantity.js";
import { units } from "../settings.js";
import { landsWords, verdictWords, whenWords } from "./words.js";

/** @typedef {import("./types.js").Hour} Hour */
/** @typedef {import("./study.js").State} State */

const told = 3; // of the best hours

/** @param {{ hours: State, trend: State, shown: boolean, onAgain: () => void, onCancel: () => void }} props */
export function Working({ hours, trend, shown, onAgain, onCancel }) {
  const before = shown ? " What stands here is from before." : "";
  if (hours.kind === "failed" || hours.kind === "lost") {
    return html`<div class="worked" role="alert"><p><strong>No hour could be answered.</strong> ${hours.text}${before}</p>
      <button type="button" onClick=${onAgain}>Try again</button></div>`;
  }
  if (hours.kind === "cancelled") {
    return html`<div class="worked" role="status"><p>Stopped.${before}</p><button type="button" onClick=${onAgain}>Compare the hours</button></div>`;
  }
  const at = hours.kind === "working" ? hours : trend;
  const working = at.kind === "working";
  return html`<div class="worked" aria-hidden=${!working} data-state=${working ? "working" : "ready"}>
    <progress max="1" value=${working ? at.share : 1} aria-label=${at === hours ? "Hours flown" : "Cycles flown"}></progress>
    <span class="soft">${working ? at.text : ""}</span>
    <button type="button" class="quiet" disabled=${!working} onClick=${onCancel}>Stop</button>
  </div>`;
}

/** @param {import("./types.js").Hours} answer */
function tally(answer) {
  const of = (/** @type {string} */ v) => plain(answer.hours.filter((h) => h.verdict === v).length);
  return `${count(answer.hours.length, "launch", "launches")} compared: ${of("go")} go, ${of("wait")} wait, ${of("no")} no, by what was looked at.`;
}

/** @param {{ answer: import("./types.js").Hours, invented: boolean, stale: boolean, launch: string, at: Hour | null, onLook: (h: Hour) => void }} props */
export function Answer({ answer, invented, stale, launch, at, onLook }) {
  const best = [...answer.hours].filter((h) => h.landing).sort((a, b) => a.rank - b.rank);
  const first = best[0];
  const many = answer.sites.length > 1;
  const from = (/** @type {Hour} */ h) => (many ? ` from ${h.site}` : "");
  return html`<section class=${stale ? "hours-verdict stale" : "hours-verdict"} aria-labelledby="hours-verdict">
    <h2 id="hours-verdict" class="said">${first ? `Best is ${whenWords(launch, first.time)}${from(first)}: ${verdictWords(first.verdict).toLowerCase()}.` : "No hour could be flown."}</h2>
    ${first && html`<p class="lands">${landsWords(first, launch, units.value)}</p>`}
    <p class="soft">${tally(answer)}${invented ? " This sky is invented, for the demo." : ""}</p>
    <ol class="best" aria-label="The best hours and their reasons">
      ${best.slice(0, told).map(
        (h) => html`<li key=${h.time + h.site}>
          <button type="button" aria-pressed=${at === h} onClick=${() => onLook(h)}>
            ${whenWords(launch, h.time)}${from(h)}
          </button>
          <span class=${`verdict-word ${h.verdict}`}>${h.verdict}</span>
          <ul class="reasons">${h.reasons.map((r) => html`<li key=${r}>${r}</li>`)}</ul>
        </li>`,
      )}
    </ol>
  </section>`;
}
