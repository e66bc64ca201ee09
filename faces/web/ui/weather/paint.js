// Draws the region of one hour over a map, and the launch as a pennant.
import { inks } from "../odds/paint.js";

/** @typedef {import("../odds/chart.js").Under} Under */

/** @param {HTMLCanvasElement} canvas @param {Under} under @param {import("./types.js").Site} site @param {import("./types.js").ShownHour | null} shown */
export function paintRegion(canvas, under, site, shown) {
  const ratio = devicePixelRatio;
  const { clientWidth: width, clientHeight: height } = canvas;
  if (canvas.width !== Math.round(width * ratio) || canvas.height !== Math.round(height * ratio)) {
    Object.assign(canvas, { width: Math.round(width * ratio), height: Math.round(height * ratio) });
  }
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clearRect(0, 0, width, height);
  pen.lineJoin = "round";
  const t = inks();
  const regions = [...(shown?.landing.regions ?? [])].sort((a, b) => b.probability - a.probability);
  for (const [i, region] of regions.entries()) {
    pen.beginPath();
    for (const ring of region.geometry.coordinates.flat()) {
      for (const [j, [lon, lat]] of ring.entries()) {
        const [x, y] = under.project(lon, lat);
        if (j === 0) pen.moveTo(x, y);
        else pen.lineTo(x, y);
      }
      pen.closePath();
    }
    pen.globalAlpha = 0.45;
    pen.fillStyle = t.chance[i + 1] ?? "";
    pen.fill("evenodd");
    pen.globalAlpha = 1;
    pen.strokeStyle = t.chance[i + 3] ?? "";
    pen.lineWidth = (1 + i / 2) * t.thick;
    pen.stroke();
  }
  const [x, y] = under.project(site.lon_deg, site.lat_deg);
  for (const [colour, wide] of /** @type {[string, number][]} */ ([
    [t.paper, 6],
    [t.ink, 2 * t.thick],
  ])) {
    pen.strokeStyle = colour;
    pen.fillStyle = t.ink;
    pen.lineWidth = wide;
    pen.beginPath();
    pen.moveTo(x, y);
    pen.lineTo(x, y - 20);
    pen.lineTo(x + 13, y - 15);
    pen.lineTo(x, y - 10);
    pen.stroke();
  }
  pen.fill();
}
