// Where a flight is at a moment, and what lies along it: worked out by hand.
import assert from "node:assert/strict";
import { test } from "node:test";
import { at, beside, boxOf, crossings } from "../../faces/web/ui/odds/along.js";

const up = { lat_deg: [10, 12], lon_deg: [179, -179], alt_m: [0, 10_000], after_s: [0, 1000] };
const down = { lat_deg: [12, 13], lon_deg: [-179, -178], alt_m: [10_000, 0], after_s: [1000, 1500] };
const region = {
  probability: 0.9,
  area_km2: 1,
  geometry: {
    type: "MultiPolygon",
    coordinates: [
      [
        [
          [-178, 12.5],
          [-177, 13],
          [-178, 14],
          [-178, 12.5],
        ],
      ],
    ],
  },
};
const odds = /** @type {any} */ ({ up, down, odds: { launch: { lon_deg: 179 }, landing: { regions: [region] } } });

test("a place between two rows, over the antimeridian too", () => {
  assert.deepEqual(at(odds, 250), { lat: 10.5, lon: 179.5, alt: 2500, after: 250, rising: true });
  assert.deepEqual(at(odds, 1250), { lat: 12.5, lon: -178.5, alt: 5000, after: 1250, rising: false });
  assert.equal(at(odds, -50).after, 0);
  assert.equal(at(odds, 9999).alt, 0);
});

test("heights crossed on both ways", () => {
  const [rising] = crossings(up, [5000]);
  assert.equal(rising?.lat, 11);
  assert.equal(rising?.lon, 180);
  const falling = crossings(down, [2500, 7500, 20_000]);
  assert.deepEqual(
    falling.map((c) => c.after),
    [1375, 1125],
  );
});

test("a longitude beside another, and the box of all", () => {
  assert.equal(beside(-179, 179), 181);
  assert.equal(beside(179, -179), -181);
  assert.equal(beside(20, 10), 20);
  assert.deepEqual(boxOf(odds), { west: 179, south: 10, east: 183, north: 14 });
});
