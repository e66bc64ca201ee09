// What is asked of the program about odds.
import { apiAddress, ask } from "../api.js";

/** @typedef {import("./types.js").Odds} Odds */
/** @typedef {{ weather: string[], lat_deg?: number, lon_deg?: number, units: string }} Asked */

/** @param {string} id */
const of = (id) => `/flights/${encodeURIComponent(id)}`;
/** @param {string} name */
const file = (name) => `/weather/${encodeURIComponent(name)}`;

/** @returns {Promise<import("./types.js").Forecasts>} */
export const forecasts = () => ask("GET", "/weather");
/** @param {string} name @param {Blob} bytes @returns {Promise<import("./types.js").Forecast>} */
export const takeForecast = (name, bytes) => ask("PUT", file(name), bytes);
/** @param {string} name @returns {Promise<import("./types.js").Forecasts>} */
export const removeForecast = (name) => ask("DELETE", file(name));
/** @param {string} name @returns {Promise<import("./types.js").Forecasts>} */
export const restoreForecast = (name) => ask("POST", `${file(name)}/restore`);

/** @param {string} id @returns {Promise<import("./types.js").Areas>} */
export const areasOf = (id) => ask("GET", `${of(id)}/areas`);
/** @param {string} id @param {Blob} bytes @returns {Promise<import("./types.js").Areas>} */
export const takeAreas = (id, bytes) => ask("PUT", `${of(id)}/areas`, bytes);
/** @param {string} id @returns {Promise<import("./types.js").Areas>} */
export const dropAreas = (id) => ask("DELETE", `${of(id)}/areas`);

/** @param {string} id @param {Asked} asked @returns {Promise<{ key: string, job?: import("./types.js").Job }>} */
export const startOdds = (id, asked) => ask("POST", `${of(id)}/odds`, asked);
/** @param {string} id @param {Asked} asked @returns {Promise<Odds>} */
export const quickOdds = (id, asked) => ask("POST", `${of(id)}/odds/quick`, asked);
/** @param {string} key @returns {Promise<Odds>} */
export const shownOdds = (key) => ask("GET", `/odds/${key}`);
/** @param {string} key @param {number} members @returns {Promise<{ ways: import("./types.js").Way[] }>} */
export const waysOf = (key, members) => ask("GET", `/odds/${key}/ways?members=${members}`);
/** @param {string} key @param {string} kind */
export const fileAddress = (key, kind) => apiAddress(`/odds/${key}/file/${kind}`);
/** @param {string} id @returns {Promise<import("./types.js").Job>} */
export const job = (id) => ask("GET", `/jobs/${id}`);
/** @param {string} id */
export const cancelJob = (id) => ask("POST", `/jobs/${id}/cancel`);

/** @param {string} id @param {{ from: number, lat_deg: number, lon_deg: number, place: string, weather: string[] }} moved @returns {Promise<import("../api.js").Open>} */
export const moveLaunch = (id, moved) => ask("POST", `${of(id)}/launch`, moved);

/** @param {{ south: number, west: number, north: number, east: number }} box @returns {Promise<import("./types.js").Ground>} */
export const groundIn = (box) =>
  ask("GET", `/ground?south=${box.south}&west=${box.west}&north=${box.north}&east=${box.east}`);
