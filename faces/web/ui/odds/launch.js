// The launch on the map: a short pennant that can be dragged, or moved by keys.
import { html } from "htm/preact";
import { useRef } from "preact/hooks";
import { beside } from "./along.js";

/** @typedef {import("./types.js").Place} Place */

const step = { plain: 4, shifted: 32 }; // pixels for one press of an arrow key
const rest = 600; // ms without a press until the keys count as at rest

/** @type {Record<string, [number, number]>} */
const arrows = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };

/**
 * @param {{ under: import("./chart.js").Under, place: Place, name: string, onDrag: (to: Place) => void, onDrop: (to: Place) => void }} props
 */
export function Launch({ under, place, name, onDrag, onDrop }) {
  const grip = useRef(/** @type {{ dx: number, dy: number, to: Place | null } | null} */ (null));
  const timer = useRef(0);
  const [x, y] = under.project(place.lon, place.lat);

  /** @param {number} px @param {number} py @returns {Place} */
  const placeAt = (px, py) => {
    const { lat, lon } = under.unproject(px, py);
    return { lat, lon: beside(lon, 0) };
  };
  /** @param {PointerEvent} e @returns {[number, number]} */
  const within = (e) => {
    const frame = /** @type {HTMLElement} */ (e.currentTarget).parentElement?.getBoundingClientRect();
    return [e.clientX - (frame?.left ?? 0), e.clientY - (frame?.top ?? 0)];
  };
  /** @param {PointerEvent} e */
  const down = (e) => {
    if (e.button !== 0) return;
    const [px, py] = within(e);
    grip.current = { dx: x - px, dy: y - py, to: null };
    /** @type {HTMLElement} */ (e.currentTarget).setPointerCapture(e.pointerId);
  };
  /** @param {PointerEvent} e */
  const move = (e) => {
    if (!grip.current) return;
    const [px, py] = within(e);
    const to = [px + grip.current.dx, py + grip.current.dy];
    if (!grip.current.to && Math.hypot((to[0] ?? 0) - x, (to[1] ?? 0) - y) < 4) return; // a press, not a drag
    grip.current.to = placeAt(to[0] ?? 0, to[1] ?? 0);
    onDrag(grip.current.to);
  };
  const up = () => {
    const to = grip.current?.to;
    grip.current = null;
    if (to) onDrop(to);
  };
  /** @param {KeyboardEvent} e */
  const key = (e) => {
    const arrow = arrows[e.key];
    if (!arrow) return;
    e.preventDefault();
    const by = e.shiftKey ? step.shifted : step.plain;
    const to = placeAt(x + arrow[0] * by, y + arrow[1] * by);
    onDrag(to);
    clearTimeout(timer.current);
    timer.current = window.setTimeout(() => onDrop(to), rest);
  };

  return html`<button
    type="button"
    class="launch"
    style=${{ left: `${x}px`, top: `${y}px` }}
    aria-label=${`Launch, ${name}: drag it, or move it with the arrow keys, farther with Shift`}
    onPointerDown=${down}
    onPointerMove=${move}
    onPointerUp=${up}
    onPointerCancel=${up}
    onKeyDown=${key}
  >
    <svg viewBox="0 0 48 48" width="48" height="48" aria-hidden="true">
      <path class="halo" d="M24 24V6l15 5-15 5" />
      <path class="pole" d="M24 24V6" />
      <path class="cloth" d="M24 6l15 5-15 5z" />
      <path class="foot" d="M19 24h10" />
    </svg>
  </button>`;
}
