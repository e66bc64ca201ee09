package sizing

import (
	"cmp"
	"math"
	"slices"

	"pappus/craft/liftgas"
	"pappus/measure/unit"
)

// bind names the wish that holds a combination back.
type bind string

const (
	bindsNothing bind = "none"
	bindsHeight  bind = "height"
	bindsAloft   bind = "time_aloft"
	bindsGas     bind = "gas"
	bindsMoney   bind = "money"
	bindsRise    bind = "rise" // no fill rises soundly
)

// candidate is one envelope under a goal.
type candidate struct {
	parts    *Parts
	moles    float64
	flight   Outlook
	slowest  Outlook // with the least gas that still rises soundly: the highest and longest
	least    float64 // mol, that gas
	chance   float64 // of an envelope to be still whole at the height wished; 1 without a wish
	binds    bind
	workable bool
	cost     Cost
}

// bindAt answers the wish that a flight misses, if any. Less gas is better for
// every one of them, so the fullest fill is sought that misses none.
func (g *Goal) bindAt(o Outlook, moles, have float64) bind {
	switch {
	case moles > have:
		return bindsGas
	case g.Above.Given && o.BurstAlt < g.Above.Value:
		return bindsHeight
	case g.Aloft.Given && o.Aloft < g.Aloft.Value:
		return bindsAloft
	}
	return bindsNothing
}

// search tries every usual envelope. Those that work come first, in order.
func (g *Goal) search() []candidate {
	s := g.setting()
	have := g.atHand()
	var list []candidate
	for _, mass := range g.envelopes() {
		list = append(list, g.try(mass, &s, have))
	}
	known := true
	for i := range list {
		known = known && (!list[i].workable || len(list[i].cost.Missing) == 0)
	}
	slices.SortStableFunc(list, func(a, b candidate) int {
		if a.workable != b.workable {
			return order(a.workable)
		}
		if a.likely() != b.likely() {
			return order(a.likely())
		}
		if known && a.cost.Known != b.cost.Known {
			return cmp.Compare(a.cost.Known, b.cost.Known)
		}
		return cmp.Compare(a.scarce(), b.scarce())
	})
	return list
}

// envelopes are the usual ones and those that the person has a price for.
func (g *Goal) envelopes() []float64 {
	masses := usualEnvelopes()
	for _, e := range g.Prices.Envelopes {
		if _, known := (&Prices{Envelopes: priced(masses)}).envelope(e.Mass); !known {
			masses = append(masses, e.Mass)
		}
	}
	slices.Sort(masses)
	return masses
}

func priced(masses []float64) []EnvelopePrice {
	var list []EnvelopePrice
	for _, m := range masses {
		list = append(list, EnvelopePrice{Mass: m})
	}
	return list
}

func order(first bool) int {
	if first {
		return -1
	}
	return 1
}

// likelyChance parts combinations that reach the height most of the time from
// those that just reach it; judgement.
const likelyChance = 0.75

func (c *candidate) likely() bool { return c.chance >= likelyChance }

// scarce orders by gas, and a kilogram of envelope counts as much as two and a
// half cubic metres of it (about what both cost the flyer in effort; judgement).
func (c *candidate) scarce() float64 {
	const perKilogram = 2.5
	return c.flight.Cubic*unit.CubicFoot + perKilogram*c.parts.Craft.EnvelopeMass
}

// searchStep is how closely the fill is found, as a share of the gas.
const searchStep = 5e-4

// try finds the fullest fill, up to the usual rise, with which an envelope
// meets every wish.
func (g *Goal) try(mass float64, s *Setting, have float64) candidate {
	p := g.parts(mass, s)
	c := candidate{parts: p, chance: 1, binds: bindsRise}
	low, ok := p.fillForRate(s, soundRise)
	if !ok {
		return c
	}
	c.least = low.moles * (1 + searchStep) // the solved rate is good to the last digits only
	if c.slowest, ok = p.outlook(s, c.least); !ok {
		return c
	}
	if c.binds = g.bindAt(c.slowest, c.least, have); c.binds != bindsNothing {
		return c
	}
	full := low.moles
	if high, ok := p.fillForRate(s, usualRise); ok {
		full = high.moles
	} else if high.fastestMoles > 0 {
		full = high.fastestMoles
	}
	c.moles, c.flight = c.least, c.slowest
	if o, ok := p.outlook(s, full); ok {
		if c.binds = g.bindAt(o, full, have); c.binds == bindsNothing {
			c.moles, c.flight = full, o
		}
	}
	for upper := full; c.binds != bindsNothing && upper-c.moles > searchStep*upper; {
		middle := (c.moles + upper) / 2
		o, ok := p.outlook(s, middle)
		if !ok {
			break
		}
		if b := g.bindAt(o, middle, have); b != bindsNothing {
			upper, c.binds = middle, b
		} else {
			c.moles, c.flight = middle, o
		}
	}
	c.workable = true
	c.chance = g.heightChance(p, s, c.moles)
	c.cost = g.cost(&c)
	if g.Money.Given && c.cost.Known > g.Money.Value {
		c.workable, c.binds = false, bindsMoney
	}
	return c
}

// heightChance is the chance that the envelope is still whole at the height.
func (g *Goal) heightChance(p *Parts, s *Setting, moles float64) float64 {
	if !g.Above.Given {
		return 1
	}
	size := func(alt float64) float64 {
		sampler := s.Sky.Sampler(0)
		air := sampler.At(s.Start.LatDeg, s.Start.LonDeg, alt, s.Start.Seconds)
		return math.Cbrt(6 / math.Pi * moles * liftgas.UniversalGas * air.Temperature / air.Pressure)
	}
	return p.Craft.Burst.Survival(size(g.Above.Value), size(s.Start.Alt))
}
