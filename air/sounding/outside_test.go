package sounding

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// shared answers a folder of the real material, or skips the test.
func shared(t *testing.T, folder string) string {
	t.Helper()
	root := os.Getenv("PAPPUS_DATA")
	if root == "" {
		at, err := os.Getwd()
		if err != nil {
			t.Fatal(err)
		}
		for {
			if _, err := os.Stat(filepath.Join(at, "go.mod")); err == nil {
				break
			}
			at = filepath.Dir(at)
		}
		root = filepath.Join(at, "..", "shared", "data")
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

// Four real ascents carry a barometer and a satellite receiver. Their heights
// and temperatures alone must give back the pressures of the barometer.
func TestOutsideRealAscents(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(shared(t, "sondes"), "*.csv"))
	if err != nil || len(files) < 4 {
		t.Fatalf("%d ascents: %v", len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		given := rising(t, string(text), "pressure_hpa")
		derived := rising(t, string(text), "barometer")
		for i, l := range derived {
			// Sea level stands in for the pressure of the day, which differs by up
			// to 3 %; only the change from the first row is compared. Dry air for
			// moist shifts it by up to 0.5 %, the receiver by up to 0.2 %, the
			// barometer by 0.5 hPa, which at 10 hPa is 5 %.
			want := given[i].Pressure / given[0].Pressure
			got := l.Pressure / derived[0].Pressure
			if tolerance := 0.007 + 50/given[i].Pressure; math.Abs(got/want-1) > tolerance {
				t.Errorf("%s, %.0f m: pressure ratio %.5f, barometer %.5f", filepath.Base(file), float64(l.Height), got, want)
				break
			}
		}
	}
}

// rising reads an ascent under the names of our columns, without the rows in
// which the balloon sank or hung; the pressure is given the name in `barometer`.
func rising(t *testing.T, text, barometer string) []Level {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(text), "\n")
	lines[0] = strings.NewReplacer("p_hPa", barometer, "T_C", "temperature_c", "wind_dir", "wind_from_deg", "wind_speed", "wind_speed_mps").Replace(lines[0])
	kept := []string{lines[0]}
	highest := math.Inf(-1)
	for _, line := range lines[1:] {
		cells := strings.Split(line, ",")
		alt := number(cells[3])
		if alt < highest+1 || math.IsNaN(number(cells[4])+number(cells[5])+number(cells[6])+number(cells[7])) {
			continue
		}
		highest = alt
		kept = append(kept, line)
	}
	p, err := Read("ascent.csv", []byte(strings.Join(kept, "\n")))
	if err != nil {
		t.Fatal(err)
	}
	return p.Levels(number(strings.Split(kept[1], ",")[1]))
}

func number(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}
