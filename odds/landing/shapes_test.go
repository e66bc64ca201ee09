package landing

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"pappus/measure/geo"
)

// shape is a law of landings with a known density, in km about a centre.
type shape struct {
	name    string
	draw    func(r *rand.Rand) (x, y float64)
	density func(x, y float64) float64 // per km²
	box     float64                    // half side of a square that holds all but 1e-5
}

func normalDensity(x, y, sx, sy float64) float64 {
	return math.Exp(-(x*x/(sx*sx)+y*y/(sy*sy))/2) / (2 * math.Pi * sx * sy)
}

func turned(x, y, deg float64) (float64, float64) {
	s, c := math.Sincos(deg * math.Pi / 180)
	return c*x - s*y, s*x + c*y
}

// elongated is a normal law with other spreads along two turned axes.
func elongated(name string, sx, sy, deg float64) shape {
	return shape{
		name: name,
		draw: func(r *rand.Rand) (float64, float64) { return turned(sx*r.NormFloat64(), sy*r.NormFloat64(), deg) },
		density: func(x, y float64) float64 {
			x, y = turned(x, y, -deg)
			return normalDensity(x, y, sx, sy)
		},
		box: 5 * math.Max(sx, sy),
	}
}

// blobs is two round normal laws.
func blobs(name string, apart, share, s1, s2 float64) shape {
	return shape{
		name: name,
		draw: func(r *rand.Rand) (float64, float64) {
			if r.Float64() < share {
				return s1*r.NormFloat64() - apart/2, s1 * r.NormFloat64()
			}
			return s2*r.NormFloat64() + apart/2, s2 * r.NormFloat64()
		},
		density: func(x, y float64) float64 {
			return share*normalDensity(x+apart/2, y, s1, s1) + (1-share)*normalDensity(x-apart/2, y, s2, s2)
		},
		box: apart/2 + 5*math.Max(s1, s2),
	}
}

// ring has normally spread distances from its middle.
func ring(name string, radius, width float64) shape {
	return shape{
		name: name,
		draw: func(r *rand.Rand) (float64, float64) {
			d := radius + width*r.NormFloat64()
			s, c := math.Sincos(2 * math.Pi * r.Float64())
			return d * c, d * s
		},
		density: func(x, y float64) float64 {
			d := math.Hypot(x, y)
			u := (d - radius) / width
			return math.Exp(-u*u/2) / (math.Sqrt(2*math.Pi) * width * 2 * math.Pi * d)
		},
		box: radius + 5*width,
	}
}

// annulus is uniform between two circles.
func annulus(name string, inner, outer float64) shape {
	area := math.Pi * (outer*outer - inner*inner)
	return shape{
		name: name,
		draw: func(r *rand.Rand) (float64, float64) {
			d := math.Sqrt(inner*inner + r.Float64()*(outer*outer-inner*inner))
			s, c := math.Sincos(2 * math.Pi * r.Float64())
			return d * c, d * s
		},
		density: func(x, y float64) float64 {
			if d := math.Hypot(x, y); d < inner || d > outer {
				return 0
			}
			return 1 / area
		},
		box: outer * 1.01,
	}
}

// banana is a normal law bent along a parabola, which keeps areas.
func banana(name string, length, width, bend float64) shape {
	return shape{
		name: name,
		draw: func(r *rand.Rand) (float64, float64) {
			x := length * r.NormFloat64()
			return x, width*r.NormFloat64() + bend*(x*x/(length*length)-1)
		},
		density: func(x, y float64) float64 {
			return normalDensity(x, y-bend*(x*x/(length*length)-1), length, width)
		},
		box: 5*length + 25*bend,
	}
}

var shapes = []shape{
	elongated("round", 10, 10, 0),
	elongated("elongated 8:1 and turned", 24, 3, 35),
	blobs("two blobs apart", 60, 0.5, 5, 5),
	blobs("two blobs of other size, touching", 30, 0.7, 8, 4),
	ring("ring", 20, 4),
	annulus("annulus", 10, 20),
	banana("banana", 15, 3, 8),
}

// longTailed is a law whose distances have no mean: about 1 % of it is over 100 km away.
var longTailed = shape{
	name: "long-tailed",
	draw: func(r *rand.Rand) (float64, float64) {
		d := math.Min(2*math.Abs(math.Tan(math.Pi*(r.Float64()-0.5))), 15000)
		s, c := math.Sincos(2 * math.Pi * r.Float64())
		return d * c, d * s
	},
}

// earlyBursts is what a flight gives: most landings in one cloud, 6 % strung out towards
// the launch because the envelope burst early, 3 % apart under a fouled canopy.
var earlyBursts = shape{
	name: "early bursts",
	draw: func(r *rand.Rand) (float64, float64) {
		x, y := 12*r.NormFloat64(), 6*r.NormFloat64()
		switch k := r.Float64(); {
		case k < 0.06:
			t := r.Float64()
			return x*t - 80*(1-t), y*t - 20*(1-t)*(1-t)
		case k < 0.09:
			return x/2 - 30, y / 2
		}
		return x, y
	},
}

// trueAreas integrates the law on a fine grid: the cells are taken densest first until
// they hold each share. Independent of everything under test; on 800 by 800 cells the
// areas are good to some 1e-3 of themselves.
func (s shape) trueAreas(shares ...float64) []float64 {
	const n = 800
	step := 2 * s.box / n
	all := make([]float64, 0, n*n)
	total := 0.0
	for j := range n {
		for i := range n {
			d := s.density((float64(i)+0.5)*step-s.box, (float64(j)+0.5)*step-s.box)
			if d > 0 {
				all = append(all, d)
				total += d
			}
		}
	}
	slices.SortFunc(all, func(a, b float64) int { return cmp.Compare(b, a) })
	areas := make([]float64, 0, len(shares))
	sum := 0.0
	for i, d := range all {
		sum += d / total
		for len(areas) < len(shares) && sum >= shares[len(areas)] {
			areas = append(areas, float64(i+1)*step*step)
		}
	}
	return areas
}

var inland = geo.Point{LatDeg: 40.1, LonDeg: -99.2}

// points draws landings about a centre.
func (s shape) points(centre geo.Point, n int, r *rand.Rand) Points {
	plane := geo.NewPlane(centre)
	var p Points
	for range n {
		x, y := s.draw(r)
		q := plane.From(1000*x, 1000*y)
		p.LatDeg, p.LonDeg = append(p.LatDeg, q.LatDeg), append(p.LonDeg, q.LonDeg)
	}
	return p
}

func generator(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 17)) }
