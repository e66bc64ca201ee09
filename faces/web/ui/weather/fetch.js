// Fetches a forecast from an open archive: only when the person presses, with
// bytes, time left, and a way to stop.
import { html } from "htm/preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { fail, notice } from "../notices.js";
import { cancelJob, job } from "../odds/ask.js";
import { count } from "../quantity.js";
import { resultOf, sources, startFetch } from "./ask.js";
import { wait } from "./study.js";

/** @typedef {import("./types.js").Source} Source */
/** @typedef {import("./types.js").Job} Job */

const pace = 250; // ms between looks at the job

/** @param {{ flight: string, launch: string, takes: boolean, onCame: (ids: string[]) => void }} props */
export function Fetch({ flight, launch, takes, onCame }) {
  const [list, setList] = useState(/** @type {Source[] | null} */ (null));
  const [source, setSource] = useState("");
  const [around, setAround] = useState(false);
  const [under, setUnder] = useState(/** @type {Job | null} */ (null));
  const [trouble, setTrouble] = useState("");
  const gone = useRef(false);
  const came = useRef(onCame);
  came.current = onCame;

  /** Follows a fetch to its end. @param {Job} started */
  const follow = async (started) => {
    setTrouble("");
    setUnder(started);
    try {
      let now = started;
      while (now.state === "running" && !gone.current) {
        await wait(pace);
        now = await job(started.id);
        if (now.state === "running") setUnder(now);
      }
      if (gone.current) return;
      setUnder(null);
      if (now.state === "failed" || now.state === "stopped") setTrouble(now.text);
      if (now.state === "cancelled")
        setTrouble("Stopped. What has come is kept aside, and the next fetch goes on from it.");
      if (now.state !== "done") return;
      const result = await resultOf(started.id);
      notice("The forecast is here.");
      if (result.lacks.length > 0)
        setTrouble(`The archive has no ${result.lacks.join(", no ")}: that is not looked at.`);
      came.current([result.id]);
    } catch (error) {
      setUnder(null);
      fail(error);
    }
  };
  useEffect(() => {
    gone.current = false;
    sources().then((found) => {
      setList(found.sources);
      setSource((before) => before || (found.sources[0]?.name ?? ""));
      if (found.job) follow(found.job); // begun before this page was opened
    }, fail);
    return () => {
      gone.current = true;
    };
  }, [flight]);

  const day = 86400e3;
  const shifted = (/** @type {number} */ by) => new Date(Date.parse(launch) + by).toISOString();
  const press = () =>
    startFetch(flight, { source, ...(around ? { from: shifted(-day / 2), to: shifted(day / 2) } : {}) }).then(
      follow,
      (error) => setTrouble(error.message),
    );
  if (!list || !takes) return null;
  if (list.length === 0) {
    return html`<div class="stack"><h3>Fetch</h3><p class="soft">This app was started without archives to fetch from. Bring files instead.</p></div>`;
  }
  return html`<div class="stack"><h3>Fetch from an archive</h3>
    ${
      under
        ? html`<div class="worked" data-state="working"><progress max="1" value=${under.share} aria-label="Bytes fetched"></progress>
            <span class="soft" role="status">${under.text}</span>
            <button type="button" class="quiet" onClick=${() => cancelJob(under.id).catch(fail)}>Stop</button></div>`
        : html`<p class="row"><label for="fetch-source">From</label>
            <select id="fetch-source" class="source" value=${source} onChange=${(/** @type {Event} */ e) => setSource(/** @type {HTMLSelectElement} */ (e.currentTarget).value)}>
              ${list.map((s) => html`<option key=${s.name} value=${s.name} selected=${s.name === source}>${s.title}${s.members && !s.title.includes("member") ? `, ${count(s.members, "member")}` : ""}</option>`)}
            </select><button type="button" onClick=${press}>Fetch what this flight needs</button></p>
          <label class="check"><input type="checkbox" checked=${around} onChange=${() => setAround(!around)} /> and for 12 hours before and after the launch, to compare hours</label>`
    }
    ${trouble && html`<p class="fault" role="alert">${trouble}</p>`}
    <p class="soft small">Nothing is fetched until you press, and then only the levels, steps and area of this flight.</p></div>`;
}
