package magnetic

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"pappus/measure/geo"
)

// TestOutsideTwoPrograms holds the field against two independent programs (testdata/SOURCE.md).
// Both count the year in days of their own, which moves the declination by under 0.001° away from the poles;
// the second prints two decimals.
func TestOutsideTwoPrograms(t *testing.T) {
	text, err := os.ReadFile("testdata/values.tsv")
	if err != nil {
		t.Fatal(err)
	}
	compared, worst, worstOther := 0, 0.0, 0.0
	for line := range strings.Lines(string(text)) {
		if line[0] == '#' {
			continue
		}
		f := strings.Fields(line)
		var v [8]float64
		for i, s := range f {
			if i == 3 {
				continue
			}
			if v[i], err = strconv.ParseFloat(s, 64); err != nil {
				t.Fatal(err)
			}
		}
		at, err := time.Parse(time.RFC3339, f[3])
		if err != nil {
			t.Fatal(err)
		}
		got := At(geo.Point{LatDeg: v[0], LonDeg: v[1]}, geo.AltHAE(v[2]), at)
		d := math.Abs(math.Remainder(got.DeclinationDeg-v[4], 360))
		other := math.Abs(math.Remainder(got.DeclinationDeg-v[7], 360))
		weakness := max(1, 20000/got.HorizontalNT) // an error sideways turns a weak field further
		if d > 0.002*weakness || other > 0.007*weakness {
			t.Errorf("%s: declination %.5f", line, got.DeclinationDeg)
		}
		if math.Abs(got.InclinationDeg-v[5]) > 0.001 || math.Abs(got.TotalNT-v[6]) > 0.5 {
			t.Errorf("%s: inclination %.5f, total %.2f", line, got.InclinationDeg, got.TotalNT)
		}
		compared, worst, worstOther = compared+1, max(worst, d/weakness), max(worstOther, other/weakness)
	}
	if compared < 100 {
		t.Fatalf("only %d rows", compared)
	}
	t.Logf("%d points: within %.5f° and %.5f° (two decimals)", compared, worst, worstOther)
}

// A third implementation's published example: Natick, 4 July 2028, 1000 m above the ellipsoid (testdata/SOURCE.md).
func TestOutsidePublishedExample(t *testing.T) {
	got := At(geo.Point{LatDeg: 42.283, LonDeg: -71.35}, 1000, time.Date(2028, 7, 4, 0, 0, 0, 0, time.UTC))
	if math.Abs(got.DeclinationDeg+13.6891) > 0.001 || math.Abs(got.InclinationDeg-65.9899) > 0.001 || math.Abs(got.TotalNT-50940) > 1 {
		t.Errorf("%+v", got)
	}
}

// The field must be the same vector whichever way the pole is reached.
func TestPolesAreRegular(t *testing.T) {
	at := time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)
	for _, lat := range []float64{90, -90} {
		base := At(geo.Point{LatDeg: lat, LonDeg: 0}, 0, at)
		for lon := -180.0; lon < 180; lon += 30 {
			got := At(geo.Point{LatDeg: lat, LonDeg: lon}, 0, at)
			if math.IsNaN(got.DeclinationDeg) || math.Abs(got.TotalNT-base.TotalNT) > 1e-6 {
				t.Errorf("pole %g, longitude %g: %+v", lat, lon, got)
			}
			// Seen along another meridian, true north turns with the longitude.
			turn := lon
			if lat < 0 {
				turn = -lon
			}
			if d := math.Remainder(got.DeclinationDeg-base.DeclinationDeg-turn, 360); math.Abs(d) > 1e-9 {
				t.Errorf("pole %g, longitude %g: declination %g, at 0 it is %g", lat, lon, got.DeclinationDeg, base.DeclinationDeg)
			}
		}
	}
}

func TestStanding(t *testing.T) {
	field := geo.Point{LatDeg: 40.0961, LonDeg: -99.2094}
	northMagneticPole := geo.Point{LatDeg: 85.8, LonDeg: 139.3} // of 2025, [WMM2025] table of dip poles
	for _, c := range []struct {
		place geo.Point
		year  int
		want  Standing
	}{
		{field, 2025, Good}, {field, 2029, Good}, {field, 2024, TooEarly}, {field, 2030, TooLate},
		{northMagneticPole, 2025, UselessField}, {geo.Point{LatDeg: 78, LonDeg: -120}, 2026, WeakField},
	} {
		got := At(c.place, 0, time.Date(c.year, 1, 1, 0, 0, 0, 0, time.UTC))
		if got.Standing != c.want {
			t.Errorf("%v in %d: %v (%g nT), want %v", c.place, c.year, got.Standing, got.HorizontalNT, c.want)
		}
		if (got.Standing == Good) != (got.Standing.String() == "") {
			t.Errorf("%v says %q", got.Standing, got.Standing.String())
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for name, text := range map[string]string{
		"a short row":      strings.Replace(table, "1\t0\t-29351.8", "1\t-29351.8", 1),
		"no number":        strings.Replace(table, "-29351.8", "many", 1),
		"a missing row":    strings.Join(strings.SplitAfter(table, "\n")[:90], ""),
		"a degree too far": strings.Replace(table, "12\t12\t", "13\t12\t", 1),
	} {
		if text == table {
			t.Fatalf("%s: the table was not changed", name)
		}
		if _, err := parse(text); err == nil {
			t.Errorf("%s was accepted", name)
		}
	}
}

func TestNoAllocation(t *testing.T) {
	at := time.Date(2027, 4, 17, 13, 0, 0, 0, time.UTC)
	p := geo.Point{LatDeg: 40.0961, LonDeg: -99.2094}
	At(p, 0, at)
	if n := testing.AllocsPerRun(100, func() { At(p, 0, at) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func ExampleAt() {
	f := At(geo.Point{LatDeg: 52, LonDeg: 5}, 0, time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC))
	fmt.Printf("%.2f° east, ±%.1f°; true 090 is magnetic %03.0f\n", f.DeclinationDeg, f.DeclinationErrorDeg, f.FromTrueDeg(90))
	// Output: 2.75° east, ±0.4°; true 090 is magnetic 087
}

func BenchmarkAt(b *testing.B) {
	at := time.Date(2027, 4, 17, 13, 0, 0, 0, time.UTC)
	b.ReportAllocs()
	for b.Loop() {
		At(geo.Point{LatDeg: 40, LonDeg: -99}, 0, at)
	}
}
