// A line at the foot that takes a wish and offers flights.
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { api } from "../api.js";
import { fail } from "../notices.js";
import { sayChange, sayGasChange } from "../quantity.js";
import { units } from "../settings.js";

/** @typedef {import("../api.js").Offers} Offers */

/** @param {{ state: import("./state.js").PlanState }} props */
export function Wish({ state }) {
  const [wish, setWish] = useState("");
  const [offers, setOffers] = useState(/** @type {{ number: number, offers: Offers } | null} */ (null));
  const { flight, revision } = state.open;
  /** @param {string} asked */
  const ask = (asked) => {
    setWish(asked);
    api
      .wish(flight.id, { wish: asked, units: units.value })
      .then((found) => setOffers({ number: revision.number, offers: found }), fail);
  };
  const shown = offers?.number === revision.number ? offers.offers : null; // offers are for the flight as it stood
  return html`<section class="wish" aria-labelledby="wish-title">
    <form class="row" onSubmit=${(/** @type {Event} */ e) => {
      e.preventDefault();
      if (wish.trim()) ask(wish);
    }}>
      <h2 id="wish-title"><label for="wish">I wish it flew</label></h2>
      <input id="wish" type="text" maxlength="200" autocomplete="off" value=${wish} placeholder="higher"
        onInput=${(/** @type {Event} */ e) => setWish(/** @type {HTMLInputElement} */ (e.currentTarget).value)} />
      <button type="submit">Offer flights</button>
      ${["higher", "cheaper", "gentler", "with one cylinder", "longer"].map((w) => html`<button type="button" class="quiet" key=${w} onClick=${() => ask(w)}>${w}</button>`)}
    </form>
    <div aria-live="polite">
      ${
        shown &&
        html`<p>${shown.text}</p>
        <ul class="offers">
          ${shown.offers.map(
            (o) => html`<li key=${o.text}>
              <div>
                <p>${o.text}</p>
                <p class="small soft">Burst ${sayChange(o.change.burst_alt_m, "height", units.value)} · landing ${sayChange(o.change.landing_speed_mps, "speed", units.value)} · gas ${sayGasChange(o.change.standard_ft3, units.value)}</p>
              </div>
              <button type="button" onClick=${() => state.act(o.edits, `took an offer: ${wish}`)}>Take it</button>
            </li>`,
          )}
        </ul>`
      }
    </div>
  </section>`;
}
