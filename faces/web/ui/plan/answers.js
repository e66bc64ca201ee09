// The right of the place: each answer with its words, number, spread and why.
import { html } from "htm/preact";
import { say, sayChange, sayGas } from "../quantity.js";
import { units } from "../settings.js";
import { groupsOf } from "./figures.js";
import { sayInput } from "./said.js";
import { Spread } from "./spread.js";

/** @typedef {import("./state.js").PlanState} PlanState */
/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("./figures.js").Figure} FigureRow */

/** @param {{ state: PlanState }} props */
export function Answers({ state }) {
  const plan = state.good?.plan;
  const trouble = state.answers?.trouble;
  const broken = !state.answers?.plan && (state.answers?.faults.length ?? 0) > 0;
  if (!plan) {
    return html`<section class="answers" aria-labelledby="answers-title">
      <h2 id="answers-title" class="unseen">Answers</h2>
      ${trouble ? html`<p class="trouble">${trouble}</p>` : broken ? html`<p>The answers come once what is named under “What stands in the way” is mended.</p>` : html`<p class="loading">Working it out…</p>`}
    </section>`;
  }
  const groups = groupsOf(plan, units.value, state.good?.course?.launch_time ?? "");
  return html`<section class=${`answers ${state.stale ? "stale" : ""}`} aria-labelledby="answers-title" aria-busy=${state.stale ? "true" : "false"}>
    <h2 id="answers-title" class="unseen">Answers</h2>
    ${trouble && html`<p class="trouble" role="status">${trouble} The numbers below are from before.</p>`}
    ${broken && html`<p role="status" class="soft">The numbers are from before the last change: a field says what it still needs.</p>`}
    ${groups.map(
      (g) => html`<div class="group" key=${g.title}>
        <h3>${g.title}</h3>
        <p class="sum">${g.sum}</p>
        <div>${g.figures.map((f) => html`<${Figure} key=${f.key} figure=${f} plan=${plan} />`)}</div>
        ${plan.cautions
          .filter((c) => g.cautions.includes(c.id) && c.id !== "cylinder")
          .map(
            (c) => html`<p class="caution" key=${c.id}><span>${c.text} <span class="small">${c.why}</span></span></p>`,
          )}
      </div>`,
    )}
    <${Advice} plan=${plan} />
  </section>`;
}

/** @param {{ figure: FigureRow, plan: Plan }} props */
function Figure({ figure, plan }) {
  const { band, said } = figure;
  const words = band && said ? `8 in 10 between ${said(band.p10)} and ${said(band.p90)}` : "";
  const why = plan.why?.[figure.key];
  return html`<details class="answer">
    <summary>
      <span class="words">${figure.words} <span class="soft small">${figure.gloss}</span></span>
      <span class="number">${figure.number}</span>
      <span class="chance">${band && html`<${Spread} band=${band} words=${words} /><span class="small">${words}</span>`}</span>
      <span class="why">why</span>
    </summary>
    ${why && html`<${Why} why=${why} plan=${plan} />`}
  </details>`;
}

/** @param {{ why: import("./types.js").Reason, plan: Plan }} props */
function Why({ why, plan }) {
  /** @type {Record<string, string>} */
  const origins = {
    file: "your file",
    default: "usual value, nothing in your file",
    air: "the air",
    constant: "constant",
  };
  return html`<div class="reason small">
    <p><b>How</b> ${why.formula}</p>
    ${
      why.inputs &&
      html`<table>
      <tbody>
        ${why.inputs.map(
          (i) =>
            html`<tr><th scope="row">${i.name}</th><td>${sayInput(i.value, i.unit, units.value)}</td><td class="soft">${origins[i.from] ?? "worked out here"}</td></tr>`,
        )}
      </tbody>
    </table>`
    }
    <p><b>Source</b> ${why.source}</p>
    <p class="soft">Air: ${plan.air}</p>
  </div>`;
}

/** What would change the flight. @param {{ plan: Plan }} props */
function Advice({ plan }) {
  const system = units.value;
  const { suits, short_gas: short, changes, gas_to_buy: buy } = plan;
  return html`<div class="group advice">
    <h3>What would change it</h3>
    ${suits && html`<p class=${suits.ok ? "sum" : "sum trouble"}>${suits.text}</p>`}
    ${suits && suits.troubles.length > 0 && html`<ul>${suits.troubles.map((t) => html`<li>${t.text}</li>`)}</ul>`}
    ${suits?.best_change && html`<p>${suits.ok ? "What adds most height" : "What helps most"}: ${suits.best_change.text}.</p>`}
    ${short && html`<p class="trouble">The gas at hand is ${sayGas(short.short_ft3, system)} short. ${short.text}</p><ul>${short.changes.map((c) => html`<li key=${c.id}>${c.text}</li>`)}</ul>`}
    ${
      changes &&
      html`<details class="plain"><summary>Small changes and what they do</summary>
      <div class="scroll" tabindex="0" role="region" aria-label="Small changes and what they do"><table class="changes">
        <thead><tr><th scope="col">Change</th><th scope="col">Rise</th><th scope="col">Burst</th><th scope="col">Landing</th></tr></thead>
        <tbody>${changes.map((c) => html`<tr key=${c.id}><th scope="row">${c.text}</th>${c.flies ? html`<td>${sayChange(c.mean_rate_mps ?? 0, "rise", system)}</td><td>${sayChange(c.burst_alt_m ?? 0, "height", system)}</td><td>${sayChange(c.landing_speed_mps ?? 0, "speed", system)}</td>` : html`<td colspan="3">does not fly</td>`}</tr>`)}</tbody>
      </table></div></details>`
    }
    ${
      buy &&
      html`<details class="plain"><summary>Getting the gas</summary>
      <p>For the fill ${sayGas(buy.need_ft3, system)}, with a reserve of ${say(buy.reserve_share, "share", system)}: ${sayGas(buy.with_reserve_ft3, system)}.</p>
      ${buy.bottles.length > 0 && html`<ul>${buy.bottles.map((b) => html`<li>${b.text}</li>`)}</ul>`}
      <p><b>To say to a supplier</b> ${buy.say}</p>
      <p><b>To ask</b></p><ul>${buy.ask.map((a) => html`<li>${a}</li>`)}</ul></details>`
    }
  </div>`;
}
