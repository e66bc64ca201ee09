// Writes ground/magnetic/testdata/values.tsv: the field of WMM2025 by two programs that are no code of ours,
// npm geomagnetism and npm magvar, and says on stderr how far apart they are and whether their coefficients agree.
// Run:  node tools/outside/magnetic_values.cjs DIR/node_modules > ground/magnetic/testdata/values.tsv
//       node tools/outside/magnetic_values.cjs DIR/node_modules coefficients > ground/magnetic/WMM2025.tsv
const dir = process.argv[2];
const path = require('path');
const json = require(path.resolve(dir, 'geomagnetism/data/wmm-2025.json'));
if (process.argv[3] === 'coefficients') {
  console.log(`# ${json.name}\tepoch ${json.epoch}\tn\tm\tg_nt\th_nt\tg_rate_nt_per_year\th_rate_nt_per_year`);
  for (let n = 1, i = 1; n <= json.n_max; n++) for (let m = 0; m <= n; m++, i++) {
    console.log([n, m, json.main_field_coeff_g[i], json.main_field_coeff_h[i], json.secular_var_coeff_g[i], json.secular_var_coeff_h[i]].join('\t'));
  }
  process.exit();
}
const geomagnetism = require(path.resolve(dir, 'geomagnetism'));
const magvar = require(path.resolve(dir, 'magvar'));
console.log('# lat_deg\tlon_deg\theight_m\ttime\tdeclination_deg\tinclination_deg\ttotal_nt\tdeclination_other_deg');
let apart = 0;
const times = ['2025-01-01T00:00:00Z', '2026-07-01T00:00:00Z', '2027-04-17T13:00:00Z', '2029-11-01T00:00:00Z'];
for (let lat = -88; lat <= 88; lat += 16) for (let lon = -180; lon < 180; lon += 37) {
  const time = times[Math.abs(lat + lon) % 4], height = ((lat + lon + 268) * 97) % 36000;
  const one = geomagnetism.model(new Date(time)).point([lat, lon, height / 1000]);
  const two = magvar.magvar(lat, lon, height / 1000, new Date(time));
  if (one.h > 6000) apart = Math.max(apart, Math.abs(one.decl - two));
  console.log([lat, lon, height, time, one.decl.toFixed(5), one.incl.toFixed(5), one.f.toFixed(2), two].join('\t'));
}
console.error('largest difference between the two, H over 6000 nT:', apart);
