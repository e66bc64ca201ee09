// The strip over every screen: which flight, how long to the launch, what is
// missing, what to do next.
import { html } from "htm/preact";
import { useRef } from "preact/hooks";
import { contact, now } from "./live.js";
import { count, localTime, say, tMinus, utcTime } from "./quantity.js";
import { flightAddress } from "./router.js";
import { units } from "./settings.js";
import { View } from "./view.js";

/** @typedef {import("./api.js").Open} Open */

/** @param {{ open?: Open | null }} props */
export function Strip({ open }) {
  return html`<header class="strip">
    <a class="home" href="/">${open ? "All flights" : "Pappus"}</a>
    ${open && html`<${About} open=${open} />`}
    <div class="end row"><${View} /></div>
    ${
      !contact.value &&
      html`<p class="lost trouble" role="alert">
        The program does not answer. You see what was known before; start it again and this page goes on by itself.
      </p>`
    }
  </header>`;
}

/** @param {{ open: Open }} props */
function About({ open }) {
  const { flight, revision, summary } = open;
  const missing = summary.missing.length;
  return html`<span class="which">${flight.name} <span class="soft small">revision ${revision.number}</span></span>
    ${
      summary.launch &&
      html`<span class="when">${tMinus(summary.launch, now.value)}${" "}
        <span class="soft small">
          launch ${localTime(summary.launch)} (${utcTime(summary.launch)})${summary.place ? `, ${summary.place}` : ""}${
            summary.elevation_m === undefined ? "" : `, ${say(summary.elevation_m, "height", units.value)} up`
          }
        </span></span>`
    }
    <span class="need">${missing ? html`<${MissingList} open=${open} />` : html`<span class="soft">nothing is missing</span>`}</span>
    ${
      missing > 0 &&
      html`<a class="next" href=${`${flightAddress(flight.id, "text")}#line-${summary.missing[0]?.line}`}>Next: mend line ${summary.missing[0]?.line}</a>`
    }`;
}

/** @param {{ open: Open }} props */
function MissingList({ open }) {
  const dialog = useRef(/** @type {HTMLDialogElement | null} */ (null));
  const address = flightAddress(open.flight.id, "text");
  return html`<button type="button" class="quiet" onClick=${() => dialog.current?.showModal()}>
      ${count(open.summary.missing.length, "thing")} missing
    </button>
    <dialog ref=${dialog} aria-labelledby="missing-title">
      <h2 id="missing-title">What stands before the answers</h2>
      <ul class="missing-list">
        ${open.summary.missing.map(
          (m) => html`<li>
            <a href=${`${address}#line-${m.line}`} onClick=${() => dialog.current?.close()}>Line ${m.line}${m.key && `, ${m.key}`}</a>: ${m.text}
          </li>`,
        )}
      </ul>
      <button type="button" onClick=${() => dialog.current?.close()}>Close</button>
    </dialog>`;
}
