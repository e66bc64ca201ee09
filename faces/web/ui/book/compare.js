// Two flights, or two revisions of one, side against side.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { api } from "../api.js";
import { fail } from "../notices.js";
import { compareAddress, flightAddress, go } from "../router.js";
import { DiffTable } from "../words/difftable.js";
import { Sides } from "./sides.js";

/** @typedef {import("../api.js").Flight} Flight */
/** @typedef {import("../api.js").Revision} Revision */
/** @typedef {import("../router.js").Side} Side */
/** @typedef {Revision & { flight: string }} Shown */

/** @param {Side} side @returns {Promise<Shown>} */
async function fetchSide({ flight, revision }) {
  if (revision) return { flight, ...(await api.revision(flight, revision)) };
  return { flight, ...(await api.open(flight)).revision };
}

/** @param {Side | null} side */
function useSide(side) {
  const [shown, setShown] = useState(/** @type {Shown | null} */ (null));
  const flight = side?.flight ?? "";
  const revision = side?.revision ?? null;
  useEffect(() => {
    let old = false;
    setShown(null);
    if (flight) fetchSide({ flight, revision }).then((r) => !old && setShown(r), fail);
    return () => {
      old = true;
    };
  }, [flight, revision]);
  return shown;
}

/** @param {{ a: Side | null, b: Side | null }} props */
export function Compare({ a, b }) {
  const [flights, setFlights] = useState(/** @type {Flight[]} */ ([]));
  const before = useSide(a);
  const after = useSide(b);
  useEffect(() => {
    document.title = "Compare · Pappus";
    api.flights().then((answer) => setFlights(answer.flights.filter((f) => !f.deleted)), fail);
  }, []);

  /** @param {string} name @param {string} label @param {Side | null} side @param {(side: Side) => string} address */
  const pick = (name, label, side, address) => html`<div>
    <label for=${name}>${label}</label>
    <select id=${name} value=${side?.flight ?? ""}
      onChange=${(/** @type {Event} */ e) => go(address({ flight: /** @type {HTMLSelectElement} */ (e.currentTarget).value, revision: null }), true)}>
      ${!side && html`<option value="">Choose a flight</option>`}
      ${flights.map((f) => html`<option value=${f.id} selected=${f.id === side?.flight}>${f.name}${f.id === side?.flight && side.revision ? `, revision ${side.revision}` : ""}</option>`)}
    </select>
  </div>`;
  const nobody = { flight: "", revision: null };
  return html`<main id="main" tabindex="-1">
    <div class="sheet-head"><h1>Compare</h1></div>
    <div class="picks">
      ${pick("from", "From", a, (side) => compareAddress(side, b ?? nobody))}
      ${pick("to", "To", b, (side) => compareAddress(a ?? nobody, side))}
    </div>
    ${
      before && after
        ? html`<div class="stack">
            <h2>Answers</h2>
            <${Sides} before=${before} after=${after} />
            <h2>Written form</h2>
            <p>From <${Name} side=${before} /> to <${Name} side=${after} />: struck lines are gone, bold ones are new.</p>
            <${DiffTable} before=${before.document ?? ""} after=${after.document ?? ""} label="What differs" />
          </div>`
        : a?.flight && b?.flight && html`<p class="loading">Reading both…</p>`
    }
  </main>`;
}

/** @param {{ side: Shown }} props */
function Name({ side }) {
  return html`<a href=${flightAddress(side.flight)}>${side.name}</a>, revision ${side.number}`;
}
