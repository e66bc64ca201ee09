package landing

import (
	"encoding/json"
	"errors"
	"math"
	"runtime"
	"slices"
	"testing"
	"time"

	"pappus/measure/geo"
)

func at(places ...geo.Point) Points {
	var p Points
	for _, q := range places {
		p.LatDeg, p.LonDeg = append(p.LatDeg, q.LatDeg), append(p.LonDeg, q.LonDeg)
	}
	return p
}

func repeat(n int, place func(i int) geo.Point) Points {
	all := make([]geo.Point, n)
	for i := range all {
		all[i] = place(i)
	}
	return at(all...)
}

// oddCloud is a cloud without a proper density, and between which areas, km², its 90 %
// region is plausible: from a disc of the narrowest kernel upwards.
type oddCloud struct {
	name   string
	points Points
	area90 [2]float64
}

func oddClouds() []oddCloud {
	plane := geo.NewPlane(inland)
	heavy := elongated("round", 10, 10, 0).points(inland, 500, generator(1))
	heavy.Weight = make([]float64, 500)
	for i := range heavy.Weight {
		heavy.Weight[i] = 1e-6
	}
	heavy.Weight[77] = 1
	r := generator(9)
	discs := func(n float64) [2]float64 { return [2]float64{0.001 * n, 0.06 * n} }
	return []oddCloud{
		{"one", at(inland), discs(1)},
		{"two on one spot", at(inland, inland), discs(1)},
		{"two, 10 km apart", at(inland, plane.From(1e4, 0)), [2]float64{0.01, 400}},
		{"three, 10 km apart", at(inland, plane.From(1e4, 0), plane.From(0, 1e4)), [2]float64{0.01, 800}},
		{"all on one spot", repeat(2000, func(int) geo.Point { return inland }), discs(1)},
		{"all within a metre", repeat(2000, func(int) geo.Point { return plane.From(r.Float64(), r.Float64()) }), discs(1)},
		{"on five spots", repeat(2000, func(i int) geo.Point { return plane.From(float64(i%5)*3000, 0) }), discs(5)},
		{"on a line", repeat(2000, func(int) geo.Point { return plane.From(1e4*r.NormFloat64(), 0) }), [2]float64{0.5, 20}},
		{"evenly on a slanted line", repeat(500, func(i int) geo.Point { return plane.From(50*float64(i), 80*float64(i)) }), [2]float64{0.5, 20}},
		{"two spots 3,000 km apart", repeat(1000, func(i int) geo.Point { return plane.From(3e6*float64(i%2), 0) }), discs(2)},
		{"two spots on opposite sides of the globe", repeat(1000, func(i int) geo.Point { return geo.Point{LatDeg: 0, LonDeg: float64(i%2)*180 - 180} }), discs(2)},
		{"one far heavier than the others", heavy, [2]float64{0.01, 20000}},
		{"all over the globe", repeat(2000, func(int) geo.Point {
			return geo.Point{LatDeg: math.Asin(2*r.Float64()-1) * 180 / math.Pi, LonDeg: 360*r.Float64() - 180}
		}), [2]float64{1e8, 5.2e8}},
		{"a cloud and strays 500 km about", repeat(2000, func(i int) geo.Point {
			if i%20 == 0 {
				return plane.From(1e6*(r.Float64()-0.5), 1e6*(r.Float64()-0.5))
			}
			return plane.From(1e3*r.NormFloat64(), 1e3*r.NormFloat64())
		}), [2]float64{10, 40}},
	}
}

// Odd clouds must still be answered, soberly and soon.
func TestDegenerateClouds(t *testing.T) {
	for _, c := range oddClouds() {
		start := time.Now()
		sum, err := Summarise(c.points, []float64{0.5, 0.9})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		// Some tens of milliseconds are usual; the bound only catches hanging, on a busy machine too.
		if took := time.Since(start); took > time.Minute {
			t.Errorf("%s took %v", c.name, took)
		}
		text, err := json.Marshal(sum) // refuses NaN and infinities
		if err != nil {
			t.Errorf("%s: %v in %.200s", c.name, err, text)
		}
		small, large := sum.Regions[0], sum.Regions[1]
		t.Logf("%s: %.4g and %.4g km², radii %.4g and %.4g m", c.name, small.AreaKm2, large.AreaKm2, sum.Radius50, sum.Radius90)
		if large.AreaKm2 < c.area90[0] || large.AreaKm2 > c.area90[1] || small.AreaKm2 <= 0 || small.AreaKm2 > large.AreaKm2*1.0001 {
			t.Errorf("%s: areas %v and %v km², expected the larger between %v and %v", c.name, small.AreaKm2, large.AreaKm2, c.area90[0], c.area90[1])
		}
		if sum.Radius50 > sum.Radius90 {
			t.Errorf("%s: radii %v and %v", c.name, sum.Radius50, sum.Radius90)
		}
		if c.area90[1] < 1e8 {
			checkGeometry(t, c.name, large.GeoJSON())
		}
		if e, err := NewEstimate(c.points); err != nil {
			t.Errorf("%s: %v", c.name, err)
		} else if d, err := e.Density(10000); err != nil || slices.ContainsFunc(d.PerKm2, math.IsNaN) {
			t.Errorf("%s: density %v", c.name, err)
		}
	}
}

