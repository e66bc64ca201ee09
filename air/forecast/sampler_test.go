package forecast

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"pappus/air/atmosphere"
	"pappus/measure/geo"
)

var day = time.Date(2027, 4, 17, 12, 0, 0, 0, time.UTC)

// isobars are the pressures of a usual forecast up to 10 hPa, Pa.
var isobars = []float64{100000, 92500, 85000, 70000, 50000, 40000, 30000, 25000, 20000, 15000, 10000, 7000, 5000, 3000, 2000, 1000}

// standardNode is the standard atmosphere at a pressure, with a wind.
func standardNode(pressure, east, north float64) Node {
	h := atmosphere.Geopotential(atmosphere.PressureAltitude(pressure))
	return Node{h, atmosphere.AtGeopotential(h).Temperature, east, north}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.9g, expected %.9g ± %.2g", what, got, want, tolerance)
	}
}

// singlePrecision bounds what float32 nodes lose of winds up to 100 m/s.
const singlePrecision = 2e-5

func shape(south, west, step float64, rows, cols int, hours ...int) Shape {
	s := Shape{South: south, West: west, LatStep: step, LonStep: step, Rows: rows, Cols: cols, Pressures: isobars, Members: 1}
	for _, h := range hours {
		s.Times = append(s.Times, day.Add(time.Duration(h)*time.Hour))
	}
	return s
}

func TestUniformWind(t *testing.T) {
	c := Invent(shape(35, -105, 1, 11, 11, 0, 3, 6), func(_, _, p, _ float64, _ int) Node { return standardNode(p, 12, -7) })
	s := c.Sampler(0)
	rng := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		air := s.At(35+10*rng.Float64(), -105+10*rng.Float64(), 45000*rng.Float64(), 21600*rng.Float64())
		near(t, "east", air.WindEast, 12, singlePrecision)
		near(t, "north", air.WindNorth, -7, singlePrecision)
	}
}

// Within a layer wind and temperature are straight lines in height, and so is
// the logarithm of pressure; the expected values are drawn by hand from the two
// levels around.
func TestLinearShear(t *testing.T) {
	c := Invent(shape(35, -105, 1, 3, 3, 0), func(lat, lon, p, _ float64, _ int) Node {
		n := standardNode(p, 0, 0)
		z := float64(geo.Geometric(n.Height, 36))
		n.East, n.North = z/1000, lon+lat-z/2000
		return n
	})
	s := c.Sampler(0)
	for z := 200.0; z < 30000; z += 173 {
		air := s.At(36, -104.25, z, 0)
		// float32 heights at 30 km are good to 2 mm, a thousandth of which is wind.
		near(t, "east", air.WindEast, z/1000, singlePrecision)
		near(t, "north", air.WindNorth, -104.25+36-z/2000, singlePrecision)
	}
}

func TestBetweenSteps(t *testing.T) {
	c := Invent(shape(35, -105, 1, 2, 2, 0, 3, 9), func(_, _, p, seconds float64, _ int) Node {
		n := standardNode(p, seconds/3600, 5-seconds/1800)
		n.Height += geo.Geopotential(seconds / 3600 * 40) // the levels rise by 40 m an hour
		return n
	})
	s := c.Sampler(0)
	for seconds := 0.0; seconds <= 9*3600; seconds += 600 {
		air := s.At(35.5, -104.5, 5000, seconds)
		near(t, "east", air.WindEast, seconds/3600, singlePrecision)
		near(t, "north", air.WindNorth, 5-seconds/1800, singlePrecision)
		// 500 hPa stands at 5574 m in the standard, and is lifted with the rest.
		lifted := c.Column(geo.Point{LatDeg: 35.5, LonDeg: -104.5}, seconds, 0)
		near(t, "level height", float64(lifted[4].Alt), float64(geo.Geometric(geo.Geopotential(5574.4+seconds/3600*40), 35.5)), 0.6)
	}
	if got := c.Instant(c.Seconds(day.Add(90 * time.Minute))); !got.Equal(day.Add(90 * time.Minute)) {
		t.Errorf("an instant comes back as %v", got)
	}
}

// A solid body turning about the pole has a wind towards east that goes with
// the cosine of latitude: bilinear corners come within the curvature of the cosine.
func TestSolidBodyAllAround(t *testing.T) {
	s := shape(-90, 0, 2.5, 73, 144, 0)
	s.Pressures = []float64{100000, 1000}
	c := Invent(s, func(lat, _, p, _ float64, _ int) Node { return standardNode(p, 40*math.Cos(lat*math.Pi/180), 0) })
	sampler := c.Sampler(0)
	tolerance := 40 * math.Pow(2.5*math.Pi/180, 2) / 8 * 1.01 // step²/8 of the second derivative
	for lat := -90.0; lat <= 90; lat += 0.7 {
		for lon := -180.0; lon < 540; lon += 11.3 {
			near(t, fmt.Sprintf("wind at %g, %g", lat, lon), sampler.At(lat, lon, 9000, 0).WindEast, 40*math.Cos(lat*math.Pi/180), tolerance)
		}
	}
	if sampler.Edges != 0 {
		t.Errorf("held somewhere on a globe: %v", sampler.Edges)
	}
}

