// The places of a flight, in the order of the bar. A place stands here once it is
// built; what is not here is not in the bar and has no address.

/** @typedef {import("./api.js").Open} Open */
/**
 * What every place is given: the flight as it stands, a line of its written form
 * to show, and how to tell that the flight stands elsewhere now.
 * @typedef {{ open: Open, line: number | null, onOpen: (open: Open) => void }} PlaceProps
 */
/**
 * @typedef {object} PlaceRow
 * @property {string} key in the address: /f/{flight}/{key}
 * @property {string} label in the bar
 * @property {() => Promise<{ default: import("preact").ComponentType<PlaceProps> }>} load
 * @property {boolean} [wide] fills the window
 */

/** The map comes beside the place that holds it, not after. */
function odds() {
  import("./odds/full.js").catch(() => {}); // the place asks for it again, and says what is wrong
  return import("./odds/odds.js");
}

/** @type {PlaceRow[]} */
export const places = [
  { key: "plan", label: "Plan", wide: true, load: () => import("./plan/plan.js") },
  { key: "weather", label: "Weather", wide: true, load: () => import("./weather/weather.js") },
  { key: "odds", label: "Odds", wide: true, load: odds },
];

/** Screens inside a place: they have an address, and the bar marks their place.
 * @type {PlaceRow[]} */
const within = [{ key: "plan/fill", label: "Fill day", load: () => import("./plan/fill.js") }];

/** What every flight has beside its places.
 * @type {PlaceRow[]} */
export const papersBehind = [
  { key: "text", label: "Written form", load: () => import("./sheets/written.js") },
  { key: "history", label: "History", load: () => import("./sheets/history.js") },
];

/** @param {string} key */
export const placeOf = (key) => [...places, ...within, ...papersBehind].find((p) => p.key === key);

/** Where a flight opens when its address names no place. */
export const firstPlace = places[0] ?? papersBehind[0];
