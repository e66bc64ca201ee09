// The base map in paper and ink, from the colours of the theme.

/** @typedef {import("maplibre-gl").StyleSpecification} Style */
/** @typedef {import("maplibre-gl").LineLayerSpecification} Layer */
/** @typedef {import("../settings.js").Theme} Theme */

const folder = "/ui/vendor/atkinson-hyperlegible/atkinson-hyperlegible-";

// Unlike a style sheet's, these addresses must be whole.
const fontFiles = [
  {
    url: new URL(`${folder}latin-400-normal.woff2`, location.href).href,
    "unicode-range": ["U+0000-00FF", "U+0131", "U+2000-206F"],
  },
  {
    url: new URL(`${folder}latin-ext-400-normal.woff2`, location.href).href,
    "unicode-range": ["U+0100-02FF", "U+1E00-1EFF"],
  },
];

/** Reads the theme's colours where the style sheets keep them. */
export function tokens() {
  const style = getComputedStyle(document.documentElement);
  /** @param {string} name */
  const value = (name) => style.getPropertyValue(`--${name}`).trim();
  return {
    land: value("map-land"),
    water: value("map-water"),
    line: value("map-line"),
    faint: value("map-faint"),
    text: value("map-text"),
    thick: Number.parseFloat(value("line")),
  };
}

/** @typedef {ReturnType<typeof tokens>} Tokens */

export const hatch = "water-lines";

/**
 * Horizontal ink lines, as engraved maps have for water: in sunlight, where no
 * greys can be told apart.
 * @param {Tokens} t
 */
export function hatchImage(t) {
  const side = 12;
  const canvas = Object.assign(document.createElement("canvas"), { width: side, height: side });
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  pen.fillStyle = t.water;
  pen.fillRect(0, 0, side, side);
  pen.fillStyle = t.line;
  pen.fillRect(0, 5, side, 1);
  return pen.getImageData(0, 0, side, side);
}

/** @param {string} tiles address of the archive @param {Theme} theme @param {Tokens} t @returns {Style} */
export function paperAndInk(tiles, theme, t) {
  const lined = theme === "sunlight";
  /** @param {string} layer @param {string} colour @param {number} width @param {number[]} [dash] @returns {Layer} */
  const line = (layer, colour, width, dash) => ({
    id: layer,
    type: "line",
    source: "world",
    "source-layer": layer,
    paint: { "line-color": colour, "line-width": width * t.thick, ...(dash ? { "line-dasharray": dash } : {}) },
  });
  return {
    version: 8,
    "font-faces": /** @type {any} */ ({ "Atkinson Regular": fontFiles }),
    sources: { world: { type: "vector", url: `pmtiles://${tiles}` } },
    layers: [
      {
        id: "sea",
        type: "background",
        paint: lined ? { "background-pattern": hatch } : { "background-color": t.water },
      },
      { id: "land", type: "fill", source: "world", "source-layer": "land", paint: { "fill-color": t.land } },
      { ...line("county", t.faint, lined ? 0.25 : 0.75), minzoom: 6.5 },
      line("river", lined ? t.line : t.water, lined ? 0.5 : 1.25),
      {
        id: "lake",
        type: "fill",
        source: "world",
        "source-layer": "lake",
        paint: lined ? { "fill-pattern": hatch } : { "fill-color": t.water },
      },
      { ...line("coast", t.line, 0.75), "source-layer": "land" },
      { ...line("shore", t.line, 0.5), "source-layer": "lake" },
      line("state", lined ? t.line : t.faint, lined ? 0.5 : 1, [4, 2]),
      line("border", t.line, 1, [6, 2, 1, 2]),
      {
        id: "place",
        type: "symbol",
        source: "world",
        "source-layer": "place",
        filter: [
          "any",
          [">=", ["zoom"], 7],
          [">=", ["get", "people"], ["step", ["zoom"], 3e6, 3, 1e6, 4, 3e5, 5, 1e5, 6, 3e4]],
        ],
        layout: {
          "text-field": ["get", "name"],
          "text-font": ["Atkinson Regular"],
          "text-size": ["interpolate", ["linear"], ["get", "people"], 1e3, 12, 1e6, 16],
          "text-max-width": 8,
          "symbol-sort-key": ["-", 0, ["get", "people"]],
        },
        paint: { "text-color": t.text, "text-halo-color": t.land, "text-halo-width": 1.5 },
      },
    ],
  };
}
