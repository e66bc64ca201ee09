// The areas that the person has drawn elsewhere, kept with the flight.
import { html } from "htm/preact";
import { useRef } from "preact/hooks";
import { fail, notice } from "../notices.js";
import { dropAreas, takeAreas } from "./ask.js";

/** @typedef {import("./types.js").Areas} Areas */

/** @param {{ id: string, areas: Areas, onAreas: (areas: Areas) => void }} props */
export function OwnAreas({ id, areas, onAreas }) {
  const input = useRef(/** @type {HTMLInputElement | null} */ (null));
  /** @param {Blob} bytes */
  const take = (bytes) => takeAreas(id, bytes).then(onAreas, fail);
  const forget = async () => {
    const before = new Blob([JSON.stringify(areas.geojson)]);
    try {
      onAreas(await dropAreas(id));
      notice("Your areas are forgotten.", { label: "Undo", run: () => take(before) });
    } catch (error) {
      fail(error);
    }
  };
  const some = areas.areas.length > 0;
  return html`<details class="choose">
    <summary>Your own areas <span class="soft">${some ? areas.areas.length : "none"}</span></summary>
    ${
      some
        ? html`<ul>${areas.areas.map((a) => html`<li><span>${a.kind}${a.name && html` <span class="soft">${a.name}</span>`}</span></li>`)}</ul>`
        : html`<p class="soft">A GeoJSON file of polygons, each with a kind: keep out, permission, airspace, forest, or a word of your own.</p>`
    }
    <p class="row">
      <button type="button" onClick=${() => input.current?.click()}>${some ? "Take other areas" : "Add areas"}</button>
      <input class="unseen" tabindex="-1" type="file" accept=".geojson,.json" ref=${input} aria-label="Areas as GeoJSON"
        onChange=${(/** @type {Event} */ e) => {
          const field = /** @type {HTMLInputElement} */ (e.currentTarget);
          const file = field.files?.[0];
          if (file) take(file);
          field.value = "";
        }} />
      ${some && html`<button type="button" class="quiet" onClick=${forget}>Forget them</button>`}
    </p>
  </details>`;
}
