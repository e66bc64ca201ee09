package envelope

import (
	"math"
	"testing"
)

func TestQuantileWithoutEarly(t *testing.T) {
	law := NewBurstLaw(8.3, 0.06, 0)
	near(t, "median", law.Quantile(0.5, 2), 8.3, 1e-12)
	// Mean and deviation by the midpoint rule on 200,000 quantiles: the two
	// outermost cells carry the error, some 1e-5 of the deviation.
	const n = 200000
	sum, squares := 0.0, 0.0
	for i := range n {
		d := law.Quantile((float64(i)+0.5)/n, 2)
		sum += d
		squares += d * d
	}
	mean := sum / n
	near(t, "variation", math.Sqrt(squares/n-mean*mean)/mean, 0.06, 1e-5)
}

func TestQuantileMixture(t *testing.T) {
	const release, n = 2.0, 100000
	for _, law := range []BurstLaw{NewBurstLaw(8.3, 0.06, 0.08), {Median: 8.3, Variation: 0.06, EarlyShare: 0.08}} {
		early, between, last := 0, 0, 0.0
		for i := range n {
			d := law.Quantile((float64(i)+0.5)/n, release)
			if d < last {
				t.Fatalf("quantile %d falls from %v to %v", i, last, d)
			}
			last = d
			if d < 8.3*2/3 {
				early++
			}
			if d >= 1.3*release && d < (1.3*release+8.3*2/3)/2 {
				between++
			}
		}
		// Below two thirds lie the early 8 % and, of the rest, the Weibull law's
		// 1 - 2^-(2/3)^k with k = 20.8: 0.00015 of 0.92.
		near(t, "early share", float64(early)/n, 0.08+0.00014, 0.00005)
		near(t, "half of the early in the lower half", float64(between)/n, 0.04, 0.0001)
	}
}

func TestQuantileInvertsSurvival(t *testing.T) {
	law := NewBurstLaw(8.3, 0.07, 0.05)
	for _, release := range []float64{1.5, 2, 4.2, 5, 9} {
		for u := 0.0005; u < 1; u += 0.0005 {
			d := law.Quantile(u, release)
			// Where early failures have no room they burst together at one size,
			// and the share jumps there.
			if from, to := law.early(release); from == to && math.Abs(d-from) < 1e-9 {
				continue
			}
			// 60 halvings and the powers' last digits, times a slope of a few per metre.
			near(t, "survival", law.Survival(d, release), 1-u, 1e-12)
		}
	}
}

func TestQuantileEnds(t *testing.T) {
	law := NewBurstLaw(8.3, 0.06, 0.05)
	if d := law.Quantile(0, 2); !(d >= 0 && d < 2.6) {
		t.Errorf("u = 0: %v", d)
	}
	if d := law.Quantile(1-1e-16, 2); !(d > 9 && d < 11) {
		t.Errorf("u just below 1: %v", d)
	}
	sure := NewBurstLaw(8.3, 0, 0)
	for _, u := range []float64{0, 0.3, 0.999} {
		near(t, "no scatter", sure.Quantile(u, 2), 8.3, 0)
	}
	early := NewBurstLaw(8.3, 0, 0.1)
	near(t, "no scatter, not early", early.Quantile(0.11, 2), 8.3, 0)
	near(t, "no scatter, early, in the middle", early.Quantile(0.05, 2), (2.6+8.3*2/3)/2, 1e-12)
}

func TestQuantileAbove(t *testing.T) {
	law := NewBurstLaw(8.3, 0.06, 0.08)
	for _, whole := range []float64{0, 2, 3, 5.4, 5.6, 8, 9, 12, 20} {
		last := whole
		for u := 0.001; u < 1; u += 0.001 {
			d := law.QuantileAbove(u, 2, whole)
			if d < last {
				t.Fatalf("whole at %v, u %v: %v after %v", whole, u, d, last)
			}
			last = d
			if share := law.Survival(whole, 2); share > 1e-3 {
				near(t, "conditional", law.Survival(d, 2)/share, 1-u, 1e-10)
			}
		}
	}
}

func TestEarlyShare(t *testing.T) {
	for _, c := range []struct {
		known bool
		age   float64
		want  float64
	}{{true, 0.5, 0.05}, {true, 2, 0.05}, {true, 2.1, 0.08}, {false, 0, 0.08}} {
		if got := EarlyShare(c.known, c.age); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

func TestBurstNoAllocation(t *testing.T) {
	law, sum := NewBurstLaw(8.3, 0.06, 0.05), 0.0
	allocations := testing.AllocsPerRun(100, func() {
		sum += law.Quantile(0.03, 2) + law.QuantileAbove(0.5, 2, 4) + DragCoefficient(3e5) +
			Drag{}.Coefficient(2e5) + Diameter(Volume(3)) + TautDiameter(7, 1.2, 1200)
	})
	if allocations != 0 || sum == 0 {
		t.Errorf("%v allocations per call, expected none", allocations)
	}
}

func BenchmarkDrag(b *testing.B) {
	sum := 0.0
	for i := range b.N {
		sum += DragCoefficient(4e4 + float64(i%500000))
	}
	_ = sum
}
