// Where a flight is at a moment, and what lies along its ways.

/** @typedef {import("./types.js").Way} Way */
/** @typedef {import("./types.js").Odds} Odds */
/** @typedef {{ lat: number, lon: number, alt: number, after: number }} Point */

/** @param {Way} way @param {number} i @returns {Point} */
export const pointOf = (way, i) => ({
  lat: way.lat_deg[i] ?? 0,
  lon: way.lon_deg[i] ?? 0,
  alt: way.alt_m[i] ?? 0,
  after: way.after_s[i] ?? 0,
});

/** @param {Way} way */
export const length = (way) => way.after_s.length;

/** A longitude written so that it lies within half the world of another. @param {number} lon @param {number} other */
export const beside = (lon, other) => lon + 360 * Math.round((other - lon) / 360);

/** @param {Point} a @param {Point} b @param {number} share @returns {Point} */
const between = (a, b, share) => ({
  lat: a.lat + (b.lat - a.lat) * share,
  lon: a.lon + (beside(b.lon, a.lon) - a.lon) * share,
  alt: a.alt + (b.alt - a.alt) * share,
  after: a.after + (b.after - a.after) * share,
});

/** When the central flight begins and ends, in seconds after the launch time. @param {Odds} odds */
export function span(odds) {
  return { begin: odds.up.after_s[0] ?? 0, burst: odds.up.after_s.at(-1) ?? 0, end: odds.down.after_s.at(-1) ?? 0 };
}

/** Where the central flight is at a moment. @param {Odds} odds @param {number} after */
export function at(odds, after) {
  const { begin, burst, end } = span(odds);
  const t = Math.min(Math.max(after, begin), end);
  const rising = t <= burst;
  const way = rising ? odds.up : odds.down;
  let i = way.after_s.findIndex((s) => s >= t);
  if (i < 0) i = length(way) - 1;
  const b = pointOf(way, i);
  const a = i > 0 ? pointOf(way, i - 1) : b;
  const place = b.after > a.after ? between(a, b, (t - a.after) / (b.after - a.after)) : b;
  return { ...place, rising };
}

/** Where a way goes through given heights. @param {Way} way @param {number[]} heights */
export function crossings(way, heights) {
  /** @type {(Point & { height: number, from: Point, to: Point })[]} */
  const found = [];
  for (const height of heights) {
    for (let i = 1; i < length(way); i++) {
      const [from, to] = [pointOf(way, i - 1), pointOf(way, i)];
      if (from.alt <= height === to.alt <= height) continue;
      found.push({ ...between(from, to, (height - from.alt) / (to.alt - from.alt)), height, from, to });
      break;
    }
  }
  return found;
}

/** The box around the regions, the ways and the launch. @param {Odds} odds */
export function boxOf(odds) {
  const wide = odds.odds.landing.regions.at(-1);
  const shapes = wide ? wide.geometry.coordinates.flat(2) : [];
  const all = [...shapes.map((p) => p[0]), ...odds.up.lon_deg, ...odds.down.lon_deg];
  const lons = all.map((lon) => beside(lon, odds.odds.launch.lon_deg));
  const lats = [...shapes.map((p) => p[1]), ...odds.up.lat_deg, ...odds.down.lat_deg];
  return { west: Math.min(...lons), south: Math.min(...lats), east: Math.max(...lons), north: Math.max(...lats) };
}
