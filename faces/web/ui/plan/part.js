// A part where it hangs: what it is, its fields, what the rules and the answers
// say of it, and the ways to move it, take it off or hang something below it.
import { html } from "htm/preact";
import { asWritten, count } from "../quantity.js";
import { units } from "../settings.js";
import { Field } from "./field.js";
import { fresh } from "./fresh.js";
import { fills, kinds } from "./parts.js";
import { cautionsOf, findingsOf } from "./rules.js";
import { set } from "./state.js";

/** @typedef {import("./state.js").PlanState} PlanState */
/** @typedef {import("./list.js").Row} Row */

/** @param {{ state: PlanState, row: Row, last: number, show: (path: string) => void }} props */
export function Part({ state, row, last, show }) {
  const kind = kinds[row.kind];
  if (!kind) return null;
  const findings = findingsOf(state.good?.rules, row);
  const cautions = cautionsOf(state.good?.plan, row);
  return html`<div class="part" id=${`part-${row.path}`}>
    <p>${kind.lines[0]} ${kind.lines[1]}</p>
    <div class="fields">
      ${row.kind === "gas" && html`<${Fill} state=${state} />`}
      ${kind.fields.map((field) => html`<${Field} key=${field.key} state=${state} path=${row.path} field=${field} what=${["launch", "gas", "flight"].includes(row.kind) ? row.kind : row.label} />`)}
    </div>
    ${cautions.map((c) => html`<p class="caution" key=${c.id}><span>${c.text} <span class="small">${c.why}</span></span></p>`)}
    ${kind.caution && html`<p class="small"><b>Take care.</b> ${kind.caution}</p>`}
    ${findings.length > 0 && html`<${Findings} list=${findings} title=${state.good?.rules?.title ?? ""} />`}
    ${row.kind === "flight" && state.good?.rules && html`<${RuleText} rules=${state.good.rules} />`}
    ${row.list === "train" && html`<${Acts} state=${state} row=${row} last=${last} show=${show} />`}
    ${
      (row.list === "cylinder" || row.list === "reporter") &&
      html`<div class="row"><button type="button" onClick=${() => state.act([{ kind: "remove", path: row.path }], `took away ${row.label}`)}>Take it away</button></div>`
    }
  </div>`;
}

/** The fill is stated in one of five ways. @param {{ state: PlanState }} props */
function Fill({ state }) {
  const way = fills.find((f) => state.text(`gas.fill.${f.key}`)) ?? fills[0];
  if (!way) return null;
  const gas = state.good?.plan;
  /** What the flight as it stands has in each way, for a change of ways. @type {Record<string, string>} */
  const now = gas
    ? {
        free_lift: asWritten(gas.lift.free_kg, "mass"),
        neck_lift: asWritten(gas.lift.neck_kg, "mass"),
        volume: asWritten(gas.gas.volume_m3, "volume"),
        ascent_rate: asWritten(gas.ascent.mean_rate_mps, "rise"),
        burst_altitude: asWritten(gas.burst.nominal_alt_m, "height"),
      }
    : {};
  return html`<div class="field">
      <label for="fill-way">Filled by</label>
      <select id="fill-way" value=${way.key} disabled=${!gas}
        onChange=${(/** @type {Event} */ e) => {
          const key = /** @type {HTMLSelectElement} */ (e.currentTarget).value;
          state.act(
            [set(`gas.fill.${key}`, now[key] ?? "")],
            `stated the fill by ${fills.find((f) => f.key === key)?.label}`,
          );
        }}>
        ${fills.map((f) => html`<option value=${f.key} selected=${f.key === way.key}>${f.label}</option>`)}
      </select>
    </div>
    <${Field} key=${way.key} state=${state} path="gas.fill" field=${{ ...way, label: `${way.label.charAt(0).toUpperCase()}${way.label.slice(1)}` }} what="fill," />`;
}

/** @param {{ rules: import("./types.js").Rules }} props */
function RuleText({ rules }) {
  return html`<div class="findings">
    <h3>${rules.title}</h3>
    <p>${rules.summary}</p>
    ${(rules.changes ?? []).length > 0 && html`<p><b>What would change that</b></p><ul>${(rules.changes ?? []).map((c) => html`<li>${c.text}</li>`)}</ul>`}
    ${(rules.cautions ?? []).map((c) => html`<p class="caution" key=${c.id}><span>${c.text} <span class="small">${c.why}</span></span></p>`)}
    <p class="small">Text read on ${rules.read_on}. ${rules.counted} ${rules.authority}</p>
  </div>`;
}

/** @param {{ list: import("./types.js").Finding[], title: string }} props */
function Findings({ list, title }) {
  const heed = list.filter((f) => f.exceeded || f.near || !f.known).length;
  return html`<details class="findings" open=${heed > 0}>
    <summary><b>${title}</b>: ${heed ? `${heed} of ${count(list.length, "paragraph")} to look at` : `${count(list.length, "paragraph")}, below every limit`}</summary>
    <ul>
      ${list.map(
        (f) => html`<li key=${f.id + (f.package ?? "")}>
          <span class=${f.exceeded ? "trouble" : ""}>${!f.known ? "Not known" : f.exceeded ? "Exceeded" : f.near ? "Close to the limit" : "Below the limit"}</span>
          ${` ${f.paragraph}: ${f.text}`}
        </li>`,
      )}
    </ul>
    <p class="small">Counted, not judged: the authority decides, and local rules come first.</p>
  </details>`;
}

/** @param {{ state: PlanState, row: Row, last: number, show: (path: string) => void }} props */
function Acts({ state, row, last, show }) {
  const n = row.number;
  /** @param {number} to */
  const move = (to) => {
    show(`train[${to}]`);
    state.act([{ kind: "move", path: row.path, to }], `moved ${row.label} ${to < n ? "up" : "down"}`);
  };
  /** @param {Event} e */
  const hang = (e) => {
    const chosen = /** @type {HTMLSelectElement} */ (e.currentTarget);
    const keys = fresh[chosen.value]?.[units.value];
    if (!keys) return;
    show(`train[${n + 1}]`);
    state.act(
      [{ kind: "add", path: `train[${n + 1}]`, row: keys.map(([key, text]) => ({ key, text })) }],
      `hung a ${chosen.value} below ${row.label}`,
    );
    chosen.value = "";
  };
  return html`<div class="row acts">
    <button type="button" disabled=${n === 1} onClick=${() => move(n - 1)}>Move up</button>
    <button type="button" disabled=${n === last} onClick=${() => move(n + 1)}>Move down</button>
    <button type="button" onClick=${() => state.act([{ kind: "remove", path: row.path }], `took off ${row.label}`)}>Take it off</button>
    <label class="unseen" for=${`hang-${n}`}>Hang below ${row.label}</label>
    <select id=${`hang-${n}`} onChange=${hang}>
      <option value="" selected>Hang below it…</option>
      ${["line", "parachute", "reflector", "box", "other"].map((kind) => html`<option value=${kind}>${kinds[kind]?.title.toLowerCase()}</option>`)}
    </select>
  </div>`;
}
