package forecast

import (
	"math"
	"testing"
	"time"

	"pappus/air/atmosphere"
	"pappus/measure/geo"
)

var middle = geo.Point{LatDeg: 36, LonDeg: -104}

// oneSky is a cube of a column that is the same everywhere, cut at a pressure.
func oneSky(top float64, sky func(pressure float64) Node) *Cube {
	s := shape(35, -105, 1, 3, 3, 0)
	s.Pressures = nil
	for _, p := range isobars {
		if p >= top {
			s.Pressures = append(s.Pressures, p)
		}
	}
	return Invent(s, func(_, _, p, _ float64, _ int) Node { return sky(p) })
}

// A standard atmosphere cut at 10 hPa must go on as the standard: [USSA76]
// table I has 574.59 Pa at 35 km and 149.10 Pa at 45 km, and 236.51 K at 35 km.
// Its table is for 45.54° of latitude, where gravity is the standard's.
func TestStandardGoesOnAboveTheTop(t *testing.T) {
	s := shape(45.54, -105, 1, 2, 2, 0)
	c := Invent(s, func(_, _, p, _ float64, _ int) Node { return standardNode(p, 3, 4) })
	sampler := c.Sampler(0)
	// Straight lines of ln p over layers of 1 km, and one gravity for all
	// latitudes: together below 0.1 %; 0.2 % is what the flight can stand.
	near(t, "pressure at 35 km", sampler.At(45.54, -104.5, 35000, 0).Pressure, 574.59, 574.59*2e-3)
	near(t, "pressure at 45 km", sampler.At(45.54, -104.5, 45000, 0).Pressure, 149.10, 149.10*5e-3)
	near(t, "temperature at 35 km", sampler.At(45.54, -104.5, 35000, 0).Temperature, 236.51, 0.3)
}

// Over the top level nothing may jump, whatever the sky is like there.
func TestNoStepAtTheTop(t *testing.T) {
	for _, warmer := range []float64{-25, 0, 30} {
		c := oneSky(1000, func(p float64) Node {
			n := standardNode(p, p/1000, 40-p/2500)
			n.Temperature += warmer * (1 - p/101325)
			return n
		})
		s := c.Sampler(0)
		top := float64(c.Column(middle, 0, 0)[len(isobars)-1].Alt)
		below, above := s.At(36, -104, top-0.01, 0), s.At(36, -104, top+0.01, 0)
		// Over 2 cm the pressure falls by 3e-6 of itself, wind and temperature by next to nothing.
		near(t, "pressure", above.Pressure/below.Pressure, 1, 1e-5)
		near(t, "temperature", above.Temperature, below.Temperature, 1e-3)
		near(t, "density", above.Density/below.Density, 1, 1e-5)
		near(t, "east", above.WindEast, below.WindEast, 1e-4)
		near(t, "north", above.WindNorth, below.WindNorth, 1e-4)
		// Above, the temperature changes as the standard does.
		high := s.At(36, -104, top+8000, 0)
		change := atmosphere.Temperature(geo.AltMSL(top+8000)) - atmosphere.Temperature(geo.AltMSL(top))
		near(t, "warming over 8 km", high.Temperature-above.Temperature, change, 0.3) // straight lines over bends
		if s.Edges != AboveTop {
			t.Errorf("held %q", s.Edges)
		}
	}
}

// dp/dz = -g p/(R T) must hold from level to level, in the added layers above
// and below too, with the temperatures that the sampler answers between them.
func TestHydrostaticBalance(t *testing.T) {
	for _, c := range []*Cube{
		oneSky(1000, func(p float64) Node { return standardNode(p, 0, 0) }),
		oneSky(20000, func(p float64) Node { return standardNode(p, 0, 0) }),
		StandardSky(),
	} {
		s := c.Sampler(0)
		for k := 1; k < len(c.pressure); k++ {
			from, to := float64(c.nodes[k-1].alt), float64(c.nodes[k].alt)
			integral := 0.0
			const parts = 50
			for i := range parts {
				z := from + (float64(i)+0.5)*(to-from)/parts
				air := s.At(36, -104, z, 0)
				integral += atmosphere.Gravity(geo.AltMSL(z)) / (287.053 * air.Temperature) * (to - from) / parts
			}
			// Gravity at 36 degrees is 0.09 % below the standard's; a bend of the
			// temperature inside a thick layer adds up to 0.5 % (2 K of 218 K half way).
			near(t, "log of the pressure ratio", math.Log(c.pressure[k-1]/c.pressure[k]), integral, integral*6e-3)
		}
	}
}

