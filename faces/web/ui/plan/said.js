// How the Plan place says inputs of formulas, and what its drawings measure by.
import { duration, foot, noBreak, plain, say, sayGas } from "../quantity.js";

/** @typedef {import("../settings.js").System} System */

/** Which kind a unit of a reason is said as.
 * @type {Record<string, Parameters<typeof say>[1]>} */
const kindOfUnit = {
  kg: "mass",
  m: "length",
  "m/s": "speed",
  m3: "volume",
  J: "energy",
  Pa: "pressure",
  K: "temperature",
};

/**
 * Says an input of a formula: as people read it where there is a kind for its
 * unit, else with four figures in the unit that the formula takes.
 * @param {number} value @param {string} unit @param {System} system
 */
export function sayInput(value, unit, system) {
  if (unit === "s") return duration(value);
  if (unit === "ft3") return sayGas(value, system);
  const kind = kindOfUnit[unit];
  const long = unit === "m" && Math.abs(value) >= 100;
  if (kind) return say(value, long ? "height" : kind, system);
  const figures = value === 0 ? 0 : Math.max(0, 3 - Math.floor(Math.log10(Math.abs(value))));
  return plain(value, Math.min(figures, 6)) + (unit === "1" ? "" : noBreak + unit.replace("3", "³").replace(/2$/, "²"));
}

/** A round length for the scale beside a drawing. @param {System} system */
export const scaleBar = (system) =>
  system === "us" ? { metres: 15 * foot, words: `15${noBreak}ft` } : { metres: 5, words: `5${noBreak}m` };

/** Reads the numbers of a text such as "20 cm × 15 cm", in metres. @param {string} text @returns {number[]} */
export function readLengths(text) {
  /** @type {Record<string, number>} */
  const lengths = { mm: 1e-3, cm: 1e-2, m: 1, km: 1e3, in: 0.0254, ft: foot, yd: 3 * foot };
  return [...text.matchAll(/([\d.]+)\s*([a-z]+)/g)].map((m) => Number(m[1]) * (lengths[m[2] ?? ""] ?? 1));
}
