// One axis of time from filling to an hour after the landing: the height with
// its band, and under it a lane each for daylight and for every reporter.
import { html } from "htm/preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { about, clock, duration, heightSteps, say } from "../quantity.js";
import { units } from "../settings.js";
import { BoxLanes, boxesHigh } from "./box.js";

/** @typedef {import("./types.js").Course} Course */

const high = 220; // px of the height's field
const lane = 30;
const left = 86;

/** @param {{ course: Course, stale: boolean, box: ReturnType<typeof import("./box.js").useBox> }} props */
export function Axis({ course, stale, box: boxes }) {
  const box = useRef(/** @type {HTMLDivElement | null} */ (null));
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const measure = () => setWidth(box.current?.clientWidth ?? 0);
    measure();
    const watch = new ResizeObserver(measure);
    if (box.current) watch.observe(box.current);
    return () => watch.disconnect();
  }, []);
  const when = (/** @type {number} */ after) => clock(course.launch_time, after);
  const words = `Released at ${when(0)}, bursts near ${about(course.burst_alt_m, "height", units.value)} about ${when(course.burst_s)}, lands about ${when(course.landing_s)}, ${duration(Math.round(course.landing_s / 60) * 60)} after the release.`;
  return html`<section class=${`axis ${stale ? "stale" : ""}`} aria-labelledby="axis-title">
    <h2 id="axis-title">The flight in time</h2>
    <p class="sum">${words}</p>
    <div ref=${box}>${width > 0 && html`<${Lanes} course=${course} width=${width} when=${when} words=${words} boxes=${boxes} />`}</div>
  </section>`;
}

/** @param {{ course: Course, width: number, when: (after: number) => string, words: string, boxes: ReturnType<typeof import("./box.js").useBox> }} props */
function Lanes({ course, width, when, words, boxes }) {
  const { begin_s: begin, end_s: end } = course;
  const most = Math.max(course.burst_alt_m, ...(course.band ?? []).map((b) => b.high_m)) * 1.08;
  /** @param {number} after */
  const x = (after) => left + ((after - begin) / (end - begin)) * (width - left - 8);
  /** @param {number} alt */
  const y = (alt) => high - (Math.max(alt, 0) / most) * (high - 18);
  /** @param {{ after_s: number, alt_m: number }[]} points */
  const line = (points) => points.map((p, i) => `${i ? "L" : "M"}${x(p.after_s)} ${y(p.alt_m)}`).join("");
  const up = course.way.filter((p) => p.after_s <= course.burst_s);
  const down = course.way.filter((p) => p.after_s >= course.burst_s);
  const band = course.band ?? [];
  const cloud = band.length
    ? `${band.map((b, i) => `${i ? "L" : "M"}${x(b.after_s)} ${y(b.high_m)}`).join("")}${[...band]
        .reverse()
        .map((b) => `L${x(b.after_s)} ${y(b.low_m)}`)
        .join("")}Z`
    : "";
  const reporters = course.reporters ?? [];
  const under = high + 8 + lane * (1 + reporters.length);
  const bottom = under + boxesHigh(boxes.brief);
  const step = [900, 1800, 3600, 7200].find((s) => ((width - left) / (end - begin)) * s >= 62) ?? 14400;
  const ticks = [];
  for (let t = Math.ceil(begin / step) * step; t <= end; t += step) ticks.push(t);
  return html`<svg class="lanes" width=${width} height=${bottom + 26} role="img" aria-label=${words}>
    ${heightSteps(most, units.value).map((h) => html`<g class="grid"><path d=${`M${left} ${y(h)}H${width - 8}`} /><text x=${left - 6} y=${y(h) + 4} text-anchor="end">${say(h, "height", units.value)}</text></g>`)}
    <path class="ground" d=${`M${left} ${y(0)}H${width - 8}`} />
    <path class="band" d=${cloud} />
    <path class="up" d=${line(up)} />
    <path class="down" d=${line(down)} />
    <path class="tick" d=${`M${x(course.burst_s) - 9} ${y(course.burst_alt_m)}h18`} />
    <text class="label" x=${x(course.burst_s)} y=${y(course.burst_alt_m) - 7} text-anchor="middle">burst</text>
    <${Phase} from=${x(begin)} to=${x(0)} words="filling" />
    <${Phase} from=${x(course.landing_s)} to=${x(end)} words="finding it" />
    <${Light} course=${course} x=${x} top=${high + 8} />
    ${reporters.map((r, i) => html`<${Heard} key=${i} course=${course} reporter=${r} x=${x} top=${high + 8 + lane * (i + 1)} />`)}
    ${boxes.brief && html`<g class=${boxes.stale ? "older" : undefined}><${BoxLanes} brief=${boxes.brief} x=${x} top=${under} left=${left} end=${end} landing=${course.landing_s} /></g>`}
    <path class="clock" d=${`M${left} ${bottom + 2}H${width - 8}${ticks.map((t) => `M${x(t)} ${bottom + 2}v6`).join("")}`} />
    ${ticks.map((t) => html`<text x=${x(t)} y=${bottom + 22} text-anchor=${x(t) > width - 30 ? "end" : "middle"}>${when(t)}</text>`)}
    <path class="now" d=${`M${x(0)} 4V${bottom}M${x(course.landing_s)} 4V${bottom}`} />
  </svg>`;
}