func TestBelowTheLowestLevel(t *testing.T) {
	c := oneSky(1000, func(p float64) Node {
		n := standardNode(p, p/10000, 0)
		n.Height += 500 // a high ground: the lowest level lies at 611 m
		return n
	})
	s := c.Sampler(0)
	bottom := float64(c.Column(middle, 0, 0)[0].Alt)
	at := s.At(36, -104, bottom, 0)
	for _, drop := range []float64{1, 100, 500, 1000} {
		air := s.At(36, -104, bottom-drop, 0)
		near(t, "temperature", air.Temperature, at.Temperature+0.0065*drop, 0.01)
		near(t, "wind", air.WindEast, 10, singlePrecision)
		mean := at.Temperature + 0.0065*drop/2
		// One straight line of ln p over 1.26 km bends by L g/(R T²)/8 of its
		// square, 0.05 %.
		near(t, "pressure", air.Pressure, 100000*math.Exp(9.80665*drop/287.053/mean), 60)
	}
	if s.Edges != BelowBottom {
		t.Errorf("held %q", s.Edges)
	}
}

func TestStandardSky(t *testing.T) {
	c := StandardSky()
	s := c.Sampler(0)
	// 287 m is no divisor of the spacing, so that all parts of a layer are met.
	for z := -900.0; z < 60000; z += 287.3 {
		got, want := s.At(12, 34, z, 1e6), atmosphere.At(geo.AltMSL(z))
		// A straight ln p over 100 m is off by 1e-5; the density by the line of temperature too.
		if math.Abs(got.Pressure/want.Pressure-1) > 2e-5 || math.Abs(got.Temperature-want.Temperature) > 0.001 || math.Abs(got.Density/want.Density-1) > 3e-5 {
			t.Errorf("at %.0f m: %+v, the standard has %+v", z, got, want)
		}
	}
	if s.Edges != 0 || c.Info().Kind != Standard || !c.Frozen() || c.Members() != 1 {
		t.Errorf("the standard holds %q, kind %d", s.Edges, c.Info().Kind)
	}
}

func TestHumidAirIsLighter(t *testing.T) {
	c := oneSky(1000, func(p float64) Node { return standardNode(p, 0, 0) })
	dry := c.Sampler(0)
	n := len(isobars) * 9
	r := raw{axes: c.axes, times: []time.Time{day}, members: 1, pressures: isobars,
		geopotential: make([]float32, n), temperature: make([]float32, n), virtual: make([]float32, n), east: make([]float32, n), north: make([]float32, n)}
	for i := range n {
		node := standardNode(isobars[i%len(isobars)], 0, 0)
		r.geopotential[i], r.temperature[i], r.virtual[i] = float32(node.Height), float32(node.Temperature), float32(node.Temperature*1.01)
	}
	humid := build(r).Sampler(0)
	a, b := dry.At(36, -104, 3000, 0), humid.At(36, -104, 3000, 0)
	near(t, "density", b.Density, a.Density/1.01, 1e-6)
	near(t, "temperature", b.Temperature, a.Temperature, 1e-4)
}

