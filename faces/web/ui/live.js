// What the page knows of the world beside it: whether the program answers, what
// other windows did, and what time it is.
import { signal } from "@preact/signals";
import { openEvents } from "./api.js";

/** @typedef {import("./api.js").Flight} Flight */

/** Whether the program answers. */
export const contact = signal(true);

/** The time in milliseconds, moving once a second while the page is seen. */
export const now = signal(Date.now());

/** Counts up whenever everything must be read anew. */
export const readAnew = signal(0);

/** The last flight that any window changed.
 * @type {import("@preact/signals").Signal<Flight | null>} */
export const changedFlight = signal(null);

/** Counts up whenever long work ends. */
export const workMoved = signal(0);

let last = "";
/** @type {EventSource | null} */
let source = null;

// Browsers allow few connections to one server, so a hidden window gives its own
// back and catches up when it is seen again.
function follow() {
  if (document.hidden) {
    source?.close();
    source = null;
    return;
  }
  if (source) return;
  source = openEvents(last, {
    contact: (there) => {
      contact.value = there;
    },
    event: (kind, data, id) => {
      last = id;
      if (kind === "reset") readAnew.value += 1;
      if (kind === "job" && /** @type {{ state: string }} */ (data).state !== "running") workMoved.value += 1;
      if (kind === "flight") changedFlight.value = /** @type {Flight} */ (data);
    },
  });
}

export function startLive() {
  follow();
  document.addEventListener("visibilitychange", follow);
  setInterval(() => {
    if (!document.hidden) now.value = Date.now();
    // After some refusals browsers give a stream up for good.
    if (source?.readyState === EventSource.CLOSED) {
      source = null;
      follow();
    }
  }, 1000);
}
