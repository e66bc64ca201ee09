// Every revision of a flight, newest first. To return to one loses none of them.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { api } from "../api.js";
import { now } from "../live.js";
import { fail, notice } from "../notices.js";
import { ago } from "../quantity.js";
import { compareAddress } from "../router.js";

/** @typedef {import("../api.js").Open} Open */
/** @typedef {import("../api.js").Revision} Revision */

/** @param {import("../places.js").PlaceProps} props */
export default function History({ open, onOpen }) {
  const { flight, revision } = open;
  const [list, setList] = useState(/** @type {Revision[] | null} */ (null));
  // A newer revision makes the list old.
  useEffect(() => {
    api.history(flight.id).then((answer) => setList(answer.revisions), fail);
  }, [flight.id, flight.newest]);

  const more = () =>
    api
      .history(flight.id, list?.at(-1)?.number)
      .then((answer) => setList([...(list ?? []), ...answer.revisions]), fail);
  /** @param {number} from @param {number} to @param {boolean} offer */
  const move = (from, to, offer) => {
    api.returnTo(flight.id, from, to).then((next) => {
      onOpen(next);
      if (offer) notice(`The flight stands at revision ${to}.`, { label: "Undo", run: () => move(to, from, false) });
    }, fail);
  };
  if (!list) return html`<p class="loading">Reading the history…</p>`;
  return html`<div class="sheet-head"><h1>History</h1></div>
    <ol class="history">
      ${list.map((r) => {
        const here = r.number === revision.number;
        return html`<li key=${r.number}>
          <span class="number">${r.number}</span>
          <div>
            <div class=${here ? "here" : ""}>${r.what}${here ? ", where the flight stands" : ""}</div>
            <div class="soft small">${ago(r.made, now.value)}${r.parent > 0 && r.parent !== r.number - 1 ? `, made from revision ${r.parent}` : ""}</div>
          </div>
          <div class="acts row">
            ${
              !here &&
              html`<a class="button" href=${compareAddress({ flight: flight.id, revision: r.number }, { flight: flight.id, revision: revision.number })}>Compare<span class="unseen"> revision ${r.number} with where the flight stands</span></a>
                <button type="button" onClick=${() => move(revision.number, r.number, true)}>Return<span class="unseen"> to revision ${r.number}</span></button>`
            }
          </div>
        </li>`;
      })}
    </ol>
    ${(list.at(-1)?.number ?? 1) > 1 && html`<button type="button" onClick=${more}>Older ones</button>`}`;
}
