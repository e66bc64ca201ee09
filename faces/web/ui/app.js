// Starts the app and draws the screen that the address names.
import { html } from "htm/preact";
import { render } from "preact";
import { useEffect, useState } from "preact/hooks";
import { About } from "./about.js";
import { Book } from "./book/book.js";
import { Compare } from "./book/compare.js";
import { FlightScreen } from "./flight.js";
import { startLive } from "./live.js";
import { Notices } from "./notices.js";
import { here } from "./router.js";
import { Strip } from "./strip.js";

function Screen() {
  const place = here.value;
  switch (place.screen) {
    case "book":
      return html`<${Strip} /><${Book} />`;
    case "about":
      return html`<${Strip} /><${About} />`;
    case "compare":
      return html`<${Strip} /><${Compare} a=${place.a} b=${place.b} />`;
    case "flight":
      return html`<${FlightScreen} key=${place.flight} id=${place.flight} place=${place.place} line=${place.line} />`;
    default:
      return html`<${Strip} />
        <main id="main" tabindex="-1" class="stack"><h1>Nothing is here</h1><p><a href="/">Open the book of flights</a></p></main>`;
  }
}

function App() {
  // A fault in one screen must leave the person a way out of it.
  const [fault, setFault] = useState("");
  useEffect(() => {
    /** @param {ErrorEvent | PromiseRejectionEvent} event */
    const caught = (event) => setFault(String("reason" in event ? event.reason : event.message));
    addEventListener("error", caught);
    addEventListener("unhandledrejection", caught);
    return () => {
      removeEventListener("error", caught);
      removeEventListener("unhandledrejection", caught);
    };
  }, []);
  return html`<div class="shell">
      <a class="skip" href="#main">Skip to the page</a>
      ${fault && html`<p class="caution" role="alert">A fault of the program: ${fault}. What is saved is safe. Load the page anew to go on.</p>`}
      <${Screen} />
    </div>
    <${Notices} />`;
}

startLive();
const root = document.getElementById("app");
if (root) {
  root.textContent = "";
  render(html`<${App} />`, root);
}
