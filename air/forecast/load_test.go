package forecast

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pappus/measure/geo"
)

// packed is what three decimals and single precision lose of a wind or a temperature.
const packed = 6e-4

func load(t *testing.T, want Request, files ...File) *Cube {
	t.Helper()
	c, err := Load(files, want)
	if err != nil {
		t.Fatalf("a sound forecast is refused:\n%v", err)
	}
	return c
}

func at(latDeg, lonDeg float64, hours float64) Request {
	return Request{Place: geo.Point{LatDeg: latDeg, LonDeg: lonDeg}, Launch: day.Add(time.Duration(hours * float64(time.Hour)))}
}

// agrees compares a cube with the formula at its grid points near a place.
func agrees(t *testing.T, c *Cube, w written, latDeg, lonDeg float64, hour, member int) {
	t.Helper()
	lat, lon := w.south+w.step*math.Round((latDeg-w.south)/w.step), w.west+w.step*math.Round((lonDeg-w.west)/w.step)
	lon = geo.WrapLonDeg(lon)
	seconds := c.Seconds(w.cycle.Add(time.Duration(hour) * time.Hour))
	for i, row := range c.Column(geo.Point{LatDeg: lat, LonDeg: lon}, seconds, member) {
		p := c.Info().Levels[i]
		who := fmt.Sprintf("at %g %g, %g Pa, hour %d, member %d: ", lat, lon, p, hour, member)
		near(t, who+"east", row.WindEast, usual(windEast, lat, lon, p, hour, member), packed)
		near(t, who+"north", row.WindNorth, usual(windNorth, lat, lon, p, hour, member), packed)
		near(t, who+"temperature", row.Temperature, usual(temperature, lat, lon, p, hour, member), packed)
		// Single precision keeps heights of 30 km to 2 mm.
		near(t, who+"height", float64(row.Alt), float64(geo.Geometric(geo.Geopotential(usual(height, lat, lon, p, hour, member)), lat)), 4e-3)
	}
}

func TestLoadPlainForecast(t *testing.T) {
	w := patch()
	w.surface = true
	c := load(t, at(40, -95, 4), w.file(t, "sky.grib2"))
	info := c.Info()
	if info.Kind != Gridded || !info.Cycle.Equal(day) || info.Source != "the US weather service (NCEP)" || !slices.Equal(info.Files, []string{"sky.grib2"}) || len(info.Unused)+len(info.Notes) != 0 {
		t.Errorf("the cube says of itself %+v", info)
	}
	if !slices.Equal(info.Levels, isobars) || c.Members() != 1 || c.Frozen() {
		t.Errorf("levels %v, %d members", info.Levels, c.Members())
	}
	// The launch at hour 4 and 8 hours of flight need the steps from 3 to 12.
	if first, last := c.Span(); !first.Equal(day.Add(3*time.Hour)) || !last.Equal(day.Add(12*time.Hour)) || len(info.Steps) != 4 {
		t.Errorf("steps %v", info.Steps)
	}
	for _, place := range [][2]float64{{40, -95}, {30, -110}, {50, -80}, {47, -82}} {
		agrees(t, c, w, place[0], place[1], 6, 0)
	}
	h, ok := c.SurfaceHeight(geo.Point{LatDeg: 40, LonDeg: -95})
	near(t, "ground", float64(h), float64(geo.Geometric(1040, 40)), 1e-2)
	if !ok {
		t.Error("no ground")
	}
}

func TestLoadEveryScanOrderAndPacking(t *testing.T) {
	for _, scan := range []uint8{0, 0x40, 0x80, 0x20, 0xe0, 0x10, 0x70, 0x90} {
		for _, packing := range []uint16{0, 3} {
			w := patch()
			w.scan, w.packing, w.levels, w.hours = scan, packing, isobars[:3], []int{0, 3}
			c := load(t, at(40.3, -95.2, 1), w.file(t, "sky.grib2"))
			for _, place := range [][2]float64{{40, -95}, {30, -110}, {50, -80}, {31, -81}} {
				agrees(t, c, w, place[0], place[1], 3, 0)
			}
		}
	}
}

