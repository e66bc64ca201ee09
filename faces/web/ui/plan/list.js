// The parts of a flight in the order they hang.
import { kinds } from "./parts.js";
import { readLengths } from "./said.js";

/**
 * @typedef {object} Row
 * @property {string} path
 * @property {string} kind of the table of parts
 * @property {string} list the rows it is one of, empty for the envelope, gas and launch
 * @property {number} number among them, from 1
 * @property {string} name as written
 * @property {string} label what it is called here
 * @property {string} figure its main number, as written
 * @property {boolean} weakest the first line to part, of those whose load is known
 * @property {boolean} only the first of its kind
 * @property {number} length metres it hangs, as written
 * @property {number[]} size metres
 */

/** @param {import("./state.js").PlanState} state @returns {Row[]} */
export function rowsOf(state) {
  const text = state.text;
  /** @param {string} kind @param {string} figure @returns {Row} */
  const single = (kind, figure) => ({
    path: kind,
    kind,
    list: "",
    number: 0,
    name: "",
    label: kinds[kind]?.title ?? kind,
    figure,
    weakest: false,
    only: true,
    length: 0,
    size: [],
  });
  /** @param {string} list @returns {Row[]} */
  const many = (list) =>
    Array.from({ length: state.rows(list) }, (_, i) => {
      const path = `${list}[${i + 1}]`;
      const kind = list === "train" ? text(`${path}.part`) || "other" : list;
      const name = text(`${path}.name`);
      const figures = {
        train:
          kind === "line"
            ? text(`${path}.length`)
            : kind === "parachute"
              ? text(`${path}.diameter`)
              : text(`${path}.mass`),
        cylinder: text(`${path}.content`) || text(`${path}.water_volume`),
        reporter: text(`${path}.every`) && `every ${text(`${path}.every`)}`,
      };
      return {
        path,
        kind,
        list,
        number: i + 1,
        name,
        label: name ? name.charAt(0).toUpperCase() + name.slice(1) : (kinds[kind]?.title ?? kind),
        figure: figures[/** @type {keyof typeof figures} */ (list)] ?? "",
        weakest: false,
        only: false,
        length: readLengths(text(`${path}.length`))[0] ?? 0,
        size: readLengths(text(`${path}.size`)),
      };
    });
  const ways = { free_lift: "free", neck_lift: "neck", volume: "", ascent_rate: "", burst_altitude: "to" };
  const way = Object.entries(ways)
    .map(([key, word]) => (text(`gas.fill.${key}`) ? `${word} ${text(`gas.fill.${key}`)}` : ""))
    .find(Boolean);
  const train = many("train");
  const weakest = train
    .filter((r) => r.kind === "line" && text(`${r.path}.breaking_load`))
    .sort(
      (a, b) => Number.parseFloat(text(`${a.path}.breaking_load`)) - Number.parseFloat(text(`${b.path}.breaking_load`)),
    )[0];
  const mark = weakest ?? train.find((r) => r.kind === "line");
  if (mark) mark.weakest = true;
  const box = train.find((r) => r.kind === "box");
  if (box) box.only = true;
  for (const r of train) if (r.kind !== "box") r.only = true;
  return [
    single("envelope", text("envelope.mass")),
    single("gas", way ?? ""),
    ...many("cylinder"),
    ...train,
    ...many("reporter"),
    single("launch", text("launch.place")),
    single("flight", text("rules")),
  ];
}