// One landing alone: the kernel of 50 m is all there is. Its own 90 % disc has the area
// -2π ln(0.1) h² = 0.0362 km². With one landing nothing says how
// far the next will be, so up to 97.5 % of the kernel may be taken, 1.6 times as much.
func TestOneLanding(t *testing.T) {
	sum, err := Summarise(at(inland), []float64{0.9})
	if err != nil {
		t.Fatal(err)
	}
	if sum.Radius90 > 1e-6 || sum.EffectiveNumber != 1 {
		t.Errorf("radius %v, number %v", sum.Radius90, sum.EffectiveNumber)
	}
	if a := sum.Regions[0].AreaKm2; a < 0.6*0.0362 || a > 1.7*0.0362 {
		t.Errorf("area %v km², expected about 0.036", a)
	}
	if !sum.Regions[0].Contains(inland) {
		t.Error("the landing is outside its region")
	}
}

func TestRefusals(t *testing.T) {
	nan := math.NaN()
	for name, p := range map[string]Points{
		"none":            {},
		"unequal lengths": {LatDeg: []float64{1, 2}, LonDeg: []float64{1}},
		"unequal weights": {LatDeg: []float64{1}, LonDeg: []float64{1}, Weight: []float64{}},
		"no place":        {LatDeg: []float64{91}, LonDeg: []float64{1}},
		"NaN":             {LatDeg: []float64{1}, LonDeg: []float64{nan}},
		"negative weight": {LatDeg: []float64{1, 2}, LonDeg: []float64{1, 2}, Weight: []float64{1, -1}},
		"NaN weight":      {LatDeg: []float64{1}, LonDeg: []float64{1}, Weight: []float64{nan}},
		"infinite weight": {LatDeg: []float64{1}, LonDeg: []float64{1}, Weight: []float64{math.Inf(1)}},
		"no weight":       {LatDeg: []float64{1}, LonDeg: []float64{1}, Weight: []float64{0}},
	} {
		if _, err := Summarise(p, []float64{0.5}); err == nil {
			t.Errorf("%s: no error", name)
		}
		if m := MedianPoint(p); !math.IsNaN(m.LatDeg) {
			t.Errorf("%s: median %v", name, m)
		}
	}
	if _, err := Summarise(Points{}, nil); !errors.Is(err, ErrNoPoints) {
		t.Errorf("no points: %v", err)
	}
	for _, p := range []float64{0, 1, -0.1, nan} {
		if _, err := Summarise(at(inland), []float64{p}); err == nil {
			t.Errorf("the probability %v was taken", p)
		}
	}
	huge := at(inland, inland)
	huge.Weight = []float64{1e308, 1e308} // their sum is not finite, their shares are
	if s, err := Summarise(huge, nil); err != nil || math.Abs(s.EffectiveNumber-2) > 1e-12 {
		t.Errorf("great weights: %v, %v", s, err)
	}
}

// The median must have the least mean true distance; a search by halving steps from
// several starts, with exact geodesics, finds no better place.
func TestMedianAgainstBruteForce(t *testing.T) {
	for seed := range uint64(6) {
		r := generator(seed)
		centre := []geo.Point{inland, {LatDeg: 89.8, LonDeg: 20}, {LatDeg: -5, LonDeg: 179.9}}[seed%3]
		spread := []float64{20, 300}[seed%2]
		p := banana("banana", spread, spread/4, spread/2).points(centre, 15, r)
		for range 15 {
			p.Weight = append(p.Weight, r.Float64())
		}
		if seed == 5 {
			p.Weight[3] = 20 // outweighs all others together
		}
		cost := func(q geo.Point) float64 {
			sum := 0.0
			for i, w := range p.Weight {
				d, _, _ := geo.Inverse(q, geo.Point{LatDeg: p.LatDeg[i], LonDeg: p.LonDeg[i]})
				sum += w * d
			}
			return sum
		}
		got := MedianPoint(p)
		best := centre
		for step := spread * 1000; step > 0.001; {
			better := false
			for angle := 0.0; angle < 360; angle += 30 {
				if q, _ := geo.Direct(best, angle, step); cost(q) < cost(best) {
					best, better = q, true
				}
			}
			if !better {
				step /= 2
			}
		}
		// The sum of distances is flat at its least, so the place is the sharper test; the
		// search ends within millimetres times the ratio of curvatures, 0.1 m at most here.
		if off, _, _ := geo.Inverse(got, best); off > 0.1 || cost(got) > cost(best)+1e-3 {
			t.Errorf("seed %d: median %v, search %v, %.3f m apart", seed, got, best, off)
		}
		if seed == 5 {
			if off, _, _ := geo.Inverse(got, geo.Point{LatDeg: p.LatDeg[3], LonDeg: p.LonDeg[3]}); off > 1e-6 {
				t.Errorf("the median is %v m from the point that outweighs all others", off)
			}
		}
	}
}

