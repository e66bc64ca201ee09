// What the program answers about odds; keys are the contract's.

/** @typedef {{ lat_deg: number[], lon_deg: number[], alt_m: number[], after_s: number[] }} Way */
/** @typedef {{ p10: number, p50: number, p90: number }} Band */
/** @typedef {{ p10: string, p50: string, p90: string }} Times */
/** @typedef {{ lat_deg: number, lon_deg: number, alt_m: number, time: string }} Spot */
/** @typedef {{ type: "MultiPolygon", coordinates: [number, number][][][] }} Shape */
/** @typedef {{ probability: number, area_km2: number, geometry: Shape }} Region */
/** @typedef {{ town: string, region: string, distance_m: number, wind: string }} Beside */
/**
 * @typedef {object} Landing
 * @property {{ lat_deg: number, lon_deg: number }} median
 * @property {number} radius_50_m
 * @property {number} radius_90_m
 * @property {Region[]} regions
 * @property {Times} time
 * @property {Band} speed_mps
 * @property {Band} drift_m
 */
/**
 * @typedef {object} Weather
 * @property {string} source
 * @property {string | null} cycle
 * @property {number | null} age_s
 * @property {number | null} levels_top_m
 * @property {number} members
 * @property {string[]} steps
 * @property {{ what: string, from: string, share: number }[]} held
 * @property {string[]} [unused]
 */
/**
 * @typedef {object} Answer
 * @property {{ burst: Spot, landing: Spot, drift_m: number }} nominal
 * @property {number} members
 * @property {number} seed
 * @property {Landing} landing
 * @property {{ alt_m: Band, time: Times }} burst
 * @property {{ what: string, probability: number }[]} chances
 * @property {string[]} not_looked_at
 * @property {Weather} weather
 * @property {Spot} launch
 */
/** @typedef {{ columns: number, rows: number, cells: number[], corners: [number, number][] }} Shade */
/**
 * @typedef {object} Odds
 * @property {string} key
 * @property {Answer} odds
 * @property {string} launch when after_s counts from
 * @property {Way} up
 * @property {Way} down
 * @property {Shade} [shade]
 * @property {Beside} [middle]
 * @property {string} [frozen_at]
 * @property {{ distance_m: number, wind: string, elevation_m: number, beside?: Beside }} [moved]
 * @property {boolean} invented
 */
/** @typedef {{ cycle: string, source: string, from: string, to: string, steps: number }} Cycle */
/**
 * @typedef {object} Forecast
 * @property {string} id
 * @property {string} name
 * @property {"invented" | "given" | "kept"} kind
 * @property {number} files
 * @property {number} bytes
 * @property {boolean} table
 * @property {Cycle[]} cycles
 * @property {string} [trouble]
 */
/** @typedef {{ takes: boolean, forecasts: Forecast[] }} Forecasts */
/** @typedef {{ name: string, kind: string }} Area */
/** @typedef {{ areas: Area[], geojson: any }} Areas */
/** @typedef {{ name: string, lat_deg: number, lon_deg: number }} Named */
/** @typedef {{ towns: (Named & { people: number })[], airfields: (Named & { kind: string })[] }} Ground */
/** @typedef {{ lat: number, lon: number }} Place */
/** @typedef {{ id: string, state: "running" | "done" | "failed" | "cancelled" | "stopped", share: number, text: string }} Job */

export {};