// Only what lies near is kept, across every seam, and as a closed circle about a pole.
func TestLoadCrops(t *testing.T) {
	w := globe()
	w.step, w.rows, w.cols, w.levels, w.hours = 5, 37, 72, isobars[:2], []int{0, 3}
	shifted := w
	shifted.west = -180
	repeated := w
	repeated.cols = 73 // the first column again at the end
	for name, w := range map[string]written{"from Greenwich": w, "from the antimeridian": shifted, "with a column twice": repeated} {
		file := w.file(t, "sky.grib2")
		for _, k := range []struct {
			lat, lon   float64
			rows, cols int
			around     bool
		}{
			// 1500 km are 13.6 degrees of latitude, so that from 2 N the rows from 15 S
			// to 20 N are needed; at 40 degrees of latitude it is 17.9 of longitude;
			// about a pole all columns.
			{2, 3, 8, 8, false}, {40, 0, 7, 9, false}, {40, -178, 7, 9, false}, {-41, 179, 7, 9, false}, {-40, 95, 7, 9, false},
			{88, 20, 5, 72, true}, {-90, 0, 4, 72, true}, {75, 30, 7, 0, false},
		} {
			c := load(t, at(k.lat, k.lon, 1), file)
			if c.rows != k.rows || k.cols > 0 && c.cols > k.cols || c.around != k.around && k.cols > 0 {
				t.Errorf("%s, at %g %g: %d by %d points are kept, around %v", name, k.lat, k.lon, c.rows, c.cols, c.around)
			}
			plane := geo.NewPlane(geo.Point{LatDeg: k.lat, LonDeg: k.lon})
			s := c.Sampler(0)
			for bearing := 0.0; bearing < 360; bearing += 15 {
				sin, cos := math.Sincos(bearing * math.Pi / 180)
				edge := plane.From(1490e3*sin, 1490e3*cos)
				s.At(edge.LatDeg, edge.LonDeg, 500, 3600)
				agrees(t, c, w, edge.LatDeg, edge.LonDeg, 0, 0)
			}
			if s.Edges != 0 {
				t.Errorf("%s, at %g %g: %v within 1490 km", name, k.lat, k.lon, s.Edges)
			}
		}
	}
	w.step, w.rows, w.cols = 5, 37, 72
	wide := at(40, 20, 1)
	wide.RadiusM = 2e7
	if c := load(t, wide, w.file(t, "sky.grib2")); c.rows != 37 || c.cols != 72 || !c.around {
		t.Errorf("a radius of half the world keeps %d by %d points", c.rows, c.cols)
	}
}

func TestLoadMembers(t *testing.T) {
	w := patch()
	w.members = []int{0, 1, 2, 3}
	w.levels, w.hours = isobars[:4], []int{0, 6}
	w.leave = func(v variable, hour, member int, p float64) bool {
		return member == 2 && hour == 6 && v == windEast && p == 85000
	}
	c := load(t, at(40, -95, 1), w.file(t, "ens.grib2"))
	if c.Members() != 3 {
		t.Fatalf("%d members", c.Members())
	}
	for i, member := range []int{0, 1, 3} {
		seconds := c.Seconds(day)
		row := c.Column(geo.Point{LatDeg: 40, LonDeg: -95}, seconds, i)[1]
		near(t, "member's wind", row.WindEast, usual(windEast, 40, -95, 92500, 0, member), packed)
	}
	if u := c.Info().Unused; len(u) != 1 || u[0] != "members that lack a step or a level: 2" {
		t.Errorf("unused: %q", u)
	}
}

