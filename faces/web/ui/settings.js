// What the person chose for this browser: units and theme.
import { effect, signal } from "@preact/signals";

/** @typedef {"metric" | "us"} System */
/** @typedef {"day" | "night" | "sunlight"} Theme */

/** @param {string} key */
function kept(key) {
  try {
    return localStorage.getItem(`pappus.${key}`);
  } catch {
    return null; // storage is refused: choices last until the page is closed
  }
}

/** @param {string} key @param {string} value */
function keep(key, value) {
  try {
    localStorage.setItem(`pappus.${key}`, value);
  } catch {
    // as above
  }
}

function firstUnits() {
  const units = kept("units");
  if (units === "metric" || units === "us") return units;
  return navigator.language === "en-US" ? "us" : "metric";
}

/** @type {import("@preact/signals").Signal<System>} */
export const units = signal(/** @type {System} */ (firstUnits()));

/** @type {import("@preact/signals").Signal<Theme>} */
export const theme = signal(
  /** @type {Theme} */ (document.documentElement.dataset.theme ?? "day"), // set by first.js
);

/** @param {System} system */
export function chooseUnits(system) {
  units.value = system;
  keep("units", system);
}

/** @param {Theme} name */
export function chooseTheme(name) {
  theme.value = name;
  keep("theme", name);
}

effect(() => {
  document.documentElement.dataset.theme = theme.value;
});
