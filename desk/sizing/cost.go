package sizing

import (
	"math"

	"pappus/craft/liftgas"
)

// Cost adds up the person's own prices.
type Cost struct {
	Known   float64  `json:"known"`
	Missing []string `json:"missing"` // what has no price
}

func (g *Goal) cost(c *candidate) Cost {
	cost := Cost{Missing: []string{}}
	add := func(name string, price float64, known bool) {
		if known {
			cost.Known += price
		} else {
			cost.Missing = append(cost.Missing, name)
		}
	}
	price, known := g.Prices.envelope(c.parts.Craft.EnvelopeMass)
	add("envelope of "+grams(c.parts.Craft.EnvelopeMass), price, known)
	bottles := 0
	for _, b := range g.Cylinders {
		bottles += b.Count
	}
	switch {
	case bottles > 0:
		add("cylinder", g.Prices.Cylinder.Value*float64(bottles), g.Prices.Cylinder.Given)
	default:
		volume := liftgas.StandardVolume(g.Gas.Kind, c.moles) * (1 + gasReserve)
		add("gas", g.Prices.Gas.Value*volume, g.Prices.Gas.Given)
	}
	add("canopy", g.Prices.Canopy.Value, g.Prices.Canopy.Given)
	add("box and all else", g.Prices.Rest.Value, g.Prices.Rest.Given)
	return cost
}

func (p *Prices) envelope(mass float64) (float64, bool) {
	for _, e := range p.Envelopes {
		if math.Abs(e.Mass-mass) < 0.5e-3 {
			return e.Price, true
		}
	}
	return 0, false
}

// any says whether the person gave a price at all.
func (p *Prices) any() bool {
	return len(p.Envelopes) > 0 || p.Cylinder.Given || p.Gas.Given || p.Canopy.Given || p.Rest.Given
}
