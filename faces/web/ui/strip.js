// The strip over every screen: which flight, how long to the launch, what is
// missing, what to do next.
import { html } from "htm/preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { api } from "./api.js";
import { contact, now, readAnew, workMoved } from "./live.js";
import { placeOf } from "./places.js";
import { count, localTime, say, tMinus, utcTime } from "./quantity.js";
import { flightAddress } from "./router.js";
import { units } from "./settings.js";
import { View } from "./view.js";

/** @typedef {import("./api.js").Open} Open */
/** @typedef {import("./api.js").Step} Step */

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
  const found = useSteps(open);
  const first = found?.steps[0];
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
    ${
      found &&
      html`<span class="need">${found.missing ? html`<${MissingList} id=${flight.id} steps=${found.steps} missing=${found.missing} />` : html`<span class="soft">nothing is missing</span>`}</span>`
    }
    ${first && html`<span class="next" title=${first.why ?? ""}><b>Next:</b> <${StepLink} id=${flight.id} step=${first} /></span>`}`;
}

/**
 * What is to be done, asked anew when the flight, its forecasts or its odds moved,
 * and each quarter of an hour, since forecasts age.
 * @param {Open} open
 */
function useSteps(open) {
  const [found, setFound] = useState(/** @type {{ steps: Step[], missing: number } | null} */ (null));
  const quarter = Math.floor(now.value / 900_000);
  useEffect(() => {
    let old = false;
    api.next(open.flight.id, units.value).then(
      (steps) => {
        if (!old) setFound(steps);
      },
      () => {}, // the strip says it when the program does not answer, and the place when the flight is gone
    );
    return () => {
      old = true;
    };
  }, [open.flight.id, open.revision.number, units.value, workMoved.value, readAnew.value, contact.value, quarter]);
  return found;
}

/** A step leads to where it is taken, when that is built. @param {{ id: string, step: Step, onGo?: () => void }} props */
function StepLink({ id, step, onGo }) {
  if (!placeOf(step.place)) return html`<span>${step.text}</span>`;
  const line = step.line ? `#line-${step.line}` : "";
  return html`<a href=${flightAddress(id, step.place) + line} onClick=${onGo}>${step.text}</a>`;
}

/** @param {{ id: string, steps: Step[], missing: number }} props */
function MissingList({ id, steps, missing }) {
  const dialog = useRef(/** @type {HTMLDialogElement | null} */ (null));
  return html`<button type="button" class="quiet" onClick=${() => dialog.current?.showModal()}>
      ${count(missing, "thing")} missing
    </button>
    <dialog ref=${dialog} aria-labelledby="missing-title">
      <h2 id="missing-title">What is missing before the launch</h2>
      <ol class="missing-list">
        ${steps
          .filter((s) => s.missing)
          .map(
            (s) => html`<li key=${s.id + s.text}>
            <${StepLink} id=${id} step=${s} onGo=${() => dialog.current?.close()} />${s.why && html`<div class="soft small">${s.why}</div>`}
          </li>`,
          )}
      </ol>
      <button type="button" onClick=${() => dialog.current?.close()}>Close</button>
    </dialog>`;
}
