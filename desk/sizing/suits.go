package sizing

import (
	"fmt"

	"pappus/measure/unit"
)

// Suits says whether the parts make one good flight, and which single change
// helps most.
type Suits struct {
	OK       bool      `json:"ok"`
	Text     string    `json:"text"`
	Troubles []Trouble `json:"troubles"`
	Best     *Best     `json:"best_change,omitempty"`
}

// Trouble is one bound that the flight is beyond.
type Trouble struct {
	ID     string  `json:"id"`
	Text   string  `json:"text"`
	Beyond float64 `json:"beyond_share"` // how far beyond the bound, as a share of it
}

// Best is the change that leaves least trouble.
type Best struct {
	ID       string   `json:"id"`
	Text     string   `json:"text"`
	Flight   Outlook  `json:"flight"`
	Troubles []string `json:"troubles_left"`
}

// mostAloft is how long a flight is followed, s.
const mostAloft = 12 * unit.Hour

// Aims of the changes that are offered.
const (
	usualRise    = 5.0 // m/s; WMO-No. 8 and common practice
	usualLanding = 5.0 // m/s; the middle of 4.5 to 5.5, common practice, no source
)

// troubles lists what is beyond a bound: the person's own where the file has
// limits, else those of the cautions.
func (p *Parts) troubles(o Outlook, have float64, system unit.System) []Trouble {
	limit := p.File.Limits
	list := []Trouble{}
	add := func(id string, beyond float64, text string, words ...any) {
		if beyond > 0 {
			list = append(list, Trouble{id, fmt.Sprintf(text, words...), beyond})
		}
	}
	landing, slowest := hardLanding, floaterRate
	if limit.LandingSpeed.Given {
		landing = limit.LandingSpeed.Value
	}
	if limit.Rise.Given {
		slowest = limit.Rise.Value
	}
	add("landing_speed", o.Landing/landing-1, "it lands at %s, and %s is the bound", unit.FormatSpeed(o.Landing, system), unit.FormatSpeed(landing, system))
	energy := p.HeavyBox * o.Landing * o.Landing / 2
	if limit.LandingEnergy.Given && limit.LandingEnergy.Value > 0 {
		add("landing_energy", energy/limit.LandingEnergy.Value-1, "the heaviest box lands with %s, and %s is the bound", unit.FormatEnergy(energy, system), unit.FormatEnergy(limit.LandingEnergy.Value, system))
	}
	add("slow_rise", slowest/o.MeanRate-1, "it rises at %s in the mean, and %s is the least", unit.FormatRate(o.MeanRate, system), unit.FormatRate(slowest, system))
	add("fast_rise", o.MeanRate/fastRise-1, "it rises at %s in the mean, faster than %s", unit.FormatRate(o.MeanRate, system), unit.FormatRate(fastRise, system))
	if have > 0 {
		add("gas", o.Cubic/have-1, "the fill takes %s of gas and %s are at hand", cubicFeet(o.Cubic, system), cubicFeet(have, system))
	}
	return list
}

// cubicFeet writes an amount of gas as the trade counts it, given in cubic feet.
func cubicFeet(feet float64, system unit.System) string {
	return unit.FormatVolume(feet*unit.CubicFoot, system)
}

func total(list []Trouble) float64 {
	sum := 0.0
	for _, t := range list {
		sum += t.Beyond
	}
	return sum
}

// trial is one change before it is flown.
type trial struct {
	id, text string
	parts    *Parts
	moles    float64
	more     float64 // gas added to that at hand, ft³
}

