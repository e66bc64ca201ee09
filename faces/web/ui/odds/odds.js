// The Odds place: where the flight comes down and how sure that is.
import { html } from "htm/preact";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { Refusal } from "../api.js";
import { contact } from "../live.js";
import { fail, notice } from "../notices.js";
import { units } from "../settings.js";
import { span } from "./along.js";
import { OwnAreas } from "./areas.js";
import { areasOf, forecasts, moveLaunch, waysOf } from "./ask.js";
import { Chart } from "./chart.js";
import { useGround } from "./ground.js";
import { Tried, TypedPlace } from "./moved.js";
import { Profile } from "./profile.js";
import { Progress } from "./progress.js";
import { makeRun } from "./run.js";
import { Chances, Files, NotLookedAt, Regions, Verdict, WeatherUsed } from "./sheet.js";
import { chosenFor, ForecastChoice, keepChosen, takeIn } from "./weather.js";
import { momentWords, verdict } from "./words.js";

/** @typedef {import("./types.js").Place} Place */
/** @typedef {import("./types.js").Way} Way */

/** Where the mark stands at first: half the way up. @param {import("./types.js").Odds} odds */
const halfway = (odds) => (span(odds).begin + span(odds).burst) / 2;

const single = 60; // flights that are shown one by one
/** @type {Way[]} */
const noWays = [];
const noAreas = /** @type {import("./types.js").Areas} */ ({
  areas: [],
  geojson: { type: "FeatureCollection", features: [] },
});

