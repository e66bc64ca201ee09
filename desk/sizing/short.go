package sizing

import (
	"fmt"
	"math"

	"pappus/craft/liftgas"
	"pappus/measure/unit"
	"pappus/record"
)

// soundRise is the slowest mean rise that is offered here: a third above where
// floaters come from, so that a fill weighed a tenth short still bursts; judgement.
const soundRise = 4.0

// ShortGas says that the cylinders do not hold the fill: what flight is left,
// and what would save the planned one.
type ShortGas struct {
	Have   float64  `json:"have_ft3"`
	Need   float64  `json:"need_ft3"`
	Short  float64  `json:"short_ft3"`
	Left   *Outlook `json:"left,omitempty"` // the flight that all the gas at hand makes of these parts
	Text   string   `json:"text"`
	Saves  []Rescue `json:"changes"`            // least effort first
	Sounds bool     `json:"left_rises_soundly"` // whether the flight that is left rises fast enough to burst for sure
}

// Rescue is one change with which the gas at hand suffices.
type Rescue struct {
	ID     string  `json:"id"`
	Text   string  `json:"text"`
	Flight Outlook `json:"flight"`
}

// atHand is the gas of all cylinders of the file, mol.
func (p *Parts) atHand() float64 {
	sum := 0.0
	for _, content := range p.Cylinders() {
		sum += liftgas.MolesAtStandard(p.Craft.Gas.Kind, content)
	}
	return sum
}

// shortGas answers nil when the gas suffices, or none is in the file.
func (p *Parts) shortGas(s *Setting, o Options) *ShortGas {
	have := p.atHand()
	need := p.Craft.GasMoles
	if have <= 0 || need <= have {
		return nil
	}
	feet := func(moles float64) float64 { return liftgas.StandardCubicFeet(p.Craft.Gas.Kind, moles) }
	short := &ShortGas{Have: feet(have), Need: feet(need), Short: feet(need - have), Saves: []Rescue{}}
	if left, ok := p.outlook(s, have); ok {
		short.Left, short.Sounds = &left, left.MeanRate >= soundRise
	}
	short.Text = p.leftWords(s, have, short, o.System)
	for _, way := range []func(*Setting, float64, Options) (Rescue, bool){p.lessFreeLift, p.lighterTrain, p.smallerEnvelope, p.secondCylinder} {
		if rescue, ok := way(s, have, o); ok {
			short.Saves = append(short.Saves, rescue)
		}
	}
	return short
}

// leftWords says what all the gas at hand makes of the parts as they are.
func (p *Parts) leftWords(s *Setting, have float64, short *ShortGas, system unit.System) string {
	l := p.lift(have, s.launchAir())
	switch {
	case l.free <= 0:
		return fmt.Sprintf("With these parts no flight is left: all the gas at hand lifts %s at the neck, and %s hang below it.",
			unit.FormatMass(l.neck, system), unit.FormatMass(p.Craft.TrainMass, system))
	case short.Left == nil:
		return fmt.Sprintf("With all the gas at hand the free lift is %s: it would rise, and not burst within %s.", unit.FormatMass(l.free, system), unit.FormatDuration(mostAloft))
	}
	what := fmt.Sprintf("With all the gas at hand the free lift is %s: it rises at %s in the mean and bursts at %s",
		unit.FormatMass(l.free, system), unit.FormatRate(short.Left.MeanRate, system), unit.FormatHeight(short.Left.BurstAlt, system))
	if !short.Sounds {
		return what + ", too slowly to be sure that it bursts at all."
	}
	return what + "."
}

// lessFreeLift takes all the gas there is, where that still rises soundly.
func (p *Parts) lessFreeLift(s *Setting, have float64, o Options) (Rescue, bool) {
	flight, ok := p.outlook(s, have)
	if !ok || flight.MeanRate < soundRise {
		return Rescue{}, false
	}
	return Rescue{"less_free_lift", fmt.Sprintf("Fill to %s of free lift instead of %s: all the gas at hand, and a rise of %s in the mean.",
		unit.FormatMass(flight.Free, o.System), unit.FormatMass(p.lift(p.Craft.GasMoles, s.launchAir()).free, o.System), unit.FormatRate(flight.MeanRate, o.System)), flight}, true
}

