// What the weather says, in whole phrases and in words short enough for a cell.
import { clock, duration, plain, say } from "../quantity.js";

/** @typedef {import("./types.js").Hour} Hour */
/** @typedef {import("../settings.js").System} System */

const noBreak = "\u00a0";

/** A chance in the few words that a cell has room for. @param {number} share */
export function shortChance(share) {
  if (share === 0) return "none";
  if (share < 0.005) return "rare";
  if (share < 0.095) return `${plain(share * 100)}${noBreak}in${noBreak}100`;
  if (share < 0.95) return `${plain(share * 10)}${noBreak}in${noBreak}10`;
  return share === 1 ? "all" : "nearly all";
}

const winds = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
const letters = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];

/** @param {number} deg */
const eighth = (deg) => Math.round((((deg % 360) + 360) % 360) / 45) % 8;
/** @param {number} deg */
export const windName = (deg) => winds[eighth(deg)] ?? "";
/** @param {number} deg */
export const windLetters = (deg) => letters[eighth(deg)] ?? "";

const days = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];
const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** @param {number} n */
const two = (n) => String(n).padStart(2, "0");

/** The offset in minutes that a time is written with. @param {string} text RFC 3339 */
function offsetOf(text) {
  const found = /([+-])(\d\d):(\d\d)$/.exec(text);
  return found ? (found[1] === "-" ? -1 : 1) * (Number(found[2]) * 60 + Number(found[3])) : 0;
}

/** An instant written in the offset of the launch. @param {string} launch @param {string} instant both RFC 3339 */
export function inLaunchOffset(launch, instant) {
  const minutes = offsetOf(launch);
  const t = new Date(Date.parse(instant) + minutes * 60_000);
  const zone = `${minutes < 0 ? "-" : "+"}${two(Math.floor(Math.abs(minutes) / 60))}:${two(Math.abs(minutes) % 60)}`;
  return `${t.toISOString().slice(0, 19)}${zone}`;
}

/** "Sat 17 Apr", in the offset that the time is written with. @param {string} text */
export function dayWords(text) {
  const t = new Date(Date.parse(text) + offsetOf(text) * 60_000);
  return `${days[t.getUTCDay()]} ${t.getUTCDate()} ${months[t.getUTCMonth()]}`;
}

/** The clock of an instant at the launch. @param {string} launch @param {string} instant */
export const clockAt = (launch, instant) => clock(launch, (Date.parse(instant) - Date.parse(launch)) / 1000);

/** "Sat 17 Apr, 09:00" as clocks at the launch show it. @param {string} launch @param {string} instant */
export const whenWords = (launch, instant) =>
  `${dayWords(inLaunchOffset(launch, instant))}, ${clockAt(launch, instant)}`;

/** How old a cycle is at launch. @param {string} cycle @param {string} launch */
export function ageWords(cycle, launch) {
  const seconds = (Date.parse(launch) - Date.parse(cycle)) / 1000;
  if (seconds < 0) return "begins after the launch";
  return `${ageOf(seconds)} old at launch`;
}

/** An age in whole hours, or days from two on. @param {number} seconds */
export const ageOf = (seconds) => duration(Math.round(seconds / 3600) * 3600 || 60);

/** What a verdict means. @param {import("./types.js").Verdict} verdict */
export const verdictWords = (verdict) =>
  ({ go: "Go", wait: "Wait", no: "No" })[verdict] +
  {
    go: ", by what was looked at",
    wait: ", nothing known speaks against it, but the forecast is too old or missing",
    no: ", beyond a limit",
  }[verdict];

/** Where an hour comes down. @param {Hour} hour @param {string} launch @param {System} system */
export function landsWords(hour, launch, system) {
  const { landing } = hour;
  if (!landing || hour.drift_m === null || hour.bearing_deg === null) return "";
  return `Lands between ${clockAt(launch, landing.time.p10)} and ${clockAt(launch, landing.time.p90)}, ${say(hour.drift_m, "distance", system)} to the ${windName(hour.bearing_deg)}, one chance in two within ${say(landing.radius_50_m, "distance", system)}.`;
}