// Seams must not show: a field that is linear in the distance from the seam,
// over Greenwich, over the antimeridian, written with longitudes of any turn.
func TestSeams(t *testing.T) {
	for _, west := range []float64{-5, 355, 175, -185, 715} {
		c := Invent(shape(50, west, 1, 3, 11, 0), func(_, lon, p, _ float64, _ int) Node { return standardNode(p, lon-west-5, 0) })
		s := c.Sampler(0)
		for x := -5.0; x <= 5; x += 0.125 {
			for _, turn := range []float64{-360, 0, 360} {
				lon := geo.WrapLonDeg(west+5+x) + turn
				near(t, fmt.Sprintf("%g east of the middle of a grid from %g", x, west), s.At(51, lon, 4000, 0).WindEast, x, singlePrecision)
			}
		}
		if s.Edges != 0 {
			t.Errorf("a grid from %g holds %v inside", west, s.Edges)
		}
	}
	// On a whole circle, between the last column and the first.
	c := Invent(shape(-10, 10, 10, 3, 36, 0), func(_, lon, p, _ float64, _ int) Node { return standardNode(p, math.Abs(lon-180), 0) })
	s := c.Sampler(0)
	near(t, "between 0 and 10 E", s.At(0, 5, 4000, 0).WindEast, 175, 1e-4) // columns at 10 (170) and 360 (180)
	near(t, "at the first column", s.At(0, 10, 4000, 0).WindEast, 170, 1e-4)
	near(t, "at the last column", s.At(0, 0, 4000, 0).WindEast, 180, 1e-4)
}

func TestHeldEdges(t *testing.T) {
	c := Invent(shape(35, -105, 1, 3, 4, 0, 3), func(lat, lon, p, seconds float64, _ int) Node {
		return standardNode(p, lat, lon+seconds/3600)
	})
	top := float64(geo.Geometric(standardNode(1000, 0, 0).Height, 36))
	bottom := float64(geo.Geometric(standardNode(100000, 0, 0).Height, 36))
	for _, k := range []struct {
		name                string
		lat, lon, alt, time float64
		held                Held
		east, north         float64
	}{
		{"inside", 36, -104, 5000, 0, 0, 36, -104},
		{"just under the top", 36, -104, top - 1, 0, 0, 36, -104},
		{"just over the top", 36, -104, top + 1, 0, AboveTop, 36, -104},
		{"far over the top", 36, -104, 55000, 0, AboveTop, 36, -104},
		{"just over the bottom", 36, -104, bottom + 1, 0, 0, 36, -104},
		{"just under the bottom", 36, -104, bottom - 1, 0, BelowBottom, 36, -104},
		{"far under the bottom", 36, -104, -3000, 0, BelowBottom, 36, -104},
		{"too early", 36, -104, 5000, -60, BeforeFirst, 36, -104},
		{"too late", 36, -104, 5000, 3*3600 + 1, AfterLast, 36, -101},
		{"at the last step", 36, -104, 5000, 3 * 3600, 0, 36, -101},
		{"too far south", 34.9, -104, 5000, 0, OutsideArea, 35, -104},
		{"too far north", 37.1, -104, 5000, 0, OutsideArea, 37, -104},
		{"too far west", 36, -105.2, 5000, 0, OutsideArea, 36, -105},
		{"too far east", 36, -101.9, 5000, 0, OutsideArea, 36, -102},
		{"all at once", 40, -90, 60000, 1e6, AboveTop | AfterLast | OutsideArea, 37, -99},
	} {
		s := c.Sampler(0)
		air := s.At(k.lat, k.lon, k.alt, k.time)
		if s.Edges != k.held {
			t.Errorf("%s: held %q, expected %q", k.name, s.Edges, k.held)
		}
		near(t, k.name+", east", air.WindEast, k.east, singlePrecision)
		near(t, k.name+", north", air.WindNorth, k.north, singlePrecision)
		s.Reset()
		if s.Edges != 0 {
			t.Errorf("%s: still held after a reset", k.name)
		}
	}
	if got := (AboveTop | OutsideArea).String(); got != "wind above the top level, sky outside the area" {
		t.Errorf("the edges read %q", got)
	}
	seen := map[string]bool{}
	for _, edge := range HeldEdges() {
		seen[edge.String()] = true
	}
	if len(seen) != 5 {
		t.Errorf("the edges have %d names", len(seen))
	}
}

// invented is a sky without any regularity.
func invented() *Cube {
	rng := rand.New(rand.NewPCG(7, 1))
	s := shape(-20, 170, 1.5, 9, 14, 0, 3, 6, 12)
	s.Members = 3
	return Invent(s, func(_, _, p, _ float64, _ int) Node {
		n := standardNode(p, rng.NormFloat64()*20, rng.NormFloat64()*20)
		n.Height += geo.Geopotential(rng.NormFloat64() * 60)
		n.Temperature += rng.NormFloat64() * 5
		return n
	})
}

