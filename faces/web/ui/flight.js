// One flight: the strip with what it stands at, the bar of its places, and the
// place that the address names.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { api, NoContact, Refusal } from "./api.js";
import { changedFlight, contact, readAnew } from "./live.js";
import { fail } from "./notices.js";
import { firstPlace, papersBehind, placeOf, places } from "./places.js";
import { flightAddress, go } from "./router.js";
import { Strip } from "./strip.js";

/** @typedef {import("./api.js").Open} Open */
/** @typedef {import("./places.js").PlaceRow} PlaceRow */

/** @param {{ id: string, place: string, line: number | null }} props */
export function FlightScreen({ id, place, line }) {
  const [open, setOpen] = useState(/** @type {Open | null} */ (null));
  const [refused, setRefused] = useState("");
  const changed = changedFlight.value;
  const elsewhere = changed?.id === id ? `${changed.head} ${changed.deleted ?? ""}` : "";

  // Read at first, after a change in any window, and when contact comes back.
  useEffect(() => {
    let old = false;
    api.open(id).then(
      (value) => {
        if (!old) setOpen(value);
      },
      (error) => {
        if (error instanceof Refusal) setRefused(error.message);
        else if (!(error instanceof NoContact)) fail(error);
      },
    );
    return () => {
      old = true;
    };
  }, [id, elsewhere, readAnew.value, contact.value]);

  useEffect(() => {
    if (place === "" && firstPlace) go(flightAddress(id, firstPlace.key), true);
  }, [id, place]);

  useEffect(() => {
    document.title = open ? `${open.flight.name} · Pappus` : "Pappus";
  }, [open]);

  if (refused) {
    return html`<${Strip} /><main id="main" tabindex="-1" class="stack">
      <h1>This flight cannot be opened</h1><p>${refused}</p><p><a href="/">Open the book of flights</a></p></main>`;
  }
  if (!open) return html`<${Strip} /><main id="main" tabindex="-1"><p class="loading">Opening the flight…</p></main>`;
  const row = placeOf(place);
  return html`<${Strip} open=${open} />
    <${Bar} id=${id} at=${place} />
    ${
      row
        ? html`<${Loaded} key=${row.key} row=${row} open=${open} line=${line} onOpen=${setOpen} />`
        : html`<main id="main" tabindex="-1"><h1>This flight has no place of that name</h1></main>`
    }`;
}

/** @param {{ id: string, at: string }} props */
function Bar({ id, at }) {
  /** @param {PlaceRow} row */
  const link = (row) =>
    html`<a href=${flightAddress(id, row.key)} aria-current=${row.key === at.split("/")[0] ? "page" : undefined}>${row.label}</a>`;
  return html`<nav class="bar" aria-label="Places of this flight">
    ${places.map(link)}<span class="aside">${papersBehind.map(link)}</span>
  </nav>`;
}

/** @param {{ row: PlaceRow, open: Open, line: number | null, onOpen: (open: Open) => void }} props */
function Loaded({ row, open, line, onOpen }) {
  const [part, setPart] = useState(
    /** @type {{ Shown: import("preact").ComponentType<import("./places.js").PlaceProps> } | null} */ (null),
  );
  useEffect(() => {
    row.load().then((module) => setPart({ Shown: module.default }), fail);
  }, [row]);
  return html`<main id="main" tabindex="-1" class=${row.wide ? "wide" : undefined}>
    ${part ? html`<${part.Shown} open=${open} line=${line} onOpen=${onOpen} />` : html`<p class="loading">Opening…</p>`}
  </main>`;
}
