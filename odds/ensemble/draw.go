package ensemble

import (
	"math"
	"math/rand/v2"

	"pappus/air/forecast"
	"pappus/craft/envelope"
	"pappus/craft/inflation"
	"pappus/craft/liftgas"
	"pappus/motion/ascent"
	"pappus/motion/descent"
	"pappus/motion/trajectory"
)

// Craft is the flight as planned: every quantity at its centre, and the laws
// by which the parts themselves scatter.
type Craft struct {
	Gas          liftgas.Gas
	GasMoles     float64
	EnvelopeMass float64
	TrainMass    float64
	Drag         envelope.Drag
	Burst        envelope.BurstLaw
	CanopyArea   float64 // drag area, m2
	FillingWay   float64 // m; zero is open from the instant of burst
	BodyArea     float64 // drag area of all that is not canopy, m2
	Remains      Remains
	Film         bool // count the film's own pressure, in the flight and in the rating
}

// Remains is the share of the envelope that stays on the cord after the burst.
type Remains struct{ Low, Centre, High float64 }

// draw answers a share with Centre as its median: even from Low to Centre and
// from Centre to High.
func (r Remains) draw(u float64) float64 {
	if u < 0.5 {
		return r.Low + 2*u*(r.Centre-r.Low)
	}
	return r.Centre + (2*u-1)*(r.High-r.Centre)
}

// Nominal is the flight with every spread at its centre.
func (c *Craft) Nominal(start trajectory.Place) trajectory.Flight {
	return trajectory.Flight{
		Balloon: ascent.Balloon{
			GasMoles: c.GasMoles, GasMolarMass: c.Gas.MolarMass(),
			EnvelopeMass: c.EnvelopeMass, TrainMass: c.TrainMass,
			Drag: c.Drag, DragFactor: 1, BurstDiameter: c.gives(c.Burst.Median), Film: c.Film,
		},
		Fall: descent.Fall{
			Mass:       c.TrainMass + c.Remains.Centre*c.EnvelopeMass,
			CanopyArea: c.CanopyArea, BodyArea: c.BodyArea, FillingWay: c.FillingWay,
		},
		Start: start,
		Steps: trajectory.UsualSteps,
	}
}

// gives is the size at which a film of a rated size really bursts: the same,
// unless the film's own pressure is counted.
func (c *Craft) gives(rated float64) float64 {
	if !c.Film {
		return rated
	}
	return envelope.ConvertRating(rated, c.EnvelopeMass, envelope.RatingPressure(c.EnvelopeMass))
}

// release is what the draws need to know of the balloon at the start.
type release struct {
	diameter  float64 // m
	neckShare float64 // neck lift over gross lift
}

func (c *Craft) release(air forecast.Air) release {
	around := inflation.Air{Pressure: air.Pressure, Temperature: air.Temperature, Density: air.Density}
	gross := inflation.Gross(c.GasMoles, around, c.Gas, 0)
	return release{
		diameter:  envelope.Diameter(inflation.Volume(c.GasMoles, around, 0)),
		neckShare: float64(gross.Neck(c.EnvelopeMass)) / float64(gross),
	}
}

// drawn is what was drawn for one flight and is worth keeping.
type drawn struct {
	early  bool // burst size under the bound of early failures
	fouled bool
}

// generator is the source of one worker's numbers, seeded anew for each member.
type generator struct {
	pcg  rand.PCG
	rand *rand.Rand
}

func newGenerator() *generator {
	g := &generator{}
	g.rand = rand.New(&g.pcg)
	return g
}

// seed makes member i's own stream: the same numbers whichever worker flies it.
func (g *generator) seed(seed uint64, member int) {
	g.pcg.Seed(mix(seed), mix(uint64(member)^0x9e3779b97f4a7c15))
}

// mix spreads neighbouring seeds over all bits (the finaliser of SplitMix64,
// Steele, Lea and Flood 2014).
func mix(x uint64) uint64 {
	x ^= x >> 30
	x *= 0xbf58476d1ce4e5b9
	x ^= x >> 27
	x *= 0x94d049bb133111eb
	return x ^ x>>31
}

// draw fills a flight with one member's values. The order of the draws is part
// of the answer: a new doubt is added at the end.
func (c *Craft) draw(g *generator, spread Spread, at release, start trajectory.Place, flight *trajectory.Flight, doubt *trajectory.Doubt) drawn {
	r := g.rand
	*flight = c.Nominal(start)
	b := &flight.Balloon
	b.DragFactor = lognormal(r.NormFloat64(), spread.Drag)
	b.GasMoles *= max(1+spread.Lift*at.neckShare*r.NormFloat64(), 0)
	b.GasOffset = spread.GasOffset * r.NormFloat64()
	rated := c.Burst.Quantile(r.Float64(), at.diameter)
	b.BurstDiameter = c.gives(rated)
	canopy := lognormal(r.NormFloat64(), spread.Canopy)
	fouled := r.Float64() < spread.Fouled
	keeps := spread.FouledLow + (spread.FouledTop-spread.FouledLow)*r.Float64()
	if fouled {
		canopy *= keeps
	}
	flight.Fall.CanopyArea *= canopy
	flight.Fall.Mass = c.TrainMass + c.Remains.draw(r.Float64())*c.EnvelopeMass
	flight.Start.Seconds += spread.Start * (2*r.Float64() - 1)
	drawProfile(r, &doubt.East, &doubt.Law.WindCorrelation)
	drawProfile(r, &doubt.North, &doubt.Law.WindCorrelation)
	drawProfile(r, &doubt.FreshEast, &doubt.Law.WindCorrelation)
	drawProfile(r, &doubt.FreshNorth, &doubt.Law.WindCorrelation)
	drawProfile(r, &doubt.Rise, &doubt.Law.RiseCorrelation)
	flight.Doubt = doubt
	return drawn{early: rated < envelope.EarlyTo*c.Burst.Median, fouled: fouled}
}

// lognormal is a factor with median 1 and about the given relative spread.
func lognormal(x, sigma float64) float64 { return math.Exp(sigma * x) }

// drawProfile draws a first-order autoregressive profile of unit variance.
func drawProfile(r *rand.Rand, nodes, correlation *[trajectory.NodeCount]float64) {
	nodes[0] = r.NormFloat64()
	for k := 1; k < len(nodes); k++ {
		c := correlation[k-1]
		nodes[k] = c*nodes[k-1] + math.Sqrt(1-c*c)*r.NormFloat64()
	}
}