// plainly samples a cube by the definition, with no memory and no short cuts:
// every corner and level in double precision.
func plainly(c *Cube, member int, lat, lon, alt, seconds float64) Air {
	step := 0
	for step < len(c.times)-2 && c.times[step+1] <= seconds {
		step++
	}
	ft := (seconds - c.times[step]) / (c.times[step+1] - c.times[step])
	y, x := (lat-c.lat0)/c.dLat, math.Mod(lon-c.lon0+720, 360)/c.dLon
	row, col := min(int(y), c.rows-2), min(int(x), c.cols-2)
	mixed := make([][5]float64, len(c.pressure))
	for dt, wt := range []float64{1 - ft, ft} {
		for dy, wy := range []float64{1 - (y - float64(row)), y - float64(row)} {
			for dx, wx := range []float64{1 - (x - float64(col)), x - float64(col)} {
				base := (((member*len(c.times)+step+dt)*c.rows+row+dy)*c.cols + col + dx) * len(c.pressure)
				for k := range mixed {
					n := c.nodes[base+k]
					for i, v := range []float32{n.alt, n.temp, n.virtual, n.east, n.north} {
						mixed[k][i] += wt * wy * wx * float64(v)
					}
				}
			}
		}
	}
	k := 0
	for k < len(mixed)-2 && mixed[k+1][0] < alt {
		k++
	}
	f := (alt - mixed[k][0]) / (mixed[k+1][0] - mixed[k][0])
	mix := func(i int) float64 { return mixed[k][i]*(1-f) + mixed[k+1][i]*f }
	pressure := math.Pow(c.pressure[k], 1-f) * math.Pow(c.pressure[k+1], f)
	return Air{pressure, mix(1), pressure / (8.31432 / 0.0289644 * mix(2)), mix(3), mix(4)}
}

func TestSamplerAgainstTheDefinition(t *testing.T) {
	c := invented()
	rng := rand.New(rand.NewPCG(3, 9))
	for member := range 3 {
		s := c.Sampler(member)
		for i := range 3000 {
			lat, lon := -20+12*rng.Float64(), 170+19.5*rng.Float64()
			if i%10 == 0 { // on a grid line too
				lat = -20 + 1.5*float64(rng.IntN(9))
			}
			alt, seconds := 200+58000*rng.Float64(), 43200*rng.Float64()
			if i%7 == 0 {
				seconds = 10800
			}
			got, want := s.At(lat, geo.WrapLonDeg(lon), alt, seconds), plainly(c, member, lat, lon, alt, seconds)
			// Both work in doubles; sums in another order differ in the last bits,
			// which the thinnest layer of some hundred metres stretches.
			const tolerance = 1e-9
			if math.Abs(got.Pressure/want.Pressure-1) > tolerance || math.Abs(got.Temperature-want.Temperature) > tolerance*300 ||
				math.Abs(got.Density/want.Density-1) > tolerance || math.Abs(got.WindEast-want.WindEast) > tolerance*100 || math.Abs(got.WindNorth-want.WindNorth) > tolerance*100 {
				t.Fatalf("member %d at %g %g %g m %g s: %+v, by the definition %+v", member, lat, lon, alt, seconds, got, want)
			}
		}
	}
}

// What a sampler answers must not depend on where it has been.
func TestSamplerForgets(t *testing.T) {
	c := invented()
	rng := rand.New(rand.NewPCG(5, 5))
	travelled := c.Sampler(1)
	for range 2000 {
		lat, lon, alt, seconds := -20+12*rng.Float64(), 170+19.5*rng.Float64(), 60000*rng.Float64(), 43200*rng.Float64()
		fresh := c.Sampler(1)
		if a, b := travelled.At(lat, lon, alt, seconds), fresh.At(lat, lon, alt, seconds); a != b {
			t.Fatalf("a sampler that has travelled answers %+v, a fresh one %+v", a, b)
		}
	}
}

func TestSamplerDoesNotAllocate(t *testing.T) {
	c := invented()
	s := c.Sampler(0)
	alt := 0.0
	if n := testing.AllocsPerRun(500, func() {
		alt += 60
		s.At(-15, 175, alt, alt)
	}); n != 0 {
		t.Errorf("%v allocations per sample", n)
	}
}

func BenchmarkSample(b *testing.B) {
	c := invented()
	s := c.Sampler(0)
	alt, up := 0.0, 5.0
	var sum float64
	b.ReportAllocs()
	for b.Loop() {
		if alt += up; alt > 30000 || alt < 0 {
			up = -up
		}
		air := s.At(-15.3+alt*1e-5, 175.2, alt, alt*0.2)
		sum += air.WindEast
	}
	if math.IsNaN(sum) {
		b.Fatal("no wind")
	}
}
