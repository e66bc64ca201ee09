// Works odds out: a few flights at once while the launch is dragged, all of them
// as a job once it rests. The newest question wins.
import { signal } from "@preact/signals";
import { NoContact } from "../api.js";
import { cancelJob, job, quickOdds, shownOdds, startOdds } from "./ask.js";

/** @typedef {import("./types.js").Odds} Odds */
/** @typedef {import("./ask.js").Asked} Asked */
/** @typedef {{ kind: "idle" | "working" | "ready" | "failed" | "lost" | "cancelled", text: string, share: number }} State */

const pace = 150; // ms between looks at a job

/** @param {number} ms */
const wait = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/** @param {string} id of the flight */
export function makeRun(id) {
  /** @type {import("@preact/signals").Signal<Odds | null>} */
  const shown = signal(null);
  /** What is shown is all flights of the question that stands, not a few or an older one. */
  const settled = signal(false);
  /** @type {import("@preact/signals").Signal<State>} */
  const state = signal(/** @type {State} */ ({ kind: "idle", text: "", share: 0 }));
  let question = 0;
  let working = "";
  let busy = false;
  /** @type {Asked | null} */
  let queued = null;

  /** @param {unknown} error */
  const failed = (error) => {
    const text = error instanceof Error ? error.message : String(error);
    state.value = { kind: error instanceof NoContact ? "lost" : "failed", text, share: 0 };
  };
  const leave = () => {
    question += 1;
    if (working) cancelJob(working).catch(() => {}); // it may have ended by itself
    working = "";
  };

  /** @param {Asked} asked @param {number} [before] how often another window stopped the work */
  async function full(asked, before = 0) {
    leave();
    queued = null;
    const mine = question;
    settled.value = false;
    state.value = { kind: "working", text: "starting", share: 0 };
    try {
      const reply = await startOdds(id, asked);
      if (reply.job) working = reply.job.id;
      while (reply.job && mine === question) {
        const now = await job(reply.job.id);
        if (mine !== question) return;
        if (now.state === "done") break;
        if (now.state !== "running") {
          working = "";
          // Our own stop ends this loop before; another window's does not bind us.
          if (now.state === "cancelled" && before < 3) return full(asked, before + 1);
          state.value = { kind: now.state === "cancelled" ? "cancelled" : "failed", text: now.text, share: 0 };
          return;
        }
        state.value = { kind: "working", text: now.text, share: now.share };
        await wait(pace);
      }
      const odds = mine === question ? await shownOdds(reply.key) : null;
      if (!odds || mine !== question) return;
      working = "";
      shown.value = odds;
      settled.value = true;
      state.value = { kind: "ready", text: "", share: 1 };
    } catch (error) {
      if (mine === question) failed(error);
    }
  }

  /** @param {Asked} asked */
  async function quick(asked) {
    queued = asked;
    if (busy) return;
    leave();
    const mine = question;
    busy = true;
    settled.value = false;
    state.value = { kind: "working", text: "following the launch", share: 0 };
    try {
      while (queued && mine === question) {
        const next = queued;
        queued = null;
        const odds = await quickOdds(id, next);
        if (mine === question) shown.value = odds;
      }
    } catch (error) {
      if (mine === question) failed(error);
    } finally {
      busy = false;
    }
  }

  const cancel = () => {
    leave();
    state.value = { kind: "cancelled", text: "stopped before it was done", share: 0 };
  };
  return { shown, settled, state, full, quick, cancel, leave };
}
