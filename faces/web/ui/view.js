// The switches for units and light, at hand on every screen.
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { chooseTheme, chooseUnits, theme, units } from "./settings.js";

export function View() {
  const box = useRef(/** @type {HTMLDetailsElement | null} */ (null));
  useEffect(() => {
    /** @param {Event} event */
    const close = (event) => {
      const outside = !(event.target instanceof Node && box.current?.contains(event.target));
      if (box.current && (event instanceof KeyboardEvent ? event.key === "Escape" : outside)) {
        if (event instanceof KeyboardEvent && box.current.open) box.current.querySelector("summary")?.focus();
        box.current.open = false;
      }
    };
    document.addEventListener("pointerdown", close);
    document.addEventListener("keydown", close);
    return () => {
      document.removeEventListener("pointerdown", close);
      document.removeEventListener("keydown", close);
    };
  }, []);
  return html`<details class="view" ref=${box}>
    <summary>View</summary>
    <div class="sheet">
      <${Choice} title="Units" name="units" value=${units.value} choose=${chooseUnits}
        from=${[["metric", "Metres, grams, °C"], ["us", "Feet, pounds, °F"]]} />
      <${Choice} title="Light" name="theme" value=${theme.value} choose=${chooseTheme}
        from=${[["day", "Day"], ["night", "Night"], ["sunlight", "Sunlight, for a phone outdoors"]]} />
      <a href="/about">About this program</a>
    </div>
  </details>`;
}

/**
 * @template {string} T
 * @param {{ title: string, name: string, value: T, from: [T, string][], choose: (value: T) => void }} props
 */
export function Choice({ title, name, value, from, choose }) {
  return html`<fieldset class="choice">
    <legend>${title}</legend>
    ${from.map(
      ([key, label]) => html`<label>
        <input type="radio" name=${name} value=${key} checked=${key === value} onChange=${() => choose(key)} />${label}
      </label>`,
    )}
  </fieldset>`;
}
