// What matters of an hour, a row each: how long its bar is and its word.
import { duration, say } from "../quantity.js";
import { ageOf, shortChance, windLetters } from "./words.js";

/** @typedef {import("./types.js").Hour} Hour */
/** @typedef {import("./types.js").Near} Near */
/** @typedef {import("../settings.js").System} System */
/** @typedef {{ share: number, word: string }} Cell */
/**
 * @typedef {object} Row
 * @property {string} key
 * @property {string} label
 * @property {string} [limit] the limit that it is held against
 * @property {(hour: Hour) => number | null | undefined} value
 * @property {(value: number, hour: Hour, system: System) => string} word
 * @property {boolean} [chance] a share of the landings: its bar is full at one
 */

/** @param {string} id */
const chanceOf = (id) => (/** @type {Hour} */ hour) => hour.chances?.find((c) => c.id === id)?.probability;
/** @param {number} v @param {Hour} _ @param {System} system */
const wind = (v, _, system) => say(v, "wind", system);
/** @param {number} v */
const chance = (v) => shortChance(v);

/** @type {Row[]} */
export const rows = [
  { key: "wind", label: "Wind at launch", limit: "launch_wind", value: (h) => h.at_launch?.wind_mps, word: wind },
  { key: "gust", label: "Gust at launch", limit: "launch_gust", value: (h) => h.at_launch?.gust_mps, word: wind },
  { key: "down", label: "Wind at landing", limit: "landing_wind", value: (h) => h.at_landing?.wind_mps, word: wind },
  { key: "water", label: "In water", limit: "water", value: chanceOf("water"), word: chance, chance: true },
  { key: "town", label: "In a town", limit: "town", value: chanceOf("town"), word: chance, chance: true },
  { key: "field", label: "On an airfield", limit: "airfield", value: chanceOf("airfield"), word: chance, chance: true },
  { key: "border", label: "Over a border", limit: "border", value: chanceOf("border"), word: chance, chance: true },
  { key: "dark", label: "In the dark", value: chanceOf("dark"), word: chance, chance: true },
  {
    key: "light",
    label: "Daylight left",
    limit: "daylight",
    value: (h) => h.light?.daylight_left_s,
    word: (v) => (v <= 0 ? "none" : duration(Math.round(v / 600) * 600)),
  },
  {
    key: "way",
    label: "Way to drive, straight",
    limit: "drift",
    value: (h) => h.drift_m,
    word: (v, h, system) => `${say(v, "distance", system)} ${windLetters(h.bearing_deg ?? 0)}`,
  },
  { key: "cloud", label: "Cloud at launch", limit: "cloud", value: (h) => h.at_launch?.cloud_share, word: chance },
  {
    key: "age",
    label: "Age of the forecast",
    limit: "forecast_age",
    value: (h) => h.forecast_age_s,
    word: (v) => ageOf(v),
  },
];

/** The rows that any hour has something to say in. @param {Hour[]} hours */
export const rowsFor = (hours) =>
  rows.filter((row) => hours.some((h) => h.landing && typeof row.value(h) === "number"));

/** The value at which a row's bar is full. @param {Row} row @param {Hour[]} hours */
export function fullAt(row, hours) {
  if (row.chance) return 1;
  const values = hours.map((h) => row.value(h) ?? 0);
  const limits = hours.flatMap((h) => (h.checks ?? []).filter((c) => c.id === row.limit).map((c) => c.limit));
  return Math.max(...values, ...limits, Number.MIN_VALUE);
}

/** @param {Row} row @param {Hour} hour @param {number} full @param {System} system @returns {Cell & { beyond: string } | null} */
export function cellOf(row, hour, full, system) {
  const value = row.value(hour);
  if (typeof value !== "number") return null;
  const check = hour.checks?.find((c) => c.id === row.limit);
  return {
    share: Math.min(value / full, 1),
    word: row.word(value, hour, system),
    beyond: !check || check.within ? "" : check.at_least ? "short" : "over",
  };
}
