// What differs between two written forms, line by line.

/** @typedef {{ sign: " " | "-" | "+", text: string }} Line */
/** @typedef {{ from: number, to: number, at: number, lines: string[] }} Hunk lines from..to-1 of the base become these, which stand at a line of the other */

/** @param {string} text */
export const linesOf = (text) => text.replace(/\n$/, "").split("\n");

/**
 * The lines that two texts share, as pairs of indices, by the longest common
 * subsequence. Flight files have some hundred lines; a pair of very long texts is
 * compared by its common beginning and end alone.
 * @param {string[]} a @param {string[]} b @returns {[number, number][]}
 */
function shared(a, b) {
  let head = 0;
  while (head < a.length && head < b.length && a[head] === b[head]) head++;
  let tail = 0;
  while (tail < a.length - head && tail < b.length - head && a.at(-1 - tail) === b.at(-1 - tail)) tail++;
  const rows = a.length - head - tail;
  const columns = b.length - head - tail;
  /** @type {[number, number][]} */
  const pairs = [];
  for (let i = 0; i < head; i++) pairs.push([i, i]);
  if (rows > 0 && columns > 0 && rows * columns <= 4_000_000) {
    const width = columns + 1;
    const length = new Uint16Array((rows + 1) * width);
    /** @param {number} i @param {number} j */
    const at = (i, j) => length[i * width + j] ?? 0;
    for (let i = rows - 1; i >= 0; i--) {
      for (let j = columns - 1; j >= 0; j--) {
        length[i * width + j] =
          a[head + i] === b[head + j] ? at(i + 1, j + 1) + 1 : Math.max(at(i + 1, j), at(i, j + 1));
      }
    }
    for (let i = 0, j = 0; i < rows && j < columns; ) {
      if (a[head + i] === b[head + j]) pairs.push([head + i++, head + j++]);
      else if (at(i + 1, j) >= at(i, j + 1)) i++;
      else j++;
    }
  }
  for (let i = tail; i > 0; i--) pairs.push([a.length - i, b.length - i]);
  return pairs;
}

/** @param {string} before @param {string} after @returns {Hunk[]} */
export function hunks(before, after) {
  const a = linesOf(before);
  const b = linesOf(after);
  /** @type {Hunk[]} */
  const list = [];
  let i = 0;
  let j = 0;
  for (const [x, y] of [...shared(a, b), /** @type {[number, number]} */ ([a.length, b.length])]) {
    if (x > i || y > j) list.push({ from: i, to: x, at: j, lines: b.slice(j, y) });
    i = x + 1;
    j = y + 1;
  }
  return list;
}

/** @param {string} before @param {string} after @returns {Line[]} */
export function diff(before, after) {
  const a = linesOf(before);
  /** @type {Line[]} */
  const out = [];
  let at = 0;
  for (const h of hunks(before, after)) {
    for (const text of a.slice(at, h.from)) out.push({ sign: " ", text });
    for (const text of a.slice(h.from, h.to)) out.push({ sign: "-", text });
    for (const text of h.lines) out.push({ sign: "+", text });
    at = h.to;
  }
  for (const text of a.slice(at)) out.push({ sign: " ", text });
  return out;
}

/**
 * Joins two changes of one text, or gives null when both changed the same lines.
 * @param {string} base @param {string} mine @param {string} theirs @returns {string | null}
 */
export function merge(base, mine, theirs) {
  const all = [...hunks(base, mine), ...hunks(base, theirs)].sort((p, q) => p.from - q.from || p.to - q.to);
  const a = linesOf(base);
  /** @type {string[]} */
  const out = [];
  let at = 0;
  /** @type {Hunk | null} */
  let last = null;
  for (const h of all) {
    if (last && h.from === last.from && h.to === last.to && h.lines.join("\n") === last.lines.join("\n")) continue;
    if (last && (h.from < last.to || h.from === last.from)) return null;
    out.push(...a.slice(at, h.from), ...h.lines);
    at = h.to;
    last = h;
  }
  return `${[...out, ...a.slice(at)].join("\n")}\n`;
}

/**
 * Names what changed by its keys, such as "envelope mass, gas fill".
 * @param {string} before @param {string} after
 */
export function changedKeys(before, after) {
  const a = keyed(linesOf(before));
  const b = keyed(linesOf(after));
  /** @type {Set<string>} */
  const names = new Set();
  for (const h of hunks(before, after)) {
    for (const name of [...a.slice(h.from, h.to), ...b.slice(h.at, h.at + h.lines.length)]) if (name) names.add(name);
  }
  const list = [...names];
  if (list.length === 0) return "comments";
  return list.length > 4 ? `${list.slice(0, 3).join(", ")} and ${list.length - 3} more` : list.join(", ");
}

/** The table and key of each line, empty for comments and blank lines. @param {string[]} lines */
function keyed(lines) {
  let table = "";
  return lines.map((text) => {
    const opened = /^\s*\[+([^\]]+)\]+/.exec(text);
    if (opened) table = (opened[1] ?? "").trim();
    const key = /^\s*(\w+)\s*=/.exec(text);
    return opened ? table : key ? [table, key[1]].filter(Boolean).join(" ") : "";
  });
}
