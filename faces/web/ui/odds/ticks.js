// Heights along the central flight: a tick across the way with a small figure,
// and a longer one where it bursts.
import { heightSteps, say, tickHeight } from "../quantity.js";
import { crossings, length, pointOf } from "./along.js";

/** @typedef {import("./paint.js").Pen} Pen */
/** @typedef {import("./paint.js").Inks} Inks */
/** @typedef {import("./chart.js").Under} Under */
/** @typedef {{ x: number, y: number, wide: number }} Figure */

const room = 22; // pixels between ticks
const tall = 16; // of a figure

/** @param {Pen} pen @param {Under} under @param {import("./types.js").Odds} odds @param {import("../settings.js").System} system @param {Inks} t */
export function paintTicks(pen, under, odds, system, t) {
  const last = length(odds.up) - 1;
  const burst = pointOf(odds.up, last);
  /** @type {[number, number][]} */
  const taken = [under.project(odds.up.lon_deg[0] ?? 0, odds.up.lat_deg[0] ?? 0)];
  /** @type {Figure[]} */
  const figures = [];
  /** @param {{ lat: number, lon: number }} from @param {{ lat: number, lon: number }} to @param {{ lat: number, lon: number }} at @param {string} text @param {boolean} bold */
  const tick = (from, to, at, text, bold) => {
    const [x, y] = under.project(at.lon, at.lat);
    if (taken.some(([a, b]) => Math.hypot(a - x, b - y) < room)) return;
    taken.push([x, y]);
    const [ax, ay] = under.project(from.lon, from.lat);
    const [bx, by] = under.project(to.lon, to.lat);
    const long = Math.hypot(bx - ax, by - ay) || 1;
    const across = { x: -(by - ay) / long, y: (bx - ax) / long };
    const half = bold ? 11 : 5;
    pen.beginPath();
    pen.moveTo(x - across.x * half, y - across.y * half);
    pen.lineTo(x + across.x * half, y + across.y * half);
    pen.strokeStyle = t.ink;
    pen.lineWidth = (bold ? 3 : 2) * t.thick;
    pen.stroke();
    figure(pen, text, { x, y }, across, half, bold, t, figures);
  };
  tick(
    pointOf(odds.up, Math.max(0, last - 3)),
    burst,
    burst,
    `bursts at ${say(odds.odds.nominal.burst.alt_m, "height", system)}`,
    true,
  );
  const steps = heightSteps(burst.alt, system).filter((h) => burst.alt - h > 1000);
  for (const way of [odds.up, odds.down]) {
    for (const c of crossings(way, steps)) tick(c.from, c.to, c, tickHeight(c.height, system), false);
  }
}

/**
 * Writes a figure beside its tick, on whichever side is free, or not at all.
 * @param {Pen} pen @param {string} text @param {{ x: number, y: number }} at @param {{ x: number, y: number }} across
 * @param {number} half @param {boolean} bold @param {Inks} t @param {Figure[]} figures
 */
function figure(pen, text, at, across, half, bold, t, figures) {
  pen.font = `${bold ? "700 14px" : "12px"} "Atkinson Hyperlegible", sans-serif`;
  pen.textBaseline = "middle";
  pen.textAlign = "center";
  const wide = pen.measureText(text).width;
  // First the side that looks up.
  const up = across.y > 0 ? -1 : 1;
  for (const side of [up, -up]) {
    const x = at.x + across.x * side * (half + 6 + wide / 2);
    const y = at.y + across.y * side * (half + 10);
    if (figures.some((f) => Math.abs(f.x - x) < (f.wide + wide) / 2 + 4 && Math.abs(f.y - y) < tall)) continue;
    figures.push({ x, y, wide });
    pen.strokeStyle = t.paper;
    pen.lineWidth = 4;
    pen.strokeText(text, x, y);
    pen.fillStyle = t.ink;
    pen.fillText(text, x, y);
    return;
  }
}
