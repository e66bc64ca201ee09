// Past days of the same time of year, flown as a sample: a season, and never
// called a forecast.
import { html } from "htm/preact";
import { useEffect, useMemo } from "preact/hooks";
import { count, plain, say } from "../quantity.js";
import { units } from "../settings.js";
import { makeStudy } from "./study.js";
import { shortChance } from "./words.js";

/** @typedef {import("./types.js").Season} SeasonAnswer */

/** @param {{ id: string, past: string[], revision: number }} props */
export function Season({ id, past, revision }) {
  const study = useMemo(() => makeStudy(id, "season"), [id, revision, past.join(" ")]);
  useEffect(() => () => study.leave(), [study]);
  const state = study.state.value;
  const season = /** @type {SeasonAnswer | undefined} */ (study.shown.value?.document);
  return html`<section class="season" aria-labelledby="season-title">
    <h2 id="season-title">Season, not a forecast</h2>
    ${
      past.length === 0 &&
      html`<p class="soft">Weeks ahead there is no forecast. Past days of the same month go here: bring files of some days from several years, and they are flown as a sample.</p>`
    }
    ${
      past.length > 0 &&
      !season &&
      state.kind !== "working" &&
      html`<p>${count(past.length, "forecast")} of other days than the launch's ${past.length === 1 ? "is" : "are"} kept.</p>
      <button type="button" onClick=${() => study.run({ weather: past, units: units.value })}>Fly the past days</button>`
    }
    ${
      state.kind === "working" &&
      html`<div class="worked" data-state="working"><progress max="1" value=${state.share} aria-label="Days flown"></progress><span class="soft">${state.text}</span>
        <button type="button" class="quiet" onClick=${study.cancel}>Stop</button></div>`
    }
    ${(state.kind === "failed" || state.kind === "lost") && html`<p class="fault" role="alert">${state.text}</p>`}
    ${season && html`<${Shown} season=${season} />`}
  </section>`;
}

/** @param {{ season: SeasonAnswer }} props */
function Shown({ season }) {
  const most = Math.max(...season.rose.map((p) => p.share), 0.01);
  return html`<p><b>${season.label}</b></p><p>${season.summary}</p>
    ${season.notes.map((n) => html`<p key=${n} class="caution"><span>${n}</span></p>`)}
    <table class="rose"><caption>Which way, on ${count(season.days, "past day")} at ${season.local_hour}</caption>
      <thead class="unseen"><tr><th scope="col">Towards</th><th scope="col">Share</th><th scope="col">How far</th></tr></thead>
      <tbody>${season.rose.map(
        (p) => html`<tr key=${p.towards}><th scope="row">${p.towards}</th>
          <td><span class="amount" aria-hidden="true"><span style=${{ width: `${(100 * p.share) / most}%` }}></span></span><span class="word">${shortChance(p.share)}</span></td>
          <td>${p.drift_m ? `${say(p.drift_m.p10, "distance", units.value)} to ${say(p.drift_m.p90, "distance", units.value)}` : ""}</td></tr>`,
      )}</tbody></table>
    <ul class="reasons">${season.chances.map((c) => html`<li key=${c.what}>${c.what}: ${shortChance(c.probability)}</li>`)}</ul>
    <details class="numbers"><summary>Day by day</summary><table><tbody>
      ${season.flown.map((d) => html`<tr key=${d.day}><th scope="row">${d.day}</th><td>${say(d.drift_m, "distance", units.value)} towards ${plain(d.bearing_deg)}°</td><td>${d.water === undefined ? "" : `in water: ${shortChance(d.water)}`}</td></tr>`)}
      ${season.not_flown.map((d) => html`<tr key=${d.cycle}><th scope="row">${d.cycle}</th><td colspan="2">not flown: ${d.why}</td></tr>`)}
    </tbody></table></details>`;
}
