package flight

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"pappus/air/forecast"
	"pappus/desk/sizing"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/record"
)

// sharedData finds the folder of real material, or skips; in CI its absence fails.
func sharedData(t *testing.T) string {
	t.Helper()
	folder := os.Getenv("PAPPUS_DATA")
	if folder == "" {
		folder = filepath.Join("..", "..", "shared", "data")
	}
	return present(t, folder, "PAPPUS_DATA")
}

func present(t *testing.T, folder, variable string) string {
	t.Helper()
	if folder != "" {
		if _, err := os.Stat(folder); err == nil {
			return folder
		}
	}
	if os.Getenv("CI") != "" {
		t.Fatalf("%s does not lead to the real data", variable)
	}
	t.Skipf("the real data are not here; %s names their folder", variable)
	return ""
}

// observation is one row of a real sounding.
type observation struct{ seconds, lat, lon, alt, from, speed float64 }

// readObservations reads the named columns of a sounding's table.
func readObservations(t *testing.T, path string, columns [6]string) []observation {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	var all []observation
	for _, row := range rows[1:] {
		var v [6]float64
		ok := true
		for i, name := range columns {
			v[i], err = strconv.ParseFloat(row[at[name]], 64)
			ok = ok && err == nil && !math.IsNaN(v[i])
		}
		if ok {
			all = append(all, observation{v[0], v[1], v[2], v[3], v[4], v[5]})
		}
	}
	return all
}

// drift carries a point from the first row along the rows' heights and times
// through a profile of the rows' own winds, and answers how far it ends from
// the last row's place and how far that is from the first.
func drift(t *testing.T, rows []observation, vertical string) (off, way float64) {
	t.Helper()
	var table strings.Builder
	fmt.Fprintf(&table, "%s,wind_from_deg,wind_speed_mps\n", vertical)
	last := math.Inf(-1)
	for _, r := range rows {
		if r.alt < last+2 {
			continue // a table of heights only climbs
		}
		last = r.alt
		fmt.Fprintf(&table, "%g,%g,%g\n", r.alt, r.from, r.speed)
	}
	start := geo.Point{LatDeg: rows[0].lat, LonDeg: rows[0].lon}
	cube, err := forecast.Load([]forecast.File{{Name: "own.csv", Data: []byte(table.String())}}, forecast.Request{Place: start, Launch: time.Unix(0, 0)})
	if err != nil {
		t.Fatal(err)
	}
	var heights []trajectory.Place
	for _, r := range rows {
		alt := r.alt
		if vertical == "height_m" {
			alt = float64(geo.Geometric(geo.Geopotential(r.alt), r.lat))
		}
		heights = append(heights, trajectory.Place{Alt: alt, Seconds: r.seconds})
	}
	sampler := cube.Sampler(0)
	ended := trajectory.Drift(&sampler, start, heights)[len(heights)-1]
	end := geo.Point{LatDeg: rows[len(rows)-1].lat, LonDeg: rows[len(rows)-1].lon}
	off, _, _ = geo.Inverse(ended.Point(), end)
	way, _, _ = geo.Inverse(start, end)
	return off, way
}

// Two soundings report time, wind and drift of every level (WMO BUFR template
// 309052). Carried by the reported winds, a point must end within 1 km of the
// reported drift: the reports round winds to 0.1 m/s and 1 degree, and thin the levels.
func TestOutsideDriftingSoundings(t *testing.T) {
	folder := present(t, os.Getenv("PAPPUS_SOUNDINGS"), "PAPPUS_SOUNDINGS")
	files, _ := filepath.Glob(filepath.Join(folder, "*.csv"))
	if len(files) < 2 {
		t.Fatalf("%d tables in %s, want two", len(files), folder)
	}
	for _, path := range files {
		rows := readObservations(t, path, [6]string{"time_s", "lat_deg", "lon_deg", "height_m", "wind_from_deg", "wind_speed_mps"})
		off, way := drift(t, rows, "height_m")
		t.Logf("%s: %.2f km off after %.1f km", filepath.Base(path), off/1000, way/1000)
		if off > 1000 {
			t.Errorf("%s: ends %.0f m from the reported drift of %.0f km", path, off, way/1000)
		}
	}
}