/** @param {{ from: number, to: number, words: string }} props */
function Phase({ from, to, words }) {
  if (to - from < 100) return null;
  return html`<text class="soft" x=${(from + to) / 2} y=${high - 8} text-anchor="middle">${words}</text>`;
}

/** @param {{ course: Course, x: (after: number) => number, top: number }} props */
function Light({ course, x, top }) {
  /** @type {Record<string, string>} */
  const words = { daylight: "daylight", "civil twilight": "dusk", night: "dark" };
  return html`<g class="light">
    <text x=${left - 6} y=${top + 19} text-anchor="end">Light</text>
    ${course.light.map(
      (l) => html`<g class=${l.light.replace(" ", "-")}>
        <rect x=${x(l.from_s)} y=${top + 4} width=${Math.max(0, x(l.to_s) - x(l.from_s))} height=${lane - 8} />
        ${x(l.to_s) - x(l.from_s) > 70 && html`<text x=${x(l.from_s) + 8} y=${top + 19}>${words[l.light] ?? l.light}</text>`}
      </g>`,
    )}
  </g>`;
}

/** @param {{ course: Course, reporter: NonNullable<Course["reporters"]>[number], x: (after: number) => number, top: number }} props */
function Heard({ course, reporter, x, top }) {
  const every = reporter.every_s ?? 0;
  const beats = [];
  const silent = (/** @type {number} */ t) => reporter.silent.some((s) => t > s.from_s && t < s.to_s);
  const close = every > 0 && x(every) - x(0) < 3; // too many to tell apart: a line
  for (let t = 0; every > 0 && !close && t <= course.end_s; t += every) if (!silent(t)) beats.push(t);
  const y = top + lane / 2;
  const name = reporter.name.length > 11 ? `${reporter.name.slice(0, 10)}…` : reporter.name;
  return html`<g class="heard">
    <title>${reporter.name}: ${every ? `a position every ${duration(every)}` : "no interval in your file"}${reporter.silent.length ? `, silent above ${say(reporter.ceiling_m ?? 0, "height", units.value)}` : ""}</title>
    <text x=${left - 6} y=${y + 4} text-anchor="end">${name}</text>
    <path class=${close ? "steady" : "base"} d=${`M${x(0)} ${y}H${x(course.end_s)}`} />
    ${beats.map((t) => html`<path class="beat" d=${`M${x(t)} ${y - 6}v12`} />`)}
    ${reporter.silent.map((s) => html`<rect class="silent" x=${x(s.from_s)} y=${y - 9} width=${x(s.to_s) - x(s.from_s)} height="18" /><text x=${(x(s.from_s) + x(s.to_s)) / 2} y=${y + 4} text-anchor="middle">silent</text>`)}
  </g>`;
}
