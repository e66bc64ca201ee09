package forecast

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"pappus/measure/geo"
)

// shared answers a folder of the real material, or skips the test.
func shared(t *testing.T, folder string) string {
	t.Helper()
	root := os.Getenv("PAPPUS_DATA")
	if root == "" {
		here, err := os.Getwd()
		if err != nil {
			t.Fatal(err)
		}
		for {
			if _, err := os.Stat(filepath.Join(here, "go.mod")); err == nil {
				break
			}
			here = filepath.Dir(here)
		}
		root = filepath.Join(here, "..", "shared", "data")
	}
	folder = filepath.Join(root, folder)
	if _, err := os.Stat(folder); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("the real material is missing: set PAPPUS_DATA (%v)", err)
		}
		t.Skipf("no real material at %s: set PAPPUS_DATA", folder)
	}
	return folder
}

func fileAt(t *testing.T, path string) File {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return File{filepath.Base(path), data}
}

// Values at grid nodes of a real forecast, read by ecCodes (see testdata/SOURCE.md).
func TestOutsideRealForecast(t *testing.T) {
	file := fileAt(t, "testdata/gfs20111008.grib2")
	table := fileAt(t, "testdata/gfs20111008-points.tsv")
	launch := time.Date(2011, 10, 11, 3, 0, 0, 0, time.UTC)
	cubes := map[geo.Point]*Cube{}
	compared := 0
	for _, line := range strings.Split(strings.TrimSpace(string(table.Data)), "\n")[1:] {
		cells := strings.Split(line, "\t")
		var n [4]float64
		for i := range n {
			var err error
			if n[i], err = strconv.ParseFloat(cells[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		place, err := geo.NewPoint(n[1], n[2])
		if err != nil {
			t.Fatal(err)
		}
		c := cubes[place]
		if c == nil {
			c = load(t, Request{Place: place, Launch: launch, RadiusM: 300e3}, file)
			cubes[place] = c
		}
		for _, row := range c.Column(place, 0, 0) {
			if math.Abs(row.Pressure-n[0]*100) > 1e-6 {
				continue
			}
			compared++
			// Single precision: of 31 km 2 mm, of 300 K and 100 m/s 2e-5.
			switch cells[0] {
			case "gh":
				near(t, line, float64(geo.ToGeopotential(row.Alt, place.LatDeg)), n[3], 4e-3)
			case "t":
				near(t, line, row.Temperature, n[3], 3e-5)
			case "u":
				near(t, line, row.WindEast, n[3], 2e-5)
			case "v":
				near(t, line, row.WindNorth, n[3], 2e-5)
			default:
				t.Fatalf("what is %q", cells[0])
			}
		}
	}
	if compared != 416 {
		t.Errorf("%d of 416 values compared", compared)
	}
}

// The middle of a cell of the real forecast is the mean of its corners.
func TestOutsideMiddleOfACell(t *testing.T) {
	file := fileAt(t, "testdata/gfs20111008.grib2")
	want := Request{Place: geo.Point{LatDeg: 48.75, LonDeg: 11.25}, Launch: time.Date(2011, 10, 11, 0, 0, 0, 0, time.UTC)}
	c := load(t, want, file)
	info := c.Info()
	if len(info.Levels) != 26 || info.Levels[25] != 1000 || !info.Cycle.Equal(time.Date(2011, 10, 8, 0, 0, 0, 0, time.UTC)) || !c.Frozen() {
		t.Errorf("the forecast says of itself %+v", info)
	}
	sums := map[string]float64{}
	for _, line := range strings.Split(string(fileAt(t, "testdata/gfs20111008-points.tsv").Data), "\n") {
		cells := strings.Split(line, "\t")
		if len(cells) < 5 || cells[1] != "10" {
			continue
		}
		lat, lon, value := cells[2], cells[3], cells[4]
		if (lat == "47.5" || lat == "50.0") && (lon == "10.0" || lon == "12.5") {
			v, err := strconv.ParseFloat(value, 64)
			if err != nil {
				t.Fatal(err)
			}
			sums[cells[0]] += v / 4
		}
	}
	rows := c.Column(want.Place, 0, 0)
	top := rows[len(rows)-1]
	near(t, "gh", float64(geo.ToGeopotential(top.Alt, 48.75)), sums["gh"], 0.05) // gravity is not quite linear over 2.5 degrees
	near(t, "t", top.Temperature, sums["t"], 3e-5)
	near(t, "u", top.WindEast, sums["u"], 2e-5)
	near(t, "v", top.WindNorth, sums["v"], 2e-5)
}

func TestOutsideForecastMadeFromAFlight(t *testing.T) {
	file := fileAt(t, filepath.Join(shared(t, "obsgrib"), "obs_giles_20160403T2315.grib2"))
	want := Request{Place: geo.Point{LatDeg: -25.0341, LonDeg: 128.30099}, Launch: time.Date(2016, 4, 3, 23, 15, 38, 0, time.UTC)}
	c := load(t, want, file)
	info := c.Info()
	if len(info.Levels) != 29 || info.Levels[0] != 100000 || info.Levels[28] != 700 || len(info.Unused) != 0 || len(info.Steps) != 4 {
		t.Errorf("the forecast says of itself %+v", info)
	}
	if first, last := c.Span(); !first.Equal(time.Date(2016, 4, 3, 21, 0, 0, 0, time.UTC)) || !last.Equal(time.Date(2016, 4, 4, 6, 0, 0, 0, time.UTC)) {
		t.Errorf("covers %v to %v", first, last)
	}
}

// Each broken file is refused in one to four lines, whatever is wrong with it.
func TestOutsideBrokenFiles(t *testing.T) {
	folder := shared(t, "bad")
	entries, err := os.ReadDir(folder)
	if err != nil || len(entries) < 16 {
		t.Fatalf("%d broken files: %v", len(entries), err)
	}
	for _, entry := range entries {
		file := fileAt(t, filepath.Join(folder, entry.Name()))
		err := refused(t, entry.Name(), at(40, -95, 1), file)
		if !strings.Contains(err.Error(), entry.Name()) {
			t.Errorf("the file is not named: %v", err)
		}
		t.Log(err)
	}
}
