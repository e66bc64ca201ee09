// One key of a flight file as a field: typed as a person writes it, unit and
// all, with what is wrong said beside it.
import { html } from "htm/preact";

/** @typedef {import("./state.js").PlanState} PlanState */
/** @typedef {import("./parts.js").Field} FieldRow */

/** @param {{ state: PlanState, path: string, field: FieldRow, what: string }} props */
export function Field({ state, path, field, what }) {
  const id = `key-${path.replace(/\W/g, "-")}`;
  const full = path === "flight" ? field.key : `${path}.${field.key}`;
  const text = state.text(full);
  const fault = state.fault(full);
  const label = `${what} ${field.label.toLowerCase()}`;
  /** @param {Event} e */
  const value = (e) => /** @type {HTMLInputElement} */ (e.currentTarget).value;
  if (field.choices) {
    return html`<div class=${`field ${field.wide ? "wide" : ""}`}>
      <label for=${`${id}-${field.key}`}>${field.label}</label>
      <select id=${`${id}-${field.key}`} value=${text}
        onChange=${(/** @type {Event} */ e) => {
          state.type(full, value(e));
          state.commit(full, label);
        }}>
        ${field.choices.map(([key, words]) => html`<option value=${key} selected=${key === text}>${words}</option>`)}
      </select>
      <${Fault} id=${id} fault=${fault} />
    </div>`;
  }
  /** @param {KeyboardEvent} e */
  const keys = (e) => {
    if (e.key === "Enter") state.commit(full, label);
    if (e.key === "Escape") {
      state.drop(full);
      e.stopPropagation();
    }
  };
  return html`<div class=${`field ${field.wide ? "wide" : ""}`}>
    <label for=${`${id}-${field.key}`}>${field.label}</label>
    <input type="text" id=${`${id}-${field.key}`} value=${text} placeholder=${field.hint ?? ""} autocomplete="off" spellcheck=${false}
      aria-invalid=${fault ? "true" : undefined} aria-describedby=${fault ? `${id}-${field.key}-fault` : undefined}
      onInput=${(/** @type {Event} */ e) => state.type(full, value(e))}
      onChange=${() => state.commit(full, label)} onKeyDown=${keys} />
    <${Fault} id=${`${id}-${field.key}-fault`} fault=${fault} />
  </div>`;
}

/** @param {{ id: string, fault: string }} props */
function Fault({ id, fault }) {
  return fault ? html`<p class="fault" id=${id} role="status"><b>Not yet:</b> ${fault}</p>` : null;
}
