package nearby

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pappus/measure/geo"
)

// scatter makes points all over the globe, thick at the poles and the antimeridian, in the order of their cells.
func scatter(grid *Grid, n int) ([]geo.Point, []uint8) {
	r := rand.New(rand.NewPCG(1, 2))
	points := make([]geo.Point, n)
	for i := range points {
		p := geo.Point{LatDeg: math.Asin(2*r.Float64()-1) / degree, LonDeg: r.Float64()*360 - 180}
		switch i % 5 {
		case 0:
			p.LatDeg = 90 - r.ExpFloat64()*2
		case 1:
			p.LatDeg = -90 + r.ExpFloat64()*2
		case 2:
			p.LonDeg = geo.WrapLonDeg(180 + r.NormFloat64())
		}
		points[i] = p
	}
	slices.SortFunc(points, func(a, b geo.Point) int { return int(grid.Cell(a)) - int(grid.Cell(b)) })
	class := make([]uint8, n)
	for i := range class {
		class[i] = 1 << r.IntN(3)
	}
	return points, class
}

func queries() []geo.Point {
	r := rand.New(rand.NewPCG(3, 4))
	all := []geo.Point{{LatDeg: 90}, {LatDeg: -90, LonDeg: 77}, {LatDeg: 0, LonDeg: -180}, {LatDeg: 10, LonDeg: 179.9999}, {LatDeg: -89.999, LonDeg: -180}}
	for range 300 {
		all = append(all, geo.Point{LatDeg: math.Asin(2*r.Float64()-1) / degree, LonDeg: r.Float64()*360 - 180},
			geo.Point{LatDeg: 90 - r.ExpFloat64(), LonDeg: r.Float64()*360 - 180},
			geo.Point{LatDeg: r.Float64()*160 - 80, LonDeg: geo.WrapLonDeg(180 + r.NormFloat64()*0.3)})
	}
	return all
}

// TestNearestAgainstBruteForce compares with every point's exact geodesic distance.
func TestNearestAgainstBruteForce(t *testing.T) {
	for _, bands := range []int{36, 180, 720} {
		grid := NewGrid(bands)
		points, class := scatter(grid, 4000)
		ix, err := New(grid, points, class)
		if err != nil {
			t.Fatal(err)
		}
		into := make([]Near, 4)
		for qi, q := range queries() {
			mask := uint8(qi % 4)
			within := []float64{5e3, 60e3, 300e3, 900e3}[qi/4%4]
			var want []Near
			for i, p := range points {
				if mask != 0 && class[i]&mask == 0 || math.Abs(p.LatDeg-q.LatDeg) > 10 {
					continue
				}
				if d, _, _ := geo.Inverse(q, p); d <= within {
					want = append(want, Near{int32(i), d})
				}
			}
			slices.SortFunc(want, func(a, b Near) int { return int(math.Copysign(1, a.DistanceM-b.DistanceM)) })
			found := ix.Nearest(q, within, mask, into)
			if found < min(len(want), len(into)) {
				t.Fatalf("%d bands, %v within %g: %d found, want %d", bands, q, within, found, len(want))
			}
			for i := range min(found, len(want)) {
				// A chord of 900 km is 750 m short, and float32 holds half a metre.
				if d := want[i].DistanceM - into[i].DistanceM; d < -1.5 || d > 1.5+750*math.Pow(want[i].DistanceM/900e3, 3)*1.05 {
					t.Errorf("%d bands, %v: place %d is %.1f m away, want %.1f", bands, q, i, into[i].DistanceM, want[i].DistanceM)
				}
			}
		}
	}
}

func TestNearestReachesRoundTheGlobe(t *testing.T) {
	grid := NewGrid(180)
	ix, err := New(grid, []geo.Point{{LatDeg: 10, LonDeg: 20}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	into := make([]Near, 3)
	if n := ix.Nearest(geo.Point{LatDeg: -10, LonDeg: -160}, math.Inf(1), 0, into); n != 1 || into[0].DistanceM < 12.7e6 {
		t.Errorf("the antipode: %d found, %v", n, into[0])
	}
	if n := ix.Nearest(geo.Point{LatDeg: -10, LonDeg: -160}, math.NaN(), 0, into); n != 0 {
		t.Errorf("within NaN: %d", n)
	}
}

func TestNewRefuses(t *testing.T) {
	grid := NewGrid(180)
	if _, err := New(grid, []geo.Point{{LatDeg: 50}, {LatDeg: 10}}, nil); err == nil {
		t.Error("points out of order were accepted")
	}
	if _, err := New(grid, []geo.Point{{LatDeg: 50}}, []uint8{1, 2}); err == nil {
		t.Error("too many classes were accepted")
	}
}

func TestNoAllocation(t *testing.T) {
	grid := NewGrid(720)
	points, class := scatter(grid, 4000)
	ix, _ := New(grid, points, class)
	into := make([]Near, 6)
	if n := testing.AllocsPerRun(100, func() { ix.Nearest(points[1000], 1e5, 3, into) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}