// Four ascents on latex balloons with wind and satellite position. A plain
// integration of the reported winds by the data's keepers ends 88 to 505 m
// from the reported top; ours may differ from that by its own smoothing of
// heights that do not climb, 150 m at most.
func TestOutsideSondeDrift(t *testing.T) {
	folder := filepath.Join(sharedData(t), "sondes")
	for name, plain := range map[string]float64{
		"bankhead_al_20250619T0530.csv": 88, "darwin_20060119T2316.csv": 505,
		"giles_20160403T2315.csv": 100, "lamont_ok_20190101T0532.csv": 500,
	} {
		rows := readObservations(t, filepath.Join(folder, name), [6]string{"time_s", "lat", "lon", "alt_m", "wind_dir", "wind_speed"})
		top := 0
		for i, r := range rows {
			if r.alt > rows[top].alt {
				top = i
			}
		}
		off, way := drift(t, rows[:top+1], "alt_m")
		t.Logf("%s: %.0f m off after %.1f km (plain integration: %.0f m)", name, off, way/1000, plain)
		if off > plain+150 {
			t.Errorf("%s: ends %.0f m from the reported top, a plain integration %.0f m", name, off, plain)
		}
	}
}

// A real flight through a forecast made of its own winds on usual levels, the
// whole chain: file, decoder, cube, rise, drift. The keepers' plain reference
// ends 2,093 m from the real burst with one constant rate and 675 m with the
// true rise; ours must be as near with its own rise, and with the true one.
func TestOutsideObservedFlight(t *testing.T) {
	shared := sharedData(t)
	name := filepath.Join(shared, "obsgrib", "obs_giles_20160403T2315.grib2")
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	sky := Sky{Files: []forecast.File{{Name: name, Data: data}}, Workers: 2}
	const realBurst = 30773.0
	burst := geo.Point{LatDeg: -24.99879, LonDeg: 128.15985}
	f := giles(t)
	// The envelope's size is not known: take the one that bursts at the real height.
	low, high := 3.0, 12.0
	var out trajectory.Outcome
	for range 30 {
		f.Envelope.BurstDiameter = record.Given((low + high) / 2)
		out = nominal(t, f, sky)
		if out.Burst.Alt < realBurst {
			low = (low + high) / 2
		} else {
			high = (low + high) / 2
		}
	}
	off, _, _ := geo.Inverse(out.Burst.Point(), burst)
	t.Logf("own rise: %.0f m from the real burst", off)
	if off > 2093 {
		t.Errorf("bursts %.0f m from the real burst, the plain reference 2093 m", off)
	}
	rows := readObservations(t, filepath.Join(shared, "sondes", "giles_20160403T2315.csv"), [6]string{"time_s", "lat", "lon", "alt_m", "wind_dir", "wind_speed"})
	cube, err := forecast.Load(sky.Files, forecast.Request{Place: f.Launch.Point, Launch: f.Launch.Time})
	if err != nil {
		t.Fatal(err)
	}
	var heights []trajectory.Place
	for _, r := range rows {
		heights = append(heights, trajectory.Place{Alt: r.alt, Seconds: cube.Seconds(f.Launch.Time) + r.seconds})
		if r.alt >= realBurst {
			break
		}
	}
	sampler := cube.Sampler(0)
	ended := trajectory.Drift(&sampler, f.Launch.Point, heights)[len(heights)-1]
	off, _, _ = geo.Inverse(ended.Point(), burst)
	t.Logf("true rise: %.0f m from the real burst", off)
	if off > 675+50 { // 50 m for the reference's own steps
		t.Errorf("with the true rise it ends %.0f m from the real burst, the plain reference 675 m", off)
	}
}

// giles is a flight file for the observed ascent: a usual radiosonde train, and
// the mean rate that was observed.
func giles(t *testing.T) *record.Flight {
	t.Helper()
	f, err := record.Parse("giles.toml", []byte(`
format = 1
[launch]
latitude = -25.0341
longitude = 128.30099
elevation = "600.1 m"
time = 2016-04-03T23:15:38Z
[envelope]
mass = "600 g"
[gas]
kind = "hydrogen"
fill = { ascent_rate = "5.534 m/s" }
[[train]]
part = "parachute"
diameter = "0.8 m"
mass = "60 g"
[[train]]
part = "box"
mass = "250 g"
`))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// nominal flies the central flight of a file.
func nominal(t *testing.T, f *record.Flight, sky Sky) trajectory.Outcome {
	t.Helper()
	parts, err := sizing.FromFile(f)
	if err != nil {
		t.Fatal(err)
	}
	setting, err := settingOf(f, sky)
	if err != nil {
		t.Fatal(err)
	}
	if err := parts.Fill(setting, unit.Metric); err != nil {
		t.Fatal(err)
	}
	flight := parts.Craft.Nominal(setting.Start)
	sampler := setting.Sky.Sampler(0)
	return flight.Fly(&sampler, setting.Ground, nil)
}
