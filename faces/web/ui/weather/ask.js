// What is asked of the program about weather.
import { ask } from "../api.js";

/** @typedef {{ weather: string[], units: string }} Asked */

/** @param {string} id */
const of = (id) => `/flights/${encodeURIComponent(id)}`;

/** @returns {Promise<import("./types.js").Sources>} */
export const sources = () => ask("GET", "/weather-sources");
/** @param {number} keep @returns {Promise<import("./types.js").Pruned>} */
export const prune = (keep) => ask("POST", "/weather-prune", { keep });
/** @param {string} id @param {{ source: string, from?: string, to?: string }} asked @returns {Promise<import("./types.js").Job>} */
export const startFetch = (id, asked) => ask("POST", `${of(id)}/fetch`, asked);
/** @param {string} id of a job @returns {Promise<any>} */
export const resultOf = (id) => ask("GET", `/jobs/${id}/result`);
/** @param {string} id @param {"hours" | "trend" | "season"} kind @param {Asked} asked @returns {Promise<{ key: string, job?: import("./types.js").Job }>} */
export const startStudy = (id, kind, asked) => ask("POST", `${of(id)}/${kind}`, asked);
/** @param {string} key @returns {Promise<{ key: string, kind: string, invented: boolean, document: any }>} */
export const shownStudy = (key) => ask("GET", `/studies/${key}`);
/** @param {string} key @param {number} number @returns {Promise<import("./types.js").ShownHour>} */
export const hourOf = (key, number) => ask("GET", `/studies/${key}/hours/${number}`);
/** @param {string} id @param {{ weather: string[], time?: string, site?: string }} asked @returns {Promise<import("./types.js").Winds>} */
export const windsOf = (id, asked) => ask("POST", `${of(id)}/winds`, asked);
