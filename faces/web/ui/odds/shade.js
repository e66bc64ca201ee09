// The landing density as a small picture: the one hue, denser where landings are.
import { inks } from "./paint.js";

const strongest = 0.42; // of the hue, at the densest cell

/** @param {import("./types.js").Shade | undefined} shade */
export function shadeOf(shade) {
  if (!shade) return null;
  const { columns, rows, cells } = shade;
  const canvas = Object.assign(document.createElement("canvas"), { width: columns, height: rows });
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  pen.fillStyle = inks().chance[4] ?? "";
  pen.fillRect(0, 0, 1, 1);
  const [red = 0, green = 0, blue = 0] = pen.getImageData(0, 0, 1, 1).data;
  const image = pen.createImageData(columns, rows);
  for (const [i, value] of cells.entries()) {
    // Cells come from the south, rows of a picture from the top.
    const at = 4 * ((rows - 1 - Math.floor(i / columns)) * columns + (i % columns));
    image.data.set([red, green, blue, Math.round(value * strongest)], at);
  }
  pen.putImageData(image, 0, 0);
  return canvas;
}
