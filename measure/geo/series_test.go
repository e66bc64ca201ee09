package geo

import (
	"math"
	"testing"
)

// The series must equal the integrals they stand for, taken here by Simpson's rule from
// the integrands of [Karney2013, eqs. 7, 8 and 40] and not from the series.
func TestSeriesAgainstIntegrals(t *testing.T) {
	for _, cosAlpha0 := range []float64{0.01, 0.3, 0.7, 0.99, 1} {
		k2, eps := expansion(cosAlpha0)
		a1, c1 := lengthSeries(eps)
		a2, c2 := reducedSeries(eps)
		a3, c3 := longitudeSeries(eps)
		for _, sigma := range []float64{0.1, 0.8, math.Pi / 2, 2.3, 3.1, 5} {
			sin, cos := math.Sincos(sigma)
			root := func(x float64) float64 { return math.Sqrt(1 + k2*math.Sin(x)*math.Sin(x)) }
			for _, c := range []struct {
				name     string
				series   float64
				integral float64
			}{
				{"I1", a1 * (sigma + c1.sines(sin, cos)), simpson(root, sigma)},
				{"I2", a2 * (sigma + c2.sines(sin, cos)), simpson(func(x float64) float64 { return 1 / root(x) }, sigma)},
				{"I3", a3 * (sigma + c3.sines(sin, cos)), simpson(func(x float64) float64 {
					return (2 - flattening) / (1 + (1-flattening)*root(x))
				}, sigma)},
			} {
				// The first terms left out are eps^7 = 4e-20 for I1 and I2 and
				// eps^6 = 2e-17 for I3; the rest is rounding of a few units of 1e-15.
				if math.Abs(c.series-c.integral) > 1e-14 {
					t.Errorf("%s at σ=%v, cos α0=%v: series %.17g, integral %.17g", c.name, sigma, cosAlpha0, c.series, c.integral)
				}
			}
			// Reverting the distance must bring the arc back.
			tau := sigma + c1.sines(sin, cos)
			back := lengthReverted(eps)
			sinT, cosT := math.Sincos(tau)
			if got := tau + back.sines(sinT, cosT); math.Abs(got-sigma) > 2e-15 {
				t.Errorf("σ=%v comes back as %.17g", sigma, got)
			}
		}
	}
}

// simpson integrates from 0 to end. The integrands change by 0.3 % over a half turn, so
// 4000 intervals leave an error far below rounding.
func simpson(f func(float64) float64, end float64) float64 {
	const n = 4000
	h := end / n
	sum, carry := 0.0, 0.0
	add := func(x float64) {
		y := x - carry
		s := sum + y
		carry = (s - sum) - y
		sum = s
	}
	add(f(0))
	add(f(end))
	for i := 1; i < n; i++ {
		add(f(float64(i)*h) * float64(2+2*(i&1)))
	}
	return sum * h / 3
}
