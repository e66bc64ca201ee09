// What is in the program, and who made it.
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { api } from "./api.js";
import { WorldMap } from "./map/map.js";
import { fail } from "./notices.js";

/** @typedef {import("./api.js").Library} Library */

export function About() {
  const [about, setAbout] = useState(/** @type {{ version: string, libraries: Library[] } | null} */ (null));
  useEffect(() => {
    document.title = "About · Pappus";
    api.about().then(setAbout, fail);
  }, []);
  return html`<main id="main" tabindex="-1" class="stack">
    <h1>About Pappus</h1>
    <p>The flight desk for one latex-balloon flight and for the next ones.${about ? ` Version ${about.version}.` : ""} It runs on this machine; nothing is fetched from anywhere unless you ask for it.</p>
    <p class="caution">Odds are not certainties, and nothing here is a permit. Local rules and the authority have the last word.</p>
    <h2>The map that is built in</h2>
    <${WorldMap} label="The world, coarse: coasts, borders, larger rivers, lakes and towns" view=${{ lon: -98, lat: 40, zoom: 4 }} />
    <h2>Made by others</h2>
    <table class="made-by">
      <thead><tr><th scope="col">Library</th><th scope="col">Version</th><th scope="col">Licence</th></tr></thead>
      <tbody>
        ${about?.libraries.map((l) => html`<tr><th scope="row">${l.name}</th><td>${l.version}</td><td><a href=${l.text} target="_blank">${l.licence}</a></td></tr>`)}
      </tbody>
    </table>
  </main>`;
}
