// The map of the Odds place: a base map, full or plain, the odds drawn over it,
// and the launch, which can be dragged.
import { html } from "htm/preact";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { attribution } from "../map/archive.js";
import { fail } from "../notices.js";
import { theme, units } from "../settings.js";
import { at, boxOf } from "./along.js";
import { plainMap } from "./bare.js";
import { Launch } from "./launch.js";
import { paint } from "./paint.js";
import { shadeOf } from "./shade.js";

/** @typedef {import("./types.js").Odds} Odds */
/** @typedef {import("./types.js").Place} Place */
/** @typedef {{ west: number, south: number, east: number, north: number }} Box */
/**
 * A base map, whichever it is.
 * @typedef {object} Under
 * @property {"full" | "plain"} kind
 * @property {(lon: number, lat: number) => [number, number]} project to pixels
 * @property {(x: number, y: number) => Place} unproject
 * @property {(box: Box, padding: number) => void} fit
 * @property {(ground: import("./types.js").Ground) => void} names
 * @property {() => void} restyle
 * @property {() => void} remove
 */

/**
 * @param {{
 *   launch: Place, name: string, odds: Odds | null, settled: boolean, ways: import("./types.js").Way[], areas: any,
 *   ground: import("./types.js").Ground, moment: number | null, words: string,
 *   onDrag: (to: Place) => void, onDrop: (to: Place) => void,
 * }} props
 */
export function Chart(props) {
  const { launch, odds, settled, ways, areas, ground, moment, words } = props;
  const box = useRef(/** @type {HTMLDivElement | null} */ (null));
  const bare = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const over = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const [under, setUnder] = useState(/** @type {Under | null} */ (null));
  const [isPlain, setIsPlain] = useState(false);
  const [whose, setWhose] = useState("");
  const [, moved] = useState(0);
  const redraw = useRef(() => {});
  const first = { ...launch, zoom: 8 };
  const change = () => {
    redraw.current();
    moved((n) => n + 1);
  };

  // A map is made once for its box.
  useEffect(() => {
    /** @type {Under | null} */
    let made = null;
    let gone = false;
    attribution().then(setWhose, fail);
    import("./full.js")
      .then(({ fullMap }) => {
        if (gone || !box.current) return;
        made = fullMap(box.current, first, "Map of the odds", change);
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
    const made = plainMap(bare.current, first, change);
    setUnder(made);
    return () => made.remove();
  }, [isPlain]);

  // A map is drawn in the theme of its moment; a later theme restyles it.
  const themed = useRef(theme.value);
  useEffect(() => {
    if (themed.current !== theme.value) under?.restyle();
    themed.current = theme.value;
  }, [under, theme.value]);
  useEffect(() => under?.names(ground), [under, ground]);

  // The first odds are brought into view, and later ones that left it.
  const fitted = useRef(false);
  useEffect(() => {
    if (!under || !odds || !settled || !over.current) return;
    const b = boxOf(odds);
    const { clientWidth: width, clientHeight: height } = over.current;
    const [left, bottom] = under.project(b.west, b.south);
    const [right, top] = under.project(b.east, b.north);
    const within = left > 0 && right < width && top > 0 && bottom < height;
    if (fitted.current && within) return;
    fitted.current = true;
    under.fit(b, Math.min(width, height) < 420 ? 36 : 72);
  }, [under, odds, settled]);

  const shade = useMemo(() => shadeOf(odds?.shade), [odds, theme.value]);
  // Drawn at the next frame, from what then is the latest.
  const waiting = useRef(0);
  const latest = useRef(() => {});
  latest.current = () => {
    if (!under || !over.current) return;
    const mark = odds && moment !== null ? at(odds, moment) : null;
    paint(over.current, under, { odds, ways, shade, areas, ground, mark, system: units.value });
  };
  redraw.current = () => {
    if (waiting.current) return;
    waiting.current = requestAnimationFrame(() => {
      waiting.current = 0;
      latest.current();
    });
  };
  useEffect(() => redraw.current(), [under, odds, ways, shade, areas, ground, moment, units.value, theme.value]);
  useEffect(() => {
    document.fonts.ready.then(() => redraw.current());
    return () => cancelAnimationFrame(waiting.current);
  }, []);

  return html`<figure class="chart" aria-labelledby="chart-words">
    <div class="base" ref=${box}></div>
    ${isPlain && html`<canvas class="plain" ref=${bare} role="img" aria-label=${words}></canvas>`}
    <canvas class="over" ref=${over} aria-hidden="true"></canvas>
    ${under && html`<${Launch} under=${under} place=${launch} name=${props.name} onDrag=${props.onDrag} onDrop=${props.onDrop} />`}
    ${isPlain && under && html`<${PlainKeys} under=${under} />`}
    <figcaption id="chart-words" class="small">
      <span class="unseen">${words} </span>
      ${isPlain && "This browser cannot draw the full map, so a plain one stands here. "}Map data: ${whose}. Coarse: not every pond or road.
    </figcaption>
  </figure>`;
}

/** @param {{ under: any }} props */
function PlainKeys({ under }) {
  const step = 80;
  const rows = /** @type {[string, string, () => void][]} */ ([
    ["Nearer", "+", () => under.zoom(0.5)],
    ["Farther", "−", () => under.zoom(-0.5)],
    ["North", "N", () => under.shift(0, -step)],
    ["South", "S", () => under.shift(0, step)],
    ["West", "W", () => under.shift(-step, 0)],
    ["East", "E", () => under.shift(step, 0)],
  ]);
  return html`<div class="plain-keys">
    ${rows.map(([name, sign, act]) => html`<button type="button" aria-label=${name} onClick=${act}>${sign}</button>`)}
  </div>`;
}
