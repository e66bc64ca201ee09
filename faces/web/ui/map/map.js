// A map on a screen. Where the browser cannot draw the full one, a plain one
// stands in its place.
import { html } from "htm/preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { fail } from "../notices.js";
import { theme } from "../settings.js";
import { attribution } from "./archive.js";

/** @typedef {import("maplibre-gl").Map} LibraryMap */
/** @typedef {{ lon: number, lat: number, zoom: number }} MapView */

/**
 * @param {{ label: string, view: MapView, onReady?: (map: LibraryMap) => void }} props
 *   onReady is called once the map can take layers, and again after a change of theme
 */
export function WorldMap({ label, view, onReady }) {
  const box = useRef(/** @type {HTMLDivElement | null} */ (null));
  const [plain, setPlain] = useState(false);
  const [whose, setWhose] = useState("");
  const map = useRef(/** @type {LibraryMap | null} */ (null));
  const restyle = useRef(/** @type {(() => void) | null} */ (null));

  // A map is made once for its box.
  useEffect(() => {
    let gone = false;
    attribution().then(setWhose, fail);
    import("./draw.js")
      .then(({ drawMap }) => {
        if (gone || !box.current) return;
        const drawn = drawMap(box.current, view, label, onReady);
        if (drawn) ({ map: map.current, restyle: restyle.current } = drawn);
        else setPlain(true);
      })
      .catch(fail);
    return () => {
      gone = true;
      map.current?.remove();
    };
  }, []);

  // The colours come with the theme.
  useEffect(() => restyle.current?.(), [theme.value]);

  return html`<div>
    <div class="map">
      ${plain ? html`<${PlainMap} label=${label} view=${view} />` : html`<div class="canvas" ref=${box}></div>`}
    </div>
    <p class="map-words soft small">
      ${plain && "This browser cannot draw the full map, so a plain one stands here. "}Map data: ${whose}.
      Coarse: coasts and lakes to some 500 m, and not every pond or road.
    </p>
  </div>`;
}

/** @param {{ label: string, view: MapView }} props */
function PlainMap({ label, view }) {
  const canvas = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  // The colours come with the theme.
  useEffect(() => {
    import("./plain.js").then(({ drawPlain }) => canvas.current && drawPlain(canvas.current, view)).catch(fail);
  }, [view.lon, view.lat, view.zoom, theme.value]);
  return html`<canvas class="plain" ref=${canvas} role="img" aria-label=${label}></canvas>`;
}
