// Height against time, tied to the map by one moving mark.
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import uPlot from "uplot";
import { clock, heightSteps, say, tickHeight } from "../quantity.js";
import { theme, units } from "../settings.js";
import { at, length, span } from "./along.js";
import { inks } from "./paint.js";
import { momentWords } from "./words.js";

/** @typedef {import("./types.js").Odds} Odds */

const styleSheet = "/ui/vendor/uplot/uPlot.min.css";
const step = 30; // seconds for one press of an arrow key

function addStyleSheet() {
  if (document.querySelector(`link[href="${styleSheet}"]`)) return;
  document.head.append(Object.assign(document.createElement("link"), { rel: "stylesheet", href: styleSheet }));
}

/** @param {{ odds: Odds, launch: string, moment: number, onMoment: (after: number) => void }} props */
export function Profile({ odds, launch, moment, onMoment }) {
  const box = useRef(/** @type {HTMLDivElement | null} */ (null));
  const plot = useRef(/** @type {uPlot | null} */ (null));
  const now = useRef(moment);
  now.current = moment;
  const { begin, end } = span(odds);

  useEffect(() => {
    addStyleSheet();
    if (!box.current) return;
    const made = new uPlot(options(odds, launch, box.current, now), /** @type {any} */ (columns(odds)), box.current);
    plot.current = made;
    const watch = new ResizeObserver(() => {
      if (box.current) made.setSize({ width: box.current.clientWidth, height: box.current.clientHeight });
    });
    watch.observe(box.current);
    document.fonts.ready.then(() => made.redraw(false, true));
    return () => {
      watch.disconnect();
      made.destroy();
      plot.current = null;
    };
  }, [odds, launch, units.value, theme.value]);
  useEffect(() => plot.current?.redraw(false), [moment]);

  /** @param {PointerEvent} e */
  const point = (e) => {
    if (!plot.current || (e.type === "pointermove" && e.pointerType !== "mouse" && e.buttons === 0)) return;
    const frame = plot.current.over.getBoundingClientRect();
    const after = plot.current.posToVal(e.clientX - frame.left, "x");
    onMoment(Math.min(Math.max(after, begin), end));
  };
  return html`<section class="profile" aria-label="Height against time">
    <div class="plot" ref=${box} aria-hidden="true" onPointerDown=${point} onPointerMove=${point}></div>
    <label class="moment">
      <span class="moment-words">${momentWords(odds, launch, moment, units.value)}</span>
      <input
        type="range"
        min=${begin}
        max=${end}
        step=${step}
        value=${moment}
        aria-label="Moment of the central flight"
        aria-valuetext=${momentWords(odds, launch, moment, units.value)}
        onInput=${(/** @type {InputEvent} */ e) => onMoment(Number(/** @type {HTMLInputElement} */ (e.currentTarget).value))}
      />
    </label>
  </section>`;
}

/** Times, heights on the way up, heights on the way down. @param {Odds} odds */
function columns(odds) {
  const { up, down } = odds;
  /** @param {number} n */
  const none = (n) => Array.from({ length: n }, () => null);
  return [
    [...up.after_s, ...down.after_s],
    [...up.alt_m, ...none(length(down))],
    [...none(length(up)), ...down.alt_m],
  ];
}

/** @param {Odds} odds @param {string} launch @param {HTMLElement} box @param {{ current: number }} now @returns {uPlot.Options} */
function options(odds, launch, box, now) {
  const t = inks();
  const { landing, burst } = odds.odds;
  const system = units.value;
  const font = '13px "Atkinson Hyperlegible", sans-serif';
  const top = Math.max(burst.alt_m.p90, Math.max(...odds.up.alt_m));
  const crowded = box.clientHeight < 130; // every second figure then
  const heights = [0, ...heightSteps(top, system).filter((_, i) => !crowded || i % 2 === 1)];
  /** @param {string} instant */
  const after = (instant) => (Date.parse(instant) - Date.parse(launch)) / 1000;
  const { begin, end } = span(odds);
  const axis = { stroke: t.soft, font, grid: { show: false }, ticks: { stroke: t.soft, size: 4, width: 1 } };
  return {
    width: box.clientWidth,
    height: box.clientHeight,
    legend: { show: false },
    cursor: { show: false },
    padding: [12, 16, 0, 0],
    scales: {
      x: { time: false, range: [Math.min(begin, 0), Math.max(end, after(landing.time.p90)) + 300] },
      y: { range: [0, top * 1.06] },
    },
    axes: [
      {
        ...axis,
        size: 26,
        incrs: [600, 900, 1800, 3600, 7200],
        space: 64,
        values: (_, at) => at.map((s) => clock(launch, s)),
      },
      {
        ...axis,
        size: 84,
        splits: () => heights,
        values: (_, at) => at.map((h) => (h ? tickHeight(h, system) : "sea")),
      },
    ],
    series: [
      {},
      { stroke: t.ink, width: 2 * t.thick, points: { show: false } },
      { stroke: t.ink, width: 2 * t.thick, dash: [7, 5], points: { show: false } },
    ],
    hooks: {
      draw: [
        (u) => {
          const pen = u.ctx;
          const ratio = devicePixelRatio;
          /** @param {number} s @param {number} h @returns {[number, number]} */
          const spot = (s, h) => [u.valToPos(s, "x", true), u.valToPos(h, "y", true)];
          /** @param {[number, number]} a @param {[number, number]} b @param {string} colour @param {number} width */
          const bar = (a, b, colour, width) => {
            pen.beginPath();
            pen.moveTo(...a);
            pen.lineTo(...b);
            pen.strokeStyle = colour;
            pen.lineWidth = width * ratio;
            pen.stroke();
          };
          pen.save();
          pen.setLineDash([]);
          // Where four bursts in five lie by height, and four landings in five by time.
          const burstAt = odds.up.after_s.at(-1) ?? 0;
          bar(spot(burstAt, burst.alt_m.p10), spot(burstAt, burst.alt_m.p90), t.chance[3] ?? "", 5);
          bar(spot(after(landing.time.p10), 0), spot(after(landing.time.p90), 0), t.chance[3] ?? "", 7);
          pen.font = `${13 * ratio}px "Atkinson Hyperlegible", sans-serif`;
          pen.fillStyle = t.ink;
          pen.textBaseline = "middle";
          const [bx, by] = spot(burstAt, odds.odds.nominal.burst.alt_m);
          pen.textAlign = "right";
          pen.fillText(`bursts at ${say(odds.odds.nominal.burst.alt_m, "height", system)}`, bx - 14 * ratio, by);
          // The moving mark.
          const here = at(odds, now.current);
          bar(spot(here.after, 0), spot(here.after, top * 1.06), t.soft, 1);
          pen.beginPath();
          pen.arc(...spot(here.after, here.alt), 5 * ratio, 0, 2 * Math.PI);
          pen.fillStyle = t.paper;
          pen.strokeStyle = t.ink;
          pen.lineWidth = 3 * ratio;
          pen.fill();
          pen.stroke();
          pen.restore();
        },
      ],
    },
  };
}
