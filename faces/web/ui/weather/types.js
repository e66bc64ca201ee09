// What the program answers about hours, cycles, seasons and winds; keys are the
// contract's.

/** @typedef {import("../odds/types.js").Band} Band */
/** @typedef {import("../odds/types.js").Region} Region */
/** @typedef {import("../odds/types.js").Job} Job */
/** @typedef {import("../odds/types.js").Forecast} Forecast */
/** @typedef {import("../odds/types.js").Forecasts} Forecasts */
/** @typedef {{ lat_deg: number, lon_deg: number }} Spot */
/**
 * @typedef {object} Landing
 * @property {Spot} median
 * @property {number} radius_50_m
 * @property {number} radius_90_m
 * @property {{ p10: string, p50: string, p90: string }} time
 * @property {Band} speed_mps
 * @property {Band} drift_m
 * @property {Region[]} [regions]
 */
/** @typedef {{ wind_mps: number | null, wind_from_deg: number | null, gust_mps: number | null, cloud_share: number | null, wind_source: string }} Near */
/** @typedef {{ id: string, value: number, limit: number, unit: string, at_least: boolean, within: boolean, own: boolean, text: string }} Check */
/** @typedef {{ id?: string, what: string, probability: number }} Chance */
/** @typedef {"go" | "wait" | "no"} Verdict */
/**
 * @typedef {object} Hour
 * @property {string} time
 * @property {string} site
 * @property {Verdict} verdict
 * @property {string[]} reasons
 * @property {number} rank
 * @property {Landing} [landing] absent when the hour could not be flown
 * @property {Chance[] | null} chances
 * @property {number | null} drift_m
 * @property {number | null} bearing_deg
 * @property {Band} [burst_alt_m]
 * @property {Near} [at_launch]
 * @property {Near | null} [at_landing]
 * @property {{ at_landing: string, daylight_left_s: number | null, sunset?: string }} [light]
 * @property {number | null} forecast_age_s
 * @property {string | null} cycle
 * @property {Check[]} [checks]
 * @property {string[]} [not_looked_at]
 */
/** @typedef {{ name: string, lat_deg: number, lon_deg: number, elevation_m: number, drive_s?: number }} Site */
/** @typedef {{ id: string, text: string, value: number, unit: string, own: boolean }} Limit */
/**
 * @typedef {object} Hours
 * @property {string} summary
 * @property {string} from
 * @property {string} to
 * @property {number} every_s
 * @property {number} members
 * @property {Site[]} sites
 * @property {Limit[]} limits
 * @property {Hour[]} hours
 * @property {{ source: string, cycle: string | null, members: number, notes?: string[] }[]} weather
 * @property {string[]} not_looked_at
 */
/** @typedef {{ cycle: string, source: string, age_s: number, landing: Landing & { regions: Region[] }, drift_m: number, moved_m: number, moved_bearing_deg: number | null }} Flown */
/** @typedef {{ cycle: string, why: string }} Left */
/**
 * @typedef {object} Trend
 * @property {string} summary
 * @property {number} members
 * @property {Flown[]} cycles the newest first
 * @property {Left[]} not_flown
 * @property {{ verdict: string, text: string }} agreement
 */
/** @typedef {{ towards: string, share: number, drift_m?: Band }} Petal */
/**
 * @typedef {object} Season
 * @property {string} label
 * @property {string} summary
 * @property {string} local_hour
 * @property {number} days
 * @property {Petal[]} rose
 * @property {Chance[]} chances
 * @property {{ median: Spot, radius_50_m: number, radius_90_m: number, drift_m: Band }} landing
 * @property {{ day: string, drift_m: number, bearing_deg: number, water?: number }[]} flown
 * @property {Left[]} not_flown
 * @property {string[]} notes
 * @property {string[]} not_looked_at
 */
/** @typedef {{ alt_m: number, pressure_pa: number, temperature_k: number, speed_mps: number, from_deg: number, spread_mps: number }} Level */
/** @typedef {{ source: string, cycle: string | null, age_s: number | null, members: number, time: string, frozen: boolean, levels: Level[] }} Winds */
/** @typedef {{ time: string, site: string, lat_deg: number, lon_deg: number, landing: Landing & { regions: Region[] }, middle?: import("../odds/types.js").Beside }} ShownHour */
/** @typedef {{ name: string, title: string, grid_deg: number, members: number }} Source */
/** @typedef {{ sources: Source[], job?: Job }} Sources */
/** @typedef {{ removed: string[], bytes: number, left_alone: string[], weather: Forecasts }} Pruned */

export {};
