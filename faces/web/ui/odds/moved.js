// A launch place that is being tried: how far it is, and to keep it or not. And
// fields for its coordinates, for those who do not drag.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { say, typedDegrees } from "../quantity.js";
import { units } from "../settings.js";

/** @typedef {import("./types.js").Odds} Odds */
/** @typedef {import("./types.js").Place} Place */

const same = 1000; // metres within which a place keeps its name

/** @param {{ odds: Odds | null, name: string, settled: boolean, onKeep: (name: string) => void, onBack: () => void }} props */
export function Tried({ odds, name, settled, onKeep, onBack }) {
  const moved = odds?.moved;
  const near = moved?.beside ? `near ${moved.beside.town}` : "";
  const usual = moved && moved.distance_m > same ? near : name;
  const [typed, setTyped] = useState(/** @type {string | null} */ (null));
  return html`<form
    class="tried"
    onSubmit=${(/** @type {Event} */ e) => {
      e.preventDefault();
      onKeep((typed ?? usual).trim());
    }}
  >
    <p>
      ${
        moved
          ? html`<strong>Trying a launch ${say(moved.distance_m, "distance", units.value)} ${moved.wind} of ${name || "the saved one"}</strong>, ground at ${say(moved.elevation_m, "height", units.value)}.`
          : html`<strong>Trying another launch place.</strong>`
      }${" "}
      <span class="soft">The height is the forecast's coarse ground: check it on the spot. Nothing is saved yet.</span>
    </p>
    <label>Name of the place
      <input type="text" value=${typed ?? usual} onInput=${(/** @type {Event} */ e) => setTyped(/** @type {HTMLInputElement} */ (e.currentTarget).value)} />
    </label>
    <p class="row">
      <button type="submit" class="first" disabled=${!settled}>Save this launch</button>
      <button type="button" onClick=${onBack}>Put it back</button>
    </p>
  </form>`;
}

/** @param {{ place: Place, onTry: (to: Place) => void }} props */
export function TypedPlace({ place, onTry }) {
  const [lat, setLat] = useState("");
  const [lon, setLon] = useState("");
  const [fault, setFault] = useState("");
  useEffect(() => {
    setLat(typedDegrees(place.lat));
    setLon(typedDegrees(place.lon));
    setFault("");
  }, [place.lat, place.lon]);
  /** @param {Event} e */
  const submit = (e) => {
    e.preventDefault();
    const to = { lat: Number(lat), lon: Number(lon) };
    const right = lat.trim() !== "" && lon.trim() !== "" && Math.abs(to.lat) <= 90 && to.lon >= -180 && to.lon <= 360;
    setFault(
      right ? "" : "Latitude goes from −90 to 90 degrees, longitude from −180 to 360, such as 40.0961 and −99.2094.",
    );
    if (right) onTry(to);
  };
  return html`<details class="choose">
    <summary>Move the launch</summary>
    <form class="typed" onSubmit=${submit}>
      <p class="soft">Drag the pennant on the map, or type where.</p>
      <label>Latitude <input type="text" inputmode="text" value=${lat} onInput=${(/** @type {Event} */ e) => setLat(/** @type {HTMLInputElement} */ (e.currentTarget).value)} /></label>
      <label>Longitude <input type="text" inputmode="text" value=${lon} onInput=${(/** @type {Event} */ e) => setLon(/** @type {HTMLInputElement} */ (e.currentTarget).value)} /></label>
      ${fault && html`<p class="trouble" role="alert">${fault}</p>`}
      <button type="submit">Try this place</button>
    </form>
  </details>`;
}
