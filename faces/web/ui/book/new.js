// Beginning a flight: from a starting file, or from a file of one's own.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { api } from "../api.js";
import { fail } from "../notices.js";
import { flightAddress, go } from "../router.js";

/** @typedef {import("../api.js").Start} Start */

/** @param {{ first: boolean, close: (() => void) | null }} props */
export function NewFlight({ first, close }) {
  const [starts, setStarts] = useState(/** @type {Start[]} */ ([]));
  const [start, setStart] = useState("");
  const [name, setName] = useState("");
  const [busy, setBusy] = useState(false);

  useEffect(() => {
    api.starts().then((answer) => {
      setStarts(answer.starts);
      setStart(answer.starts[0]?.kind ?? "");
    }, fail);
  }, []);

  /** @param {Parameters<typeof api.create>[0]} from */
  const make = (from) => {
    setBusy(true);
    api.create(from).then(
      (made) => go(flightAddress(made.id)),
      (error) => {
        setBusy(false);
        fail(error);
      },
    );
  };
  /** @param {Event} e */
  const submit = (e) => {
    e.preventDefault();
    make({ start, ...(name.trim() ? { name: name.trim() } : {}) });
  };
  /** @param {Event} e */
  const bringIn = async (e) => {
    const file = /** @type {HTMLInputElement} */ (e.currentTarget).files?.[0];
    if (file) make({ document: await file.text() });
  };

  return html`<section class="new" aria-labelledby="new-title">
    <form class="stack" onSubmit=${submit}>
      <h2 id="new-title">${first ? "Your first flight" : "A new flight"}</h2>
      ${first && html`<p>The book is empty. Begin with a flight that works as it stands; every number in it can be changed, and every change undone.</p>`}
      <fieldset class="starts">
        <legend>Begin with</legend>
        ${starts.map(
          (s) => html`<label>
            <input type="radio" name="start" value=${s.kind} checked=${s.kind === start} onChange=${() => setStart(s.kind)} />
            <span>${s.text}</span>
          </label>`,
        )}
      </fieldset>
      <div>
        <label for="new-name">Name</label>
        <input id="new-name" type="text" maxlength="100" autocomplete="off" value=${name}
          placeholder=${starts.find((s) => s.kind === start)?.name ?? ""}
          onInput=${(/** @type {Event} */ e) => setName(/** @type {HTMLInputElement} */ (e.currentTarget).value)} />
      </div>
      <div class="row">
        <button type="submit" class="first" disabled=${busy || !start}>Begin</button>
        <label class="button">Bring in a flight file<input class="unseen" type="file" accept=".toml,text/plain" onChange=${bringIn} /></label>
        ${close && html`<button type="button" class="quiet" onClick=${close}>Not now</button>`}
      </div>
    </form>
  </section>`;
}