func TestLoadNamesLevelsLeftOut(t *testing.T) {
	w := patch()
	w.leave = func(v variable, hour, _ int, p float64) bool {
		return p == 85000 && v == windEast || p == 1000 && hour == 6 && (v == height || v == temperature)
	}
	c := load(t, at(40, -95, 4), w.file(t, "sky.grib2"))
	if len(c.Info().Levels) != len(isobars)-2 || slices.Contains(c.Info().Levels, 85000) {
		t.Errorf("levels %v", c.Info().Levels)
	}
	want := "levels without all of height, temperature and wind: 850 hPa (no wind towards east (u)), 10 hPa (no height (gh), temperature (t))"
	if u := c.Info().Unused; len(u) != 1 || u[0] != want {
		t.Errorf("unused: %q", u)
	}
	// A step that has next to nothing does not take the levels from the others.
	w.leave = func(_ variable, hour, _ int, p float64) bool { return hour == 6 && p < 92500 }
	c = load(t, at(40, -95, 4), w.file(t, "sky.grib2"))
	if len(c.Info().Levels) != len(isobars) || len(c.Info().Steps) != 3 {
		t.Errorf("%d levels, steps %v", len(c.Info().Levels), c.Info().Steps)
	}
	if u := c.Info().Unused; len(u) != 1 || u[0] != "steps with fewer than half of the levels: 2027-04-17 18:00 UTC" {
		t.Errorf("unused: %q", u)
	}
}

func TestLoadChoosesTheCycle(t *testing.T) {
	older, newer, newest := patch(), patch(), patch()
	older.cycle, newest.cycle = day.Add(-6*time.Hour), day.Add(6*time.Hour)
	older.hours = []int{0, 3, 6, 9, 12, 18, 24}
	newest.leave = func(v variable, _, _ int, _ float64) bool { return v == temperature }
	files := []File{older.file(t, "older"), newest.file(t, "newest"), newer.file(t, "newer")}
	c := load(t, at(40, -95, 7), files...)
	if !c.Info().Cycle.Equal(day) || !slices.Equal(c.Info().Files, []string{"newer"}) {
		t.Errorf("used %v of %v", c.Info().Files, c.Info().Cycle)
	}
	unused := strings.Join(c.Info().Unused, "\n")
	for _, want := range []string{"the cycle of 2027-04-17 18:00 UTC from the US weather service (NCEP), which does not serve: newest: temperature (t) on pressure levels is missing",
		"the cycle of 2027-04-17 06:00 UTC"} {
		if !strings.Contains(unused, want) {
			t.Errorf("unused reads\n%s\nexpected to hold\n%s", unused, want)
		}
	}
	// Hour 15 is beyond the newer one, but not beyond the older.
	if c := load(t, at(40, -95, 15), files...); !c.Info().Cycle.Equal(day.Add(-6 * time.Hour)) {
		t.Errorf("hour 15 is flown in the cycle of %v", c.Info().Cycle)
	}
	// Without a launch time, the first step of the newest that serves.
	if c := load(t, Request{Place: middle}, files...); !c.Info().Cycle.Equal(day) || !c.Epoch().Equal(day) {
		t.Errorf("without a time: cycle %v from %v", c.Info().Cycle, c.Epoch())
	}
}

func TestLoadFrozenSky(t *testing.T) {
	w := patch()
	w.hours = []int{6}
	file := w.file(t, "sky.grib2")
	for _, hour := range []float64{-6, 0, 6, 18} {
		c := load(t, at(40, -95, hour), file)
		if !c.Frozen() || len(c.Info().Notes) != 1 || c.Info().Notes[0] != "one step alone, 2027-04-17 18:00 UTC: the sky is taken as frozen" {
			t.Errorf("launch at hour %g: frozen %v, %q", hour, c.Frozen(), c.Info().Notes)
		}
		s := c.Sampler(0)
		s.At(40, -95, 5000, c.Seconds(day.Add(time.Duration(hour*float64(time.Hour)))))
		if s.Edges != 0 {
			t.Errorf("a frozen sky holds %v", s.Edges)
		}
	}
	_, err := Load([]File{file}, at(40, -95, 18.1))
	if err == nil || err.Error() != "the launch at 2027-04-18 06:06 UTC lies outside the forecast, whose only step, 2027-04-17 18:00 UTC, serves for launches within 12 hours of it: fetch one for that time" {
		t.Errorf("18.1 h: %v", err)
	}
	// Of two single steps the nearer, of a frozen sky and one with steps the latter.
	early, wide := w, patch()
	early.cycle = day.Add(-6 * time.Hour)
	if c := load(t, at(40, -95, 1), file, early.file(t, "early")); !c.Epoch().Equal(day) {
		t.Errorf("the step of %v is used for hour 1", c.Epoch())
	}
	wide.cycle = day.Add(-6 * time.Hour)
	if c := load(t, at(40, -95, 5), file, wide.file(t, "wide")); c.Frozen() {
		t.Error("a frozen sky is preferred to one with steps")
	}
}

