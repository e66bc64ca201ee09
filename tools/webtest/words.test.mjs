// Numbers in words, and what differs between two written forms.
import assert from "node:assert/strict";
import { test } from "node:test";
import { ago, chance, count, duration, localTime, say, tMinus, utcTime } from "../../faces/web/ui/quantity.js";
import { changedKeys, diff, merge } from "../../faces/web/ui/words/diff.js";

/** @param {string} text */
const spaced = (text) => text.replaceAll("\u00a0", " ");

test("quantities in both systems", () => {
  /** @type {[number, string, string, string][]} worked out by hand from the units' definitions */
  const rows = [
    [3048, "height", "3,048 m", "10,000 ft"],
    [1609.344, "distance", "1.6 km", "1.0 mi"],
    [0.45359237, "mass", "454 g", "1.00 lb"],
    [5.08, "rise", "5.1 m/s", "1,000 ft/min"],
    [0.028316846592, "volume", "0.03 m³", "1 ft³"],
    [273.15, "temperature", "0 °C", "32 °F"],
    [233.15, "temperature", "−40 °C", "−40 °F"],
    [272.95, "temperature", "0 °C", "32 °F"],
  ];
  for (const [value, kind, metric, us] of rows) {
    assert.equal(spaced(say(value, kind, "metric")), metric);
    assert.equal(spaced(say(value, kind, "us")), us);
  }
  assert.equal(say(null, "height", "us"), "not known");
  assert.equal(spaced(count(1, "thing")), "1 thing");
});

test("chances in words", () => {
  assert.equal(chance(0.7), "likely, 7 in 10");
  assert.equal(chance(0.5), "about even, 5 in 10");
  assert.equal(chance(0.04), "unlikely, 4 in 100");
  assert.equal(chance(0.002), "very unlikely, 1 in 500");
  assert.equal(chance(1), "almost certain, over 99 in 100");
  assert.equal(chance(0), "almost never, under 1 in 2,000");
  assert.equal(chance(0.96), "very likely, 96 in 100");
});

test("times", () => {
  assert.equal(localTime("2027-04-17T08:00:00-05:00"), "Sat 17 Apr 2027, 08:00");
  assert.equal(utcTime("2027-04-17T20:30:00-05:00"), "01:30 UTC");
  assert.equal(localTime("2027-01-01T00:15:00+05:30"), "Fri 1 Jan 2027, 00:15");
  assert.equal(spaced(duration(0)), "0 s");
  assert.equal(spaced(duration(3600)), "1 h");
  assert.equal(spaced(duration(90061)), "1 d 1 h");
  const launch = "2027-04-17T13:00:00Z";
  assert.equal(spaced(tMinus(launch, Date.parse("2027-04-17T12:59:01Z"))), "T minus 59 s");
  assert.equal(spaced(tMinus(launch, Date.parse("2027-04-17T15:30:00Z"))), "T plus 2 h 30 min");
  assert.equal(spaced(ago("2027-04-17T10:00:00Z", Date.parse(launch))), "3 hours ago");
});

const base = 'name = "A"\n[envelope]\nmass = "1 g"\n# x\n[gas]\nkind = "helium"\npurity = "1 %"\n';

test("lines that differ", () => {
  assert.deepEqual(
    diff("a\nb\nc\n", "a\nx\nc\nd\n").map((l) => l.sign + l.text),
    [" a", "-b", "+x", " c", "+d"],
  );
  assert.equal(changedKeys(base, base.replace("1 g", "2 g").replace("1 %", "2 %")), "envelope mass, gas purity");
  assert.equal(changedKeys(base, base.replace("# x", "# y")), "comments");
});

test("two changes joined", () => {
  const mine = base.replace("1 g", "2 g");
  const theirs = base.replace("helium", "hydrogen");
  assert.equal(merge(base, mine, theirs), mine.replace("helium", "hydrogen"));
  assert.equal(merge(base, mine, base), mine);
  assert.equal(merge(base, mine, mine), mine);
  assert.equal(merge(base, mine, base.replace("1 g", "3 g")), null);
  assert.equal(merge(base, base.replace("# x\n", ""), theirs), theirs.replace("# x\n", ""));
});
