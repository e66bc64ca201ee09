// The only place that turns numbers and times into words; values come in SI units.

/** @typedef {import("./settings.js").System} System */
/** @typedef {{ unit: string, factor: number, offset?: number, digits: number }} Scale */

export const foot = 0.3048; // exact by definition, as are the next three
const mile = 1609.344;
const pound = 0.45359237;
const cubicFoot = foot ** 3;

/**
 * How each kind is said in each system: value × factor + offset, with so many
 * decimal places. Heights are said in whole metres and feet, distances along the
 * ground in kilometres and miles.
 * @type {Record<string, Record<System, Scale>>}
 */
const scales = {
  height: { metric: { unit: "m", factor: 1, digits: 0 }, us: { unit: "ft", factor: 1 / foot, digits: 0 } },
  distance: { metric: { unit: "km", factor: 1e-3, digits: 1 }, us: { unit: "mi", factor: 1 / mile, digits: 1 } },
  length: { metric: { unit: "m", factor: 1, digits: 2 }, us: { unit: "ft", factor: 1 / foot, digits: 1 } },
  mass: { metric: { unit: "g", factor: 1e3, digits: 0 }, us: { unit: "lb", factor: 1 / pound, digits: 2 } },
  rise: { metric: { unit: "m/s", factor: 1, digits: 1 }, us: { unit: "ft/min", factor: 60 / foot, digits: 0 } },
  wind: { metric: { unit: "m/s", factor: 1, digits: 0 }, us: { unit: "mph", factor: 3600 / mile, digits: 0 } },
  volume: { metric: { unit: "m³", factor: 1, digits: 2 }, us: { unit: "ft³", factor: 1 / cubicFoot, digits: 0 } },
  area: { metric: { unit: "km²", factor: 1e-6, digits: 0 }, us: { unit: "mi²", factor: 1 / mile ** 2, digits: 0 } },
  speed: { metric: { unit: "m/s", factor: 1, digits: 1 }, us: { unit: "mph", factor: 3600 / mile, digits: 1 } },
  girth: { metric: { unit: "m", factor: 1, digits: 2 }, us: { unit: "ft", factor: 1 / foot, digits: 2 } },
  energy: {
    metric: { unit: "J", factor: 1, digits: 0 },
    us: { unit: "ft·lbf", factor: 1 / (foot * pound * 9.80665), digits: 0 },
  },
  force: { metric: { unit: "N", factor: 1, digits: 0 }, us: { unit: "lbf", factor: 1 / (pound * 9.80665), digits: 0 } },
  pressure: {
    metric: { unit: "hPa", factor: 1e-2, digits: 1 },
    us: { unit: "hPa", factor: 1e-2, digits: 1 }, // what weather services of both worlds state
  },
  gauge: {
    metric: { unit: "bar", factor: 1e-5, digits: 0 },
    us: { unit: "psi", factor: (0.0254 * 0.0254) / (pound * 9.80665), digits: 0 },
  },
  share: { metric: { unit: "%", factor: 100, digits: 0 }, us: { unit: "%", factor: 100, digits: 0 } },
  temperature: {
    metric: { unit: "°C", factor: 1, offset: -273.15, digits: 0 },
    us: { unit: "°F", factor: 1.8, offset: -459.67, digits: 0 },
  },
};

export const noBreak = "\u00a0";

/** @param {number} value @param {number} [digits] */
export function plain(value, digits = 0) {
  const text = value.toLocaleString("en-US", {
    minimumFractionDigits: digits,
    maximumFractionDigits: digits,
  });
  return text.replace(/^-(?=[0.,]*$)/, "").replace("-", "−");
}

/**
 * Says a quantity with its unit, such as "12,400 ft".
 * @param {number | null} value in SI units; null is a number that could not be worked out
 * @param {keyof typeof scales} kind
 * @param {System} system
 */
export function say(value, kind, system) {
  if (value === null) return "not known";
  const scale = scales[kind]?.[system];
  if (!scale) throw new Error(`no scale for ${String(kind)} in ${system}`);
  return plain(value * scale.factor + (scale.offset ?? 0), scale.digits) + noBreak + scale.unit;
}

/**
 * Says what is only worked out to some per cent: with three figures.
 * @param {number} value in SI units @param {keyof typeof scales} kind @param {System} system
 */
export function about(value, kind, system) {
  const factor = scales[kind]?.[system].factor ?? 1;
  const size = Math.abs(value * factor);
  const step = size > 0 ? 10 ** (Math.floor(Math.log10(size)) - 2) : 1;
  return say((Math.round((value * factor) / step) * step) / factor, kind, system);
}

/** @param {number} n @param {string} one @param {string} [many] */
export function count(n, one, many = `${one}s`) {
  return `${plain(n)}${noBreak}${n === 1 ? one : many}`;
}

/**
 * Says a chance in words and as so many in ten, the same words everywhere.
 * @param {number} share 0 to 1
 */
export function chance(share) {
  const percent = share * 100;
  if (percent < 0.05) return "almost never, under 1 in 2,000";
  if (percent < 1) return `very unlikely, 1 in ${plain(Math.round(1 / share))}`;
  if (percent > 99) return "almost certain, over 99 in 100";
  const word =
    percent < 10
      ? "unlikely"
      : percent < 35
        ? "perhaps"
        : percent < 65
          ? "about even"
          : percent < 90
            ? "likely"
            : "very likely";
  return percent < 10 || percent >= 95 ? `${word}, ${plain(percent)} in 100` : `${word}, ${plain(percent / 10)} in 10`;
}

