// The person's own limits, changed where they stand.
import { html } from "htm/preact";
import { Field } from "../plan/field.js";

/** @type {import("../plan/parts.js").Field[]} */
const fields = [
  { key: "launch_wind", label: "Wind at launch, at most", hint: "5 m/s" },
  { key: "launch_gust", label: "Gust at launch, at most", hint: "8 m/s" },
  { key: "landing_wind", label: "Wind at the landing, at most", hint: "10 m/s" },
  { key: "water", label: "Landings in water, at most", hint: "5 %" },
  { key: "town", label: "Landings in a town, at most", hint: "2 %" },
  { key: "airfield", label: "Landings on an airfield, at most", hint: "no limit" },
  { key: "border", label: "Landings beyond a border, at most", hint: "no limit" },
  { key: "drift", label: "Way to the landing, at most", hint: "no limit" },
  { key: "daylight", label: "Daylight left at landing, at least", hint: "3 h" },
  { key: "forecast_age", label: "Age of the forecast, at most", hint: "12 h" },
  { key: "cloud", label: "Cloud at launch, at most", hint: "no limit" },
  { key: "landing_speed", label: "Speed at the ground, at most", hint: "no limit" },
  { key: "landing_energy", label: "Energy of the heaviest box, at most", hint: "no limit" },
  { key: "rise", label: "Mean rise, at least", hint: "no limit" },
];

/** @param {{ state: import("../plan/state.js").PlanState, answer: import("./types.js").Hours | null }} props */
export function Limits({ state, answer }) {
  const own = answer?.limits.filter((l) => l.own).length ?? 0;
  return html`<details class="limits"><summary><h2>Your limits</h2> <span class="soft">${own > 0 ? `${own} of your own; the usual ones stand in for the others` : "the usual ones; make them your own"}</span></summary>
    <p class="soft">Pale figures are the usual limits (common practice, no source). What you type is saved as a revision when you leave the field.</p>
    <div class="limit-fields">${fields.map((field) => html`<${Field} key=${field.key} state=${state} path="limits" field=${field} what="limit," />`)}</div>
  </details>`;
}
