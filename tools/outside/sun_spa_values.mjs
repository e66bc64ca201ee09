// Writes ground/sun/testdata/spa.tsv: sunrise and sunset by NREL's algorithm (npm sunrise-sunset-js) and, for an eye
// above the ground, by the NOAA algorithm with the geometric dip (npm @hebcal/noaa). Neither is code of ours.
// Run, with both packages in DIR/node_modules:  node tools/outside/sun_spa_values.mjs DIR > ground/sun/testdata/spa.tsv
import { createRequire } from 'node:module';
const require = createRequire(process.argv[2] + '/');
const spa = await import(require.resolve('sunrise-sunset-js'));
await import(require.resolve('temporal-polyfill/global'));
const noaa = await import(require.resolve('@hebcal/noaa'));

const iso = (d) => (d ? new Date(d).toISOString() : 'none');
console.log('# source\tlat_deg\tlon_deg\theight_m\tasked\tup\tdown');
for (const [lat, lon] of [[47.1, 9.5], [40.0961, -99.2094], [-33.9, 18.4], [1.3, 103.8], [64.15, -21.95], [-54.8, -68.3], [35.7, 139.7]]) {
  for (const [y, m, d] of [[2026, 3, 21], [2026, 6, 21], [2026, 12, 21], [2027, 4, 17]]) {
    const noon = new Date(Date.UTC(y, m - 1, d, 12) - lon / 15 * 3600e3);
    const row = (source, height, up, down) => console.log([source, lat, lon, height, noon.toISOString(), iso(up), iso(down)].join('\t'));
    row('spa', 0, spa.getSunrise(lat, lon, noon, { timezoneId: 'UTC' }), spa.getSunset(lat, lon, noon, { timezoneId: 'UTC' }));
    for (const height of [100, 450, 1600]) {
      const place = new noaa.GeoLocation(null, lat, lon, height, 'UTC');
      const c = new noaa.NOAACalculator(place, new Temporal.PlainDate(y, m, d));
      row('noaa', height, c.getSunrise()?.epochMilliseconds, c.getSunset()?.epochMilliseconds);
    }
  }
}
