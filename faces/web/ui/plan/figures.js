// The answers in three groups: what each is, in words and with its number.
import { about, clock, duration, say, sayGas } from "../quantity.js";

/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("../settings.js").System} System */
/**
 * @typedef {object} Figure
 * @property {string} key of its reason
 * @property {string} words
 * @property {string} gloss what that is
 * @property {string} number
 * @property {import("./types.js").Band} [band]
 * @property {(value: number) => string} [said] how an end of the band is said
 */
/** @typedef {{ title: string, sum: string, figures: Figure[], cautions: string[] }} Group */

/** @param {Plan} plan @param {System} system @param {string} launch RFC 3339 @returns {Group[]} */
export function groupsOf(plan, system, launch) {
  const { lift, gas, ascent, burst, descent } = plan;
  /** @param {Parameters<typeof say>[1]} kind */
  const as = (kind) => (/** @type {number} */ v) => about(v, kind, system);
  const used = gas.cylinders?.map((c) => say(c.used_share, "share", system)).join(", ");
  const buy = plan.gas_to_buy;
  return [
    {
      title: "Lift and gas",
      sum: `Fill to ${say(lift.neck_kg, "mass", system)} of lift at the neck.`,
      cautions: ["gas-short", "hydrogen", "cylinder"],
      figures: [
        {
          key: "lift.neck_kg",
          words: "Lift at the neck",
          gloss: "what a scale shows there",
          number: say(lift.neck_kg, "mass", system),
        },
        {
          key: "lift.free_kg",
          words: "Free lift",
          gloss: "the pull left over to climb with",
          number: say(lift.free_kg, "mass", system),
        },
        {
          key: "gas.volume_m3",
          words: "Gas in the envelope",
          gloss: `${gas.kind} at the launch, ${say(gas.diameter_m, "length", system)} across`,
          number: say(gas.volume_m3, "volume", system),
        },
        {
          key: "gas.standard_ft3",
          words: "Gas as the trade counts it",
          gloss: used
            ? `takes ${used} of the cylinder${(gas.cylinders?.length ?? 0) > 1 ? "s" : ""}`
            : "at 70 °F and one atmosphere",
          number: sayGas(gas.standard_ft3, system),
        },
        ...(buy
          ? [
              {
                key: "gas_to_buy.with_reserve_ft3",
                words: "To have at hand",
                gloss:
                  buy.missing_ft3 > 0
                    ? `with a reserve; ${sayGas(buy.missing_ft3, system)} still to get`
                    : "with a reserve; what is there does",
                number: sayGas(buy.with_reserve_ft3, system),
              },
            ]
          : []),
      ],
    },
    {
      title: "Way up and burst",
      sum: `Rises for ${duration(Math.round(ascent.duration_s / 60) * 60)} and bursts near ${about(burst.nominal_alt_m, "height", system)}, about ${clock(launch, ascent.duration_s)}.`,
      cautions: ["floater", "fast-rise"],
      figures: [
        {
          key: "burst.nominal_alt_m",
          words: "Burst height",
          gloss: "above the sea",
          number: about(burst.nominal_alt_m, "height", system),
          ...band(burst.alt_m),
          said: as("height"),
        },
        {
          key: "ascent.mean_rate_mps",
          words: "Mean rise",
          gloss: "from release to burst",
          number: about(ascent.mean_rate_mps, "rise", system),
          ...band(ascent.mean_rate_band_mps),
          said: as("rise"),
        },
        {
          key: "ascent.duration_s",
          words: "Time up",
          gloss: "from release to burst",
          number: minutes(ascent.duration_s),
          ...band(ascent.duration_band_s),
          said: minutes,
        },
        {
          key: "burst.early_share",
          words: "Bursts early",
          gloss: "share of flights, from flaws in the latex",
          number: say(burst.early_share, "share", system),
        },
      ],
    },
    {
      title: "Way down",
      sum: `Lands at ${about(descent.landing_speed_mps, "speed", system)} about ${clock(launch, ascent.duration_s + descent.duration_s)}.`,
      cautions: ["hard-landing", "slow-descent"],
      figures: [
        {
          key: "descent.landing_speed_mps",
          words: "Landing speed",
          gloss: "straight down; wind comes on top",
          number: about(descent.landing_speed_mps, "speed", system),
          ...band(descent.landing_speed_band_mps),
          said: as("speed"),
        },
        {
          key: "descent.landing_energy_j",
          words: "Energy at the ground",
          gloss: "of the heaviest box alone",
          number: about(descent.landing_energy_j, "energy", system),
        },
        {
          key: "descent.duration_s",
          words: "Time down",
          gloss: "from burst to ground",
          number: minutes(descent.duration_s),
          ...band(descent.duration_band_s),
          said: minutes,
        },
        {
          key: "descent.peak_speed_mps",
          words: "Fastest fall",
          gloss: "just after the burst, in thin air",
          number: about(descent.peak_speed_mps, "speed", system),
        },
      ],
    },
  ];
}

/** @param {import("./types.js").Band | undefined} b */
const band = (b) => (b ? { band: b } : {});

/** @param {number} seconds */
const minutes = (seconds) => duration(Math.round(seconds / 60) * 60);
