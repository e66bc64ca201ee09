package terrain

import (
	"math"
	"sort"
	"testing"

	"pappus/ground/terrain/gazetteer"
	"pappus/ground/terrain/nearby"
	"pappus/measure/geo"
)

func world(t testing.TB) *World {
	t.Helper()
	w, err := LoadWorld()
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// TestEveryTileOpens also holds the margins together: what two tiles both hold must be the same.
func TestEveryTileOpens(t *testing.T) {
	w := world(t)
	highest, lowest, land := int16(0), int16(0), 0
	for i := range w.tiles {
		h, err := decodeTile(w.file, i)
		if err != nil {
			t.Fatal(err)
		}
		east, err := decodeTile(w.file, i/tileColumns*tileColumns+(i+1)%tileColumns)
		if err != nil {
			t.Fatal(err)
		}
		if len(h) == 0 {
			continue
		}
		for y := range tileWidth {
			for x := range tileMargin*2 + 1 {
				mine := h[y*tileWidth+tileWidth-1-2*tileMargin+x]
				if len(east) > 0 && mine != east[y*tileWidth+x] {
					t.Fatalf("tile %d and its eastern neighbour differ in row %d: %d, %d", i, y, mine, east[y*tileWidth+x])
				}
			}
			for x := range tileNodes {
				v := h[y*tileWidth+tileMargin+x]
				highest, lowest = max(highest, v), min(lowest, v)
				if v != 0 && y >= tileMargin && y < tileMargin+tileNodes {
					land++
				}
			}
		}
	}
	// ETOPO5's own top is 7833 m. A third of all nodes is land: 29 % of the globe, and Antarctica drawn large.
	if highest != 7833 || lowest > -300 || lowest < -450 {
		t.Errorf("from %d to %d m", lowest, highest)
	}
	if share := float64(land) / (4320 * 2160); share < 0.32 || share > 0.36 {
		t.Errorf("%.3f of the nodes are land", share)
	}
}

// Heights known from elsewhere, each within three times the error stated.
func TestKnownPlaces(t *testing.T) {
	w := world(t)
	for _, c := range []struct {
		name   string
		p      geo.Point
		height float64
	}{
		{"Hastings, Nebraska", geo.Point{LatDeg: 40.5862, LonDeg: -98.3884}, 589},
		{"Denver", geo.Point{LatDeg: 39.7392, LonDeg: -104.9847}, 1609},
		{"Vaduz", geo.Point{LatDeg: 47.1415, LonDeg: 9.5215}, 455},
		{"Quito", geo.Point{LatDeg: -0.22, LonDeg: -78.512}, 2850},
		{"Amsterdam", geo.Point{LatDeg: 52.374, LonDeg: 4.89}, -1},
		{"Jericho, below the sea", geo.Point{LatDeg: 31.867, LonDeg: 35.45}, -258},
		{"Alice Springs", geo.Point{LatDeg: -23.698, LonDeg: 133.881}, 545},
		{"the South Pole", geo.Point{LatDeg: -90, LonDeg: 0}, 2835},
		{"the North Pole", geo.Point{LatDeg: 90, LonDeg: 0}, 0},
		{"mid Pacific, at the antimeridian", geo.Point{LatDeg: 0, LonDeg: -180}, 0},
		{"Greenland's ice", geo.Point{LatDeg: 72.58, LonDeg: -38.46}, 3216},
		{"Nairobi", geo.Point{LatDeg: -1.2864, LonDeg: 36.8172}, 1661},
	} {
		got, e, source := w.Elevation(c.p)
		if math.Abs(float64(got)-c.height) > 3*e {
			t.Errorf("%s: %.0f ± %.0f m (%s), want %.0f", c.name, got, e, source, c.height)
		}
	}
}

// leaveOneOut asks for the height of a town or field as if it were not known.
func leaveOneOut(w *World, p geo.Point) (height, stated float64) {
	var near [spots]nearby.Near
	var corrections [spots]float64
	n := w.known(p, &near, &corrections)
	rest, restCorrections := near[:0:spots], corrections[:0:spots]
	for i := range n {
		if near[i].DistanceM > 30 { // itself, and its double in the other table
			rest, restCorrections = append(rest, near[i]), append(restCorrections, corrections[i])
		}
	}
	h, e, _ := w.corrected(p, rest, restCorrections)
	return float64(h), e
}

// TestErrorIsAsStated leaves out every 40th town and every 20th airfield in turn, and prints how wrong the rest is.
// One standard deviation should hold 68 % of them; at least 60 % is asked, and at most 92: the
// error is stated for any ground, and towns and airfields lie where it is flattest.
func TestErrorIsAsStated(t *testing.T) {
	w := world(t)
	type row struct{ miss, stated, bare, rough float64 }
	ask := func(p geo.Point, truth float64) row {
		h, e := leaveOneOut(w, p)
		return row{math.Abs(h - truth), e, math.Abs(w.bare(p).height - truth), w.roughness(p)}
	}
	sets := map[string][]row{}
	for i := 0; i < w.towns.Len(); i += 40 {
		if h, ok := w.towns.Height(i); ok {
			sets["towns"] = append(sets["towns"], ask(w.towns.Point(i), float64(h)))
		}
	}
	for i := 0; i < w.airfields.Len(); i += 20 {
		if h, ok := w.airfields.Height(i); ok && w.airfields.Kind(i) <= gazetteer.Small {
			sets["airfields"] = append(sets["airfields"], ask(w.airfields.Point(i), float64(h)))
		}
	}
	for name, rows := range sets {
		for _, class := range [][2]float64{{0, 1e9}, {0, 60}, {60, 240}, {240, 1000}, {1000, 1e9}} {
			var misses, bare []float64
			held := 0
			for _, r := range rows {
				if r.rough < class[0] || r.rough >= class[1] {
					continue
				}
				misses, bare = append(misses, r.miss), append(bare, r.bare)
				if r.miss <= r.stated {
					held++
				}
			}
			sort.Float64s(misses)
			sort.Float64s(bare)
			n := len(misses)
			if n < 20 {
				t.Fatalf("%s: only %d of roughness %v", name, n, class)
			}
			share := float64(held) / float64(n)
			t.Logf("%-9s roughness %5.0f to %10.0f m: %4d places; error half within %3.0f, 68 %% %3.0f, 90 %% %4.0f m (uncorrected %3.0f, %3.0f, %4.0f); %2.0f %% within the stated",
				name, class[0], class[1], n, misses[n/2], misses[n*68/100], misses[n*9/10], bare[n/2], bare[n*68/100], bare[n*9/10], 100*share)
			if share < 0.60 || share > 0.92 {
				t.Errorf("%s, roughness %v: %.2f within one standard deviation", name, class, share)
			}
			if misses[n/2] > bare[n/2] {
				t.Errorf("%s, roughness %v: the correction makes it worse", name, class)
			}
		}
	}
}

// A landing must not find a cliff that is none: along a line the height moves no faster than the ground can.
func TestNoSteps(t *testing.T) {
	w := world(t)
	for _, lat := range []float64{40.1, 46.8, -33.2, 59.999} {
		last, _, _ := w.Elevation(geo.Point{LatDeg: lat, LonDeg: 0})
		for k := 1; k <= 200000; k++ {
			p := geo.Point{LatDeg: lat, LonDeg: geo.WrapLonDeg(float64(k) * 1e-4)}
			h, _, _ := w.Elevation(p)
			// 0.0001 degree is 9 m at most. Close to a known height the ground may rise steeply to meet it: 4 m in 9.
			if d := math.Abs(float64(h - last)); d > 8 {
				t.Fatalf("at %v the height steps by %.1f m", p, d)
			}
			last = h
		}
	}
}

func TestNoAllocation(t *testing.T) {
	var r Relief = world(t)
	p := geo.Point{LatDeg: 40.0961, LonDeg: -99.2094}
	r.Elevation(p)
	if n := testing.AllocsPerRun(100, func() { r.Elevation(p) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func BenchmarkElevation(b *testing.B) {
	w := world(b)
	for _, c := range []struct {
		name string
		p    geo.Point
	}{{"Nebraska", geo.Point{LatDeg: 40, LonDeg: -99}}, {"Belgium", geo.Point{LatDeg: 50.7, LonDeg: 4.4}}, {"ocean", geo.Point{LatDeg: 0, LonDeg: -150}}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				w.Elevation(geo.Point{LatDeg: c.p.LatDeg + float64(i%100)*0.01, LonDeg: c.p.LonDeg + float64(i%37)*0.02})
			}
		})
	}
}
