// Every screen has an address; the browser's back and forward move between them.
import { signal } from "@preact/signals";

/**
 * @typedef {{ screen: "book" }
 *   | { screen: "about" }
 *   | { screen: "compare", a: Side | null, b: Side | null }
 *   | { screen: "flight", flight: string, place: string, line: number | null }
 *   | { screen: "nowhere" }} Place
 */
/** @typedef {{ flight: string, revision: number | null }} Side */

/** @param {URL} url @returns {Place} */
export function read(url) {
  const parts = url.pathname.split("/").filter(Boolean).map(decodeURIComponent);
  const [first, flight, ...within] = parts;
  if (parts.length === 0) return { screen: "book" };
  if (first === "about" && parts.length === 1) return { screen: "about" };
  if (first === "compare" && parts.length === 1) {
    return { screen: "compare", a: side(url.searchParams.get("a")), b: side(url.searchParams.get("b")) };
  }
  if (first === "f" && flight && parts.length <= 4) {
    const line = /^#line-(\d+)$/.exec(url.hash);
    return { screen: "flight", flight, place: within.join("/"), line: line ? Number(line[1]) : null };
  }
  return { screen: "nowhere" };
}

/** @param {string | null} text "flight" or "flight@revision" @returns {Side | null} */
function side(text) {
  if (!text) return null;
  const [flight, revision] = text.split("@");
  return { flight: flight ?? "", revision: revision ? Number(revision) : null };
}

/** @param {Side} s */
const sideText = (s) => (s.revision ? `${s.flight}@${s.revision}` : s.flight);

/** @param {Side} a @param {Side} b */
export const compareAddress = (a, b) => `/compare?${new URLSearchParams({ a: sideText(a), b: sideText(b) })}`;

/** @param {string} flight @param {string} [place] */
export const flightAddress = (flight, place) => `/f/${encodeURIComponent(flight)}${place ? `/${place}` : ""}`;

export const here = signal(read(new URL(location.href)));

/** @param {string} address @param {boolean} [replace] without a step for "back" */
export function go(address, replace = false) {
  if (replace) history.replaceState(null, "", address);
  else history.pushState(null, "", address);
  here.value = read(new URL(location.href));
  if (!location.hash) scrollTo(0, 0);
}

addEventListener("popstate", () => {
  here.value = read(new URL(location.href));
});

// Links inside the app change the address without loading the page anew.
addEventListener("click", (event) => {
  if (event.defaultPrevented || event.button !== 0) return;
  if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
  const link = event.target instanceof Element ? event.target.closest("a") : null;
  if (!link || link.target || link.hasAttribute("download")) return;
  const url = new URL(link.href);
  if (url.origin !== location.origin || read(url).screen === "nowhere") return;
  if (url.pathname === location.pathname && url.hash === "#main") return;
  event.preventDefault();
  go(url.pathname + url.search + url.hash);
});