// lighterTrain takes out of the box what the gas at hand is short of: for a
// stated lift so much that the free lift is the planned one, for a stated rise
// that rise, and for a stated height a sound rise (less gas bursts higher anyway).
func (p *Parts) lighterTrain(s *Setting, have float64, o Options) (Rescue, bool) {
	air := s.launchAir()
	least, words := soundRise, "a rise of "+unit.FormatRate(soundRise, o.System)
	off := p.lift(p.Craft.GasMoles, air).gross - p.lift(have, air).gross
	switch p.File.Gas.Fill.Kind {
	case record.AscentRate:
		least, words = p.File.Gas.Fill.Value, "the rise that is asked"
		off = p.leastOff(s, have, least)
	case record.BurstAltitude:
		off = p.leastOff(s, have, least)
	default:
		words = "the planned free lift"
	}
	off = math.Ceil(off/unit.Gram) * unit.Gram
	if off >= p.HeavyBox {
		return Rescue{}, false
	}
	flight, ok := p.withBox(-off).outlook(s, have)
	if !ok || flight.MeanRate < min(soundRise, least) {
		return Rescue{}, false
	}
	return Rescue{"lighter_train", fmt.Sprintf("Take %s out of the box: the gas at hand then gives %s, and bursts at %s.",
		unit.FormatMass(off, o.System), words, unit.FormatHeight(flight.BurstAlt, o.System)), flight}, true
}

// leastOff is the least mass, to half a gram, without which the gas at hand
// rises at a rate; the whole box where no less does.
func (p *Parts) leastOff(s *Setting, have, rate float64) float64 {
	low, high := 0.0, p.HeavyBox
	for high-low > 0.5*unit.Gram {
		middle := (low + high) / 2
		if _, mean, ok := p.withBox(-middle).rise(s, have); ok && mean >= rate {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

// smallerEnvelope takes the largest usual envelope under the present one that
// the gas at hand carries soundly.
func (p *Parts) smallerEnvelope(s *Setting, have float64, o Options) (Rescue, bool) {
	sizes := usualEnvelopes()
	for i := len(sizes) - 1; i >= 0; i-- {
		mass := sizes[i]
		if mass >= p.Craft.EnvelopeMass {
			continue
		}
		q := p.withEnvelope(mass)
		if least, most := q.fillRange(s); have <= least || have >= most {
			continue
		}
		flight, ok := q.outlook(s, have)
		if ok && flight.MeanRate >= soundRise {
			return Rescue{"smaller_envelope", fmt.Sprintf("Take an envelope of %s (typical burst size %s): with the gas at hand it rises at %s in the mean and bursts at %s.",
				grams(mass), unit.FormatLength(q.Craft.Burst.Median, o.System), unit.FormatRate(flight.MeanRate, o.System), unit.FormatHeight(flight.BurstAlt, o.System)), flight}, true
		}
	}
	return Rescue{}, false
}

// secondCylinder says how many more of the largest cylinder would do.
func (p *Parts) secondCylinder(s *Setting, have float64, o Options) (Rescue, bool) {
	largest := 0.0
	for _, content := range p.Cylinders() {
		largest = max(largest, content)
	}
	missing := liftgas.StandardVolume(p.Craft.Gas.Kind, p.Craft.GasMoles-have)
	const many = 4 // beyond, the cylinders at hand are simply of the wrong kind
	count := math.Ceil(missing / largest)
	flight, ok := p.outlook(s, p.Craft.GasMoles)
	if !ok || count > many {
		return Rescue{}, false
	}
	more := "one more cylinder"
	if count > 1 {
		more = fmt.Sprintf("%.0f more cylinders", count)
	}
	return Rescue{"second_cylinder", fmt.Sprintf("Get %s of %s (70 F, 1 atm), or any that hold the missing %s: the flight as planned.",
		more, unit.FormatVolume(largest, o.System), unit.FormatVolume(missing, o.System)), flight}, true
}
