// A plain map drawn on a canvas, for browsers without WebGL: coasts, lakes,
// rivers, borders and the larger towns.
import { world } from "./archive.js";
import { tokens } from "./style.js";
import { readLayers } from "./tile.js";

const maxZoom = 6;
const tileSide = 512;

/** @param {HTMLCanvasElement} canvas @param {import("./map.js").MapView} view */
export async function drawPlain(canvas, view) {
  const ratio = devicePixelRatio;
  const { clientWidth: width, clientHeight: height } = canvas;
  Object.assign(canvas, { width: width * ratio, height: height * ratio });
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  const t = tokens();
  const zoom = Math.min(maxZoom, Math.max(0, Math.floor(view.zoom)));
  const size = tileSide * 2 ** (view.zoom - zoom); // of a tile on the screen
  const across = 2 ** zoom;
  // The middle of the view in tiles, by web Mercator.
  const latitude = (view.lat * Math.PI) / 180;
  const x = (view.lon / 360 + 0.5) * across;
  const y = (0.5 - Math.log(Math.tan(Math.PI / 4 + latitude / 2)) / (2 * Math.PI)) * across;

  /** @type {Promise<{ left: number, top: number, layers: Awaited<ReturnType<typeof readTile>> }>[]} */
  const reading = [];
  for (let column = Math.floor(x - width / size / 2); column <= x + width / size / 2; column++) {
    for (
      let row = Math.max(0, Math.floor(y - height / size / 2));
      row <= Math.min(across - 1, y + height / size / 2);
      row++
    ) {
      const left = width / 2 + (column - x) * size;
      const top = height / 2 + (row - y) * size;
      reading.push(
        readTile(zoom, ((column % across) + across) % across, row).then((layers) => ({ left, top, layers })),
      );
    }
  }
  const tiles = await Promise.all(reading);
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.fillStyle = t.water;
  pen.fillRect(0, 0, width, height);
  for (const { left, top, layers } of tiles) {
    pen.save();
    pen.beginPath();
    pen.rect(left, top, size + 0.5, size + 0.5);
    pen.clip();
    /** @param {string} name @param {{ fill?: string, line?: string, width?: number, dash?: number[] }} how */
    const draw = (name, how) => {
      for (const feature of layers.get(name) ?? []) {
        pen.beginPath();
        for (const path of feature.paths) {
          for (let i = 0; i + 1 < path.length; i += 2) {
            const [px, py] = [left + (path[i] ?? 0) * size, top + (path[i + 1] ?? 0) * size];
            if (i === 0) pen.moveTo(px, py);
            else pen.lineTo(px, py);
          }
          if (how.fill) pen.closePath();
        }
        stroke(how);
      }
    };
    /** @param {{ fill?: string, line?: string, width?: number, dash?: number[] }} how */
    const stroke = ({ fill, line, width: wide, dash }) => {
      if (fill) {
        pen.fillStyle = fill;
        pen.fill("evenodd");
      }
      if (line) {
        pen.strokeStyle = line;
        pen.lineWidth = (wide ?? 1) * t.thick;
        pen.setLineDash(dash ?? []);
        pen.stroke();
      }
    };
    draw("land", { fill: t.land, line: t.line, width: 0.75 });
    draw("river", { line: t.faint });
    draw("lake", { fill: t.water, line: t.line, width: 0.5 });
    draw("state", { line: t.faint, dash: [4, 2] });
    draw("border", { line: t.line, dash: [6, 2, 1, 2] });
    pen.restore();
  }
  drawNames(pen, tiles, size, t, view.zoom);
}

/** @param {number} zoom @param {number} column @param {number} row */
async function readTile(zoom, column, row) {
  const tile = await world.getZxy(zoom, column, row);
  return tile ? readLayers(tile.data) : new Map();
}

/**
 * Writes the names of the larger towns, the largest first, where there is room.
 * @param {CanvasRenderingContext2D} pen
 * @param {{ left: number, top: number, layers: Map<string, import("./tile.js").Feature[]> }[]} tiles
 * @param {number} size
 * @param {import("./style.js").Tokens} t
 * @param {number} zoom
 */
function drawNames(pen, tiles, size, t, zoom) {
  const least = zoom < 4 ? 1e6 : zoom < 6 ? 2e5 : 3e4;
  const towns = tiles
    .flatMap(({ left, top, layers }) =>
      (layers.get("place") ?? []).map((f) => ({
        ...f,
        x: left + (f.paths[0]?.[0] ?? 0) * size,
        y: top + (f.paths[0]?.[1] ?? 0) * size,
      })),
    )
    .filter((f) => f.people >= least)
    .sort((a, b) => b.people - a.people);
  pen.font = '13px "Atkinson Hyperlegible", sans-serif';
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  /** @type {{ x: number, y: number, half: number }[]} */
  const taken = [];
  for (const town of towns) {
    const half = pen.measureText(town.name).width / 2 + 4;
    if (taken.some((o) => Math.abs(o.x - town.x) < o.half + half && Math.abs(o.y - town.y) < 18)) continue;
    taken.push({ x: town.x, y: town.y, half });
    pen.lineWidth = 3;
    pen.setLineDash([]);
    pen.strokeStyle = t.land;
    pen.strokeText(town.name, town.x, town.y);
    pen.fillStyle = t.text;
    pen.fillText(town.name, town.x, town.y);
  }
}
