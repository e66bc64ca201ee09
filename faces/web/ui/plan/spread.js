// A spread as a bar: eight flights in ten lie within it, half on each side of
// the tick. All bars have one scale: the width of the field is six tenths of the
// middle value, so that a wide bar means much doubt wherever it stands.
import { html } from "htm/preact";

/** @param {{ band: import("./types.js").Band, words: string }} props */
export function Spread({ band, words }) {
  const reach = Math.abs(band.p50) * 0.3 || 1;
  /** @param {number} v */
  const x = (v) => Math.min(118, Math.max(2, 60 + ((v - band.p50) / reach) * 58));
  return html`<svg class="spread" viewBox="0 0 120 16" role="img" aria-label=${words}>
    <path class="field" d="M2 8H118" />
    <rect x=${x(band.p10)} y="3" width=${Math.max(2, x(band.p90) - x(band.p10))} height="10" />
    <path class="middle" d=${`M${x(band.p50)} 1V15`} />
  </svg>`;
}
