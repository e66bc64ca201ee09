// The Weather place: which hour and site are worth waiting for, on which
// forecasts, and how the answer moved.
import { html } from "htm/preact";
import { useEffect, useMemo, useState } from "preact/hooks";
import { contact } from "../live.js";
import { fail, notice } from "../notices.js";
import { forecasts } from "../odds/ask.js";
import { chosenFor, keepChosen, takeIn } from "../odds/weather.js";
import { set, usePlan } from "../plan/state.js";
import { flightAddress } from "../router.js";
import { units } from "../settings.js";
import { Cycles } from "./cycles.js";
import { HourSheet } from "./hour.js";
import { HourTable } from "./hours.js";
import { Limits } from "./limits.js";
import { Season } from "./season.js";
import { makeStudy } from "./study.js";
import { Trend } from "./trend.js";
import { Answer, Working } from "./verdict.js";
import { WindColumn } from "./winds.js";
import { inLaunchOffset, whenWords } from "./words.js";

/** @typedef {import("../api.js").Open} Open */
/** @typedef {import("./types.js").Forecasts} Forecasts */
/** @typedef {import("./types.js").Hour} Hour */
/** @template T @typedef {import("./study.js").Study<T>} Study */

/** @param {import("../places.js").PlaceProps} props */
export default function WeatherPlace({ open, onOpen }) {
  const { flight, summary } = open;
  if (!summary.launch) {
    return html`<div class="weather"><h1>Weather</h1>
      <p>Weather needs a launch place and time. ${summary.missing[0] && `Line ${summary.missing[0].line}: ${summary.missing[0].text}`}</p>
      <p><a class="button first" href=${`${flightAddress(flight.id, "text")}#line-${summary.missing[0]?.line ?? 1}`}>Mend the flight file</a></p></div>`;
  }
  return html`<${Worked} key=${flight.id} open=${open} onOpen=${onOpen} launch=${summary.launch} />`;
}

/** Whether a forecast is of other days than the launch's alone. @param {import("./types.js").Forecast} f @param {string} launch */
const isPast = (f, launch) =>
  f.cycles.length > 0 &&
  f.cycles.every((c) => Date.parse(c.to) < Date.parse(launch) || Date.parse(c.from) > Date.parse(launch));

/** The hour that the address names. */
const namedHour = () => new URLSearchParams(location.search).get("hour") ?? "";

