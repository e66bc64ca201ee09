// Fill day, made for a phone: the lift to weigh in large figures, then what was
// measured and what that means.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { api, NoContact } from "../api.js";
import { contact } from "../live.js";
import { fail } from "../notices.js";
import { say } from "../quantity.js";
import { flightAddress } from "../router.js";
import { units } from "../settings.js";
import { keepDraft, keptDraft } from "./draft.js";

/** @typedef {import("./types.js").Fill} FillAnswer */
/** @typedef {{ key: string, label: string, hint: [string, string], most?: boolean }} Measured metric and US hints */

/** @type {Measured[]} */
const measured = [
  { key: "weighed", label: "The scale shows", hint: ["2600 g", "5.7 lb"], most: true },
  { key: "train", label: "All that hangs below the neck, as weighed", hint: ["1500 g", "3.3 lb"], most: true },
  { key: "hangs", label: "Between balloon and scale: nozzle, hose, clamp", hint: ["150 g", "5 oz"] },
  { key: "wind", label: "Wind while weighing", hint: ["2 m/s", "4 mph"] },
  { key: "air_temperature", label: "Air", hint: ["12 degC", "54 degF"] },
  { key: "gas_temperature", label: "Gas in the balloon", hint: ["8 degC", "46 degF"] },
  { key: "bottle", label: "Bottle's water volume", hint: ["49 L", "49 L"] },
  { key: "gauge_before", label: "Gauge before", hint: ["180 bar", "2640 psi"] },
  { key: "gauge_after", label: "Gauge after, ten minutes later", hint: ["60 bar", "900 psi"] },
];

/** @param {import("../places.js").PlaceProps} props */
export default function FillDay({ open }) {
  const kept = `${open.flight.id}.fill`;
  const [typed, setTyped] = useState(() => keptDraft(kept));
  const [answer, setAnswer] = useState(/** @type {Awaited<ReturnType<typeof api.fill>> | null} */ (null));
  const [refused, setRefused] = useState("");
  const [stale, setStale] = useState(true);
  const system = units.value;

  useEffect(() => {
    let old = false;
    setStale(true);
    const given = Object.fromEntries(Object.entries(typed).filter(([, text]) => text.trim()));
    api.fill(open.flight.id, { units: system, measured: given }).then(
      (next) => {
        if (old) return;
        setAnswer((was) => (next.fill || !was?.fill ? next : { ...next, fill: was.fill }));
        setStale(!next.fill);
        setRefused("");
      },
      (error) => {
        if (old) return;
        if (error instanceof NoContact) return;
        if (answer) fail(error);
        else setRefused(error.message);
      },
    );
    return () => {
      old = true;
    };
  }, [typed, system, open.revision.number, contact.value]);

  /** @param {string} key @param {string} text */
  const type = (key, text) => {
    const next = { ...typed, [key]: text };
    keepDraft(kept, next);
    setTyped(next);
  };
  const fill = answer?.fill;
  return html`<div class="fill">
    <div class="sheet-head"><h1>Fill day</h1><a class="button" href=${flightAddress(open.flight.id, "plan")}>Back to the plan</a></div>
    ${refused && html`<p class="trouble">${refused}</p>`}
    ${fill && html`<${Target} fill=${fill} stale=${stale && !answer?.faults.length} />`}
    <section aria-labelledby="measured-title">
      <h2 id="measured-title">What you measure</h2>
      <div class="fields">
        ${measured.filter((m) => m.most).map((m) => html`<${Box} key=${m.key} m=${m} typed=${typed} answer=${answer} type=${type} />`)}
      </div>
      <details class="plain"><summary>Wind, temperatures, gauge</summary>
        <div class="fields">${measured.filter((m) => !m.most).map((m) => html`<${Box} key=${m.key} m=${m} typed=${typed} answer=${answer} type=${type} />`)}</div>
      </details>
    </section>
    ${fill?.verdict && html`<${Meaning} fill=${fill} stale=${stale} />`}
    ${fill && html`<section aria-labelledby="notes-title"><h2 id="notes-title">While you fill</h2><ul class="notes">${fill.notes.map((n) => html`<li>${n}</li>`)}</ul></section>`}
  </div>`;
}

/** @param {{ fill: FillAnswer, stale: boolean }} props */
function Target({ fill, stale }) {
  const t = fill.target;
  const system = units.value;
  return html`<section class=${`target ${stale ? "stale" : ""}`} aria-labelledby="target-title">
    <h2 id="target-title">Fill until the scale shows</h2>
    <p class="large">${say(t.scale_kg, "mass", system)}</p>
    <p>give or take ${say(t.tolerance_kg, "mass", system)}</p>
    <dl>
      <div><dt>It carries the train</dt><dd>${say(t.train_kg, "mass", system)}</dd></div>
      <div><dt>and pulls up with</dt><dd>${say(t.free_kg, "mass", system)}</dd></div>
      <div><dt>Tape around the widest</dt><dd>${say(t.girth_m, "girth", system)}</dd></div>
      ${(t.gauge ?? []).map((g, i) => html`<div key=${i}><dt>Gauge of bottle ${i + 1}, from ${say(g.before_pa, "gauge", system)}</dt><dd>${g.empty ? "to the end, then the next" : `down to ${say(g.after_pa, "gauge", system)}`}</dd></div>`)}
      <div><dt>Counted with air of</dt><dd>${say(t.air_k, "temperature", system)}</dd></div>
    </dl>
  </section>`;
}

/** @param {{ fill: FillAnswer, stale: boolean }} props */
function Meaning({ fill, stale }) {
  return html`<section class=${`meaning ${stale ? "stale" : ""}`} aria-labelledby="meaning-title" aria-live="polite">
    <h2 id="meaning-title">What that means</h2>
    <p class=${fill.verdict?.within ? "verdict" : "verdict trouble"}>${fill.verdict?.text}</p>
    ${fill.measured && html`<p>${fill.measured.text}</p>`}
    ${fill.scale && html`<p class="small soft">Scale: ${fill.scale.text}.</p>`}
    ${fill.gauge && html`<p class="small soft">Gauge: ${fill.gauge.text}.</p>`}
    ${fill.together && html`<p class="small">${fill.together.text}</p>`}
    ${fill.together?.causes && html`<ul class="notes">${fill.together.causes.map((c) => html`<li>${c}</li>`)}</ul>`}
  </section>`;
}

/** @param {{ m: Measured, typed: Record<string, string>, answer: { faults: { key: string, text: string }[] } | null, type: (key: string, text: string) => void }} props */
function Box({ m, typed, answer, type }) {
  const fault = answer?.faults.find((f) => f.key === m.key)?.text;
  return html`<div class="field">
    <label for=${`fill-${m.key}`}>${m.label}</label>
    <input type="text" id=${`fill-${m.key}`} inputmode="text" autocomplete="off" value=${typed[m.key] ?? ""} placeholder=${m.hint[units.value === "us" ? 1 : 0]}
      aria-invalid=${fault ? "true" : undefined} aria-describedby=${fault ? `fill-${m.key}-fault` : undefined}
      onInput=${(/** @type {Event} */ e) => type(m.key, /** @type {HTMLInputElement} */ (e.currentTarget).value)} />
    ${fault && html`<p class="fault" id=${`fill-${m.key}-fault`} role="status"><b>Not yet:</b> ${fault}</p>`}
  </div>`;
}
