// Hours across, what matters down: in each cell one bar and a word.
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { duration } from "../quantity.js";
import { units } from "../settings.js";
import { Choice } from "../view.js";
import { cellOf, fullAt, rowsFor } from "./rows.js";
import { clockAt, dayWords, inLaunchOffset, verdictWords, whenWords } from "./words.js";

/** @typedef {import("./types.js").Hour} Hour */
/** @typedef {import("./types.js").Site} Site */

/** @param {Site} s */
const siteWords = (s) => (s.drive_s === undefined ? s.name : `${s.name}, ${duration(s.drive_s)} to get there`);

/**
 * @param {{ answer: import("./types.js").Hours, hours: Hour[], sites: Site[], site: string, onSite: (name: string) => void,
 *   hour: Hour | null, launch: string, stale: boolean, onLook: (h: Hour) => void }} props
 */
export function HourTable({ answer, hours, sites, site, onSite, hour, launch, stale, onLook }) {
  const head = useRef(/** @type {HTMLTableRowElement | null} */ (null));
  const shown = rowsFor(answer.hours);
  const full = shown.map((row) => fullAt(row, answer.hours)); // one scale for all sites
  /** @type {[string, number][]} */
  const days = [];
  for (const h of hours) {
    const day = dayWords(inLaunchOffset(launch, h.time));
    const last = days.at(-1);
    if (last && last[0] === day) last[1] += 1;
    else days.push([day, 1]);
  }
  const current = hour ? hours.indexOf(hour) : -1;
  // The chosen hour is brought into view, the page left where it is.
  useEffect(() => {
    const button = head.current?.querySelectorAll("button")[current];
    const box = button?.closest(".hours-scroll");
    if (!button || !box) return;
    const by = button.getBoundingClientRect().left - box.getBoundingClientRect().left - box.clientWidth / 2;
    if (Math.abs(by) > box.clientWidth / 3) box.scrollLeft += by;
  }, [current]);
  /** @param {KeyboardEvent} e @param {number} i */
  const keys = (e, i) => {
    const to = { ArrowLeft: i - 1, ArrowRight: i + 1, Home: 0, End: hours.length - 1 }[e.key];
    const next = to === undefined ? undefined : hours[to];
    if (to === undefined || !next) return;
    e.preventDefault();
    onLook(next);
    head.current?.querySelectorAll("button")[to]?.focus();
  };
  const marked = (/** @type {number} */ i) => (i === current ? "at" : undefined);
  return html`<section class=${stale ? "hours stale" : "hours"} aria-labelledby="hours-title">
    <h2 id="hours-title">Hours</h2>
    ${
      sites.length > 1 &&
      html`<${Choice} title="Site" name="site" value=${site} choose=${onSite} from=${sites.map((s) => [s.name, siteWords(s)])} />`
    }
    <div class="hours-scroll" role="region" aria-label="Table of the hours" tabindex="0">
      <table>
        <caption class="unseen">Launch hours from ${site}, clocks at the launch. Arrow keys move between hours.</caption>
        <thead>
          <tr><td></td>${days.map(([day, n]) => html`<th key=${day} scope="colgroup" colspan=${n} class="day"><span>${day}</span></th>`)}</tr>
          <tr ref=${head}><th scope="row" class="what">Launch at</th>
            ${hours.map(
              (h, i) => html`<th key=${h.time} scope="col" class=${marked(i)}>
                <button type="button" aria-pressed=${i === current} tabindex=${i === Math.max(current, 0) ? 0 : -1}
                  aria-label=${`${whenWords(launch, h.time)}: ${verdictWords(h.verdict)}`}
                  onClick=${() => onLook(h)} onKeyDown=${(/** @type {KeyboardEvent} */ e) => keys(e, i)}>${clockAt(launch, h.time)}</button></th>`,
            )}</tr>
          <tr><th scope="row" class="what">Verdict</th>
            ${hours.map((h, i) => html`<td key=${h.time} class=${marked(i)} onClick=${() => onLook(h)}><span class=${`verdict-word ${h.verdict}`}>${h.verdict}</span></td>`)}</tr>
        </thead>
        <tbody>
          ${shown.map(
            (row, r) => html`<tr key=${row.key}><th scope="row" class="what">${row.label}</th>
              ${hours.map((h, i) => {
                const cell = h.landing ? cellOf(row, h, full[r] ?? 1, units.value) : null;
                return html`<td key=${h.time} class=${marked(i)} onClick=${() => onLook(h)}>
                  ${
                    cell
                      ? html`<span class="amount" aria-hidden="true"><span style=${{ width: `${100 * cell.share}%` }}></span></span>
                        <span class=${cell.beyond ? "word over" : "word"}>${cell.word}${cell.beyond && `, ${cell.beyond}`}</span>`
                      : html`<span class="soft small">${h.landing ? "not known" : r === 0 ? "no forecast" : html`<span aria-hidden="true">·</span><span class="unseen">no forecast</span>`}</span>`
                  }</td>`;
              })}</tr>`,
          )}
        </tbody>
      </table>
    </div>
    <p class="soft small">A bar is full when all landings are so, or at the greatest value of the window. “Over” and “short” are beyond your limit.</p>
  </section>`;
}