func TestColumnAnswersTheLevelsGiven(t *testing.T) {
	c := invented()
	at := geo.Point{LatDeg: -14.2, LonDeg: 177.7}
	rows := c.Column(at, 5000, 2)
	s := c.Sampler(2)
	if len(rows) != len(isobars) {
		t.Fatalf("%d rows for %d levels", len(rows), len(isobars))
	}
	for i, row := range rows {
		if row.Pressure != isobars[i] {
			t.Errorf("row %d stands at %g Pa", i, row.Pressure)
		}
		air := s.At(at.LatDeg, at.LonDeg, float64(row.Alt), 5000)
		near(t, "pressure of the row's height", air.Pressure/row.Pressure, 1, 1e-9)
		near(t, "temperature", air.Temperature, row.Temperature, 1e-6)
		near(t, "east", air.WindEast, row.WindEast, 1e-6)
		near(t, "north", air.WindNorth, row.WindNorth, 1e-6)
	}
	// A table that starts below 1100 hPa and ends above 0.2 hPa has nothing added.
	tall := Invent(Shape{Rows: 1, Cols: 1, Pressures: []float64{115000, 50000, 15}, Times: []time.Time{day}},
		func(_, _, p, _ float64, _ int) Node { return standardNode(p, p, 0) })
	if got := tall.Column(at, 0, 0); len(got) != 3 || got[2].Pressure != 15 || got[2].WindEast != 15 {
		t.Errorf("a column without added levels: %+v", got)
	}
}

func TestTropopause(t *testing.T) {
	levels := shape(35, -105, 1, 2, 2, 0)
	c := Invent(levels, func(_, _, p, _ float64, _ int) Node { return standardNode(p, 0, 0) })
	// The standard bends at 11 km (226.32 hPa); the first level from which the
	// lapse stays below 2 K/km is 200 hPa, at 11.78 km.
	near(t, "tropopause", float64(c.Tropopause(middle, 0)), float64(geo.Geometric(11784, 35.5)), 5)
	warm := Invent(levels, func(_, _, p, _ float64, _ int) Node {
		n := standardNode(p, 0, 0)
		n.Temperature = 300 - 0.005*float64(n.Height) // no tropopause at all
		return n
	})
	near(t, "the standard's instead", float64(warm.Tropopause(middle, 0)), 11019, 1)
}

func TestSpread(t *testing.T) {
	s := shape(35, -105, 1, 2, 2, 0)
	s.Members = 2
	c := Invent(s, func(_, _, p, _ float64, member int) Node { return standardNode(p, 10+6*float64(member), 5) })
	// Two values 6 apart have a standard deviation of 6/√2; the other component none.
	near(t, "spread", c.Spread(middle, 5000, 0), math.Sqrt(6.0*6/2/2), 1e-5)
	if one := oneSky(1000, func(p float64) Node { return standardNode(p, 0, 0) }); one.Spread(middle, 5000, 0) != 0 {
		t.Error("one member has a spread")
	}
}

func TestSurfaceHeight(t *testing.T) {
	c := oneSky(1000, func(p float64) Node { return standardNode(p, 0, 0) })
	if _, ok := c.SurfaceHeight(middle); ok {
		t.Error("a sky without ground has one")
	}
	c.surface = []float32{0, 0, 0, 100, 200, 300, 0, 0, 0}
	h, ok := c.SurfaceHeight(geo.Point{LatDeg: 35.5, LonDeg: -104.5})
	if near(t, "between four points", float64(h), 75, 1e-6); !ok {
		t.Error("no ground")
	}
	h, _ = c.SurfaceHeight(geo.Point{LatDeg: 36, LonDeg: -90})
	near(t, "beyond the edge", float64(h), 300, 1e-6)
}

func TestCovers(t *testing.T) {
	c := oneSky(1000, func(p float64) Node { return standardNode(p, 0, 0) })
	for _, k := range []struct {
		lat, lon float64
		in       bool
	}{{36, -104, true}, {35, -105, true}, {37, -103, true}, {36, 256, true}, {34.99, -104, false}, {36, -102.9, false}, {36, 76, false}} {
		if c.Covers(geo.Point{LatDeg: k.lat, LonDeg: k.lon}) != k.in {
			t.Errorf("%g, %g: expected %v", k.lat, k.lon, k.in)
		}
	}
	if !StandardSky().Covers(geo.Point{LatDeg: -80, LonDeg: 10}) {
		t.Error("the standard does not cover the world")
	}
	if first, last := c.Span(); !first.Equal(day) || !last.Equal(day) {
		t.Errorf("covers %v to %v", first, last)
	}
	if c.TopPressure() != 1000 || c.Epoch() != day {
		t.Errorf("top %g, epoch %v", c.TopPressure(), c.Epoch())
	}
}
