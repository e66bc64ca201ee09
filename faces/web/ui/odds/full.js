// The full map under the odds: the map library, and where a place is on it.
import { drawMap } from "../map/draw.js";
import { tokens } from "../map/style.js";

/** @typedef {import("./chart.js").Under} Under */
/** @typedef {import("./types.js").Ground} Ground */

/**
 * @param {HTMLElement} box @param {import("../map/map.js").MapView} view @param {string} label
 * @param {() => void} moved @returns {Under | null} null where there is no WebGL
 */
export function fullMap(box, view, label, moved) {
  /** @type {Ground} */
  let ground = { towns: [], airfields: [] };
  const drawn = drawMap(box, view, label, () => name());
  if (!drawn) return null;
  const { map, restyle } = drawn;
  map.on("move", moved);
  map.on("resize", moved);
  map.once("idle", () => {
    box.dataset.drawn = "yes";
  });

  // Names stay in the map's own layers, where it keeps them apart from its others.
  function name() {
    const named = [
      ...ground.airfields.map((f) => ({ ...f, rank: f.kind === "small airport" ? 4 : 3 })),
      ...ground.towns.map((t) => ({ ...t, rank: t.people >= 5000 ? 1 : 2 })),
    ];
    const data = /** @type {Parameters<import("maplibre-gl").GeoJSONSource["setData"]>[0]} */ ({
      type: "FeatureCollection",
      features: named.map((n) => ({
        type: "Feature",
        geometry: { type: "Point", coordinates: [n.lon_deg, n.lat_deg] },
        properties: { name: n.name, rank: n.rank },
      })),
    });
    const source = map.getSource("named");
    if (source) {
      /** @type {import("maplibre-gl").GeoJSONSource} */ (source).setData(data);
      return;
    }
    const t = tokens();
    map.addSource("named", { type: "geojson", data });
    map.addLayer({
      id: "named",
      type: "symbol",
      source: "named",
      filter: [">=", ["zoom"], ["match", ["get", "rank"], 1, 5, 2, 7, 3, 7, 9.25]],
      layout: {
        "text-field": ["get", "name"],
        "text-font": ["Atkinson Regular"],
        "text-size": ["match", ["get", "rank"], 1, 14, 2, 13, 12],
        "text-max-width": 9,
        "symbol-sort-key": ["get", "rank"],
      },
      paint: { "text-color": t.text, "text-halo-color": t.land, "text-halo-width": 1.5 },
    });
  }

  return {
    kind: "full",
    project: (lon, lat) => {
      const p = map.project([lon, lat]);
      return [p.x, p.y];
    },
    unproject: (x, y) => {
      const p = map.unproject([x, y]);
      return { lat: p.lat, lon: p.lng };
    },
    fit: ({ west, south, east, north }, padding) =>
      map.fitBounds([west, south, east, north], { padding, maxZoom: 10, animate: false }),
    names: (found) => {
      ground = found;
      if (map.isStyleLoaded() || map.getSource("named")) name();
    },
    restyle,
    remove: () => map.remove(),
  };
}
