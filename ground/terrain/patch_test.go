package terrain

import (
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"pappus/measure/geo"
)

// A patch rounds the relief to a kilometre: 500 m from a post the ground may have turned by a part of the error stated.
func TestPatchFollowsTheWorld(t *testing.T) {
	w := world(t)
	r := rand.New(rand.NewPCG(5, 6))
	for _, centre := range []geo.Point{{LatDeg: 40.1, LonDeg: -99.2}, {LatDeg: -17.8, LonDeg: 179.9}, {LatDeg: 46.8, LonDeg: 8.2}, {LatDeg: 84, LonDeg: -40}, {LatDeg: 89, LonDeg: 10}} {
		patch := w.Around(centre, 200e3)
		sum, n := 0.0, 2000
		for range n {
			q, _ := geo.Direct(centre, r.Float64()*360, r.Float64()*260e3)
			got, e, _ := patch.Elevation(q)
			want, we, _ := w.Elevation(q)
			d := float64(got - want)
			if math.Abs(d) > 0.75*we+1 || e < 5 {
				t.Errorf("%v: %.0f ± %.0f m, the world says %.0f ± %.0f", q, got, e, want, we)
			}
			sum += d * d
		}
		if rms := math.Sqrt(sum / float64(n)); rms > 12 {
			t.Errorf("about %v: %.1f m RMS", centre, rms)
		}
	}
}

func TestPatchIsTheSameForAll(t *testing.T) {
	w := world(t)
	centre := geo.Point{LatDeg: 46.8, LonDeg: 8.2}
	points := make([]geo.Point, 5000)
	r := rand.New(rand.NewPCG(7, 8))
	for i := range points {
		points[i], _ = geo.Direct(centre, r.Float64()*360, r.Float64()*50e3)
	}
	ask := func(workers int) []geo.AltMSL {
		patch := w.Around(centre, 40e3)
		out := make([]geo.AltMSL, len(points))
		var wait sync.WaitGroup
		for k := range workers {
			wait.Go(func() {
				for i := k; i < len(points); i += workers {
					out[len(points)-1-i], _, _ = patch.Elevation(points[len(points)-1-i])
				}
			})
		}
		wait.Wait()
		return out
	}
	one, many := ask(1), ask(8)
	for i := range one {
		if one[i] != many[i] {
			t.Fatalf("%v: %v alone, %v among many", points[i], one[i], many[i])
		}
	}
}

func TestPatchDoesNotAllocate(t *testing.T) {
	var relief Relief = world(t).Around(geo.Point{LatDeg: 40, LonDeg: -99}, 100e3)
	i := 0
	if n := testing.AllocsPerRun(1000, func() { i++; relief.Elevation(geo.Point{LatDeg: 40, LonDeg: -99 + float64(i)*1e-3}) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func BenchmarkPatch(b *testing.B) {
	patch := world(b).Around(geo.Point{LatDeg: 40, LonDeg: -99}, 300e3)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		patch.Elevation(geo.Point{LatDeg: 40 + float64(i%100)*0.01, LonDeg: -99 + float64(i%37)*0.02})
	}
}
