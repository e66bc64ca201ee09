package sizing

import (
	"fmt"
	"math"

	"pappus/craft/canopy"
	"pappus/craft/envelope"
	"pappus/measure/unit"
)

// usualEnvelopes are the masses that sounding envelopes are made in, kg;
// common practice, no source. A maker's list goes first.
func usualEnvelopes() []float64 {
	return []float64{0.100, 0.200, 0.300, 0.350, 0.500, 0.600, 0.800, 1.000, 1.200, 1.500, 2.000, 3.000}
}

// grams writes an envelope's mass as the trade does, everywhere.
func grams(mass float64) string { return fmt.Sprintf("%.0f g", mass/unit.Gram) }

// canopyStep is how finely canopies are named here, m.
const canopyStep = 5 * unit.Centimetre

// canopyCloth is what a canopy with its lines weighs for each square metre laid
// flat: light nylon; common practice, no source. The scale's figure goes first.
const canopyCloth = 0.095 // kg/m²

func canopyMass(diameter float64) float64 { return canopyCloth * math.Pi / 4 * diameter * diameter }

// withBox answers the parts with the heaviest box heavier, or lighter when the
// mass is negative.
func (p *Parts) withBox(more float64) *Parts {
	q := *p
	q.HeavyBox += more
	q.Craft.TrainMass += more
	return &q
}

// withEnvelope answers the parts under another envelope of the same make: its
// burst diameter stands to the typical one as that of the present envelope.
func (p *Parts) withEnvelope(mass float64) *Parts {
	q := *p
	make := p.Craft.Burst.Median / envelope.TypicalBurstDiameter(p.Craft.EnvelopeMass)
	q.Craft.EnvelopeMass = mass
	q.Craft.Burst = envelope.NewBurstLaw(make*envelope.TypicalBurstDiameter(mass), p.Craft.Burst.Variation, p.Craft.Burst.EarlyShare)
	return &q
}

// canopyDiameter is that of the present parachute, laid flat.
func (p *Parts) canopyDiameter() float64 {
	return canopy.Canopy{Area: p.Craft.CanopyArea / p.CanopyDrag, Drag: p.CanopyDrag}.Diameter()
}

// withCanopy answers the parts under a canopy of the same kind and another
// diameter, and its cloth with it.
func (p *Parts) withCanopy(diameter float64) *Parts {
	q := *p
	c := canopy.Canopy{Area: math.Pi / 4 * diameter * diameter, Drag: p.CanopyDrag}
	q.Craft.CanopyArea = c.DragArea()
	if p.Craft.FillingWay > 0 {
		q.Craft.FillingWay = c.FillingDistance()
	}
	q.Craft.TrainMass += canopyMass(diameter) - canopyMass(p.canopyDiameter())
	return &q
}

// canopyFor answers the smallest canopy, in steps of 5 cm, that brings the
// parts down at a speed in the air at the launch.
func (p *Parts) canopyFor(s *Setting, speed float64) float64 {
	density := s.launchAir().Density
	// The speed of a fall into denser air lags behind the steady one by under
	// half a per cent; a canopy cut to the last digit would miss its speed by that.
	const lag = 0.995
	diameter := p.canopyDiameter()
	for range 20 { // the cloth's own mass is a twentieth of what falls, so is the error left by each round
		q := p.withCanopy(diameter)
		mass := q.Craft.TrainMass + q.Craft.Remains.Centre*q.Craft.EnvelopeMass
		area := 2*mass*unit.StandardGravity/(density*speed*speed*lag*lag) - q.Craft.BodyArea
		diameter = math.Sqrt(max(area, 0) / p.CanopyDrag * 4 / math.Pi)
	}
	return max(math.Ceil(diameter/canopyStep-1e-9), 1) * canopyStep
}

// refill answers the gas that the file's own statement asks of these parts.
func (p *Parts) refill(s *Setting, system unit.System) (float64, bool) {
	q := *p
	q.Craft.GasMoles = 0
	if q.Fill(*s, system) != nil {
		return 0, false
	}
	return q.Craft.GasMoles, true
}