/** @param {{ open: Open, onOpen: (open: Open) => void, launch: string }} props */
function Worked({ open, onOpen, launch }) {
  const { id } = open.flight;
  const plan = usePlan(open, onOpen);
  const hours = useMemo(() => /** @type {Study<import("./types.js").Hours>} */ (makeStudy(id, "hours")), [id]);
  const trend = useMemo(() => makeStudy(id, "trend"), [id]);
  const [here, setHere] = useState(/** @type {Forecasts | null} */ (null));
  const [chosen, setChosen] = useState(/** @type {string[]} */ ([]));
  const [taking, setTaking] = useState("");
  const [over, setOver] = useState(false);
  const [at, setAt] = useState(namedHour());
  const [site, setSite] = useState("");
  const { revision } = open;

  /** Takes in what is here; a choice that is gone gives way. @param {Forecasts} found */
  const settle = (found) => {
    setHere(found);
    setChosen((before) => {
      const there = before.filter((c) => found.forecasts.some((f) => f.id === c && !f.trouble));
      if (there.some((c) => found.forecasts.some((f) => f.id === c && !isPast(f, launch)))) return there;
      return chosenFor(id, { ...found, forecasts: found.forecasts.filter((f) => !isPast(f, launch)) });
    });
  };
  const read = () => forecasts().then(settle, fail);
  useEffect(() => {
    if (contact.value) read();
  }, [id, contact.value]);
  useEffect(
    () => () => {
      hours.leave();
      trend.leave();
    },
    [hours, trend],
  );

  const past = (here?.forecasts ?? []).filter((f) => isPast(f, launch)).map((f) => f.id);
  const serving = chosen.filter((c) => !past.includes(c));
  const ask = async () => {
    const asked = { weather: serving, units: units.value };
    await hours.run(asked);
    if (hours.state.value.kind === "ready") trend.run(asked);
  };
  useEffect(() => {
    if (here && serving.length > 0 && contact.value) ask();
  }, [serving.join(" "), revision.number, units.value, contact.value, here === null]);

  /** @param {string[]} ids */
  const choose = (ids) => {
    setChosen(ids);
    keepChosen(id, ids);
  };
  /** @param {string[]} ids that came in just now */
  const came = async (ids) => {
    if (ids.length === 0) return;
    await read();
    choose([...new Set([...chosen.filter((c) => c !== "demo"), ...ids])]); // real weather takes the invented one's place
  };
  /** @param {File[]} files */
  const take = async (files) => {
    setOver(false);
    came(await takeIn(files, setTaking));
  };

  const answer = serving.length > 0 ? hours.shown.value : null;
  const doc = answer?.document ?? null;
  const sites = doc?.sites ?? [];
  const shownSite = sites.some((s) => s.name === site) ? site : (sites[0]?.name ?? "");
  const ofSite = doc ? doc.hours.filter((h) => h.site === shownSite) : [];
  const moment = at || new Date(launch).toISOString();
  const hour =
    ofSite.find((h) => Date.parse(h.time) === Date.parse(moment)) ??
    ofSite.find((h) => Date.parse(h.time) === Date.parse(launch)) ??
    ofSite.find((h) => h.landing) ??
    null;
  /** @param {Hour} h */
  const look = (h) => {
    setAt(h.time);
    setSite(h.site);
    history.replaceState(null, "", `${location.pathname}?${new URLSearchParams({ hour: h.time })}`);
  };
  /** Saves the flight with another launch time, and place where the hour is of another site. @param {Hour} h */
  const use = (h) => {
    const edits = [set("launch.time", inLaunchOffset(launch, h.time))];
    const number = sites.findIndex((s) => s.name === h.site);
    const to = sites[number];
    const from = sites[0];
    if (number > 0 && to && from) {
      edits.push(
        set("launch.place", to.name),
        set("launch.latitude", plan.text(`site[${number}].latitude`)),
        set("launch.longitude", plan.text(`site[${number}].longitude`)),
        set("launch.elevation", plan.text(`site[${number}].elevation`)),
        // The place before takes the other's row, so that it is not lost.
        set(`site[${number}].name`, from.name),
        set(`site[${number}].latitude`, plan.text("launch.latitude")),
        set(`site[${number}].longitude`, plan.text("launch.longitude")),
        set(`site[${number}].elevation`, plan.text("launch.elevation")),
      );
      if (plan.text(`site[${number}].drive`)) edits.push(set(`site[${number}].drive`, ""));
    }
    const words = `${whenWords(launch, h.time)}${number > 0 ? ` from ${h.site}` : ""}`;
    plan
      .act(edits, `launch at ${words}`)
      .then(() => notice(`The launch is set to ${words}. History has the revision before.`));
  };
  const empty = here && here.forecasts.length === 0;
  return html`<div
    class=${over ? "weather over" : "weather"}
    onDragOver=${(/** @type {DragEvent} */ e) => {
      e.preventDefault();
      if (here?.takes) setOver(true);
    }}
    onDragLeave=${(/** @type {DragEvent} */ e) => e.currentTarget === e.target && setOver(false)}
    onDrop=${(/** @type {DragEvent} */ e) => {
      e.preventDefault();
      take([...(e.dataTransfer?.files ?? [])]);
    }}
  >
    <h1 class="unseen">Weather for ${open.flight.name}</h1>
    ${
      serving.length > 0 &&
      html`<${Working} hours=${hours.state.value} trend=${trend.state.value} shown=${Boolean(doc)} onAgain=${ask}
      onCancel=${() => {
        hours.cancel();
        trend.cancel();
      }} />`
    }
    ${
      doc &&
      html`<${Answer} answer=${doc} invented=${answer?.invented ?? false} stale=${hours.state.value.kind !== "ready"} launch=${launch} at=${hour} onLook=${look} />`
    }
    ${
      here &&
      !empty &&
      serving.length === 0 &&
      html`<section class="said-empty"><h2>No chosen forecast covers the launch</h2>
        <p>Choose one that does, fetch one, or bring files: the hours are compared as soon as one is here.</p></section>`
    }
    ${
      empty &&
      html`<section class="said-empty"><h2>No forecast is here yet</h2>
        <p>Forecasts go here: the cycles you keep, the hours they speak for, and how the landing moves between them. Fetch one below, or drop GRIB2 files anywhere on this page.</p></section>`
    }
    ${here && html`<${Cycles} flight=${id} here=${here} chosen=${chosen} past=${past} launch=${launch} taking=${taking} onChosen=${choose} onFiles=${take} onHere=${settle} onCame=${came} />`}
    ${
      serving.length > 0 &&
      html`<div class="winds-trend">
        <${WindColumn} id=${id} weather=${serving} launch=${launch} time=${hour?.time ?? launch} site=${shownSite === sites[0]?.name ? "" : shownSite} burst=${hour?.burst_alt_m?.p50 ?? null} revision=${revision.number} />
        <${Trend} study=${trend} launch=${launch} open=${open} />
      </div>`
    }
    ${
      doc &&
      html`<${HourTable} answer=${doc} hours=${ofSite} sites=${sites} site=${shownSite} onSite=${setSite} hour=${hour} launch=${launch} stale=${hours.state.value.kind !== "ready"} onLook=${look} />
      ${hour && html`<${HourSheet} study=${answer?.key ?? ""} answer=${doc} hour=${hour} launch=${launch} sites=${sites} onUse=${use} />`}`
    }
    <${Limits} state=${plan} answer=${doc} />
    <${Season} id=${id} past=${past} revision=${revision.number} />
    ${
      doc &&
      html`<section aria-labelledby="unseen-title"><h2 id="unseen-title">Not looked at</h2>
        <p class="soft">No verdict here says that a flight is legal or safe. Look yourself, and ask where you must; local rules and the authority decide.</p>
        <ul class="unlooked">${doc.not_looked_at.map((what) => html`<li key=${what}>${what}</li>`)}</ul></section>`
    }
  </div>`;
}
