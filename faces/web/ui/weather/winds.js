// The wind as a column by height: arrows go with the wind, as long as it is
// fast, over a wedge as wide as it is unsure.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { NoContact } from "../api.js";
import { count, heightSteps, say } from "../quantity.js";
import { units } from "../settings.js";
import { windsOf } from "./ask.js";
import { ageOf, whenWords, windName } from "./words.js";

/** @typedef {import("./types.js").Winds} Winds */
/** @typedef {import("./types.js").Level} Level */

/** @param {{ id: string, weather: string[], launch: string, time: string, site: string, burst: number | null, revision: number }} props */
export function WindColumn({ id, weather, launch, time, site, burst, revision }) {
  const [winds, setWinds] = useState(/** @type {Winds | null} */ (null));
  const [trouble, setTrouble] = useState("");
  useEffect(() => {
    let old = false;
    const done = (/** @type {Winds | null} */ found, /** @type {string} */ why) => {
      if (old) return;
      if (found) setWinds(found);
      setTrouble(why);
    };
    windsOf(id, { weather, time, ...(site ? { site } : {}) }).then(
      (found) => done(found, ""),
      (error) => done(null, error instanceof NoContact ? "" : error.message),
    );
    return () => {
      old = true;
    };
  }, [id, weather.join(" "), time, site, revision]);
  const fastest = winds?.levels.reduce((a, b) => (b.speed_mps > a.speed_mps ? b : a));
  const words =
    winds && fastest
      ? `Fastest at ${say(hundreds(fastest.alt_m), "height", units.value)}: ${say(fastest.speed_mps, "wind", units.value)} from the ${windName(fastest.from_deg)}, give or take ${say(fastest.spread_mps, "wind", units.value)}.`
      : "";
  return html`<section class="column" aria-labelledby="column-title">
    <h2 id="column-title">Wind over the launch</h2>
    ${trouble && html`<p class="caution" role="status"><span>No wind for this hour: ${trouble}</span></p>`}
    ${
      winds &&
      !trouble &&
      html`<p>${whenWords(launch, winds.time)}. ${words}</p>
      <${Arrows} levels=${winds.levels} burst=${burst} words=${words} />
      <p class="soft small">From ${winds.source}${winds.age_s === null ? "" : `, ${ageOf(winds.age_s)} old then`}${winds.members > 1 ? `, mean of ${count(winds.members, "member")}` : ""}. North is up. The wedge is one standard deviation to each side, as flights are drawn with it.${winds.frozen ? " The files hold one step alone: the same wind at any hour." : ""}</p>
      <details class="numbers"><summary>The column as a table</summary>
        <table><thead><tr><th scope="col">Height</th><th scope="col">Wind</th><th scope="col">From</th><th scope="col">Give or take</th><th scope="col">Air</th></tr></thead>
        <tbody>${[...winds.levels]
          .reverse()
          .map(
            (l) =>
              html`<tr key=${l.pressure_pa}><th scope="row">${say(l.alt_m, "height", units.value)}</th><td>${say(l.speed_mps, "speed", units.value)}</td><td>${windName(l.from_deg)}</td><td>${say(l.spread_mps, "speed", units.value)}</td><td>${say(l.temperature_k, "temperature", units.value)}</td></tr>`,
          )}</tbody></table></details>`
    }
  </section>`;
}

const [wide, high, left, foot] = [420, 440, 76, 14];
const hundreds = (/** @type {number} */ metres) => Math.round(metres / 100) * 100; // no one knows more
const apart = 19; // pixels between arrows
const longest = 150;

/** @param {{ levels: Level[], burst: number | null, words: string }} props */
function Arrows({ levels, burst, words }) {
  const system = units.value;
  const top = Math.max(...levels.map((l) => l.alt_m), burst ?? 0) * 1.04;
  const y = (/** @type {number} */ alt) => high - foot - (alt / top) * (high - 2 * foot);
  const scale = longest / Math.max(...levels.map((l) => l.speed_mps + l.spread_mps), 10);
  const middle = left + (wide - left) / 2;
  /** @type {Level[]} */
  const shown = [];
  for (const l of levels) {
    const last = shown.at(-1);
    if (!last || y(last.alt_m) - y(l.alt_m) >= apart) shown.push(l);
  }
  const [key, keyWords] =
    system === "us" ? [20 / 2.2369362920544, say(20 / 2.2369362920544, "wind", system)] : [10, say(10, "wind", system)];
  return html`<svg class="arrows" viewBox=${`0 0 ${wide} ${high + 26}`} role="img" aria-label=${`The wind by height. ${words}`}>
    ${heightSteps(top, system).map((h) => html`<g key=${h} class="grid"><path d=${`M${left} ${y(h)}H${wide}`} /><text x=${left - 6} y=${y(h) + 4} text-anchor="end">${say(h, "height", system)}</text></g>`)}
    <path class="mast" d=${`M${middle} ${y(0)}V${foot}`} /><path class="ground" d=${`M${left} ${y(0)}H${wide}`} />
    ${shown.map((l) => html`<${Arrow} key=${l.pressure_pa} level=${l} x=${middle} y=${y(l.alt_m)} scale=${scale} />`)}
    ${burst !== null && html`<g class="burst"><path d=${`M${middle - 24} ${y(burst)}h48`} /><text x=${wide} y=${y(burst) - 5} text-anchor="end">burst near ${say(hundreds(burst), "height", system)}</text></g>`}
    <g class="key"><path d=${`M${left} ${high + 14}h${key * scale}m0 -4v8m${-key * scale} 0v-8`} /><text x=${left + key * scale + 8} y=${high + 18}>${keyWords}</text></g>
  </svg>`;
}

/** @param {{ level: Level, x: number, y: number, scale: number }} props */
function Arrow({ level, x, y, scale }) {
  const towards = ((level.from_deg + 180) * Math.PI) / 180;
  const [dx, dy] = [Math.sin(towards), -Math.cos(towards)];
  const long = level.speed_mps * scale;
  const half = level.spread_mps * scale;
  const [tx, ty] = [x + dx * long, y + dy * long];
  const wedge = `M${x} ${y}L${tx - dy * half} ${ty + dx * half}A${half} ${half} 0 0 0 ${tx + dy * half} ${ty - dx * half}Z`;
  const barb = (/** @type {number} */ side) =>
    `M${tx} ${ty}L${tx - dx * 6 - dy * 3.5 * side} ${ty - dy * 6 + dx * 3.5 * side}`;
  return html`<g><path class="wedge" d=${wedge} /><path class="shaft" d=${`M${x} ${y}L${tx} ${ty}${barb(1)}${barb(-1)}`} /></g>`;
}
