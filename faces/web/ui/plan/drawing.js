// The flight train to scale, from the envelope's two outlines to the lowest box.
import { html } from "htm/preact";
import { units } from "../settings.js";
import { scaleBar } from "./said.js";

/** @typedef {import("./list.js").Row} Row */
/** @typedef {{ path: string, kind: string, top: number, bottom: number, width: number }} Shape in metres below the neck */

const leastSolid = 7; // px: a part smaller than this could not be seen

/** Where each part hangs. @param {Row[]} train @returns {Shape[]} */
export function hang(train) {
  let at = 0;
  return train.map((r) => {
    // Without a length or size of their own, parts take the room that is usual.
    const usual = { line: 1, parachute: 0.9, reflector: 0.5, box: 0.25, other: 0.2 };
    const [wide = 0.22, , high = wide] = r.size;
    const length = r.kind === "box" ? high : r.length || usual[/** @type {keyof typeof usual} */ (r.kind)] || 0.2;
    const width = r.kind === "box" ? wide : r.kind === "reflector" ? 0.45 : r.kind === "parachute" ? 0.4 : 0.15;
    const shape = { path: r.path, kind: r.kind, top: at, bottom: at + length, width };
    at = shape.bottom;
    return shape;
  });
}

/**
 * @param {{ shapes: Shape[], release: number, burst: number, box: { width: number, height: number },
 *   rows: { path: string, y: number }[], edge: number, at: string, press: (path: string) => void }} props
 */
export function Drawing({ shapes, release, burst, box, rows, edge, at, press }) {
  const below = shapes.at(-1)?.bottom ?? 1;
  const scale = Math.min((box.width - 16) / Math.max(burst, 1), (box.height - 12) / (burst + below));
  const bar = scaleBar(units.value);
  const middle = box.width / 2;
  const neck = 6 + burst * scale;
  /** @param {number} metres */
  const y = (metres) => neck + metres * scale;
  /** @type {Record<string, number>} where each row's leader begins */
  const middles = { envelope: neck - burst * scale * 0.72, gas: neck - release * scale * 0.5 };
  for (const s of shapes) middles[s.path] = y((s.top + s.bottom) / 2);
  return html`<svg class="drawing" width="100%" height="100%" aria-hidden="true">
    ${rows.map(({ path, y: to }) => {
      if (at && path !== at) return null; // an open part stands apart: its own leader is enough
      const from = middles[path];
      if (from === undefined) return null;
      const x =
        path === "envelope"
          ? middle + burst * scale * 0.45
          : path === "gas"
            ? middle + release * scale * 0.5
            : middle + 9;
      return html`<path class=${`leader ${path === at ? "at" : ""}`} key=${path} d=${`M${x} ${from}L${box.width - 6} ${to}H${edge}`} />`;
    })}
    <circle class="burst" cx=${middle} cy=${neck - (burst * scale) / 2} r=${(burst * scale) / 2} onClick=${() => press("envelope")} />
    <circle class=${`release ${at === "gas" ? "at" : ""}`} cx=${middle} cy=${neck - (release * scale) / 2} r=${(release * scale) / 2} onClick=${() => press("gas")} />
    ${shapes.map((s) => html`<${One} key=${s.path} shape=${s} x=${middle} y=${y} scale=${scale} at=${s.path === at} press=${press} />`)}
    <g class="scale">
      <path d=${`M6 ${box.height - 4}v-6h${bar.metres * scale}v6`} />
      <text x=${10 + bar.metres * scale} y=${box.height - 4}>${bar.words}</text>
    </g>
  </svg>`;
}

/** @param {{ shape: Shape, x: number, y: (metres: number) => number, scale: number, at: boolean, press: (path: string) => void }} props */
function One({ shape, x, y, scale, at, press }) {
  const top = y(shape.top);
  const bottom = y(shape.bottom);
  const half = Math.max(shape.width * scale, leastSolid) / 2;
  const middle = (top + bottom) / 2;
  const tall = Math.max(bottom - top, leastSolid) / 2;
  const name = `shape ${shape.kind} ${at ? "at" : ""}`;
  const hit = html`<rect class="hit" x=${x - 14} y=${top - 3} width="28" height=${Math.max(bottom - top, 8) + 6} onClick=${() => press(shape.path)} />`;
  switch (shape.kind) {
    case "line":
      return html`<g class=${name}><path d=${`M${x} ${top}V${bottom}`} />${hit}</g>`;
    case "parachute": // hangs closed on the way up: a drawn-in cloth over its lines
      return html`<g class=${name}><path d=${`M${x} ${top}C${x - half * 2} ${middle},${x - half} ${middle},${x - half * 0.6} ${bottom - tall * 0.5}L${x} ${bottom}L${x + half * 0.6} ${bottom - tall * 0.5}C${x + half} ${middle},${x + half * 2} ${middle},${x} ${top}Z`} />${hit}</g>`;
    case "reflector":
      return html`<g class=${name}><path d=${`M${x - half} ${middle}H${x + half}M${x} ${middle - tall}V${middle + tall}M${x - half} ${middle - tall}L${x + half} ${middle + tall}M${x + half} ${middle - tall}L${x - half} ${middle + tall}`} />${hit}</g>`;
    case "box":
      return html`<g class=${name}><rect x=${x - half} y=${middle - tall} width=${half * 2} height=${tall * 2} />${hit}</g>`;
    default:
      return html`<g class=${name}><path d=${`M${x} ${top}V${bottom}M${x - half} ${middle}H${x + half}`} />${hit}</g>`;
  }
}