/** @param {import("../places.js").PlaceProps} props */
export default function OddsPlace({ open, onOpen }) {
  const { flight, summary, revision } = open;
  if (summary.lat_deg === undefined || summary.lon_deg === undefined || !summary.launch) {
    return html`<div class="odds-empty stack">
      <h1>Odds</h1>
      <p>The odds need a launch place and time. ${summary.missing[0] && `Line ${summary.missing[0].line}: ${summary.missing[0].text}`}</p>
      <p><a class="button first" href=${`/f/${flight.id}/text#line-${summary.missing[0]?.line ?? 1}`}>Mend the flight file</a></p>
    </div>`;
  }
  const place = { lat: summary.lat_deg, lon: summary.lon_deg };
  return html`<${Worked} key=${flight.id} open=${open} onOpen=${onOpen} saved=${place} launch=${summary.launch} revision=${revision.number} />`;
}

/** @param {{ open: import("../api.js").Open, onOpen: (open: import("../api.js").Open) => void, saved: Place, launch: string, revision: number }} props */
function Worked({ open, onOpen, saved, launch, revision }) {
  const { id } = open.flight;
  const name = open.summary.place ?? "";
  const run = useMemo(() => makeRun(id), [id]);
  const [here, setHere] = useState(/** @type {import("./types.js").Forecasts | null} */ (null));
  const [chosen, setChosen] = useState(/** @type {string[]} */ ([]));
  const [taking, setTaking] = useState("");
  const [over, setOver] = useState(false);
  const [areas, setAreas] = useState(noAreas);
  const [tried, setTried] = useState(/** @type {{ to: Place, held: boolean } | null} */ (null));
  const [moment, setMoment] = useState(/** @type {number | null} */ (null));
  const [ways, setWays] = useState(noWays);
  const [alone, setAlone] = useState(false);
  const odds = run.shown.value;
  const settled = run.settled.value;
  const ground = useGround(settled ? odds : null);

  useEffect(() => {
    if (!contact.value) return;
    forecasts().then((found) => {
      setHere(found);
      setChosen((before) => (before.length > 0 ? before : chosenFor(id, found)));
    }, fail);
    areasOf(id).then(setAreas, fail);
  }, [id, contact.value]);
  useEffect(() => () => run.leave(), [run]);
  // What is being tried stands first in the sheet, and is brought there.
  const sheet = useRef(/** @type {HTMLDivElement | null} */ (null));
  useEffect(() => {
    if (tried && sheet.current) sheet.current.scrollTop = 0;
  }, [tried !== null]);

  /** @param {Place | null} to @returns {import("./ask.js").Asked} */
  const asked = (to) => ({ weather: chosen, units: units.value, ...(to ? { lat_deg: to.lat, lon_deg: to.lon } : {}) });
  // Full odds whenever what they stand on rests, and again when contact comes back.
  useEffect(() => {
    if (chosen.length > 0 && contact.value && !tried?.held) run.full(asked(tried?.to ?? null));
  }, [chosen.join(" "), revision, tried, areas, contact.value]);
  useEffect(() => {
    setWays(noWays);
    if (alone && settled && odds) waysOf(odds.key, single).then((found) => setWays(found.ways), fail);
  }, [alone, settled, odds?.key]);

  /** @param {string[]} ids */
  const choose = (ids) => {
    setChosen(ids);
    keepChosen(id, ids);
  };
  /** @param {File[]} files */
  const take = async (files) => {
    setOver(false);
    const ids = await takeIn(files, setTaking);
    if (ids.length === 0) return;
    forecasts().then(setHere, fail);
    // Real weather takes the place of the invented one.
    choose([...new Set([...chosen.filter((c) => c !== "demo"), ...ids])]);
  };
  /** @param {Place} to */
  const drag = (to) => {
    setTried({ to, held: true });
    if (chosen.length > 0) run.quick(asked(to));
  };
  /** @param {string} newName */
  const keep = async (newName) => {
    if (!tried) return;
    try {
      const { lat, lon } = tried.to;
      const answer = await moveLaunch(id, {
        from: revision,
        lat_deg: lat,
        lon_deg: lon,
        place: newName,
        weather: chosen,
      });
      setTried(null);
      onOpen(answer);
      notice(`The launch is moved: revision ${answer.revision.number}. History has the one before.`);
    } catch (error) {
      fail(
        error instanceof Refusal && error.status === 409
          ? new Error("The flight was changed elsewhere meanwhile. Save the launch again to move it there too.")
          : error,
      );
    }
  };
  /** @param {DragEvent} e */
  const dropped = (e) => {
    e.preventDefault();
    take([...(e.dataTransfer?.files ?? [])]);
  };
  const middle = odds ? (moment ?? halfway(odds)) : 0;
  const words = odds
    ? `${verdict(odds, launch, units.value).join(" ")} At ${momentWords(odds, launch, middle, units.value)}.`
    : "The launch; no odds are drawn yet.";
  const empty = here && chosen.length === 0;
  return html`<div
    class=${over ? "odds over" : "odds"}
    onDragOver=${(/** @type {DragEvent} */ e) => {
      e.preventDefault();
      if (here?.takes) setOver(true);
    }}
    onDragLeave=${(/** @type {DragEvent} */ e) => e.currentTarget === e.target && setOver(false)}
    onDrop=${dropped}
  >
    <h1 class="unseen">Odds of ${open.flight.name}</h1>
    <div class="chart-side">
      <${Chart} launch=${tried?.to ?? saved} name=${name} odds=${odds} settled=${settled} ways=${ways} areas=${areas.geojson} ground=${ground}
        moment=${odds ? middle : null} words=${words} onDrag=${drag} onDrop=${(/** @type {Place} */ to) => setTried({ to, held: false })} />
      ${odds && html`<${Profile} odds=${odds} launch=${launch} moment=${middle} onMoment=${setMoment} />`}
    </div>
    <div class="odds-sheet" ref=${sheet}>
      <${Progress} state=${run.state.value} shown=${Boolean(odds)} onCancel=${run.cancel} onAgain=${() => run.full(asked(tried?.to ?? null))} />
      ${tried && html`<${Tried} odds=${odds} name=${name} settled=${settled} onKeep=${keep} onBack=${() => setTried(null)} />`}
      ${odds && html`<${Verdict} odds=${odds} launch=${launch} settled=${settled} />`}
      ${
        empty &&
        html`<section class="empty-odds"><h2>Drop a forecast in</h2>
          <p>The odds are drawn through a weather forecast that covers the launch place and time: GRIB2 files, or one profile as a table.</p></section>`
      }
      ${
        odds &&
        html`<${Chances} odds=${odds} />
        <label class="check"><input type="checkbox" checked=${alone} onChange=${() => setAlone(!alone)} /> Show ${single} single flights</label>`
      }
      ${here && html`<${ForecastChoice} key=${chosen.length === 0} here=${here} chosen=${chosen} taking=${taking} onChosen=${choose} onFiles=${take} onHere=${setHere} />`}
      <${TypedPlace} place=${tried?.to ?? saved} onTry=${(/** @type {Place} */ to) => setTried({ to, held: false })} />
      <${OwnAreas} id=${id} areas=${areas} onAreas=${setAreas} />
      ${odds && html`<${Regions} odds=${odds} /><${Files} odds=${odds} settled=${settled} /><${WeatherUsed} odds=${odds} /><${NotLookedAt} odds=${odds} />`}
    </div>
  </div>`;
}
