// The boxes along the flight: how warm the air in them is, how long the cells
// last and how much the cards hold. Asked for once typing rests, since it takes
// several times as long as all other answers.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { api } from "../api.js";
import { duration, say } from "../quantity.js";
import { units } from "../settings.js";

/** @typedef {import("./types.js").Brief} Brief */
/** @typedef {import("./types.js").BoxLane} BoxLane */
/** @typedef {(after: number) => number} Across */

const rests = 800; // ms without a change

/** @param {import("./state.js").PlanState} state @returns {{ brief: Brief | null, stale: boolean }} */
export function useBox(state) {
  const document = state.answers?.plan ? state.answers.document : "";
  const id = state.open.flight.id;
  const asked = `${units.value} ${document}`;
  const [found, setFound] = useState({ brief: /** @type {Brief | null} */ (null), of: "" });
  useEffect(() => {
    if (!document) return;
    let old = false;
    const timer = setTimeout(() => {
      api.answers(id, { document, units: units.value, box: true }).then(
        (next) => {
          if (!old) setFound({ brief: next.plan?.box ?? null, of: asked });
        },
        () => {}, // the answers beside it say what is wrong
      );
    }, rests);
    return () => {
      old = true;
      clearTimeout(timer);
    };
  }, [id, asked]);
  return { brief: found.brief, stale: found.of !== asked };
}

const warmth = 64; // px of a lane of temperature
const lane = 30;

/** How high the lanes of the boxes are. @param {Brief | null} brief */
export const boxesHigh = (brief) => (brief?.boxes ?? []).reduce((sum, b) => sum + high(b), 0);
/** @param {BoxLane} b */
const high = (b) =>
  (b.temperature ? warmth : 0) + lane * ((b.energy ?? []).length + (b.card_lasts_s === undefined ? 0 : 1));

/** @param {{ brief: Brief, x: Across, top: number, left: number, end: number, landing: number }} props */
export function BoxLanes({ brief, x, top, left, end, landing }) {
  let at = top;
  const many = (brief.boxes ?? []).length > 1;
  return (brief.boxes ?? []).map((b) => {
    const own = at;
    at += high(b);
    const below = own + (b.temperature ? warmth : 0);
    const energy = b.energy ?? [];
    return html`<g class="box" key=${b.name ?? own}>
      ${b.temperature && html`<${Warmth} rows=${b.temperature} name=${many ? (b.name ?? "Box") : "In the box"} x=${x} top=${own} left=${left} end=${end} />`}
      ${energy.map((e, i) => html`<${Lasts} key=${e.cells} name="Energy" title=${`${e.cells}, for ${e.feeds.join(", ")}`} band=${e.after_landing_s} from=${0} x=${x} top=${below + lane * i} left=${left} end=${end} landing=${landing} />`)}
      ${
        b.card_lasts_s !== undefined &&
        html`<${Card} lasts=${b.card_lasts_s} needed=${b.card_needed_s ?? 0} x=${x} top=${below + lane * energy.length} left=${left} end=${end} landing=${landing} />`
      }
    </g>`;
  });
}

/** @param {{ rows: NonNullable<BoxLane["temperature"]>, name: string, x: Across, top: number, left: number, end: number }} props */
function Warmth({ rows, name, x, top, left, end }) {
  const shown = rows.filter((r) => x(r.after_s) >= left && r.after_s <= end);
  const all = shown.flatMap((r) => [r.outside_k, r.inside_k.p10, r.inside_k.p90]);
  const [low, most] = [Math.min(...all), Math.max(...all)];
  /** @param {number} k */
  const y = (k) => top + warmth - 12 - ((k - low) / Math.max(1, most - low)) * (warmth - 22);
  /** @param {(r: typeof rows[number]) => number} of @param {typeof rows} list */
  const line = (of, list) => list.map((r, i) => `${i ? "L" : "M"}${x(r.after_s)} ${y(of(r))}`).join("");
  const coldest = [...shown].sort((a, b) => a.inside_k.p50 - b.inside_k.p50)[0];
  if (!coldest) return null;
  const bitter = shown.reduce((a, r) => (r.outside_k < a.outside_k ? r : a), coldest);
  const cloud = `${line((r) => r.inside_k.p90, shown)}${line((r) => r.inside_k.p10, [...shown].reverse()).replace("M", "L")}Z`;
  const words = say(coldest.inside_k.p50, "temperature", units.value);
  return html`<g class="warmth">
    <title>${name}: coldest ${words}, 8 in 10 between ${say(coldest.inside_k.p10, "temperature", units.value)} and ${say(coldest.inside_k.p90, "temperature", units.value)}; outside down to ${say(low, "temperature", units.value)}</title>
    <text x=${left - 6} y=${top + warmth / 2 + 4} text-anchor="end">${name}</text>
    <path class="band" d=${cloud} />
    <path class="outside" d=${line((r) => r.outside_k, shown)} />
    <path class="up" d=${line((r) => r.inside_k.p50, shown)} />
    <text class="soft" x=${x(bitter.after_s)} y=${y(bitter.outside_k) + 12} text-anchor="start">outside ${say(low, "temperature", units.value)}</text>
    <text x=${x(coldest.after_s)} y=${y(coldest.inside_k.p50) - 6} text-anchor="middle">${words}</text>
  </g>`;
}

/** @param {{ name: string, title: string, band?: import("./types.js").Band | null, from: number, x: Across, top: number, left: number, end: number, landing: number }} props */
function Lasts({ name, title, band, from, x, top, left, end, landing }) {
  const until = (/** @type {number} */ after) => x(Math.max(from, Math.min(end, landing + after)));
  const y = top + lane / 2;
  const words = band
    ? band.p10 < 0
      ? "may stop in the flight"
      : `${duration(Math.round(band.p10 / 60) * 60)} past the landing`
    : "not known";
  return html`<g class="lasts">
    <title>${title}: ${words}${band && band.p10 >= 0 ? " or longer, 9 in 10" : ""}</title>
    <text x=${left - 6} y=${y + 4} text-anchor="end">${name}</text>
    ${band && html`<path class="sure" d=${`M${x(from)} ${y}H${until(band.p10)}`} /><path class="doubt" d=${`M${until(band.p10)} ${y}H${until(band.p90)}`} />`}
    <text x=${left + 8} y=${y + 4}>${words}</text>
  </g>`;
}

/** @param {{ lasts: number, needed: number, x: Across, top: number, left: number, end: number, landing: number }} props */
function Card({ lasts, needed, x, top, left, end, landing }) {
  const begin = Math.max(landing - needed, -3600);
  const y = top + lane / 2;
  const words = `${lasts >= needed ? "" : "too small: "}room ${duration(Math.round(lasts / 60) * 60)}, needs ${duration(Math.round(needed / 60) * 60)}`;
  return html`<g class="lasts">
    <title>Card: ${words}</title>
    <text x=${left - 6} y=${y + 4} text-anchor="end">Card</text>
    <path class="sure" d=${`M${Math.max(left, x(begin))} ${y}H${x(Math.max(begin, Math.min(end, begin + lasts)))}`} />
    <text x=${left + 8} y=${y + 4}>${words}</text>
  </g>`;
}
