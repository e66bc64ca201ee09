// The plain map under the odds, for browsers without WebGL, and where a place is
// on it: web Mercator, as in the full one.
import { drawPlain } from "../map/plain.js";
import { fail } from "../notices.js";

/** @typedef {import("./chart.js").Under} Under */

const side = 512; // of the world at zoom 0

/** @param {number} lat */
const northing = (lat) => 0.5 - Math.log(Math.tan(Math.PI / 4 + (lat * Math.PI) / 360)) / (2 * Math.PI);
/** @param {number} y */
const latitude = (y) => (Math.atan(Math.exp((0.5 - y) * 2 * Math.PI)) * 360) / Math.PI - 90;

/**
 * @param {HTMLCanvasElement} canvas @param {import("../map/map.js").MapView} first @param {() => void} moved
 * @returns {Under & { zoom: (by: number) => void, shift: (dx: number, dy: number) => void }}
 */
export function plainMap(canvas, first, moved) {
  let view = { ...first };
  let drawing = false;
  let again = false;
  // One drawing at a time; the last view wins.
  function draw() {
    moved();
    again = true;
    if (drawing) return;
    drawing = true;
    const next = () => {
      again = false;
      drawPlain(canvas, view)
        .then(() => (again ? next() : undefined))
        .catch(fail)
        .finally(() => {
          drawing = again;
          canvas.dataset.drawn = "yes";
        });
    };
    next();
  }
  const scale = () => side * 2 ** view.zoom;
  const size = () => ({ width: canvas.clientWidth, height: canvas.clientHeight });
  /** @param {Partial<typeof view>} to */
  const go = (to) => {
    view = { ...view, ...to };
    view.zoom = Math.min(Math.max(view.zoom, 2), 11);
    draw();
  };
  const watch = new ResizeObserver(draw);
  watch.observe(canvas);
  /** @type {Under["project"]} */
  const project = (lon, lat) => {
    const { width, height } = size();
    return [
      width / 2 + ((lon - view.lon) / 360) * scale(),
      height / 2 + (northing(lat) - northing(view.lat)) * scale(),
    ];
  };
  /** @type {Under["unproject"]} */
  const unproject = (x, y) => {
    const { width, height } = size();
    return {
      lon: view.lon + ((x - width / 2) / scale()) * 360,
      lat: latitude(northing(view.lat) + (y - height / 2) / scale()),
    };
  };
  return {
    kind: "plain",
    project,
    unproject,
    fit: ({ west, south, east, north }, padding) => {
      const { width, height } = size();
      const wide = Math.max(width - 2 * padding, 50) / Math.max((east - west) / 360, 1e-6);
      const tall = Math.max(height - 2 * padding, 50) / Math.max(northing(south) - northing(north), 1e-6);
      go({
        lon: (west + east) / 2,
        lat: latitude((northing(south) + northing(north)) / 2),
        zoom: Math.min(Math.log2(Math.min(wide, tall) / side), 10),
      });
    },
    zoom: (by) => go({ zoom: view.zoom + by }),
    shift: (dx, dy) => {
      const { width, height } = size();
      go(unproject(width / 2 + dx, height / 2 + dy));
    },
    names: () => {}, // written over it, with the odds
    restyle: draw,
    remove: () => watch.disconnect(),
  };
}
