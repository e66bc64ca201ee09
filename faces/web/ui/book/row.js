// One flight in the list of the book, with what can be done to it.
import { html } from "htm/preact";
import { useRef } from "preact/hooks";
import { api } from "../api.js";
import { now } from "../live.js";
import { fail, notice } from "../notices.js";
import { ago, count, localTime } from "../quantity.js";
import { flightAddress, go } from "../router.js";

/** @typedef {import("../api.js").Flight} Flight */

/** @param {Flight} f */
function facts(f) {
  const s = f.summary;
  const parts = [
    s?.launch ? `launch ${localTime(s.launch)}` : "",
    s?.place ?? "",
    s && s.missing.length > 0 ? `${count(s.missing.length, "thing")} missing` : "",
    `revision ${f.head}, ${ago(f.changed, now.value)}`,
  ];
  return parts.filter(Boolean).join(" · ");
}

/** @param {string} text @param {Promise<unknown>} done @param {() => Promise<unknown>} back */
function act(text, done, back) {
  done.then(() => notice(text, { label: "Undo", run: () => back().catch(fail) }), fail);
}

/** @param {Flight} f */
const archive = (f) => act(`${f.name} is archived.`, api.mark(f.id, "archive"), () => api.mark(f.id, "unarchive"));
/** @param {Flight} f */
const unarchive = (f) =>
  act(`${f.name} is out of the archive.`, api.mark(f.id, "unarchive"), () => api.mark(f.id, "archive"));
/** @param {Flight} f */
const restore = (f) => act(`${f.name} is restored.`, api.mark(f.id, "restore"), () => api.remove(f.id));

/** @param {Flight} f */
function copy(f) {
  api.create({ copy: f.id, name: `${f.name}, copy` }).then((made) => go(flightAddress(made.id)), fail);
}

/** @param {{ flight: Flight, picked: boolean, pick: ((id: string, on: boolean) => void) | null }} props */
export function FlightRow({ flight: f, picked, pick }) {
  /** @param {Event} e */
  const picking = (e) => pick?.(f.id, /** @type {HTMLInputElement} */ (e.currentTarget).checked);
  return html`<li>
    ${
      pick
        ? html`<label class="pick"><input type="checkbox" checked=${picked} onChange=${picking} /><span class="unseen">Mark ${f.name} to compare</span></label>`
        : html`<span></span>`
    }
    <div>
      <div class="name">${f.deleted ? f.name : html`<a href=${flightAddress(f.id)}>${f.name}</a>`}</div>
      <div class="facts">${facts(f)}</div>
    </div>
    <div class="acts" role="group" aria-label=${f.name}>
      ${
        f.deleted
          ? html`<button type="button" class="quiet" onClick=${() => restore(f)}>Restore</button>`
          : html`<button type="button" class="quiet" onClick=${() => copy(f)}>Copy</button>
            <button type="button" class="quiet" onClick=${() => (f.archived ? unarchive(f) : archive(f))}>${f.archived ? "Take out" : "Archive"}</button>
            <${Delete} flight=${f} />`
      }
    </div>
  </li>`;
}

/** @param {{ flight: Flight }} props */
function Delete({ flight: f }) {
  const dialog = useRef(/** @type {HTMLDialogElement | null} */ (null));
  const remove = () => {
    dialog.current?.close();
    act(`${f.name} is deleted.`, api.remove(f.id), () => api.mark(f.id, "restore"));
  };
  const title = `delete-${f.id}`;
  return html`<button type="button" class="quiet" onClick=${() => dialog.current?.showModal()}>Delete</button>
    <dialog ref=${dialog} aria-labelledby=${title}>
      <div class="stack">
        <h2 id=${title}>Delete ${f.name}?</h2>
        <p>It goes to the deleted flights at the foot of the book, with all its revisions, and can be restored from there.</p>
        <div class="row">
          <button type="button" class="first" onClick=${remove}>Delete</button>
          <button type="button" autofocus onClick=${() => dialog.current?.close()}>Keep it</button>
        </div>
      </div>
    </dialog>`;
}
