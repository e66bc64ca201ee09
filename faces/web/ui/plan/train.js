// The left of the place: the drawn train, and beside it a row for each part.
// A pressed part opens where it hangs.
import { html } from "htm/preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { say } from "../quantity.js";
import { units } from "../settings.js";
import { Drawing, hang } from "./drawing.js";
import { fresh } from "./fresh.js";
import { rowsOf } from "./list.js";
import { Part } from "./part.js";
import { marked } from "./rules.js";

/** @typedef {import("./state.js").PlanState} PlanState */

/** @param {{ state: PlanState, at: string, show: (path: string) => void }} props */
export function Train({ state, at, show }) {
  const rows = rowsOf(state);
  const train = rows.filter((r) => r.list === "train");
  const plan = state.good?.plan;
  const whole = useRef(/** @type {HTMLDivElement | null} */ (null));
  const list = useRef(/** @type {HTMLOListElement | null} */ (null));
  const [places, setPlaces] = useState({
    edge: 0,
    width: 0,
    key: "",
    rows: /** @type {{ path: string, y: number }[]} */ ([]),
  });

  // The leaders end at the rows, wherever these have come to stand.
  useLayoutEffect(() => {
    const measure = () => {
      const outer = whole.current?.getBoundingClientRect();
      if (!outer || !list.current) return;
      const found = [...list.current.querySelectorAll("button.name")].map((b) => {
        const r = b.getBoundingClientRect();
        return {
          path: /** @type {HTMLElement} */ (b).dataset.path ?? "",
          y: Math.round(r.top - outer.top + r.height / 2),
        };
      });
      const edge = Math.round(list.current.getBoundingClientRect().left - outer.left);
      const key = `${edge} ${outer.width} ${found.map((f) => f.path + f.y).join()}`;
      setPlaces((was) => (was.key === key ? was : { edge: edge + 6, width: edge, key, rows: found }));
    };
    measure();
    const watch = new ResizeObserver(measure);
    if (list.current) watch.observe(list.current);
    return () => watch.disconnect();
  });

  /** @param {string} path */
  const press = (path) => show(path === at ? "" : path);
  const height = Math.max(380, Math.min(620, rows.length * 44));
  return html`<section class=${`train ${at ? "opened" : ""}`} ref=${whole} aria-labelledby="train-title">
    <h2 id="train-title" class="unseen">What flies</h2>
    <div class="canvas">
      ${places.width > 0 && plan && html`<${Drawing} shapes=${hang(train)} release=${plan.gas.diameter_m} burst=${plan.burst.diameter_m} box=${{ width: places.width, height }} rows=${places.rows} edge=${places.edge} at=${at} press=${show} />`}
    </div>
    <div class="legend small soft">
      ${plan && html`<p>To scale. Inner outline: at release, ${say(plan.gas.diameter_m, "length", units.value)} across. Outer: at burst, ${say(plan.burst.diameter_m, "length", units.value)}.</p>`}
    </div>
    <ol class="parts" ref=${list}>
      ${rows.map((r) => {
        const opened = r.path === at;
        const heed = marked(state.good, r);
        return html`<li key=${r.path} class=${opened ? "open" : ""}>
          <button type="button" class="name" data-path=${r.path} aria-expanded=${opened} onClick=${() => press(r.path)}>
            <span class="what">${r.label}</span>
            <span class="figure">${r.figure}</span>
            ${heed && html`<span class="heed">worth a look</span>`}
          </button>
          ${opened && html`<${Part} state=${state} row=${r} last=${train.length} show=${show} />`}
        </li>`;
      })}
    </ol>
    <div class="more row small">
      <${AddRow} state=${state} list="cylinder" words="Add a cylinder" show=${show} />
      <${AddRow} state=${state} list="reporter" words="Add a reporter" show=${show} />
    </div>
  </section>`;
}

/** @param {{ state: PlanState, list: string, words: string, show: (path: string) => void }} props */
function AddRow({ state, list, words, show }) {
  const add = () => {
    const path = `${list}[${state.rows(list) + 1}]`;
    const row = (fresh[list]?.[units.value] ?? []).map(([key, text]) => ({ key, text }));
    show(path);
    state.act([{ kind: "add", path, row }], `added a ${list}`);
  };
  return html`<button type="button" class="quiet" onClick=${add}>${words}</button>`;
}
