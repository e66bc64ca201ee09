package sizing

import (
	"fmt"
	"math"

	"pappus/measure/unit"
	"pappus/record"
)

// Strength of the lines of a sketched train: the weak link holds four times the
// train at rest, and the lines below three times that; judgement. A pull test
// of the real lines goes first.
const (
	linkFactor  = 4
	leastLink   = 100.0 // N
	lowerFactor = 3
)

// file writes the candidate as the person's own flight file, read back so that
// it is what plan will read.
func (g *Goal) file(c *candidate) (*record.Flight, error) {
	train := c.parts.Craft.TrainMass
	link := max(math.Ceil(linkFactor*train*unit.StandardGravity/10)*10, leastLink)
	diameter := math.Round(c.parts.canopyDiameter()/unit.Centimetre) * unit.Centimetre
	line := func(name string, length, load float64) record.Part {
		return record.Part{Kind: record.Line, Name: name, Length: record.Given(length), Mass: record.Given(round(rigCord*length, 1e-4)), BreakingLoad: record.Given(load)}
	}
	name := g.Name
	if name == "" {
		name = "Sketched flight"
	}
	f := &record.Flight{
		Format: record.Format, Name: name, Rules: g.Rules, Currency: g.Currency,
		Note:   "sketched from a goal: put the data sheets' and the scale's figures in place of the typical ones",
		Launch: record.Launch{Point: g.Point, Elevation: g.Elevation, Time: g.Time},
		Envelope: record.Envelope{Mass: round(c.parts.Craft.EnvelopeMass, 1e-4), BurstSpread: record.Given(usualBurstSpread),
			Drag: record.Drag{Varying: true, Given: true}},
		Gas:       record.Gas{Kind: g.Gas.Kind, Purity: record.Given(g.Gas.Purity), Fill: record.Fill{Kind: record.FreeLift, Value: g.freeLift(c)}},
		Cylinders: g.Cylinders,
		Train: []record.Part{
			line("weak link", rigLink, link),
			{Kind: record.Parachute, Mass: record.Given(round(canopyMass(diameter), 1e-3)), Canopy: record.Canopy{Kind: "flat circular", KindGiven: true, Diameter: record.Given(round(diameter, 0.01))}},
			line("", rigUpper, lowerFactor*link),
			{Kind: record.Reflector, Mass: record.Given(rigReflector)},
			line("", rigLower, lowerFactor*link),
			{Kind: record.Box, Name: "box", Mass: record.Given(g.Box)},
		},
	}
	if price, known := g.Prices.envelope(c.parts.Craft.EnvelopeMass); known {
		f.Envelope.Price = record.Given(price)
	}
	if g.Landing.Given {
		f.Limits.LandingSpeed = g.Landing
	}
	if g.Money.Given {
		f.Limits.Budget = g.Money
	}
	read, err := record.Parse("sketch", f.Encode())
	if err != nil {
		return nil, fmt.Errorf("a flight of our own making cannot be read: %w", err)
	}
	return read, nil
}

// freeLift is the fill to the gram; where the gas at hand binds the gram is
// left off rather than added.
func (g *Goal) freeLift(c *candidate) float64 {
	grams := c.flight.Free / unit.Gram
	if c.binds == bindsGas {
		return math.Floor(grams) * unit.Gram
	}
	return math.Round(grams) * unit.Gram
}

// round keeps a whole number of steps, without the digits that a product of
// decimal fractions adds.
func round(value, step float64) float64 { return math.Round(value/step) / math.Round(1/step) }
