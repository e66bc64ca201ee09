// The verdict and its grounds, in whole phrases.

import { chance, clock, count, duration, localTime, plain, say, utcTime } from "../quantity.js";
import { at } from "./along.js";

/** @typedef {import("./types.js").Odds} Odds */
/** @typedef {import("../settings.js").System} System */

/** An instant of the answer as a clock in the launch's own offset. @param {string} launch @param {string} instant */
const local = (launch, instant) => clock(launch, (Date.parse(instant) - Date.parse(launch)) / 1000);

/** @param {import("./types.js").Beside | undefined} beside @param {number} lat @param {number} lon @param {System} system */
export function besideWords(beside, lat, lon, system) {
  if (!beside) return `${plain(lat, 3)}, ${plain(lon, 3)}`;
  const near = 1000; // closer than this the place is the town itself
  return beside.distance_m < near
    ? beside.town
    : `a spot ${say(beside.distance_m, "distance", system)} ${beside.wind} of ${beside.town}`;
}

/** @param {Odds} odds @param {string} launch RFC 3339 with its offset @param {System} system */
export function verdict(odds, launch, system) {
  const { landing } = odds.odds;
  const where = besideWords(odds.middle, landing.median.lat_deg, landing.median.lon_deg, system);
  return [
    `Lands between ${local(launch, landing.time.p10)} and ${local(launch, landing.time.p90)}.`,
    `One chance in two within ${say(landing.radius_50_m, "distance", system)} of ${where}.`,
  ];
}

/** @param {Odds} odds @param {System} system */
export function rest(odds, system) {
  const { landing, burst } = odds.odds;
  const between = `${say(burst.alt_m.p10, "height", system)} and ${say(burst.alt_m.p90, "height", system)}`;
  return [
    `Four flights in five land in that time (${utcTime(landing.time.p10)} to ${utcTime(landing.time.p90)}), after bursting between ${between}.`,
    `Nine in ten land within ${say(landing.radius_90_m, "distance", system)} of there, in the wider region on the map.`,
  ];
}

/** What may happen, with its kilometres in the person's own unit. @param {string} what @param {System} system */
export const chanceOf = (what, system) =>
  what.replace(/(\d+) km/, (_, km) => say(Number(km) * 1000, "distance", system).replace(/\.0(?=\D)/, ""));

/** @param {number} share @param {number} members */
export const chanceWords = (share, members) => (share === 0 ? `none of ${count(members, "flight")}` : chance(share));

/** Where the central flight is at a moment. @param {Odds} odds @param {string} launch @param {number} after @param {System} system */
export function momentWords(odds, launch, after, system) {
  const here = at(odds, after);
  const way = here.rising ? "on the way up" : "on the way down";
  return `${clock(launch, here.after)}, ${say(here.alt, "height", system)} up, ${way}`;
}

/** @param {Odds} odds @param {System} system */
export function weatherWords(odds, system) {
  const w = odds.odds.weather;
  const said = [];
  said.push(
    w.cycle
      ? `${odds.invented ? "The demo's invented forecast" : w.source}, cycle of ${localTime(w.cycle)} UTC, ${duration(w.age_s ?? 0)} old at launch.`
      : `${w.source}: one profile for all times and places.`,
  );
  if (w.levels_top_m !== null) said.push(`Its highest level lies at ${say(w.levels_top_m, "height", system)}.`);
  if (w.members > 1) said.push(`${count(w.members, "run")} of it are drawn from.`);
  const first = w.steps[0];
  const last = w.steps.at(-1);
  if (first && last && first !== last) said.push(`Steps from ${localTime(first)} to ${localTime(last)} UTC.`);
  return said;
}

/** @param {{ what: string, from: string, share: number }} held @param {System} system */
export function heldWords(held, system) {
  const metres = /^(\d+) m$/.exec(held.from);
  const from = metres ? say(Number(metres[1]), "height", system) : held.from;
  return `${held.what}, from ${from}: ${chance(held.share)} flights.`;
}

/** @param {number} bytes */
export const size = (bytes) => (bytes < 1e6 ? `${plain(bytes / 1e3)} kB` : `${plain(bytes / 1e6)} MB`);

/** @param {import("./types.js").Forecast} f */
export function coverWords(f) {
  if (f.table) return "one profile, for any time and place";
  const newest = f.cycles[0];
  if (!newest) return "";
  const more = f.cycles.length > 1 ? `, and ${count(f.cycles.length - 1, "older cycle")}` : "";
  return `cycle of ${localTime(newest.cycle)} UTC, ${count(newest.steps, "step")} to ${localTime(newest.to)} UTC${more}`;
}
