package geo

import (
	"math"
	"testing"
)

func TestNewPoint(t *testing.T) {
	for _, c := range []struct{ lon, want float64 }{
		{-180, -180}, {180, -180}, {181, -179}, {359.5, -0.5}, {360, 0}, {-99.2, -99.2}, {260.8, 260.8 - 360},
	} {
		p, err := NewPoint(12, c.lon)
		if err != nil || math.Abs(p.LonDeg-c.want) > 1e-13 || p.LatDeg != 12 {
			t.Errorf("longitude %v: %v, %v, expected %v", c.lon, p, err, c.want)
		}
	}
	nan, inf := math.NaN(), math.Inf(1)
	for _, bad := range [][2]float64{{90.1, 0}, {-90.1, 0}, {nan, 0}, {0, nan}, {0, 360.1}, {0, -180.1}, {inf, 0}, {0, -inf}} {
		if p, err := NewPoint(bad[0], bad[1]); err == nil {
			t.Errorf("%v was taken for the place %v", bad, p)
		}
	}
}

func TestWrapLonDeg(t *testing.T) {
	for _, c := range [][2]float64{{0, 0}, {179.5, 179.5}, {180, -180}, {-180, -180}, {540, -180}, {-540, -180}, {-190, 170}, {725, 5}} {
		if got := WrapLonDeg(c[0]); got != c[1] {
			t.Errorf("%v wraps to %v, expected %v", c[0], got, c[1])
		}
	}
}

func TestCurvatureRadii(t *testing.T) {
	// [WGS84, chapter 3]: polar radius of curvature 6399593.6258 m. At the equator the
	// meridian's radius is a(1-e²) = b²/a and the prime vertical's is a, with b from the
	// same table, 6356752.3142 m. The tables print four decimals.
	m, n := CurvatureRadii(90)
	if math.Abs(m-6399593.6258) > 1e-4 || math.Abs(n-6399593.6258) > 1e-4 {
		t.Errorf("at the pole %.4f and %.4f m", m, n)
	}
	m, n = CurvatureRadii(0)
	if want := 6356752.3142 * 6356752.3142 / 6378137; math.Abs(m-want) > 2e-4 || n != 6378137 {
		t.Errorf("at the equator %.4f and %.4f m, expected %.4f and the semi-major axis", m, n, want)
	}
}

// Half a meridian, the longest shortest way there is: 20003931.4586 m
// (twice the quarter meridian 10001965.7293 m, [Rapp1991]).
const halfMeridian = 20003931.4586

func TestInverseWithoutDirection(t *testing.T) {
	for _, c := range []struct {
		name                   string
		a, b                   Point
		distance, azimuth, rev float64
	}{
		{"same place", Point{40, -99}, Point{40, -99}, 0, 0, 180},
		{"same place, both sides of the antimeridian", Point{40, -180}, Point{40, 180}, 0, 0, 180},
		{"one pole, two longitudes", Point{90, 10}, Point{90, 70}, 0, 0, 180},
		{"pole to pole", Point{90, 0}, Point{-90, 0}, halfMeridian, 180, 0},
		{"antipodes on the equator, over the north pole", Point{0, 0}, Point{0, -180}, halfMeridian, 0, 0},
		{"from the south pole north along 30 E", Point{-90, 0}, Point{0, 30}, halfMeridian / 2, 30, 180},
		{"from the north pole south along 30 E", Point{90, 0}, Point{0, 30}, halfMeridian / 2, 150, 0},
		{"along the equator across the antimeridian", Point{0, 179}, Point{0, -179}, 6378137 * math.Pi / 90, 90, 270},
		{"along a meridian", Point{0, 5}, Point{-90, 5}, halfMeridian / 2, 180, 0},
	} {
		s, azimuth, back := Inverse(c.a, c.b)
		if math.Abs(s-c.distance) > 1e-4 || turn(azimuth, c.azimuth) > 1e-12 || turn(back, c.rev) > 1e-12 {
			t.Errorf("%s: %.4f m, %v, %v; expected %.4f, %v, %v", c.name, s, azimuth, back, c.distance, c.azimuth, c.rev)
		}
	}
}

// Every pair's geodesic must end where it was aimed, however badly the pair is placed.
// Rounding allows 20 nm as for the published rows, and as much again because here the
// azimuth was rounded too.
func TestInverseThenDirect(t *testing.T) {
	lats := []float64{-90, -89.9999999, -60.3, -30, -1e-7, 0, 1e-12, 1e-5, 0.3, 30, 30.0000001, 30.4, 60.3, 89.99, 90}
	gaps := []float64{0, 1e-13, 1e-9, 1e-5, 0.1, 1, 45, 90, 135, 178, 179.3, 179.39, 179.4, 179.5, 179.9, 179.999999, 179.9999999999, 180}
	for _, lat1 := range lats {
		for _, lat2 := range lats {
			for _, gap := range gaps {
				for _, sign := range []float64{1, -1} {
					a, b := Point{lat1, 170}, Point{lat2, WrapLonDeg(170 + sign*gap)}
					checkPair(t, a, b)
				}
			}
		}
	}
}

