package landcover

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"pappus/measure/geo"
)

// nearestByBruteForce walks every edge, drawn in a plane about the place in which distances from it are true.
func nearestByBruteForce(o *outlines, wanted func(arc int) bool, q geo.Point, reachDeg float64) float64 {
	plane := geo.NewPlane(q)
	best := math.Inf(1)
	for arc := range len(o.starts) - 1 {
		if !wanted(arc) {
			continue
		}
		for i := o.starts[arc]; i < o.starts[arc+1]-1; i++ {
			a, b := o.point(i), o.point(i+1)
			if math.Abs(a.LonDeg) == 180 && a.LonDeg == b.LonDeg || a.LatDeg == -90 && b.LatDeg == -90 {
				continue // the cut along the antimeridian and the pole
			}
			if min(a.LatDeg, b.LatDeg) > q.LatDeg+reachDeg || max(a.LatDeg, b.LatDeg) < q.LatDeg-reachDeg {
				continue
			}
			if east := math.Abs(math.Remainder((a.LonDeg+b.LonDeg)/2-q.LonDeg, 360)) - math.Abs(a.LonDeg-b.LonDeg); math.Abs(q.LatDeg) < 80 && east > 6*reachDeg {
				continue
			}
			// Long edges are straight in latitude and longitude, not on the ground: walk them in small steps.
			steps := int(max(math.Abs(a.LatDeg-b.LatDeg), math.Abs(a.LonDeg-b.LonDeg))/0.02) + 1
			x1, y1 := plane.To(a)
			for k := 1; k <= steps; k++ {
				f := float64(k) / float64(steps)
				x2, y2 := plane.To(geo.Point{LatDeg: a.LatDeg + f*(b.LatDeg-a.LatDeg), LonDeg: a.LonDeg + f*(b.LonDeg-a.LonDeg)})
				dx, dy := x2-x1, y2-y1
				t := 0.0
				if l := dx*dx + dy*dy; l > 0 {
					t = min(max(-(x1*dx+y1*dy)/l, 0), 1)
				}
				best = min(best, math.Hypot(x1+t*dx, y1+t*dy))
				x1, y1 = x2, y2
			}
		}
	}
	return best
}

func TestNearestAgainstBruteForce(t *testing.T) {
	m := world(t)
	r := rand.New(rand.NewPCG(11, 12))
	all := func(int) bool { return true }
	coast := func(arc int) bool {
		o := m.regions.outlines
		return o.left[arc] == 0 || o.right[arc] == 0
	}
	for _, c := range []struct {
		name   string
		kind   Line
		o      *outlines
		wanted func(int) bool
		places int
	}{
		{"lakes", LakeShore, m.lakes.outlines, all, 25}, {"rivers", River, m.rivers(), all, 25}, {"coast", Coast, m.regions.outlines, coast, 4},
	} {
		found := 0
		for _, q := range anywhere(r, c.o, c.places) {
			const within = 300e3
			got, ok := m.Nearest(c.kind, q, within)
			want := nearestByBruteForce(c.o, c.wanted, q, 3)
			if ok != (want <= within) && math.Abs(want-within) > 100 {
				t.Errorf("%s, %v: found %v, brute force %.0f m", c.name, q, ok, want)
				continue
			}
			if !ok {
				continue
			}
			found++
			// 3 m: half a metre of float32 in each coordinate, 10 m of sag at the middle of a long edge seen sideways, and
			// the plane's own stretch across (1 in 10,000 at 300 km).
			if d := math.Abs(got.DistanceM - want); d > 3+2e-4*want {
				t.Errorf("%s, %v: %.1f m, brute force %.1f", c.name, q, got.DistanceM, want)
			}
			if d, bearing, _ := geo.Inverse(q, got.Point); d != got.DistanceM || got.DistanceM > 1 && math.Abs(math.Remainder(bearing-got.BearingDeg, 360)) > 1e-6 {
				t.Errorf("%s, %v: %+v does not agree with itself", c.name, q, got)
			}
		}
		if found < c.places/4 {
			t.Errorf("%s: only %d found", c.name, found)
		}
	}
}

func TestKnownDistances(t *testing.T) {
	m := world(t)
	for _, c := range []struct {
		name     string
		kind     Line
		lat, lon float64
		km, by   float64
		bearing  float64 // and 0 where it does not matter
	}{
		// The 49th parallel is 111.2 km north of 48 N; Kansas begins at 40 N, 10.7 km south of 40.0961 N. A kilometre is the
		// outlines' own error.
		{"Canada from North Dakota", CountryBorder, 48, -100, 111.2, 1, 360},
		{"Kansas from Nebraska", StateBorder, 40.0961, -99.2094, 10.67, 0.3, 180},
		// The Eurasian pole of inaccessibility is 2510 km from the sea in recent reckonings; how far one goes up the mouths of
		// the Ganges makes 100 km.
		{"the sea from inner Asia", Coast, 45.28, 88.14, 2510, 110, 0},
		// The land nearest to the North Pole: Kaffeklubben and the like, 706 to 713 km.
		{"land from the North Pole", Coast, 90, 0, 710, 8, 0},
		// Point Nemo is 2688 km from Ducie, Motu Nui and Maher Island.
		{"land from Point Nemo", Coast, -48.8767, -123.3933, 2688, 10, 0},
	} {
		got, ok := m.Nearest(c.kind, geo.Point{LatDeg: c.lat, LonDeg: c.lon}, math.Inf(1))
		if !ok || math.Abs(got.DistanceM/1000-c.km) > c.by || c.bearing != 0 && math.Abs(math.Remainder(got.BearingDeg-c.bearing, 360)) > 3 {
			t.Errorf("%s: %.1f km on %.1f, want %.1f ± %.1f", c.name, got.DistanceM/1000, got.BearingDeg, c.km, c.by)
		}
	}
	if _, ok := m.Nearest(Line(99), geo.Point{}, 1e9); ok {
		t.Error("a line of no kind was found")
	}
	if _, ok := m.Nearest(Coast, geo.Point{LatDeg: 40, LonDeg: -99}, 1000); ok {
		t.Error("a coast within 1 km of Nebraska")
	}
}

// TestOutsideGeodesics holds "how far, which way" against GeographicLib's own rows.
func TestOutsideGeodesics(t *testing.T) {
	root := os.Getenv("PAPPUS_DATA")
	if root == "" {
		root = filepath.Join("..", "..", "..", "shared", "data")
	}
	text, err := os.ReadFile(filepath.Join(root, "geod", "GeodTest-100.dat"))
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("in CI the shared data must be there: %v", err)
		}
		t.Skipf("the shared data are not here (set PAPPUS_DATA): %v", err)
	}
	rows := 0
	for line := range strings.Lines(string(text)) {
		f := strings.Fields(line)
		var v [7]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(f[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		if v[0] == v[3] && v[1] == v[4] {
			continue
		}
		p, q := geo.Point{LatDeg: v[0], LonDeg: geo.WrapLonDeg(v[1])}, geo.Point{LatDeg: v[3], LonDeg: geo.WrapLonDeg(v[4])}
		got := toward(p, q)
		// The rows' distances are exact; 1 µm is their last digit. Near the antipode the bearing turns with the last bit.
		if math.Abs(got.DistanceM-v[6]) > 1e-5 || v[6] > 1 && v[6] < 19.9e6 && math.Abs(math.Remainder(got.BearingDeg-v[2], 360)) > 1e-6 {
			t.Errorf("%v: %+v", v, got)
		}
		rows++
	}
	if rows < 90 {
		t.Errorf("only %d rows", rows)
	}
}
