// Which forecasts are kept, as a row of days: each cycle with its age at launch
// and its size. Files are dropped in, older cycles pruned, new ones fetched.
import { html } from "htm/preact";
import { useRef, useState } from "preact/hooks";
import { fail, notice } from "../notices.js";
import { removeForecast, restoreForecast } from "../odds/ask.js";
import { size } from "../odds/words.js";
import { count, utcTime } from "../quantity.js";
import { prune } from "./ask.js";
import { Fetch } from "./fetch.js";
import { ageWords, dayWords } from "./words.js";

/** @typedef {import("./types.js").Forecast} Forecast */
/** @typedef {import("./types.js").Forecasts} Forecasts */

/**
 * @param {{ flight: string, here: Forecasts, chosen: string[], past: string[], launch: string, taking: string,
 *   onChosen: (ids: string[]) => void, onFiles: (files: File[]) => void, onHere: (here: Forecasts) => void, onCame: (ids: string[]) => void }} props
 */
export function Cycles({ flight, here, chosen, past, launch, taking, onChosen, onFiles, onHere, onCame }) {
  const input = useRef(/** @type {HTMLInputElement | null} */ (null));
  /** @type {Map<string, Forecast[]>} */
  const days = new Map();
  const newest = (/** @type {Forecast} */ f) => f.cycles[0]?.cycle ?? "";
  for (const f of [...here.forecasts].sort((a, b) => newest(a).localeCompare(newest(b)))) {
    const day = f.trouble ? "Cannot be read" : newest(f) ? dayWords(newest(f)) : "Any day";
    days.set(day, [...(days.get(day) ?? []), f]);
  }
  /** @param {Forecast} f @param {boolean} on */
  const choose = (f, on) => onChosen(on ? [...chosen, f.id] : chosen.filter((id) => id !== f.id));
  return html`<section class="cycles" aria-labelledby="cycles-title">
    <div class="row"><h2 id="cycles-title">Forecasts kept</h2>
      <span class="soft">${chosen.length} of ${count(here.forecasts.length, "forecast")} chosen; days are of UTC</span></div>
    <ol class="days">
      ${[...days].map(
        ([day, list]) => html`<li key=${day}><h3>${day}</h3>
          <ul>${list.map((f) => html`<${Kept} key=${f.id} forecast=${f} on=${chosen.includes(f.id)} past=${past.includes(f.id)} launch=${launch} onChoose=${choose} onHere=${onHere} />`)}</ul>
        </li>`,
      )}
    </ol>
    <div class="bring">
      ${
        here.takes &&
        html`<div class="stack"><h3>Bring files</h3>
          <p class="row"><button type="button" onClick=${() => input.current?.click()}>Add forecast files</button>
            <input class="unseen" tabindex="-1" type="file" multiple ref=${input} aria-label="Forecast files"
              onChange=${(/** @type {Event} */ e) => {
                const field = /** @type {HTMLInputElement} */ (e.currentTarget);
                onFiles([...(field.files ?? [])]);
                field.value = "";
              }} />
            <span class="soft">or drop them anywhere here: GRIB2, or a profile as .csv</span></p>
          <p role="status" class="soft">${taking}</p></div>`
      }
      <${Fetch} flight=${flight} launch=${launch} takes=${here.takes} onCame=${onCame} />
      <${Prune} here=${here} onHere=${onHere} />
    </div>
  </section>`;
}

/** @param {{ forecast: Forecast, on: boolean, past: boolean, launch: string, onChoose: (f: Forecast, on: boolean) => void, onHere: (here: Forecasts) => void }} props */
function Kept({ forecast: f, on, past, launch, onChoose, onHere }) {
  const first = f.cycles[0];
  const name = f.kind === "invented" ? "Invented" : f.name.replace(/_\d{8}T\d+Z$/, "");
  const remove = async () => {
    try {
      onHere(await removeForecast(f.name));
      notice(`${f.name} is removed.`, { label: "Undo", run: () => restoreForecast(f.name).then(onHere, fail) });
    } catch (error) {
      fail(error);
    }
  };
  return html`<li class="kept">
    <label><input type="checkbox" checked=${on} disabled=${Boolean(f.trouble)}
        onChange=${(/** @type {Event} */ e) => onChoose(f, /** @type {HTMLInputElement} */ (e.currentTarget).checked)} />
      <span><b>${first ? utcTime(first.cycle) : name}</b>${first && html`<span class="name">${name}</span>`}</span></label>
    <p class="soft small">
      ${f.trouble && html`<b>Trouble:</b> ${f.trouble} `}
      ${first && (past ? "of other days than the launch's; " : `${ageWords(first.cycle, launch)}; `)}
      ${first && `${count(first.steps, "step")}; `}${f.cycles.length > 1 && `and ${count(f.cycles.length - 1, "older cycle")}; `}${size(f.bytes)}
    </p>
    ${f.kind === "kept" && html`<button type="button" class="quiet" aria-label=${`Remove ${f.name}`} onClick=${remove}>Remove</button>`}
  </li>`;
}

/** @param {{ here: Forecasts, onHere: (here: Forecasts) => void }} props */
function Prune({ here, onHere }) {
  const [keep, setKeep] = useState("4");
  const groups = here.forecasts.filter((f) => f.id.startsWith("cycle/"));
  if (groups.length < 2) return null;
  const number = /^\d{1,3}$/.test(keep.trim()) ? Number(keep) : -1;
  const act = async () => {
    try {
      const done = await prune(number);
      onHere(done.weather);
      const back = async () => {
        for (const name of done.removed) onHere(await restoreForecast(name));
      };
      if (done.removed.length === 0) notice("Nothing is older than that.");
      else
        notice(`${count(done.removed.length, "cycle")} removed, ${size(done.bytes)}.`, {
          label: "Undo",
          run: () => back().catch(fail),
        });
    } catch (error) {
      fail(error);
    }
  };
  return html`<div class="stack"><h3>Prune</h3>
    <p class="row"><label for="prune-keep">Keep the newest</label>
      <input id="prune-keep" class="few" type="text" inputmode="numeric" value=${keep} aria-invalid=${number < 0 ? "true" : undefined}
        onInput=${(/** @type {Event} */ e) => setKeep(/** @type {HTMLInputElement} */ (e.currentTarget).value)} />
      <span>of each source</span><button type="button" disabled=${number < 0} onClick=${act}>Remove the older</button></p>
    ${number < 0 && html`<p class="fault" role="status"><b>Not yet:</b> a whole number is expected, such as 4</p>`}
    <p class="soft small">Files you brought yourself stay.</p></div>`;
}