// For a round normal law the radii are √(-2 ln(1-p)) spreads: 1.1774 and 2.1460. At
// 20,000 points the scatter of the quantile is 0.4 % and 0.5 %, four of it are allowed.
func TestRadii(t *testing.T) {
	s, err := Summarise(elongated("round", 10, 10, 0).points(inland, 20000, generator(4)), nil)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(s.Radius50/11774-1) > 0.017 || math.Abs(s.Radius90/21460-1) > 0.02 {
		t.Errorf("radii %.0f and %.0f m, expected 11774 and 21460", s.Radius50, s.Radius90)
	}
}

func TestSameBits(t *testing.T) {
	p := banana("banana", 15, 3, 8).points(inland, drawn, generator(2))
	answer := func() string {
		s, err := Summarise(p, []float64{0.5, 0.9})
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal([]any{s, s.Regions[0].GeoJSON(), s.Regions[1].GeoJSON()})
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	want := answer()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if answer() != want {
		t.Error("one core and several give different bytes")
	}
}

func TestDensityHoldsAll(t *testing.T) {
	for _, s := range shapes {
		e, err := NewEstimate(s.points(inland, drawn, generator(6)))
		if err != nil {
			t.Fatal(err)
		}
		for _, most := range []int{500, 20000} {
			d, err := e.Density(most)
			if err != nil {
				t.Fatal(err)
			}
			if n := d.Columns * d.Rows; n > most || n < most/5 && most == 500 || n != len(d.PerKm2) {
				t.Errorf("%s: %d by %d cells, asked for at most %d", s.name, d.Columns, d.Rows, most)
			}
			sum := 0.0
			for _, v := range d.PerKm2 {
				sum += v * d.StepM * d.StepM / 1e6
			}
			// What is fainter than 1 % of the peak may lie outside the box: about 1 % of a
			// normal law does. Coarse cells are read at their middles, another 1 %.
			if math.Abs(sum-1) > 0.03 {
				t.Errorf("%s: the cells hold %.4f", s.name, sum)
			}
		}
	}
	e, _ := NewEstimate(at(inland))
	for _, most := range []int{0, -1, 1 << 30} {
		if _, err := e.Density(most); err == nil {
			t.Errorf("a density of %d cells was drawn", most)
		}
	}
	d, err := e.Density(100)
	if err != nil {
		t.Fatal(err)
	}
	corners := d.Cell(0, 0)
	side, azimuth, _ := geo.Inverse(corners[0], corners[1])
	if math.Abs(side-d.StepM) > 1e-3 || math.Abs(azimuth-90) > 0.1 {
		t.Errorf("a cell's southern side is %v m towards %v, expected %v m east", side, azimuth, d.StepM)
	}
}

func TestChanceOf(t *testing.T) {
	p := repeat(100, func(i int) geo.Point { return geo.Point{LatDeg: float64(i) / 100, LonDeg: 0} })
	c, err := ChanceOf(p, func(q geo.Point) bool { return q.LatDeg < 0.195 })
	if err != nil || math.Abs(c.Probability-0.2) > 1e-12 {
		t.Errorf("chance %v, %v; expected 0.2", c, err)
	}
	// Wilson's range for 20 of 100 at 90 %, worked by hand: z² = 2.70554,
	// middle (0.2+0.0135277)/1.0270554 = 0.207903, half 1.644854·√(0.0016+0.0000676386)/1.0270554
	// = 0.065401.
	if math.Abs(c.Low-0.142502) > 2e-6 || math.Abs(c.High-0.273304) > 2e-6 {
		t.Errorf("range %v to %v, expected 0.142502 to 0.273304", c.Low, c.High)
	}
	never, err := ChanceOf(p, func(geo.Point) bool { return false })
	// z²/(n+z²) = 2.70554/102.70554.
	if err != nil || never.Low != 0 || math.Abs(never.High-0.026343) > 1e-6 {
		t.Errorf("none of 100: %v, %v; expected 0 to 0.026343", never, err)
	}
}

func benchmarkSummarise(b *testing.B, s shape, n int) {
	p := s.points(inland, n, generator(1))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Summarise(p, []float64{0.5, 0.9}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSummarise2000(b *testing.B)       { benchmarkSummarise(b, shapes[0], 2000) }
func BenchmarkSummarise2000Banana(b *testing.B) { benchmarkSummarise(b, shapes[6], 2000) }
func BenchmarkSummarise2000Far(b *testing.B) {
	benchmarkSummarise(b, blobs("far", 400, 0.5, 3, 3), 2000)
}
func BenchmarkSummarise10000(b *testing.B)     { benchmarkSummarise(b, shapes[0], 10000) }
func BenchmarkSummarise10000Ring(b *testing.B) { benchmarkSummarise(b, ring("", 40, 1), 10000) }
