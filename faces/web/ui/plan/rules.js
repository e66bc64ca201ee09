// Which part a finding or a caution belongs beside.

/** @typedef {import("./list.js").Row} Row */
/** @typedef {import("./types.js").Finding} Finding */
/** @typedef {import("./types.js").Caution} Caution */

/** The kind of part that causes a caution. @type {Record<string, string>} */
const causes = {
  "burst-size": "envelope",
  "age-unknown": "envelope",
  "old-envelope": "envelope",
  floater: "gas",
  "fast-rise": "gas",
  "gas-short": "gas",
  hydrogen: "gas",
  "hard-landing": "parachute",
  "slow-descent": "parachute",
  "weak-line-below": "line",
  "no-weak-link": "line",
  "box-above-canopy": "box",
};

/** @param {import("./types.js").Rules | undefined} rules @param {Row} row @returns {Finding[]} */
export function findingsOf(rules, row) {
  return (rules?.findings ?? []).filter((f) => {
    if (row.kind === "line") return f.unit === "N" && row.weakest;
    if (row.kind !== "box") return false;
    return f.unit !== "N" && (f.package ? f.package === row.name || (!row.name && row.only) : row.only);
  });
}

/** @param {import("./types.js").Plan | undefined} plan @param {Row} row @returns {Caution[]} */
export const cautionsOf = (plan, row) =>
  (plan?.cautions ?? []).filter(
    (c) => causes[c.id] === row.kind && (row.kind !== "line" || row.weakest) && (row.kind !== "box" || row.only),
  );

/** Whether a part has something that must be seen before it is opened. @param {import("./state.js").Good | null} good @param {Row} row */
export const marked = (good, row) =>
  cautionsOf(good?.plan, row).length > 0 || findingsOf(good?.rules, row).some((f) => f.exceeded || f.near);
