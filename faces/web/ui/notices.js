// Short words about what was done, with the way to undo it.
import { signal } from "@preact/signals";
import { html } from "htm/preact";

/** @typedef {{ id: number, text: string, act?: { label: string, run: () => void } }} Notice */

/** @type {import("@preact/signals").Signal<Notice[]>} */
const notices = signal([]);
let next = 1;
const lasts = 12_000; // long enough to read and reach with gloves

/** @param {number} id */
const drop = (id) => {
  notices.value = notices.value.filter((n) => n.id !== id);
};

/** @param {string} text @param {{ label: string, run: () => void }} [act] */
export function notice(text, act) {
  const id = next++;
  notices.value = [...notices.value.slice(-2), act ? { id, text, act } : { id, text }];
  setTimeout(() => drop(id), lasts);
}

/** Says why something failed. @param {unknown} error */
export const fail = (error) => notice(error instanceof Error ? error.message : String(error));

export function Notices() {
  return html`<div class="notices" role="status" aria-live="polite">
    ${notices.value.map(
      (n) => html`<div class="notice" key=${n.id}>
        <span>${n.text}</span>
        ${
          n.act &&
          html`<button
          type="button"
          onClick=${() => {
            drop(n.id);
            n.act?.run();
          }}
        >
          ${n.act.label}
        </button>`
        }
        <button type="button" aria-label="Close this notice" onClick=${() => drop(n.id)}>Close</button>
      </div>`,
    )}
  </div>`;
}