// suits flies the plan and every change that is usual, and keeps the change
// that leaves least trouble; of equals the one of least effort.
func (p *Parts) suits(s *Setting, o Options) *Suits {
	base, ok := p.outlook(s, p.Craft.GasMoles)
	if !ok {
		return nil
	}
	have := 0.0
	if len(p.File.Cylinders) > 0 {
		have = cubicFeetOf(p, p.atHand())
	}
	troubles := p.troubles(base, have, o.System)
	answer := &Suits{OK: len(troubles) == 0, Troubles: troubles}
	before, least := total(troubles), total(troubles)
	for _, t := range p.trials(s, have, o) {
		flight, ok := t.parts.outlook(s, t.moles)
		if !ok {
			continue
		}
		left := t.parts.troubles(flight, have+t.more, o.System)
		better := total(left) < least-1e-3
		if answer.OK { // nothing is wrong: the change that adds most height is named
			better = len(left) == 0 && flight.BurstAlt > base.BurstAlt && (answer.Best == nil || flight.BurstAlt > answer.Best.Flight.BurstAlt)
		}
		if !better {
			continue
		}
		least = total(left)
		names := []string{}
		for _, l := range left {
			names = append(names, l.ID)
		}
		answer.Best = &Best{t.id, t.text, flight, names}
	}
	answer.Text = suitsWords(answer, before, least)
	return answer
}

func suitsWords(a *Suits, before, after float64) string {
	switch {
	case a.OK:
		return "The parts suit each other."
	case a.Best == nil:
		return "The parts do not suit each other, and no single usual change helps."
	case after == 0:
		return "The parts do not suit each other; one change mends it."
	}
	return fmt.Sprintf("The parts do not suit each other; the best single change takes away %s of the trouble.", unit.FormatShare(1-after/before))
}

// trials lists the usual changes in order of effort, least first.
func (p *Parts) trials(s *Setting, have float64, o Options) []trial {
	var list []trial
	add := func(id, text string, q *Parts, moles, more float64) {
		list = append(list, trial{id, text, q, moles, more})
	}
	if flight, ok := p.outlook(s, p.atHand()); ok && have > 0 && p.Craft.GasMoles > p.atHand() && flight.MeanRate >= soundRise {
		add("less_gas", fmt.Sprintf("fill with the gas at hand, to %s of free lift", unit.FormatMass(flight.Free, o.System)), p, p.atHand(), 0)
	}
	if r, ok := p.fillForRate(s, usualRise); ok {
		add("fill", fmt.Sprintf("fill to %s of free lift, for a rise of %s in the mean",
			unit.FormatMass(p.lift(r.moles, s.launchAir()).free, o.System), unit.FormatRate(usualRise, o.System)), p, r.moles, 0)
	}
	landing := usualLanding
	if l := p.File.Limits.LandingSpeed; l.Given {
		landing = min(landing, l.Value*0.99)
	}
	if landing > 0 {
		diameter := p.canopyFor(s, landing)
		if q := p.withCanopy(diameter); diameter != p.canopyDiameter() {
			if moles, ok := q.refill(s, o.System); ok {
				add("canopy", fmt.Sprintf("a canopy of %s laid flat", unit.FormatLength(diameter, o.System)), q, moles, 0)
			}
		}
	}
	for _, share := range []float64{0.1, 0.25} {
		q := p.withBox(-share * p.HeavyBox)
		if moles, ok := q.refill(s, o.System); ok {
			add("lighter_box", fmt.Sprintf("a box lighter by %s (%s)", unit.FormatMass(share*p.HeavyBox, o.System), unit.FormatShare(share)), q, moles, 0)
		}
	}
	for _, mass := range neighbours(p.Craft.EnvelopeMass) {
		q := p.withEnvelope(mass)
		if moles, ok := q.refill(s, o.System); ok {
			add("envelope", fmt.Sprintf("an envelope of %s instead of %s, filled to the same %s", grams(mass), grams(p.Craft.EnvelopeMass), p.fillWords()), q, moles, 0)
		}
	}
	if have > 0 && cubicFeetOf(p, p.Craft.GasMoles) > have {
		add("second_cylinder", "as much gas again as is at hand", p, p.Craft.GasMoles, have)
	}
	return list
}

// neighbours are the usual envelopes just above and just below a mass.
func neighbours(mass float64) []float64 {
	var below, above []float64
	for _, m := range usualEnvelopes() {
		switch {
		case m < mass*0.99:
			below = []float64{m}
		case m > mass*1.01 && above == nil:
			above = []float64{m}
		}
	}
	return append(above, below...)
}
