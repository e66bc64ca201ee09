// How the landing walked from cycle to cycle: a dotted trail of regions on a
// drawn plane, the newest filled.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { groundIn } from "../odds/ask.js";
import { say } from "../quantity.js";
import { units } from "../settings.js";
import { ageOf, whenWords, windLetters } from "./words.js";

/** @typedef {import("./types.js").Trend} TrendAnswer */
/** @typedef {import("./types.js").Flown} Flown */

/** @param {{ study: ReturnType<typeof import("./study.js").makeStudy>, launch: string, open: import("../api.js").Open }} props */
export function Trend({ study, launch, open }) {
  const trend = /** @type {TrendAnswer | undefined} */ (study.shown.value?.document);
  const state = study.state.value;
  return html`<section class=${state.kind === "working" ? "trend stale" : "trend"} aria-labelledby="trend-title">
    <h2 id="trend-title">How the landing walked</h2>
    ${!trend && html`<p class="soft">${state.kind === "failed" ? state.text : "Each cycle's landing goes here, once it is flown."}</p>`}
    ${
      trend &&
      html`<p>${trend.summary}</p>
      <${Plane} trend=${trend} launch=${open.summary} words=${trend.summary} />
      <p class=${trend.agreement.verdict === "moved more" ? "caution" : "soft"}><span>${trend.agreement.text}</span></p>
      <details class="numbers"><summary>Cycle by cycle</summary>
        <table><thead><tr><th scope="col">Cycle, UTC</th><th scope="col">Age</th><th scope="col">Half within</th><th scope="col">Moved</th></tr></thead>
        <tbody>${trend.cycles.map(
          (c) =>
            html`<tr key=${c.cycle}><th scope="row">${whenWords(c.cycle, c.cycle)}</th><td>${ageOf(c.age_s)}</td><td>${say(c.landing.radius_50_m, "distance", units.value)}</td><td>${c.moved_bearing_deg === null ? "the newest" : `${say(c.moved_m, "distance", units.value)} ${windLetters(c.moved_bearing_deg)}`}</td></tr>`,
        )}${trend.not_flown.map((l) => html`<tr key=${l.cycle}><th scope="row">${whenWords(l.cycle, l.cycle)}</th><td colspan="3">not flown: ${l.why}</td></tr>`)}</tbody></table>
        <p class="soft small">Launch ${whenWords(launch, launch)}; moved is counted from the newest cycle's median landing.</p></details>`
    }
  </section>`;
}

const [wide, high, edge] = [420, 340, 34];
const metresPerDegree = 111_320; // along a meridian, for drawing

/** @param {{ trend: TrendAnswer, launch: import("../api.js").Summary, words: string }} props */
function Plane({ trend, launch, words }) {
  const [towns, setTowns] = useState(/** @type {{ name: string, lat_deg: number, lon_deg: number }[]} */ ([]));
  const newest = trend.cycles[0];
  /** @param {Flown} c */
  const ringsOf = (c) =>
    [...c.landing.regions].sort((a, b) => a.probability - b.probability)[0]?.geometry.coordinates.flat() ?? [];
  const points = trend.cycles.flatMap((c) => ringsOf(c).flat());
  const lats = points.map((p) => p[1]);
  const lons = points.map((p) => p[0]);
  const [south, north, west, east] = [Math.min(...lats), Math.max(...lats), Math.min(...lons), Math.max(...lons)];
  useEffect(() => {
    const room = { lat: (north - south) / 4, lon: (east - west) / 4 };
    groundIn({ south: south - room.lat, north: north + room.lat, west: west - room.lon, east: east + room.lon }).then(
      (found) => setTowns(found.towns.slice(0, 5)),
      () => {}, // the drawing stands without names
    );
  }, [south, north, west, east]);
  if (!newest) return null;
  const shrink = Math.cos((((south + north) / 2) * Math.PI) / 180);
  const scale = Math.min((wide - 2 * edge) / ((east - west) * shrink), (high - 2 * edge) / (north - south));
  const x = (/** @type {number} */ lon) => wide / 2 + (lon - (west + east) / 2) * shrink * scale;
  const y = (/** @type {number} */ lat) => high / 2 - (lat - (south + north) / 2) * scale;
  const within = (/** @type {{ lat_deg: number, lon_deg: number }} */ p) =>
    x(p.lon_deg) > 4 && x(p.lon_deg) < wide - 60 && y(p.lat_deg) > 14 && y(p.lat_deg) < high - 26;
  /** @param {Flown} c */
  const outline = (c) =>
    ringsOf(c)
      .map((ring) => `${ring.map(([lon, lat], i) => `${i ? "L" : "M"}${x(lon)} ${y(lat)}`).join("")}Z`)
      .join("");
  const trail = trend.cycles
    .map((c, i) => `${i ? "L" : "M"}${x(c.landing.median.lon_deg)} ${y(c.landing.median.lat_deg)}`)
    .join("");
  const mile = 1609.344;
  const lengths =
    units.value === "us" ? [1, 2, 5, 10, 20, 50].map((n) => n * mile) : [1, 2, 5, 10, 20, 50, 100].map((n) => n * 1000);
  const pixels = scale / metresPerDegree;
  const bar = lengths.findLast((l) => l * pixels < 130) ?? lengths[0] ?? 1000;
  const away =
    launch.lat_deg !== undefined &&
    launch.lon_deg !== undefined &&
    !within({ lat_deg: launch.lat_deg, lon_deg: launch.lon_deg });
  return html`<svg class="plane" viewBox=${`0 0 ${wide} ${high}`} role="img" aria-label=${`The middle half of the landings of each cycle. ${words}`}>
    <rect class="sheet" width=${wide} height=${high} />
    ${towns.filter(within).map((t) => html`<g key=${t.name + t.lat_deg} class="town"><path d=${`M${x(t.lon_deg) - 3} ${y(t.lat_deg)}h6m-3 -3v6`} /><text x=${x(t.lon_deg) + 6} y=${y(t.lat_deg) - 4}>${t.name}</text></g>`)}
    ${[...trend.cycles].reverse().map((c) => html`<path key=${c.cycle} class=${c === newest ? "region newest" : "region"} d=${outline(c)} />`)}
    <path class="trail" d=${trail} />
    ${trend.cycles.map((c, i) => html`<g key=${c.cycle} class="stop"><circle cx=${x(c.landing.median.lon_deg)} cy=${y(c.landing.median.lat_deg)} r=${i ? 3 : 4.5} /><text x=${x(c.landing.median.lon_deg) + 8} y=${y(c.landing.median.lat_deg) + (i % 2 ? -6 : 14)}>${ageOf(c.age_s)} old</text></g>`)}
    ${!away && launch.lon_deg !== undefined && launch.lat_deg !== undefined && html`<path class="pennant" d=${`M${x(launch.lon_deg)} ${y(launch.lat_deg)}v-20l13 5l-13 5`} />`}
    <g class="key"><path d=${`M12 ${high - 12}h${bar * pixels}m0 -4v8m${-bar * pixels} 0v-8`} /><text x=${12 + bar * pixels + 8} y=${high - 8}>${say(bar, "distance", units.value)}</text><text x=${wide - 10} y=${high - 8} text-anchor="end">north is up</text></g>
  </svg>`;
}
