package geo

import (
	"math"
	"testing"
)

func TestGravityPublished(t *testing.T) {
	// [WGS84, chapter 4]: normal gravity at the equator and at the poles, in the
	// digits printed there. At 45 degrees GRS 80 has 9.806199203, and its value at the
	// equator, 9.7803267715, is 1.44e-6 above that of WGS-84.
	for _, c := range []struct{ lat, want, tolerance float64 }{
		{0, 9.7803253359, 1e-10}, {90, 9.8321849378, 1e-9}, {-90, 9.8321849378, 1e-9}, {45, 9.806199203 - 1.44e-6, 1e-8},
	} {
		if got := Gravity(c.lat); math.Abs(got-c.want) > c.tolerance {
			t.Errorf("latitude %v: %.10f m/s², expected %.10f", c.lat, got, c.want)
		}
	}
}

// potential is the normal gravity potential of WGS-84 from its published constants as a
// sum of zonal harmonics and the centrifugal part [WGS84, chapters 3 and 5], which
// shares nothing with the formula under test.
func potential(x, z float64) float64 {
	const (
		gm    = 3986004.418e8
		omega = 7292115e-11
		a     = 6378137.0
		j2    = 1.082629821313e-3
		j4    = -2.37091222e-6
		j6    = 6.08347e-9
		j8    = -1.427e-11
	)
	r := math.Hypot(x, z)
	s := z / r
	legendre := [9]float64{1, s}
	for n := 1; n < 8; n++ {
		legendre[n+1] = (float64(2*n+1)*s*legendre[n] - float64(n)*legendre[n-1]) / float64(n+1)
	}
	q := a / r
	q2 := q * q
	sum := 1 - q2*(j2*legendre[2]+q2*(j4*legendre[4]+q2*(j6*legendre[6]+q2*j8*legendre[8])))
	return gm/r*sum + omega*omega*x*x/2
}

func TestGeopotentialAgainstThePotential(t *testing.T) {
	for _, lat := range []float64{0, 20, 45.5, -67, 90} {
		_, n := CurvatureRadii(lat)
		sin, cos := sincosDeg(lat)
		at := func(h float64) float64 { return potential((n+h)*cos, (n*(1-0.00669437999014132)+h)*sin) }
		for _, h := range []float64{-400, 100, 5000, 18000, 31207, 50000} {
			want := (at(0) - at(h)) / 9.80665
			got := float64(ToGeopotential(AltMSL(h), lat))
			// The formula is of second order in height: what is left out is of the order
			// of f·h·(h/a)², 0.01 m at 50 km; the harmonics are good to 1e-3 m.
			if math.Abs(got-want) > 0.05 {
				t.Errorf("latitude %v, %v m: %.3f geopotential metres, the potential gives %.3f", lat, h, got, want)
			}
			if back := Geometric(Geopotential(got), lat); math.Abs(float64(back)-h) > 1e-9 {
				t.Errorf("latitude %v, %v m comes back as %v", lat, h, back)
			}
		}
	}
}

func TestGeopotentialOfTheStandardAtmosphere(t *testing.T) {
	// [USSA76, table I]: 30000 geometric metres are 29859 geopotential metres, and 10000
	// are 9984, at the standard's latitude of 45.5 degrees (rounded to 1 m there; its
	// radius 6356766 m and ours differ by 3e-5, 0.01 m).
	for z, h := range map[float64]float64{30000: 29859, 10000: 9984} {
		if got := ToGeopotential(AltMSL(z), 45.5425); math.Abs(float64(got)-h) > 1 {
			t.Errorf("%v m: %.2f geopotential metres, tabulated %v", z, got, h)
		}
	}
}
