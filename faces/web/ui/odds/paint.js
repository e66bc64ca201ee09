// Draws the odds over a map: one hue for chance, ink for the central flight.

import { beside, length } from "./along.js";
import { paintAreas, paintNames } from "./paintground.js";
import { paintTicks } from "./ticks.js";

/** @typedef {import("./types.js").Odds} Odds */
/** @typedef {import("./types.js").Way} Way */
/** @typedef {import("./chart.js").Under} Under */
/** @typedef {CanvasRenderingContext2D} Pen */
/**
 * @typedef {object} Picture
 * @property {Odds | null} odds
 * @property {Way[]} ways of single flights
 * @property {HTMLCanvasElement | null} shade
 * @property {any} areas GeoJSON that the person drew
 * @property {import("./types.js").Ground} ground
 * @property {{ lat: number, lon: number } | null} mark where the central flight is at the chosen moment
 * @property {import("../settings.js").System} system
 */

/** The theme's colours, as the style sheets have them. */
export function inks() {
  const style = getComputedStyle(document.documentElement);
  /** @param {string} name */
  const value = (name) => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: value("ink"),
    paper: value("map-land"),
    soft: value("ink-soft"),
    text: value("map-text"),
    chance: [1, 2, 3, 4, 5].map((n) => value(`chance-${n}`)),
    thick: Number.parseFloat(value("line")),
  };
}

/** @typedef {ReturnType<typeof inks>} Inks */

/** @param {Under} base @param {number} middle @returns {Under["project"]} */
const projectBeside = (base, middle) => (lon, lat) => base.project(beside(lon, middle), lat);

/** @param {HTMLCanvasElement} canvas @param {Under} base @param {Picture} picture */
export function paint(canvas, base, picture) {
  // Near the antimeridian all that is drawn is written on the launch's side of it.
  const middle = picture.odds?.odds.launch.lon_deg;
  const under = middle === undefined ? base : { ...base, project: projectBeside(base, middle) };
  const ratio = devicePixelRatio;
  const { clientWidth: width, clientHeight: height } = canvas;
  if (canvas.width !== Math.round(width * ratio) || canvas.height !== Math.round(height * ratio)) {
    Object.assign(canvas, { width: Math.round(width * ratio), height: Math.round(height * ratio) });
  }
  const pen = /** @type {Pen} */ (canvas.getContext("2d"));
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clearRect(0, 0, width, height);
  pen.lineJoin = "round";
  const t = inks();
  paintAreas(pen, under, picture.areas, t);
  if (under.kind === "plain") paintNames(pen, under, picture.ground, t);
  const { odds } = picture;
  if (!odds) return;
  paintShade(pen, under, odds, picture.shade);
  const [half, most] = odds.odds.landing.regions;
  if (most) region(pen, under, most.geometry, t.chance[1] ?? "", t.chance[3] ?? "", t.thick);
  if (half) region(pen, under, half.geometry, t.chance[2] ?? "", t.chance[4] ?? "", 1.5 * t.thick);
  pen.globalAlpha = 0.4;
  for (const way of picture.ways) line(pen, under, way, { colour: t.chance[3] ?? "", width: 0.75 * t.thick });
  pen.globalAlpha = 1;
  for (const [way, dash] of /** @type {[Way, number[]][]} */ ([
    [odds.up, []],
    [odds.down, [7, 5]],
  ])) {
    line(pen, under, way, { colour: t.paper, width: 4 * t.thick });
    line(pen, under, way, { colour: t.ink, width: 2 * t.thick, dash });
  }
  paintTicks(pen, under, odds, picture.system, t);
  if (most) edgeWords(pen, under, most.geometry, "9 in 10 land inside", t);
  if (half) edgeWords(pen, under, half.geometry, "half land inside", t);
  if (picture.mark) {
    const [x, y] = under.project(picture.mark.lon, picture.mark.lat);
    pen.beginPath();
    pen.arc(x, y, 6, 0, 2 * Math.PI);
    pen.fillStyle = t.paper;
    pen.strokeStyle = t.ink;
    pen.lineWidth = 3;
    pen.fill();
    pen.stroke();
  }
}

/** The density as a picture between its corners. @param {Pen} pen @param {Under} under @param {Odds} odds @param {HTMLCanvasElement | null} shade */
function paintShade(pen, under, odds, shade) {
  const corners = odds.shade?.corners;
  if (!shade || !corners) return;
  const [southWest, southEast, , northWest] = corners.map(([lon, lat]) => under.project(lon, lat));
  if (!southWest || !southEast || !northWest) return;
  pen.save();
  pen.imageSmoothingEnabled = true;
  // The picture's rows run south: from the north-west corner, columns go east.
  const [ax, ay] = northWest;
  const { width, height } = shade;
  pen.transform(
    (southEast[0] - southWest[0]) / width,
    (southEast[1] - southWest[1]) / width,
    (southWest[0] - ax) / height,
    (southWest[1] - ay) / height,
    ax,
    ay,
  );
  pen.drawImage(shade, 0, 0);
  pen.restore();
}

/** @param {Pen} pen @param {Under} under @param {import("./types.js").Shape} shape @param {string} fill @param {string} stroke @param {number} width */
function region(pen, under, shape, fill, stroke, width) {
  pen.beginPath();
  for (const ring of shape.coordinates.flat()) {
    for (const [i, [lon, lat]] of ring.entries()) {
      const [x, y] = under.project(lon, lat);
      if (i === 0) pen.moveTo(x, y);
      else pen.lineTo(x, y);
    }
    pen.closePath();
  }
  pen.globalAlpha = 0.34;
  pen.fillStyle = fill;
  pen.fill("evenodd");
  pen.globalAlpha = 1;
  pen.setLineDash([]);
  pen.strokeStyle = stroke;
  pen.lineWidth = width;
  pen.stroke();
}

/**
 * Says at the southern edge of a region what it holds.
 * @param {Pen} pen @param {Under} under @param {import("./types.js").Shape} shape @param {string} text @param {Inks} t
 */
function edgeWords(pen, under, shape, text, t) {
  const ring = shape.coordinates.map((p) => p[0] ?? []).sort((a, b) => b.length - a.length)[0] ?? [];
  const south = ring.reduce((a, b) => (b[1] < a[1] ? b : a), ring[0] ?? [0, 0]);
  const [x, y] = under.project(south[0], south[1]);
  pen.font = '700 12px "Atkinson Hyperlegible", sans-serif';
  const across = ring.map((p) => under.project(p[0], p[1])[0]);
  if (Math.max(...across) - Math.min(...across) < pen.measureText(text).width) return; // no room: the sheet says it
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.strokeStyle = t.paper;
  pen.lineWidth = 4;
  pen.strokeText(text, x, y);
  pen.fillStyle = t.chance[4] ?? "";
  pen.fillText(text, x, y);
}

/** @param {Pen} pen @param {Under} under @param {Way} way @param {{ colour: string, width: number, dash?: number[] }} how */
function line(pen, under, way, { colour, width, dash = [] }) {
  pen.beginPath();
  for (let i = 0; i < length(way); i++) {
    const [x, y] = under.project(way.lon_deg[i] ?? 0, way.lat_deg[i] ?? 0);
    if (i === 0) pen.moveTo(x, y);
    else pen.lineTo(x, y);
  }
  pen.setLineDash(dash);
  pen.strokeStyle = colour;
  pen.lineWidth = width;
  pen.stroke();
  pen.setLineDash([]);
}