const days = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];
const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** @param {number} n */
const two = (n) => String(n).padStart(2, "0");

/**
 * A time in the offset that it is written with, such as the launch's own.
 * @param {string} text RFC 3339
 */
function inItsOffset(text) {
  const offset = /([+-])(\d\d):(\d\d)$/.exec(text);
  const minutes = offset ? (offset[1] === "-" ? -1 : 1) * (Number(offset[2]) * 60 + Number(offset[3])) : 0;
  return new Date(Date.parse(text) + minutes * 60_000); // read its UTC fields
}

/** @param {string} text RFC 3339; said as "Sat 17 Apr 2027, 08:00" in its own offset */
export function localTime(text) {
  const t = inItsOffset(text);
  return `${days[t.getUTCDay()]} ${t.getUTCDate()} ${months[t.getUTCMonth()]} ${t.getUTCFullYear()}, ${two(t.getUTCHours())}:${two(t.getUTCMinutes())}`;
}

/** @param {string} text RFC 3339; said as "13:00 UTC" */
export function utcTime(text) {
  const t = new Date(text);
  return `${two(t.getUTCHours())}:${two(t.getUTCMinutes())} UTC`;
}

/** @param {number} seconds a length of time, said in its two largest units */
export function duration(seconds) {
  const whole = Math.round(Math.abs(seconds));
  const parts = /** @type {[number, string][]} */ ([
    [Math.floor(whole / 86400), "d"],
    [Math.floor(whole / 3600) % 24, "h"],
    [Math.floor(whole / 60) % 60, "min"],
    [whole % 60, "s"],
  ]);
  const first = Math.max(
    0,
    parts.findIndex(([n]) => n > 0),
  );
  const from = whole === 0 ? parts.length - 1 : first;
  return parts
    .slice(from, from + 2)
    .filter(([n], i) => n > 0 || i === 0)
    .map(([n, unit]) => `${n}${noBreak}${unit}`)
    .join(" ");
}

/** @param {string} launch RFC 3339 @param {number} now milliseconds */
export function tMinus(launch, now) {
  const seconds = (Date.parse(launch) - now) / 1000;
  const far = Math.abs(seconds) >= 3600 ? Math.round(seconds / 60) * 60 : seconds;
  return `T ${seconds >= 0 ? "minus" : "plus"} ${duration(far)}`;
}

/** @param {string} then RFC 3339 @param {number} now milliseconds */
export function ago(then, now) {
  const seconds = Math.max(0, (now - Date.parse(then)) / 1000);
  if (seconds < 60) return "just now";
  const [size, unit] = seconds < 3600 ? [60, "minute"] : seconds < 86400 ? [3600, "hour"] : [86400, "day"];
  return `${count(Math.floor(seconds / size), String(unit))} ago`;
}

/** Says an amount of gas in the trade's cubic feet or in cubic metres. @param {number} feet @param {System} system */
export const sayGas = (feet, system) => say(feet * cubicFoot, "volume", system);

/**
 * The clock at so many seconds after an instant, in the instant's own offset.
 * @param {string} instant RFC 3339 @param {number} after
 */
export function clock(instant, after) {
  const t = new Date(inItsOffset(instant).getTime() + after * 1000);
  return `${two(t.getUTCHours())}:${two(t.getUTCMinutes())}`;
}

/**
 * Even steps over a range of heights: 5 km, or 20,000 ft.
 * @param {number} top @param {System} system @returns {number[]} in metres
 */
export function heightSteps(top, system) {
  const step = system === "us" ? 20_000 * foot : 5000;
  return Array.from({ length: Math.floor(top / step) }, (_, i) => (i + 1) * step);
}

/** Says a difference with its sign, such as "+1,200 ft". @param {number} value @param {keyof typeof scales} kind @param {System} system */
export function sayChange(value, kind, system) {
  const text = say(Math.abs(value), kind, system);
  return /[1-9]/.test(text) ? `${value < 0 ? "−" : "+"}${text}` : "the same";
}

/** Says a difference of gas. @param {number} feet @param {System} system */
export const sayGasChange = (feet, system) => sayChange(feet * cubicFoot, "volume", system);

/**
 * Writes a quantity as it stands in a flight file, to a part in a thousand or finer.
 * @param {number} value @param {"mass" | "volume" | "rise" | "height"} kind
 */
export function asWritten(value, kind) {
  const [factor, digits, unit] = /** @type {const} */ ({
    mass: [1000, 0, "g"],
    volume: [1, 3, "m3"],
    rise: [1, 2, "m/s"],
    height: [1, 0, "m"],
  })[kind];
  return `${(value * factor).toFixed(digits)} ${unit}`;
}

/** A round height as a small figure beside a tick, such as "15 km". @param {number} metres @param {System} system */
export const tickHeight = (metres, system) =>
  system === "us" ? `${plain(metres / foot)}${noBreak}ft` : `${plain(metres / 1000)}${noBreak}km`;

/** Degrees as they are typed into a field. @param {number} degrees */
export const typedDegrees = (degrees) => degrees.toFixed(5);