func checkPair(t *testing.T, a, b Point) {
	t.Helper()
	s, azimuth, back := Inverse(a, b)
	if !(s >= 0 && s <= halfMeridian+1e-4) {
		t.Errorf("%v to %v: length %v", a, b, s)
	}
	end, _ := Direct(a, azimuth, s)
	if off := chord(end, b); !(off < 4e-8) {
		t.Errorf("%v to %v: %v m towards %v ends %g m off", a, b, s, azimuth, off)
	}
	end, _ = Direct(b, back, s)
	if off := chord(end, a); !(off < 4e-8) {
		t.Errorf("%v to %v: back %v m towards %v ends %g m off", a, b, s, back, off)
	}
	if reverse, _, _ := Inverse(b, a); math.Abs(reverse-s) > 2e-8 {
		t.Errorf("%v to %v: %v m there, %v m back", a, b, s, reverse)
	}
	if _, n := CurvatureRadii(90); s > 0 && s < chord(a, b)*(1-1e-15)-2e-8 && n > 0 {
		t.Errorf("%v to %v: %v m is shorter than the straight line through the globe", a, b, s)
	}
}

// chord is the straight distance between points of the ellipsoid. The differences are
// formed before the large terms so that it is good to nanometres for near points.
func chord(a, b Point) float64 {
	_, na := CurvatureRadii(a.LatDeg)
	_, nb := CurvatureRadii(b.LatDeg)
	sa, ca := sincosDeg(a.LatDeg)
	sb, cb := sincosDeg(b.LatDeg)
	half, _ := sincosDeg(math.Remainder(b.LonDeg-a.LonDeg, 360) / 2)
	ra, rb := na*ca, nb*cb
	dz := (nb*sb - na*sa) * (1 - 0.00669437999014132)
	return math.Sqrt((rb-ra)*(rb-ra) + 4*ra*rb*half*half + dz*dz)
}

func TestDirectAroundTheGlobe(t *testing.T) {
	// Once around a meridian comes back to the start, from behind too.
	for _, lat := range []float64{-40, 0, 12.5, 90} {
		for _, times := range []float64{1, -1, 3} {
			end, forward := Direct(Point{lat, 20}, 0, times*2*halfMeridian)
			// The constant is known to 1e-4 m and multiplied by up to 6; with it
			// the end may lie beyond the pole, heading down the other side.
			if chord(end, Point{lat, 20}) > 1e-3 || lat < 90 && turn(forward, 0) > 1e-8 {
				t.Errorf("latitude %v, %v times around: %v heading %v", lat, times, end, forward)
			}
		}
	}
	end, _ := Direct(Point{0, 170}, 90, 6378137*math.Pi/9)
	if math.Abs(end.LatDeg) > 1e-13 || math.Abs(end.LonDeg - -170) > 1e-12 {
		t.Errorf("20 degrees along the equator from 170 E: %v", end)
	}
}

func TestNaNComesThrough(t *testing.T) {
	nan := math.NaN()
	for _, p := range []Point{{nan, 0}, {0, nan}, {nan, nan}} {
		if s, _, _ := Inverse(Point{10, 20}, p); !math.IsNaN(s) {
			t.Errorf("distance to %v is %v", p, s)
		}
		if q, _ := Direct(p, 10, 1000); !math.IsNaN(q.LatDeg) && !math.IsNaN(q.LonDeg) {
			t.Errorf("from %v Direct ends at %v", p, q)
		}
	}
}

var sink float64

func TestNoAllocation(t *testing.T) {
	a, b := Point{40.1, -99.2}, Point{41.3, -98.4}
	plane := NewPlane(a)
	calls := map[string]func(){
		"Inverse":        func() { s, _, _ := Inverse(a, b); sink += s },
		"Direct":         func() { p, _ := Direct(a, 37, 1e5); sink += p.LatDeg },
		"CurvatureRadii": func() { m, _ := CurvatureRadii(b.LatDeg); sink += m },
		"Gravity":        func() { sink += Gravity(b.LatDeg) },
		"Geometric":      func() { sink += float64(Geometric(31055, b.LatDeg)) },
		"ToGeopotential": func() { sink += float64(ToGeopotential(31207, b.LatDeg)) },
		"Plane.To":       func() { x, _ := plane.To(b); sink += x },
		"Plane.From":     func() { sink += plane.From(3e4, 5e4).LatDeg },
		"NewPoint":       func() { p, _ := NewPoint(40, 260); sink += p.LonDeg },
	}
	for name, call := range calls {
		if n := testing.AllocsPerRun(100, call); n != 0 {
			t.Errorf("%s allocates %v times", name, n)
		}
	}
}

func BenchmarkInverse(b *testing.B) {
	p := Point{40.1, -99.2}
	for i := range b.N {
		s, _, _ := Inverse(p, Point{40 + float64(i&1023)*1e-3, -98})
		sink += s
	}
}

func BenchmarkInverseNearAntipode(b *testing.B) {
	p := Point{-30, 0}
	for i := range b.N {
		s, _, _ := Inverse(p, Point{29.8 + float64(i&1023)*1e-4, 179.8})
		sink += s
	}
}

func BenchmarkDirect(b *testing.B) {
	p := Point{40.1, -99.2}
	for i := range b.N {
		q, _ := Direct(p, float64(i&255), 1e5)
		sink += q.LatDeg
	}
}

func BenchmarkPlaneTo(b *testing.B) {
	plane := NewPlane(Point{40.1, -99.2})
	for i := range b.N {
		x, _ := plane.To(Point{40 + float64(i&1023)*1e-3, -98})
		sink += x
	}
}

func BenchmarkPlaneFrom(b *testing.B) {
	plane := NewPlane(Point{40.1, -99.2})
	for i := range b.N {
		sink += plane.From(float64(i&1023)*100, 5e4).LatDeg
	}
}