func TestLoadDoubledFields(t *testing.T) {
	w := patch()
	w.hours = []int{0, 3}
	a := w.file(t, "a")
	again := a
	again.Name = "again"
	c := load(t, at(40, -95, 1), a, again)
	if u := c.Info().Unused; len(u) != 1 || !strings.HasPrefix(u[0], "again, which gives no height, temperature or wind") || !slices.Equal(c.Info().Files, []string{"a"}) {
		t.Errorf("the same file twice: %+v", c.Info())
	}
	w.value = func(v variable, _, _, _ float64, _, _ int, usual float64) float64 {
		if v == windEast {
			return usual + 10
		}
		return usual
	}
	b := w.file(t, "b")
	c = load(t, at(40, -95, 1), a, b)
	near(t, "the first file's wind", c.Column(geo.Point{LatDeg: 40, LonDeg: -95}, 0, 0)[0].WindEast, usual(windEast, 40, -95, 100000, 0, -1), packed)
	if u := c.Info().Unused; len(u) != 2 || u[0] != "fields of b that a gives otherwise (the file named first is used)" {
		t.Errorf("unused: %q", u)
	}
}

func TestLoadHumidity(t *testing.T) {
	w := patch()
	w.humidity, w.hours = true, []int{0, 3}
	w.leave = func(v variable, _, _ int, p float64) bool { return v == relative && p < 30000 } // none aloft
	c := load(t, at(40, -95, 1), w.file(t, "sky"))
	dry := w
	dry.humidity = false
	d := load(t, at(40, -95, 1), dry.file(t, "sky"))
	s, sd := c.Sampler(0), d.Sampler(0)
	low, lowDry := s.At(40, -95, 150, 0), sd.At(40, -95, 150, 0)
	// Half saturated at 1000 hPa and 14.2 °C: e = 8.1 hPa, so 0.378 e/p = 0.31 % lighter.
	near(t, "humid over dry", low.Density/lowDry.Density, 1-0.378*8.1/1000, 2e-4)
	high, highDry := s.At(40, -95, 20000, 0), sd.At(40, -95, 20000, 0)
	near(t, "aloft", high.Density/highDry.Density, 1, 1e-9)
	w.leave = func(v variable, _, _ int, p float64) bool { return v == relative && p == 85000 }
	c = load(t, at(40, -95, 1), w.file(t, "sky"))
	if u := c.Info().Unused; len(u) != 1 || !strings.HasPrefix(u[0], "relative humidity (r), which is not on every level") {
		t.Errorf("unused: %q", u)
	}
}

