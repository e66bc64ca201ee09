// Works a study out as a job: hours, a trend or a season. The newest question
// wins, and what was answered before stays until the new answer comes.
import { signal } from "@preact/signals";
import { NoContact } from "../api.js";
import { cancelJob, job } from "../odds/ask.js";
import { shownStudy, startStudy } from "./ask.js";

/** @typedef {{ kind: "idle" | "working" | "ready" | "failed" | "lost" | "cancelled", text: string, share: number }} State */

const pace = 150; // ms between looks at a job

/** @param {number} ms */
export const wait = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/**
 * @template T
 * @typedef {object} Study
 * @property {import("@preact/signals").Signal<{ key: string, invented: boolean, document: T } | null>} shown
 * @property {import("@preact/signals").Signal<State>} state
 * @property {(asked: import("./ask.js").Asked) => Promise<void>} run
 * @property {() => void} cancel
 * @property {() => void} leave
 */

/**
 * @param {string} id of the flight
 * @param {"hours" | "trend" | "season"} kind
 * @returns {Study<any>}
 */
export function makeStudy(id, kind) {
  /** @type {import("@preact/signals").Signal<{ key: string, invented: boolean, document: any } | null>} */
  const shown = signal(/** @type {any} */ (null));
  /** @type {import("@preact/signals").Signal<State>} */
  const state = signal(/** @type {State} */ ({ kind: "idle", text: "", share: 0 }));
  let question = 0;
  let working = "";

  const leave = () => {
    question += 1;
    if (working) cancelJob(working).catch(() => {}); // it may have ended by itself
    working = "";
  };
  const cancel = () => {
    leave();
    state.value = { kind: "cancelled", text: "", share: 0 };
  };

  /** @param {import("./ask.js").Asked} asked */
  async function run(asked) {
    leave();
    const mine = question;
    state.value = { kind: "working", text: "starting", share: 0 };
    try {
      const reply = await startStudy(id, kind, asked);
      if (mine !== question) return;
      if (reply.job) working = reply.job.id;
      while (reply.job) {
        const now = await job(reply.job.id);
        if (mine !== question) return;
        if (now.state === "done") break;
        if (now.state !== "running") {
          working = "";
          state.value = { kind: now.state === "cancelled" ? "cancelled" : "failed", text: now.text, share: 0 };
          return;
        }
        state.value = { kind: "working", text: now.text, share: now.share };
        await wait(pace);
      }
      const found = await shownStudy(reply.key);
      if (mine !== question) return;
      working = "";
      shown.value = found;
      state.value = { kind: "ready", text: "", share: 1 };
    } catch (error) {
      if (mine !== question) return;
      working = "";
      const text = error instanceof Error ? error.message : String(error);
      state.value = { kind: error instanceof NoContact ? "lost" : "failed", text, share: 0 };
    }
  }
  return { shown, state, run, cancel, leave };
}
