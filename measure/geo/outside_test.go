package geo

import (
	"bufio"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// row is one published geodesic.
type row struct {
	lat1, lon1, azi1, lat2, lon2, azi2, s12 float64
	reducedLength                           float64 // how far the end moves for a radian of azimuth, m
}

func readRows(t *testing.T, path string) []row {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var rows []row
	for sc := bufio.NewScanner(f); sc.Scan(); {
		if strings.HasPrefix(sc.Text(), "#") {
			continue
		}
		fields := strings.Fields(sc.Text())
		if len(fields) != 10 {
			t.Fatalf("%s: %d columns, expected 10", path, len(fields))
		}
		var v [9]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(fields[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		rows = append(rows, row{v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[8]})
	}
	return rows
}

// The rows are given to 1e-12 degrees and 1e-7 m. A degree of latitude or longitude in
// double precision near 180 is known to 2.8e-14, 3 nm; with rounding in some tens of
// operations 20 nm must be met, both for the length and for where Direct ends.
const lengthTolerance = 20e-9

func checkRows(t *testing.T, rows []row) {
	t.Helper()
	for _, r := range rows {
		a, b := Point{r.lat1, r.lon1}, Point{r.lat2, r.lon2}
		s, azimuth, back := Inverse(a, b)
		if math.Abs(s-r.s12) > lengthTolerance {
			t.Errorf("%v: length %.9f, published %.9f, off by %g m", r, s, r.s12, s-r.s12)
		}
		if r.misses(azimuth, r.azi1) || r.misses(back, r.azi2+180) {
			t.Errorf("%v: azimuths %.13f and %.13f, off by %g and %g", r, azimuth, back, turn(azimuth, r.azi1), turn(back, r.azi2+180))
		}
		end, forward := Direct(a, r.azi1, r.s12)
		checkEnd(t, r, "published azimuth", end)
		if math.Abs(r.lat2) < 89.99 && turn(forward, r.azi2) > 1e-11 {
			t.Errorf("%v: azimuth at the end %.13f, off by %g", r, forward, turn(forward, r.azi2))
		}
		end, _ = Direct(a, azimuth, s)
		checkEnd(t, r, "own azimuth", end)
		// The other way round.
		s, azimuth, _ = Inverse(b, a)
		if math.Abs(s-r.s12) > lengthTolerance || r.misses(azimuth, r.azi2+180) {
			t.Errorf("%v: backwards %.9f m towards %.13f", r, s, azimuth)
		}
	}
}

func checkEnd(t *testing.T, r row, what string, end Point) {
	t.Helper()
	meridian, prime := CurvatureRadii(r.lat2)
	north := (end.LatDeg - r.lat2) * math.Pi / 180 * meridian
	east := math.Remainder(end.LonDeg-r.lon2, 360) * math.Pi / 180 * prime * math.Cos(r.lat2*math.Pi/180)
	if off := math.Hypot(north, east); off > lengthTolerance {
		t.Errorf("%v: with the %s Direct ends %g m off", r, what, off)
	}
}

// misses says whether an azimuth is off by more than what moves the other end by the
// tolerance. An azimuth cannot be known better than the place it points at.
func (r row) misses(azimuth, published float64) bool {
	return turn(azimuth, published)*math.Pi/180*math.Abs(r.reducedLength) > lengthTolerance
}

func turn(a, b float64) float64 { return math.Abs(math.Remainder(a-b, 360)) }

func TestOutsideGeodesics(t *testing.T) {
	checkRows(t, readRows(t, filepath.Join("testdata", "geodesics.txt")))
}

func TestOutsideGeodesicsShared(t *testing.T) {
	path := filepath.Join("..", "..", "..", "shared", "data", "geod", "GeodTest-100.dat")
	if dir := os.Getenv("PAPPUS_DATA"); dir != "" {
		path = filepath.Join(dir, "geod", "GeodTest-100.dat")
	}
	if _, err := os.Stat(path); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("the shared test data is not there: %v", err)
		}
		t.Skipf("set PAPPUS_DATA to the folder of shared test data to run this: %v", err)
	}
	rows := readRows(t, path)
	if len(rows) != 100 {
		t.Errorf("%d rows, expected 100", len(rows))
	}
	checkRows(t, rows)
}
