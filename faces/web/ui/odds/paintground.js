// What lies on the ground, drawn over the map: own areas with their kind, and on
// the plain map the names of towns and airfields.

/** @typedef {import("./paint.js").Pen} Pen */
/** @typedef {import("./paint.js").Inks} Inks */
/** @typedef {import("./chart.js").Under} Under */

/** @param {any} doc GeoJSON @returns {{ kind: string, name: string, rings: [number, number][][] }[]} */
function areasIn(doc) {
  if (doc.type === "FeatureCollection") return doc.features.flatMap(areasIn);
  const geometry = doc.type === "Feature" ? doc.geometry : doc;
  const rings = geometry.type === "Polygon" ? geometry.coordinates : geometry.coordinates.flat();
  return [{ kind: doc.properties?.kind ?? "keep out", name: doc.properties?.name ?? "", rings }];
}

/** @param {Pen} pen @param {Under} under @param {any} doc @param {Inks} t */
export function paintAreas(pen, under, doc, t) {
  for (const area of areasIn(doc)) {
    pen.beginPath();
    for (const ring of area.rings) {
      for (const [i, [lon, lat]] of ring.entries()) {
        const [x, y] = under.project(lon, lat);
        if (i === 0) pen.moveTo(x, y);
        else pen.lineTo(x, y);
      }
      pen.closePath();
    }
    pen.save();
    pen.clip("evenodd");
    // Lines within the edge, as a map maker inks a boundary: it says which side is meant.
    pen.strokeStyle = t.soft;
    pen.globalAlpha = 0.35;
    pen.lineWidth = 14;
    pen.stroke();
    pen.restore();
    pen.strokeStyle = t.ink;
    pen.lineWidth = 1.5 * t.thick;
    pen.stroke();
    const first = area.rings[0] ?? [];
    const top = first.reduce((a, b) => (b[1] > a[1] ? b : a), first[0] ?? [0, 0]);
    const [x, y] = under.project(top[0], top[1]);
    write(pen, [area.kind, area.name].filter(Boolean).join(": "), x, y + 20, t);
  }
}

/** @param {Pen} pen @param {string} text @param {number} x @param {number} y @param {Inks} t */
function write(pen, text, x, y, t) {
  pen.font = '13px "Atkinson Hyperlegible", sans-serif';
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.setLineDash([]);
  pen.strokeStyle = t.paper;
  pen.lineWidth = 3;
  pen.strokeText(text, x, y);
  pen.fillStyle = t.text;
  pen.fillText(text, x, y);
}

const near = 860; // pixels to a degree from which small airfields are named too
const largeOnes = 30_000; // people; the plain map names these towns itself

/** @param {Pen} pen @param {Under} under @param {import("./types.js").Ground} ground @param {Inks} t */
export function paintNames(pen, under, ground, t) {
  /** @type {[number, number, number][]} */
  const taken = [];
  const degree = Math.abs(under.project(1, 0)[0] - under.project(0, 0)[0]);
  const fields = ground.airfields.filter((f) => degree >= near || f.kind !== "small airport");
  for (const named of [...ground.towns.filter((town) => town.people < largeOnes), ...fields]) {
    const [x, y] = under.project(named.lon_deg, named.lat_deg);
    const half = 4 * named.name.length;
    if (taken.some(([a, b, h]) => Math.abs(a - x) < h + half && Math.abs(b - y) < 18)) continue;
    taken.push([x, y, half]);
    write(pen, named.name, x, y, t);
  }
}
