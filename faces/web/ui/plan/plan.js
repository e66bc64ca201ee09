// The Plan place: the drawn train, the answers, the flight in time, and a wish.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { about, say } from "../quantity.js";
import { flightAddress } from "../router.js";
import { units } from "../settings.js";
import { Answers } from "./answers.js";
import { Axis } from "./axis.js";
import { useBox } from "./box.js";
import { Clashes } from "./clash.js";
import { usePlan } from "./state.js";
import { Train } from "./train.js";
import { Wish } from "./wish.js";

/** @param {import("../places.js").PlaceProps} props */
export default function Plan({ open, onOpen }) {
  const state = usePlan(open, onOpen);
  const box = useBox(state);
  const [at, setAt] = useState("");
  const { flight } = open;
  useEffect(() => {
    /** @param {KeyboardEvent} e */
    const keys = (e) => {
      const typing = e.target instanceof HTMLInputElement || e.target instanceof HTMLTextAreaElement;
      if (e.key === "Escape" && !typing) setAt("");
      if (typing || !(e.ctrlKey || e.metaKey) || e.key.toLowerCase() !== "z") return;
      e.preventDefault();
      if (e.shiftKey ? flight.can_redo : flight.can_undo) state.step(e.shiftKey ? "redo" : "undo");
    };
    addEventListener("keydown", keys);
    return () => removeEventListener("keydown", keys);
  });
  const faults = state.answers?.faults ?? [];
  const own = faults.filter((f) => state.text(f.key) === "" || open.summary.missing.some((m) => m.key === f.key));
  return html`<div class="plan">
    <div class="sheet-head">
      <h1>${flight.name}</h1>
      <div class="row">
        <button type="button" disabled=${!flight.can_undo} onClick=${() => state.step("undo")}>Undo</button>
        <button type="button" disabled=${!flight.can_redo} onClick=${() => state.step("redo")}>Redo</button>
        <a class="button" href=${flightAddress(flight.id, "plan/fill")}>Fill day</a>
      </div>
    </div>
    <${Clashes} id=${flight.id} clashes=${state.clashes} onOpen=${onOpen} />
    ${
      own.length > 0 &&
      html`<section class="caution" aria-labelledby="way-title"><div>
        <h2 id="way-title">What stands in the way</h2>
        <ul>${own.map((f) => html`<li key=${f.key + f.text}><a href=${`${flightAddress(flight.id, "text")}#line-${f.line}`}>${f.key || `line ${f.line}`}</a>: ${f.text}</li>`)}</ul>
      </div></section>`
    }
    ${at && state.good?.plan && html`<${Short} plan=${state.good.plan} stale=${state.stale} />`}
    <div class="plan-parts">
      <${Train} state=${state} at=${at} show=${setAt} />
      <${Answers} state=${state} />
    </div>
    ${state.good?.course && html`<${Axis} course=${state.good.course} stale=${state.stale} box=${box} />`}
    ${box.brief?.cautions.map((c) => html`<p class="caution" key=${c.id}><span>${c.text} <span class="small">${c.why}</span></span></p>`)}
    <${Wish} state=${state} />
  </div>`;
}

/**
 * The answers in one line, which stays in sight on a phone while a part is open.
 * @param {{ plan: import("./types.js").Plan, stale: boolean }} props
 */
function Short({ plan, stale }) {
  const system = units.value;
  return html`<p class=${`short ${stale ? "stale" : ""}`} aria-hidden="true">
    <span>Lift <b>${say(plan.lift.free_kg, "mass", system)}</b></span>
    <span>Burst <b>${about(plan.burst.nominal_alt_m, "height", system)}</b></span>
    <span>Landing <b>${say(plan.descent.landing_speed_mps, "speed", system)}</b></span>
  </p>`;
}
