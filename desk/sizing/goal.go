package sizing

import (
	"fmt"
	"math"
	"time"

	"pappus/air/forecast"
	"pappus/craft/canopy"
	"pappus/craft/envelope"
	"pappus/craft/liftgas"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
	"pappus/record"
)

// Goal is what a person dreams of, before there are parts.
type Goal struct {
	Name      string
	Rules     string
	Currency  string
	Box       float64         // kg, with everything in it
	Above     record.Quantity // m, the burst is to be at least so high
	Aloft     record.Quantity // s, from release to landing at least
	Landing   record.Quantity // m/s, at most
	Money     record.Quantity // at most, for all that has a price
	Gas       liftgas.Gas
	Cylinders []record.Cylinder // at hand; none: as much as it takes
	Prices    Prices
	Point     geo.Point
	Elevation geo.AltMSL
	Time      time.Time
}

// Prices are the person's own; the program knows none.
type Prices struct {
	Envelopes []EnvelopePrice
	Cylinder  record.Quantity // of one that is at hand or on order
	Gas       record.Quantity // of one m³ at 70 F and 1 atm, where no cylinder is named
	Canopy    record.Quantity
	Rest      record.Quantity // box, cord, reflector, reporters and all else
}

// EnvelopePrice is that of an envelope of one mass.
type EnvelopePrice struct{ Mass, Price float64 }

// Masses and lengths of what hangs beside box and canopy: a radar reflector and
// ten metres of light cord; judgement, to be replaced by the scale's figures.
const (
	rigReflector = 0.060 // kg
	rigLink      = 1.5   // m of weak link above the canopy
	rigUpper     = 2.0   // m between canopy and reflector
	rigLower     = 6.0   // m between reflector and box
	rigCord      = 0.003 // kg for each metre
)

func rigMass() float64 { return rigReflector + rigCord*(rigLink+rigUpper+rigLower) }

// landing answers the speed that the canopy is cut for.
func (g *Goal) landing() float64 {
	if g.Landing.Given {
		return g.Landing.Value
	}
	return usualLanding
}

// atHand is the gas of the goal's cylinders, +Inf where none is named.
func (g *Goal) atHand() float64 {
	if len(g.Cylinders) == 0 {
		return math.Inf(1)
	}
	p := Parts{File: &record.Flight{Cylinders: g.Cylinders}, Craft: ensemble.Craft{Gas: g.Gas}}
	return p.atHand()
}

func (g *Goal) setting() Setting {
	return Setting{
		Sky: forecast.StandardSky(), Ground: trajectory.Flat(g.Elevation),
		Start: trajectory.Place{LatDeg: g.Point.LatDeg, LonDeg: g.Point.LonDeg, Alt: float64(g.Elevation)},
	}
}

// parts puts an envelope over the goal's box, under a canopy for its landing.
func (g *Goal) parts(mass float64, s *Setting) *Parts {
	const first = 1.0 // m, the diameter that the search for the canopy starts from
	p := &Parts{File: &record.Flight{}, HeavyBox: g.Box, CanopyDrag: canopy.FlatCircular().Drag(), Spread: ensemble.UsualSpread()}
	c := canopy.FromDiameter(canopy.FlatCircular(), first, 0)
	p.Craft = ensemble.Craft{
		Gas: g.Gas, EnvelopeMass: mass, TrainMass: g.Box + rigMass() + canopyMass(first),
		Burst:      envelope.NewBurstLaw(envelope.TypicalBurstDiameter(mass), usualBurstSpread, envelope.EarlyShare(false, 0)),
		CanopyArea: c.DragArea(), FillingWay: c.FillingDistance(),
		Remains: ensemble.Remains{Low: 0.1, Centre: 0.3, High: 0.9},
	}
	return p.withCanopy(p.canopyFor(s, g.landing()))
}

// usualBurstSpread is the file's default.
const usualBurstSpread = 0.06

// wishes says the goal in words.
func (g *Goal) wishes(system unit.System) string {
	text := fmt.Sprintf("a box of %s", unit.FormatMass(g.Box, system))
	if g.Above.Given {
		text += fmt.Sprintf(", above %s", unit.FormatHeight(g.Above.Value, system))
	}
	if g.Aloft.Given {
		text += fmt.Sprintf(", aloft for %s", unit.FormatDuration(g.Aloft.Value))
	}
	text += fmt.Sprintf(", landing under %s", unit.FormatSpeed(g.landing(), system))
	if len(g.Cylinders) > 0 {
		text += fmt.Sprintf(", with %s of %s at hand", unit.FormatVolume(liftgas.StandardVolume(g.Gas.Kind, g.atHand()), system), g.Gas.Kind)
	}
	if g.Money.Given {
		text += fmt.Sprintf(", for at most %.0f %s", g.Money.Value, g.Currency)
	}
	return text
}
