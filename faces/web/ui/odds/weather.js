// The forecasts to stand on: chosen from those that are here, or dropped in.
import { html } from "htm/preact";
import { useRef, useState } from "preact/hooks";
import { fail, notice } from "../notices.js";
import { count } from "../quantity.js";
import { removeForecast, restoreForecast, takeForecast } from "./ask.js";
import { coverWords, size } from "./words.js";

/** @typedef {import("./types.js").Forecasts} Forecasts */
/** @typedef {import("./types.js").Forecast} Forecast */

/** @param {string} id of a flight */
const kept = (id) => `pappus.weather.${id}`;

/** What was chosen for a flight before, as far as it is still here; else what serves. @param {string} id @param {Forecasts} here */
export function chosenFor(id, here) {
  const there = new Set(here.forecasts.filter((f) => !f.trouble).map((f) => f.id));
  try {
    const before = /** @type {string[]} */ (JSON.parse(localStorage.getItem(kept(id)) ?? "[]"));
    const still = before.filter((name) => there.has(name));
    if (still.length > 0) return still;
  } catch {
    // Storage is refused, or holds what is not ours: what serves is chosen.
  }
  const real = here.forecasts.filter((f) => there.has(f.id) && f.kind !== "invented" && !f.table).map((f) => f.id);
  return real.length > 0
    ? real
    : here.forecasts
        .filter((f) => there.has(f.id))
        .slice(0, 1)
        .map((f) => f.id);
}

/** @param {string} id @param {string[]} chosen */
export function keepChosen(id, chosen) {
  try {
    localStorage.setItem(kept(id), JSON.stringify(chosen));
  } catch {
    // the choice lasts until the page is closed
  }
}

/**
 * Takes dropped files in, one after the other.
 * @param {File[]} files @param {(text: string) => void} tell
 * @returns {Promise<string[]>} the names to choose them by
 */
export async function takeIn(files, tell) {
  const ids = [];
  for (const [i, file] of files.entries()) {
    tell(`taking in ${file.name}, ${count(i + 1, "file")} of ${count(files.length, "file")}`);
    try {
      ids.push((await takeForecast(file.name, file)).id);
    } catch (error) {
      fail(error); // the others may be whole
    }
  }
  tell("");
  return ids;
}

/**
 * @param {{ here: Forecasts, chosen: string[], taking: string, onChosen: (ids: string[]) => void, onFiles: (files: File[]) => void, onHere: (here: Forecasts) => void }} props
 */
export function ForecastChoice({ here, chosen, taking, onChosen, onFiles, onHere }) {
  const input = useRef(/** @type {HTMLInputElement | null} */ (null));
  const [open, setOpen] = useState(chosen.length === 0);
  /** @param {Forecast} f @param {boolean} on */
  const choose = (f, on) => onChosen(on ? [...chosen, f.id] : chosen.filter((id) => id !== f.id));
  /** @param {Forecast} f */
  const remove = async (f) => {
    try {
      onHere(await removeForecast(f.name));
      notice(`${f.name} is removed.`, { label: "Undo", run: () => restoreForecast(f.name).then(onHere, fail) });
    } catch (error) {
      fail(error);
    }
  };
  return html`<details class="choose" open=${open} onToggle=${(/** @type {Event} */ e) => setOpen(/** @type {HTMLDetailsElement} */ (e.currentTarget).open)}>
    <summary>Forecasts <span class="soft">${chosen.length} of ${here.forecasts.length} chosen</span></summary>
    <ul>
      ${here.forecasts.map(
        (f) => html`<li key=${f.id}>
          <label>
            <input type="checkbox" checked=${chosen.includes(f.id)} disabled=${Boolean(f.trouble)}
              onChange=${(/** @type {Event} */ e) => choose(f, /** @type {HTMLInputElement} */ (e.currentTarget).checked)} />
            <span><span class="forecast-name">${f.name}</span>
              <span class="soft small">${f.trouble ?? coverWords(f)}${f.bytes > 0 && `, ${size(f.bytes)}`}</span></span>
          </label>
          ${f.kind === "kept" && html`<button type="button" class="quiet" aria-label=${`Remove ${f.name}`} onClick=${() => remove(f)}>Remove</button>`}
        </li>`,
      )}
    </ul>
    ${
      here.takes &&
      html`<p class="row">
        <button type="button" onClick=${() => input.current?.click()}>Add forecast files</button>
        <input class="unseen" tabindex="-1" type="file" multiple ref=${input} aria-label="Forecast files"
          onChange=${(/** @type {Event} */ e) => {
            const field = /** @type {HTMLInputElement} */ (e.currentTarget);
            onFiles([...(field.files ?? [])]);
            field.value = "";
          }} />
        <span class="soft">or drop them anywhere here: GRIB2, or a profile as .csv</span>
      </p>`
    }
    <p role="status" class="soft">${taking}</p>
  </details>`;
}
