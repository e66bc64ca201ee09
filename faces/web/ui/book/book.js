// The book of flights.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { api, NoContact } from "../api.js";
import { changedFlight, contact, readAnew } from "../live.js";
import { fail } from "../notices.js";
import { count } from "../quantity.js";
import { compareAddress, go } from "../router.js";
import { NewFlight } from "./new.js";
import { FlightRow } from "./row.js";

/** @typedef {import("../api.js").Flight} Flight */

export function Book() {
  const [flights, setFlights] = useState(/** @type {Flight[] | null} */ (null));
  const [making, setMaking] = useState(false);
  const [picked, setPicked] = useState(/** @type {string[]} */ ([]));

  // Read anew after a change in any window, and when contact comes back.
  useEffect(() => {
    document.title = "Flights · Pappus";
    let old = false;
    api.flights().then(
      (answer) => {
        if (!old) setFlights(answer.flights);
      },
      (error) => {
        if (!(error instanceof NoContact)) fail(error);
      },
    );
    return () => {
      old = true;
    };
  }, [changedFlight.value, readAnew.value, contact.value]);

  if (!flights) return html`<main id="main" tabindex="-1"><p class="loading">Opening the book…</p></main>`;
  const standing = flights.filter((f) => !f.archived && !f.deleted);
  const archived = flights.filter((f) => f.archived && !f.deleted);
  const deleted = flights.filter((f) => f.deleted);
  const [a, b] = picked;
  /** @param {string} id @param {boolean} on */
  const pick = (id, on) => setPicked((now) => (on ? [...now.slice(-1), id] : now.filter((p) => p !== id)));

  return html`<main id="main" tabindex="-1">
    <div class="book-head">
      <h1>Flights</h1>
      ${
        flights.length > 1 &&
        html`<button type="button" disabled=${!a || !b} onClick=${() => a && b && go(compareAddress({ flight: a, revision: null }, { flight: b, revision: null }))}>
          ${a && b ? "Compare the two" : `Compare: mark ${a ? "one more" : "two"}`}
        </button>`
      }
      ${!making && standing.length > 0 && html`<button type="button" class="first" onClick=${() => setMaking(true)}>New flight</button>`}
    </div>
    ${(making || standing.length === 0) && html`<${NewFlight} first=${flights.length === 0} close=${standing.length > 0 ? () => setMaking(false) : null} />`}
    <ul class="flights">
      ${standing.map((f) => html`<${FlightRow} key=${f.id} flight=${f} picked=${picked.includes(f.id)} pick=${flights.length > 1 ? pick : null} />`)}
    </ul>
    <${PutAway} title=${`${count(archived.length, "archived flight")}`} flights=${archived} />
    <${PutAway} title=${`${count(deleted.length, "deleted flight")}`} flights=${deleted} />
  </main>`;
}

/** @param {{ title: string, flights: Flight[] }} props */
function PutAway({ title, flights }) {
  if (flights.length === 0) return null;
  return html`<details class="put-away">
    <summary>${title}</summary>
    <ul class="flights">${flights.map((f) => html`<${FlightRow} key=${f.id} flight=${f} picked=${false} pick=${null} />`)}</ul>
  </details>`;
}