func TestLoadGroundMask(t *testing.T) {
	w := patch()
	w.hours = []int{0, 3}
	mountain := func(lat, lon float64) bool { return lat == 40 && lon == -100 }
	w.value = func(v variable, lat, lon, p float64, _, _ int, usual float64) float64 {
		if mountain(lat, lon) && p >= 85000 && v != height {
			return math.NaN()
		}
		return usual
	}
	c := load(t, at(40, -95, 1), w.file(t, "sky"))
	if n := c.Info().Notes; len(n) != 1 || !strings.HasPrefix(n[0], "2 of ") || !strings.HasSuffix(n[0], "have no values inside the ground: the lowest level was carried on down") {
		t.Errorf("notes: %q", n)
	}
	rows := c.Column(geo.Point{LatDeg: 40, LonDeg: -100}, 0, 0)
	for i, row := range rows[:3] {
		near(t, "wind held", row.WindEast, rows[3].WindEast, 1e-5)
		near(t, "standard below", float64(row.Alt), float64(geo.Geometric(standardNode(isobars[i], 0, 0).Height, 40)), 5)
		near(t, "temperature", row.Temperature, standardNode(isobars[i], 0, 0).Temperature, 0.05)
	}
	for name, hole := range map[string]func(v variable, lat, lon, p float64) bool{
		"aloft":     func(v variable, lat, lon, p float64) bool { return v == windNorth && p == 50000 },
		"at height": func(v variable, lat, lon, p float64) bool { return v == temperature && p >= 20000 },
		"all":       func(v variable, lat, lon, p float64) bool { return v == height },
	} {
		w.value = func(v variable, lat, lon, p float64, _, _ int, usual float64) float64 {
			if mountain(lat, lon) && hole(v, lat, lon, p) {
				return math.NaN()
			}
			return usual
		}
		var bad *ValueError
		_, err := Load([]File{w.file(t, "sky")}, at(40, -95, 1))
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), "has no value at 40 N 100 W") {
			t.Errorf("%s: %v", name, err)
		}
		// Far outside the area that is needed, a hole does not matter.
		far := at(35, -82, 1)
		far.RadiusM = 300e3
		load(t, far, w.file(t, "sky"))
	}
}

func TestLoadTable(t *testing.T) {
	table := File{"sky.csv", []byte("height_m,wind_from_deg,wind_speed_mps\n0,270,10\n10000,180,30\n20000,90,10\n")}
	c := load(t, at(36, -104, 5), table)
	s := c.Sampler(0)
	z := float64(geo.Geometric(5000, 36))
	air := s.At(36, -104, z, 1e7)
	// As components, half way: (10+0)/2 east, (0+30)/2 north.
	near(t, "east", air.WindEast, 5, 0.01) // geometric and geopotential halves differ by 4 m
	near(t, "north", air.WindNorth, 15, 0.02)
	if s.Edges != 0 || !c.Frozen() || c.Info().Kind != Profile || c.Info().Source != "profile sky.csv" {
		t.Errorf("held %v, %+v", s.Edges, c.Info())
	}
	// Rows 10 km apart are named, and that the temperatures are not the table's.
	if notes := strings.Join(c.Info().Notes, "; "); len(c.Info().Notes) != 3 || !strings.Contains(notes, "no temperature") || strings.Count(notes, "no row between") != 2 {
		t.Errorf("notes: %s", notes)
	}
	near8 := File{"sky.csv", []byte("height_m,temperature_c,wind_from_deg,wind_speed_mps\n0,10,270,10\n8000,-40,180,30\n16000,-60,90,10\n")}
	if notes := load(t, at(36, -104, 5), near8).Info().Notes; len(notes) != 0 {
		t.Errorf("rows of 8 km and temperatures need no note: %q", notes)
	}
	if s.At(80, 100, 5000, -1e9); s.Edges != 0 {
		t.Errorf("a profile has edges: %v", s.Edges)
	}
	near(t, "top", float64(c.Column(middle, 0, 0)[2].Alt), float64(geo.Geometric(20000, 36)), 4e-3)
	if c := load(t, Request{Place: middle}, table); !c.Epoch().Equal(time.Unix(0, 0)) {
		t.Errorf("without a date it begins at %v", c.Epoch())
	}
}

func TestLoadIsTheSameWithAnyNumberOfWorkers(t *testing.T) {
	w := patch()
	w.humidity, w.surface, w.members = true, true, []int{0, 1}
	file := w.file(t, "sky")
	want := at(40, -95, 4)
	want.Workers = 1
	one := load(t, want, file)
	want.Workers = 8
	if eight := load(t, want, file); !reflect.DeepEqual(one, eight) {
		t.Error("eight workers make another cube than one")
	}
}
