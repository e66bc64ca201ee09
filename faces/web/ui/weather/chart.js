// The map of the chosen hour: its region alone, and the launch.
import { html } from "htm/preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { attribution } from "../map/archive.js";
import { fail } from "../notices.js";
import { plainMap } from "../odds/bare.js";
import { theme } from "../settings.js";
import { paintRegion } from "./paint.js";

/** @typedef {import("../odds/chart.js").Under} Under */
/** @typedef {import("./types.js").ShownHour} ShownHour */

/** The box around a region and the launch. @param {ShownHour} shown */
function boxOf(shown) {
  const points = shown.landing.regions.at(-1)?.geometry.coordinates.flat(2) ?? [];
  const lons = [...points.map((p) => p[0]), shown.lon_deg];
  const lats = [...points.map((p) => p[1]), shown.lat_deg];
  return { west: Math.min(...lons), south: Math.min(...lats), east: Math.max(...lons), north: Math.max(...lats) };
}

/** @param {{ site: import("./types.js").Site, shown: ShownHour | null, words: string }} props */
export function RegionMap({ site, shown, words }) {
  const box = useRef(/** @type {HTMLDivElement | null} */ (null));
  const bare = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const over = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const [under, setUnder] = useState(/** @type {Under | null} */ (null));
  const [isPlain, setIsPlain] = useState(false);
  const [whose, setWhose] = useState("");
  const draw = useRef(() => {});
  const first = { lat: site.lat_deg, lon: site.lon_deg, zoom: 7 };
  const moved = () => draw.current();

  // A map is made once for its box.
  useEffect(() => {
    /** @type {Under | null} */
    let made = null;
    let gone = false;
    attribution().then(setWhose, fail);
    import("../odds/full.js")
      .then(({ fullMap }) => {
        if (gone || !box.current) return;
        made = fullMap(box.current, first, "Map of the chosen hour", moved);
        if (made) setUnder(made);
        else setIsPlain(true);
      })
      .catch(fail);
    return () => {
      gone = true;
      made?.remove();
    };
  }, []);
  useEffect(() => {
    if (!isPlain || !bare.current) return;
    const made = plainMap(bare.current, first, moved);
    setUnder(made);
    return () => made.remove();
  }, [isPlain]);
  useEffect(() => under?.restyle(), [under, theme.value]);
  useEffect(() => {
    if (under && shown) under.fit(boxOf(shown), 48);
  }, [under, shown]);
  useEffect(() => {
    let waiting = 0;
    const now = () => {
      waiting = 0;
      if (under && over.current) paintRegion(over.current, under, site, shown);
    };
    draw.current = () => {
      if (!waiting) waiting = requestAnimationFrame(now);
    };
    draw.current();
    return () => cancelAnimationFrame(waiting);
  }, [under, shown, site, theme.value]);
  return html`<figure class="chart" aria-label="Where the chosen hour comes down">
    <div class="base" ref=${box}></div>
    ${isPlain && html`<canvas class="plain" ref=${bare} role="img" aria-label=${words}></canvas>`}
    <canvas class="over" ref=${over} aria-hidden="true" data-hour=${shown?.time ?? ""}></canvas>
    <figcaption class="small"><span class="unseen">${words} </span>${isPlain && "This browser cannot draw the full map, so a plain one stands here. "}Map data: ${whose}. Coarse: not every pond or road.</figcaption>
  </figure>`;
}
