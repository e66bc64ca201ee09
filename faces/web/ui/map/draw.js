// The full map, drawn by the map library on the graphics card.
import { addProtocol, Map as LibraryMap, NavigationControl } from "maplibre-gl";
import { theme } from "../settings.js";
import { readTile, worldAddress } from "./archive.js";
import { hatch, hatchImage, paperAndInk, tokens } from "./style.js";

addProtocol("pmtiles", readTile);

const styleSheet = "/ui/vendor/maplibre-gl/maplibre-gl.css";

function addStyleSheet() {
  if (document.querySelector(`link[href="${styleSheet}"]`)) return;
  document.head.append(Object.assign(document.createElement("link"), { rel: "stylesheet", href: styleSheet }));
}

/**
 * @param {HTMLElement} box
 * @param {import("./map.js").MapView} view
 * @param {string} label
 * @param {((map: LibraryMap) => void) | undefined} onReady
 * @returns {{ map: LibraryMap, restyle: () => void } | null} null where there is no WebGL
 */
export function drawMap(box, view, label, onReady) {
  addStyleSheet();
  const style = () => paperAndInk(worldAddress, theme.value, tokens());
  /** @type {LibraryMap} */
  let map;
  try {
    map = new LibraryMap({
      container: box,
      style: style(),
      center: [view.lon, view.lat],
      zoom: view.zoom,
      maxZoom: 11,
      attributionControl: false, // the words under the map say it
      dragRotate: false,
      pitchWithRotate: false,
      locale: { "Map.Title": label },
      fadeDuration: matchMedia("(prefers-reduced-motion: reduce)").matches ? 0 : 150,
    });
  } catch {
    return null;
  }
  map.touchZoomRotate.disableRotation();
  map.addControl(new NavigationControl({ showCompass: false }), "top-right");
  map.setMissingStyleImageResolver((id) => {
    if (id === hatch) map.addImage(hatch, hatchImage(tokens()), { pixelRatio: 2 });
  });
  map.on("style.load", () => onReady?.(map));
  return { map, restyle: () => map.setStyle(style(), { diff: false }) };
}
