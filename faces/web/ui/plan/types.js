// What the program answers about a flight, in SI units; keys are the contract's.

/** @typedef {{ p10: number, p50: number, p90: number }} Band */
/** @typedef {{ id: string, text: string, why: string }} Caution */
/** @typedef {{ name: string, value: number, unit: string, from: string }} Input */
/** @typedef {{ key: string, value: number, unit: string, formula: string, inputs: Input[] | null, source: string }} Reason */
/**
 * @typedef {object} Outlook
 * @property {number} neck_kg
 * @property {number} free_kg
 * @property {number} standard_ft3
 * @property {number} mean_rate_mps
 * @property {number} burst_alt_m
 * @property {number} landing_speed_mps
 * @property {number} time_aloft_s
 */
/** @typedef {{ id: string, text: string, held: string, flies: boolean } & Partial<Outlook>} Change */
/**
 * @typedef {object} BoxLane
 * @property {string} [name]
 * @property {{ after_s: number, outside_k: number, inside_k: Band }[]} [temperature]
 * @property {{ cells: string, feeds: string[], after_landing_s: Band | null }[]} [energy]
 * @property {number} [card_lasts_s]
 * @property {number} [card_needed_s]
 */
/** @typedef {{ boxes?: BoxLane[], cautions: Caution[] }} Brief */
/**
 * @typedef {object} Plan
 * @property {string} air
 * @property {{ gross_kg: number, neck_kg: number, free_kg: number }} lift
 * @property {{ kind: string, purity: number, volume_m3: number, diameter_m: number, mass_kg: number, standard_ft3: number, cylinders?: { content_m3: number, used_share: number }[] }} gas
 * @property {{ launch_rate_mps: number, mean_rate_mps: number, mean_rate_band_mps?: Band, duration_s: number, duration_band_s?: Band }} ascent
 * @property {{ nominal_alt_m: number, diameter_m: number, alt_m?: Band, early_share: number, temperature_k: number }} burst
 * @property {{ peak_speed_mps: number, peak_speed_alt_m: number, landing_speed_mps: number, landing_speed_band_mps?: Band, falling_energy_j: number, landing_energy_j: number, falling_mass_kg: number, duration_s: number, duration_band_s?: Band }} descent
 * @property {{ envelope_kg: number, train_kg: number, total_with_gas_kg: number, train_length_m: number, parts: { kind: string, name?: string, mass_kg: number }[] }} budget
 * @property {Caution[]} cautions
 * @property {Brief} [box] only where it was asked for and the file knows anything of the boxes
 * @property {{ ok: boolean, text: string, troubles: { id: string, text: string }[], best_change?: { text: string, flight: Outlook } }} [suits]
 * @property {Change[]} [changes]
 * @property {{ text: string, short_ft3: number, changes: { id: string, text: string }[] }} [short_gas]
 * @property {{ need_ft3: number, reserve_share: number, with_reserve_ft3: number, at_hand_ft3: number, missing_ft3: number, bottles: { text: string }[], say: string, ask: string[] }} [gas_to_buy]
 * @property {Record<string, Reason>} [why]
 */
/**
 * @typedef {object} Course
 * @property {number} begin_s
 * @property {number} end_s
 * @property {number} burst_s
 * @property {number} burst_alt_m
 * @property {number} landing_s
 * @property {string} launch_time
 * @property {{ after_s: number, alt_m: number }[]} way
 * @property {{ after_s: number, low_m: number, high_m: number }[]} [band]
 * @property {{ from_s: number, to_s: number, light: string }[]} light
 * @property {{ name: string, every_s?: number, delay_s?: number, ceiling_m?: number, silent: { from_s: number, to_s: number }[] }[]} [reporters]
 */
/**
 * @typedef {object} Finding
 * @property {string} id
 * @property {string} paragraph
 * @property {string} unit
 * @property {boolean | null} exceeded
 * @property {boolean} near
 * @property {boolean} known
 * @property {string} [package]
 * @property {string} text
 */
/** @typedef {{ text: string, title: string, read_on: string, summary: string, findings: Finding[], changes: { text: string, package?: string }[] | null, cautions: Caution[] | null, authority: string, counted: string }} Rules */
/**
 * @typedef {object} Fill
 * @property {{ neck_kg: number, neck_now_kg: number, scale_kg: number, hangs_kg: number, tolerance_kg: number, free_kg: number, train_kg: number, volume_m3: number, diameter_m: number, girth_m: number, air_k: number, air_pa: number, gauge?: { before_pa: number, after_pa: number, empty: boolean }[] }} target
 * @property {{ text: string }} [scale]
 * @property {{ text: string }} [gauge]
 * @property {{ text: string, causes?: string[] }} [together]
 * @property {{ within: boolean, off_kg: number, text: string }} [verdict]
 * @property {Outlook} planned
 * @property {{ text: string, burst_alt_band_m?: Band, mean_rate_band_mps?: Band, landing_speed_band_mps?: Band }} [measured]
 * @property {string[]} notes
 */
export {};
