// What a new part begins with, as a person would write it.

/** @type {Record<string, Record<"metric" | "us", [string, string][]>>} */
export const fresh = {
  line: {
    metric: [
      ["part", "line"],
      ["length", "2 m"],
      ["mass", "6 g"],
      ["breaking_load", "450 N"],
    ],
    us: [
      ["part", "line"],
      ["length", "6 ft"],
      ["mass", "0.2 oz"],
      ["breaking_load", "100 lbf"],
    ],
  },
  parachute: {
    metric: [
      ["part", "parachute"],
      ["canopy", "flat circular"],
      ["diameter", "1.2 m"],
      ["mass", "110 g"],
    ],
    us: [
      ["part", "parachute"],
      ["canopy", "flat circular"],
      ["diameter", "4 ft"],
      ["mass", "4 oz"],
    ],
  },
  reflector: {
    metric: [
      ["part", "reflector"],
      ["mass", "60 g"],
    ],
    us: [
      ["part", "reflector"],
      ["mass", "2 oz"],
    ],
  },
  box: {
    metric: [
      ["part", "box"],
      ["name", "second box"],
      ["mass", "300 g"],
      ["size", "15 cm × 15 cm × 15 cm"],
    ],
    us: [
      ["part", "box"],
      ["name", "second box"],
      ["mass", "10 oz"],
      ["size", "6 in × 6 in × 6 in"],
    ],
  },
  other: {
    metric: [
      ["part", "other"],
      ["name", "flag"],
      ["mass", "50 g"],
    ],
    us: [
      ["part", "other"],
      ["name", "flag"],
      ["mass", "2 oz"],
    ],
  },
  cylinder: { metric: [["content", "4 m3"]], us: [["content", "137 ft3"]] },
  reporter: {
    metric: [
      ["name", "radio"],
      ["kind", "radio"],
      ["every", "1 min"],
      ["ceiling", "none"],
    ],
    us: [
      ["name", "radio"],
      ["kind", "radio"],
      ["every", "1 min"],
      ["ceiling", "none"],
    ],
  },
};
