// Towns and airfields near where a flight may come down.
import { useEffect, useState } from "preact/hooks";
import { fail } from "../notices.js";
import { boxOf } from "./along.js";
import { groundIn } from "./ask.js";

/** @typedef {import("./types.js").Ground} Ground */

/** @type {Ground} */
const none = { towns: [], airfields: [] };
const around = 0.15; // degrees beside the region
const widest = 19; // degrees: wider regions are named by the map alone

/** @param {import("./types.js").Odds | null} odds @returns {Ground} */
export function useGround(odds) {
  const [ground, setGround] = useState(none);
  useEffect(() => {
    if (!odds) return;
    const b = boxOf(odds);
    const box = { south: b.south - around, west: b.west - around, north: b.north + around, east: b.east + around };
    if (box.east - box.west > widest || box.north - box.south > widest || box.south < -90 || box.north > 90) return;
    let old = false;
    groundIn(box).then((found) => !old && setGround(found), fail);
    return () => {
      old = true;
    };
  }, [odds?.key]);
  return ground;
}
