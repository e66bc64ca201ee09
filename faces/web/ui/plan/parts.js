// What each part of a flight is, in two plain lines, with its caution and the
// fields it has. Fields are keys of the flight file.

/**
 * @typedef {object} Field
 * @property {string} key below the part's path
 * @property {string} label
 * @property {string} [hint] an example, or what stands in when it is left out
 * @property {[string, string][]} [choices] value and words
 * @property {boolean} [wide]
 */
/**
 * @typedef {object} PartKind
 * @property {string} title
 * @property {[string, string]} lines what it does, and what to know
 * @property {string} [caution]
 * @property {Field[]} fields
 */

/** @type {Field} */
const name = { key: "name", label: "Name", hint: "what you call it" };
/** @type {Field} */
const note = { key: "note", label: "Note", wide: true };

/** @type {Record<string, PartKind>} */
export const kinds = {
  envelope: {
    title: "Envelope",
    lines: [
      "The latex balloon. It widens as the air thins, and bursts when its skin is stretched to its end.",
      "Take mass and burst diameter from the data sheet; without a diameter the usual one for the mass stands in.",
    ],
    caution: "Clean gloves, no rings, never near a flame. Latex older than two years bursts early more often.",
    fields: [
      { key: "mass", label: "Mass", hint: "1200 g" },
      { key: "burst_diameter", label: "Burst diameter", hint: "usual for its mass" },
      { key: "burst_spread", label: "How much that varies", hint: "6 %" },
      { key: "made", label: "Month of making", hint: "2026-09" },
      { key: "drag", label: "Drag", hint: "varying" },
      { key: "price", label: "Price", hint: "a number" },
    ],
  },
  gas: {
    title: "Gas and fill",
    lines: [
      "What lifts. Free lift is the pull left over to climb with, once envelope and train are carried.",
      "More gas rises faster and bursts lower; too little may float for hours instead of bursting.",
    ],
    caution:
      "A bottle is dangerous by itself: chained upright, opened slowly, never in a closed car with people. Gas drives out the air you breathe. The supplier's and local rules come first.",
    fields: [
      {
        key: "kind",
        label: "Gas",
        choices: [
          ["helium", "helium"],
          ["hydrogen", "hydrogen"],
        ],
      },
      { key: "purity", label: "Purity", hint: "98 %" },
    ],
  },
  cylinder: {
    title: "Cylinder",
    lines: [
      "Gas at hand or on order. The trade counts it at 70 °F and one atmosphere.",
      "Either its content as sold, or its water volume with what the gauge shows.",
    ],
    fields: [
      { key: "content", label: "Content", hint: "291 ft3" },
      { key: "water_volume", label: "Water volume", hint: "49 L" },
      { key: "pressure", label: "Gauge", hint: "2640 psi" },
      { key: "count", label: "How many", hint: "1" },
      { key: "price", label: "Price of one", hint: "a number" },
    ],
  },
  line: {
    title: "Line",
    lines: [
      "Cord between two parts. It keeps them apart, so that nothing swings into the canopy.",
      "The weakest one belongs above the parachute: when something snags, the box keeps its canopy.",
    ],
    caution: "Never tie the weak link below the parachute. Knots halve what a cord holds: pull-test it.",
    fields: [
      name,
      { key: "length", label: "Length", hint: "2 m" },
      { key: "mass", label: "Mass", hint: "6 g" },
      { key: "breaking_load", label: "Breaks at", hint: "150 N" },
      { key: "price", label: "Price", hint: "a number" },
      note,
    ],
  },
  parachute: {
    title: "Parachute",
    lines: [
      "Hangs open-mouthed below the envelope and fills by itself once the balloon has burst.",
      "Its size sets the landing speed: 4.5 to 5.5 m/s (15 to 18 ft/s) is the usual aim.",
    ],
    caution: "A burst envelope can foul it. Keep lines free of knots, and drop-test it with the real mass.",
    fields: [
      { key: "canopy", label: "Kind", hint: "flat circular" },
      { key: "diameter", label: "Diameter, laid flat", hint: "1.5 m" },
      { key: "mass", label: "Mass", hint: "180 g" },
      { key: "drag", label: "Drag coefficient", hint: "usual for its kind" },
      { key: "length", label: "Length, hanging", hint: "left out: none" },
      { key: "price", label: "Price", hint: "a number" },
      note,
    ],
  },
  reflector: {
    title: "Radar reflector",
    lines: [
      "Folded foil that makes the flight show on the radar of aircraft and controllers.",
      "Light, and the one part that others need more than you do.",
    ],
    fields: [
      name,
      { key: "mass", label: "Mass", hint: "60 g" },
      { key: "length", label: "Length, hanging", hint: "left out: none" },
      { key: "price", label: "Price", hint: "a number" },
      note,
    ],
  },
  box: {
    title: "Box",
    lines: [
      "Camera, trackers, cells: what you want back. Weigh it with everything in it, on your own scale.",
      "Rules speak of each box's mass and of its smallest face; two lighter boxes may carry fewer duties than one.",
    ],
    caution: "What falls can hurt. Round its corners, write a name and a number on it, and keep it light.",
    fields: [
      name,
      { key: "mass", label: "Mass, all in it", hint: "900 g" },
      { key: "size", label: "Outside", hint: "20 cm × 20 cm × 25 cm", wide: true },
      { key: "foam", label: "Walls of", hint: "XPS" },
      { key: "wall", label: "Wall thickness", hint: "2 cm" },
      { key: "price", label: "Price", hint: "a number" },
      note,
    ],
  },
  other: {
    title: "Something else",
    lines: ["Anything else that hangs: a flag, a lamp, an arm.", "Only its mass and length count here."],
    fields: [
      name,
      { key: "mass", label: "Mass", hint: "100 g" },
      { key: "length", label: "Length, hanging", hint: "left out: none" },
      { key: "breaking_load", label: "Breaks at", hint: "if it carries what is below" },
      note,
    ],
  },
  reporter: {
    title: "Reporter",
    lines: [
      "What tells you where the box is. Each is silent somewhere: phones high up, radios behind hills.",
      "Two that work in different ways find more boxes than one good one.",
    ],
    caution: "Phones may not be used in the air in many countries; radios may need a licence. Check local rules.",
    fields: [
      name,
      {
        key: "kind",
        label: "Kind",
        choices: [
          ["satellite", "satellite"],
          ["radio", "radio"],
          ["cellular", "cellular"],
          ["other", "other"],
        ],
      },
      { key: "every", label: "A position every", hint: "10 min" },
      { key: "delay", label: "Heard after", hint: "3 min" },
      { key: "ceiling", label: "Silent above", hint: "none, or 12 km" },
      note,
    ],
  },
  launch: {
    title: "Launch",
    lines: [
      "Where and when it starts. Everything here stands in calm standard air; wind belongs to the odds.",
      "Write the time with its offset from UTC, such as 2027-04-17T08:00:00-05:00.",
    ],
    caution: "Ask whose land it is and who must be told; local rules decide.",
    fields: [
      { key: "place", label: "Place", wide: true },
      { key: "latitude", label: "Latitude", hint: "40.0961" },
      { key: "longitude", label: "Longitude", hint: "-99.2094" },
      { key: "elevation", label: "Ground above the sea", hint: "610 m" },
      { key: "time", label: "Time", hint: "2027-04-17T08:00:00-05:00", wide: true },
    ],
  },
};

kinds.flight = {
  title: "Name and rules",
  lines: [
    "What the flight is called, and the rule text it is held against.",
    "The text is counted through paragraph by paragraph; findings stand beside the part that causes them.",
  ],
  fields: [
    { key: "name", label: "Name of the flight", wide: true },
    {
      key: "rules",
      label: "Rule text",
      choices: [
        ["", "none"],
        ["US", "US"],
        ["ICAO", "ICAO"],
      ],
    },
    { key: "currency", label: "Currency", hint: "USD" },
    note,
  ],
};

/** The five ways to state the fill. @type {Field[]} */
export const fills = [
  { key: "free_lift", label: "free lift", hint: "1100 g" },
  { key: "neck_lift", label: "lift at the neck", hint: "2600 g" },
  { key: "volume", label: "volume at the launch", hint: "3.5 m3" },
  { key: "ascent_rate", label: "mean rise wanted", hint: "5 m/s" },
  { key: "burst_altitude", label: "burst height wanted", hint: "30 km" },
];
