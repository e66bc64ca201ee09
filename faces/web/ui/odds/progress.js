// How far the odds are, and why there are none.
import { html } from "htm/preact";

/** @param {{ state: import("./run.js").State, shown: boolean, onCancel: () => void, onAgain: () => void }} props */
export function Progress({ state, shown, onCancel, onAgain }) {
  const before = shown ? " What stands here is from before." : "";
  if (state.kind === "failed" || state.kind === "lost") {
    return html`<div class="worked" role="alert">
      <p><strong>There are no new odds.</strong> ${state.text}${before}</p>
      <button type="button" onClick=${onAgain}>Try again</button>
    </div>`;
  }
  if (state.kind === "cancelled") {
    return html`<div class="worked" role="status"><p>Stopped.${before}</p><button type="button" onClick=${onAgain}>Draw the odds</button></div>`;
  }
  return html`<div class="worked" aria-hidden=${state.kind !== "working"} data-state=${state.kind}>
    <progress max="1" value=${state.kind === "working" ? state.share : 1} aria-label="Flights flown"></progress>
    <span class="soft">${state.kind === "working" ? state.text : ""}</span>
    <button type="button" class="quiet" disabled=${state.kind !== "working"} onClick=${onCancel}>Stop</button>
  </div>`;
}
