// The side sheet: the verdict, the chances, what was not looked at, the weather.
import { html } from "htm/preact";
import { chance, count, localTime, plain, say as sayIn } from "../quantity.js";
import { units } from "../settings.js";
import { fileAddress } from "./ask.js";
import { chanceOf, chanceWords, heldWords, rest, verdict, weatherWords } from "./words.js";

/** @typedef {import("./types.js").Odds} Odds */

/** @param {{ odds: Odds, launch: string, settled: boolean }} props */
export function Verdict({ odds, launch, settled }) {
  const [when, where] = verdict(odds, launch, units.value);
  return html`<div class=${settled ? "verdict" : "verdict older"}>
    <p class="said">${when} ${where}</p>
    ${rest(odds, units.value).map((line) => html`<p class="soft">${line}</p>`)}
    ${odds.invented && html`<p class="soft">This sky is invented, for the demo.</p>`}
  </div>`;
}

/** @param {{ odds: Odds }} props */
export function Chances({ odds }) {
  const { chances, members } = odds.odds;
  return html`<section aria-labelledby="chances">
    <h2 id="chances">Chances</h2>
    <table class="chances">
      <thead class="unseen"><tr><th scope="col">What</th><th scope="col">Chance</th></tr></thead>
      <tbody>
        ${chances.map(
          (c) => html`<tr>
            <th scope="row">${chanceOf(c.what, units.value)}</th>
            <td>
              <span>${chanceWords(c.probability, members)}</span>
              <span class="share"><span style=${{ width: `${100 * c.probability}%` }}></span></span>
            </td>
          </tr>`,
        )}
      </tbody>
    </table>
  </section>`;
}

/** @param {{ odds: Odds }} props */
export function NotLookedAt({ odds }) {
  return html`<section aria-labelledby="unlooked">
    <h2 id="unlooked">Not looked at</h2>
    <p class="soft">These data know nothing of the following. Look yourself, and ask where you must; local rules and the authority decide.</p>
    <ul class="unlooked">
      ${odds.odds.not_looked_at.map((what) => html`<li>${what}</li>`)}
    </ul>
  </section>`;
}

/** @param {{ odds: Odds }} props */
export function WeatherUsed({ odds }) {
  const { weather } = odds.odds;
  const system = units.value;
  return html`<section aria-labelledby="weather-used">
    <h2 id="weather-used">Weather used</h2>
    <p>${weatherWords(odds, system).join(" ")}</p>
    ${
      odds.frozen_at &&
      html`<p class="caution">The files hold one step alone, so the sky stands still at ${localTime(odds.frozen_at)} UTC. Fetch more steps.</p>`
    }
    ${
      weather.held.length > 0 &&
      html`<p class="caution"><span>Held at the edge of the files: ${weather.held.map((h) => heldWords(h, system)).join(" ")}</span></p>`
    }
    ${
      weather.unused &&
      weather.unused.length > 0 &&
      html`<details><summary>Not used from the files</summary><ul>${weather.unused.map((u) => html`<li class="small">${u}</li>`)}</ul></details>`
    }
    <p class="soft">${count(odds.odds.members, "flight")} drawn, seed ${odds.odds.seed}. The same seed draws the same flights.</p>
  </section>`;
}

const kinds = /** @type {[string, string, string][]} */ ([
  ["kml", "KML", "for a globe"],
  ["gpx", "GPX", "for a navigator"],
  ["geojson", "GeoJSON", "for a map program"],
  ["csv", "CSV", "every flight, for a spreadsheet"],
]);

/** @param {{ odds: Odds, settled: boolean }} props */
export function Files({ odds, settled }) {
  return html`<section aria-labelledby="files">
    <h2 id="files">Take it along</h2>
    <ul class="files">
      ${kinds.map(
        ([kind, name, what]) => html`<li>
          ${
            settled
              ? html`<a class="button" href=${fileAddress(odds.key, kind)} download>${name}</a>`
              : html`<button type="button" disabled>${name}</button>`
          }
          <span class="soft">${what}</span>
        </li>`,
      )}
    </ul>
  </section>`;
}

/** The regions as a table: what the map shows, in numbers. @param {{ odds: Odds }} props */
export function Regions({ odds }) {
  /** @param {number} value @param {string} kind */
  const say = (value, kind) => sayIn(value, kind, units.value);
  /** @param {{ lat_deg: number, lon_deg: number }} p */
  const place = (p) => `${plain(p.lat_deg, 4)}°, ${plain(p.lon_deg, 4)}°`;
  const { landing, burst, nominal } = odds.odds;
  return html`<details class="numbers">
    <summary>The map in numbers</summary>
    <table>
      <tbody>
        ${landing.regions.map(
          (r) =>
            html`<tr><th scope="row">${chance(r.probability)} to land in the region of</th><td>${say(r.area_km2 * 1e6, "area")}</td></tr>`,
        )}
        <tr><th scope="row">Half of all land within</th><td>${say(landing.radius_50_m, "distance")} of the middle</td></tr>
        <tr><th scope="row">Nine in ten land within</th><td>${say(landing.radius_90_m, "distance")}</td></tr>
        <tr><th scope="row">Distance from the launch</th><td>${say(landing.drift_m.p10, "distance")} to ${say(landing.drift_m.p90, "distance")}</td></tr>
        <tr><th scope="row">Burst height</th><td>${say(burst.alt_m.p10, "height")} to ${say(burst.alt_m.p90, "height")}</td></tr>
        <tr><th scope="row">Speed at the ground</th><td>${say(landing.speed_mps.p10, "speed")} to ${say(landing.speed_mps.p90, "speed")}</td></tr>
        <tr><th scope="row">Central flight lands at</th><td>${place(nominal.landing)}</td></tr>
        <tr><th scope="row">Middle of the landings</th><td>${place(landing.median)}</td></tr>
      </tbody>
    </table>
  </details>`;
}
