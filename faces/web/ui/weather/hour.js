// The chosen hour: its verdict and reasons, where it comes down, and the way to
// make it the flight's own.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { fail } from "../notices.js";
import { besideWords } from "../odds/words.js";
import { say } from "../quantity.js";
import { units } from "../settings.js";
import { hourOf } from "./ask.js";
import { RegionMap } from "./chart.js";
import { ageOf, landsWords, verdictWords, whenWords, windName } from "./words.js";

/** @typedef {import("./types.js").Hour} Hour */
/** @typedef {import("./types.js").ShownHour} ShownHour */

/** @param {{ study: string, answer: import("./types.js").Hours, hour: Hour, launch: string, sites: import("./types.js").Site[], onUse: (h: Hour) => void }} props */
export function HourSheet({ study, answer, hour, launch, sites, onUse }) {
  const [shown, setShown] = useState(/** @type {ShownHour | null} */ (null));
  const number = answer.hours.indexOf(hour);
  useEffect(() => {
    let old = false;
    if (!hour.landing) setShown(null);
    else
      hourOf(study, number).then((found) => {
        if (!old) setShown(found);
      }, fail);
    return () => {
      old = true;
    };
  }, [study, number]);
  const system = units.value;
  const own = Date.parse(hour.time) === Date.parse(launch) && hour.site === sites[0]?.name;
  const site = sites.find((s) => s.name === hour.site);
  const near =
    shown &&
    hour.landing &&
    besideWords(shown.middle, shown.landing.median.lat_deg, shown.landing.median.lon_deg, system);
  const where = near ? `The middle of its landings is ${near}.` : "";
  return html`<section class="hour" aria-labelledby="hour-title">
    <div class="hour-words">
      <h2 id="hour-title">${whenWords(launch, hour.time)}${sites.length > 1 ? ` from ${hour.site}` : ""}</h2>
      <p class="said" role="status">${verdictWords(hour.verdict)}.</p>
      <p>${landsWords(hour, launch, system)} ${where}</p>
      <ul class="reasons">${hour.reasons.map((r) => html`<li key=${r}>${r}</li>`)}</ul>
      <p class="row">${
        own
          ? html`<span class="soft">This is the flight's own launch.</span>`
          : html`<button type="button" class="first" onClick=${() => onUse(hour)}>Use this hour</button><span class="soft">saves the launch time${hour.site === sites[0]?.name ? "" : " and place"} as a revision</span>`
      }</p>
      <${Numbers} hour=${hour} />
    </div>
    ${site && html`<${RegionMap} site=${site} shown=${hour.landing && shown?.time === hour.time && shown.site === hour.site ? shown : null} words=${`${landsWords(hour, launch, system)} ${where}`} />`}
  </section>`;
}

/** @param {{ hour: Hour }} props */
function Numbers({ hour }) {
  const system = units.value;
  const { landing, at_launch: near, at_landing: down, light } = hour;
  if (!landing) return null;
  /** @param {import("./types.js").Near | null | undefined} n */
  const wind = (n) =>
    n && n.wind_mps !== null
      ? `${say(n.wind_mps, "speed", system)} from the ${windName(n.wind_from_deg ?? 0)}${n.gust_mps === null ? "" : `, gusts to ${say(n.gust_mps, "speed", system)}`}`
      : "not known";
  /** @type {[string, string][]} */
  const rows = [
    ["Wind at launch", wind(near)],
    ["Wind at the landing", wind(down)],
    ["Half land within", say(landing.radius_50_m, "distance", system)],
    ["Nine in ten land within", say(landing.radius_90_m, "distance", system)],
    [
      "Burst",
      hour.burst_alt_m
        ? `${say(hour.burst_alt_m.p10, "height", system)} to ${say(hour.burst_alt_m.p90, "height", system)}`
        : "not known",
    ],
    [
      "Light at the landing",
      `${light?.at_landing ?? "not known"}${light?.daylight_left_s ? `, ${ageOf(light.daylight_left_s)} to sunset` : ""}`,
    ],
    [
      "Forecast",
      hour.cycle
        ? `cycle of ${whenWords(hour.cycle, hour.cycle)} UTC, ${ageOf(hour.forecast_age_s ?? 0)} old`
        : "no cycle",
    ],
  ];
  return html`<details class="numbers"><summary>Every number and limit of this hour</summary>
    <table><tbody>
      ${rows.map(([what, value]) => html`<tr key=${what}><th scope="row">${what}</th><td>${value}</td></tr>`)}
      ${(hour.checks ?? []).map((c) => html`<tr key=${c.id}><th scope="row">${c.within ? "Within" : html`<b>Beyond</b>`}</th><td>${c.text}</td></tr>`)}
      ${(hour.not_looked_at ?? []).map((u) => html`<tr key=${u}><th scope="row">Not looked at</th><td>${u}</td></tr>`)}
    </tbody></table>
    ${near && html`<p class="soft small">Wind near the ground: ${near.wind_source}.</p>`}</details>`;
}
