package rules

import "math"

// sameShare is the relative difference up to which a value and a limit count as
// equal. "6 lb" read from a file, a sum of items, or an area made of two lengths
// differs from the exact limit by a few units in the last place (2e-16 each); a
// part in 10^12 covers thousands of them and is still nanograms on a box.
const sameShare = 1e-12

// exceeds compares as the paragraph does: "more than" when strict, else "or more".
func (l limb) exceeds(value float64) bool {
	if math.Abs(value-l.limit) <= sameShare*l.limit {
		return !l.strict
	}
	return value > l.limit
}

func (l limb) near(value float64) bool {
	return math.Abs(value-l.limit) <= (l.quantity.band()+sameShare)*l.limit
}

// value reads the quantity off the flight, or off one package of it.
func (q quantity) value(f Facts, p Package) (value float64, known bool) {
	switch q {
	case packageMass:
		return p.Mass, true
	case packageDensity:
		area, known := p.smallestFace()
		if !known {
			return 0, false
		}
		return p.Mass / area, true
	case payloadMass:
		return f.payload(), true
	default:
		line, _ := f.weakest()
		if line == nil {
			return 0, false
		}
		return line.BreakingLoad, true
	}
}

// verdict is one paragraph held against one package, or against the whole flight.
type verdict struct {
	paragraph paragraph
	of        int // index of the package; -1 for the whole flight
	deciding  limb
	value     float64
	known     bool
	exceeded  bool
	near      bool
	few       bool // the paragraph speaks of more packages than there are
}

// hold judges a paragraph on a flight (of = -1) or on one package. All limbs must
// be exceeded, so one that is not decides, and among equals the one with the smallest
// share of its limit. A limb that is not exceeded settles the matter even when
// another is not known.
func (p paragraph) hold(f Facts, of int) verdict {
	v := verdict{paragraph: p, of: of, known: true}
	box := Package{}
	if of >= 0 {
		box = f.Packages[of]
	}
	smallest, settled, missing := math.Inf(1), false, false
	for _, l := range p.limbs {
		value, known := l.quantity.value(f, box)
		if !known {
			missing = true
			continue
		}
		short, share := !l.exceeds(value), value/l.limit
		if short && !settled || short == settled && share < smallest {
			smallest, v.deciding, v.value = share, l, value
		}
		settled = settled || short
	}
	if v.exceeded = !settled; missing && v.exceeded {
		v.known, v.exceeded = false, false
		for _, l := range p.limbs {
			if _, known := l.quantity.value(f, box); !known {
				v.deciding, v.value = l, 0
			}
		}
		return v
	}
	v.near = v.deciding.near(v.value)
	if len(f.Packages) < p.packages {
		v.few, v.exceeded, v.near = true, false, false
	}
	return v
}

// perPackage tells whether the paragraph speaks of a single package.
func (p paragraph) perPackage() bool { return p.limbs[0].quantity.perPackage() }

// each holds the paragraph against everything it can be met by.
func (p paragraph) each(f Facts) []verdict {
	if !p.perPackage() {
		return []verdict{p.hold(f, -1)}
	}
	all := make([]verdict, 0, len(f.Packages))
	for i := range f.Packages {
		all = append(all, p.hold(f, i))
	}
	return all
}

// worst is the verdict that speaks for the paragraph: an exceeded one first, then
// one that is not known, then the one closest to its limit.
func worst(all []verdict) verdict {
	rank := func(v verdict) float64 {
		switch {
		case v.exceeded:
			return 1e6 + v.value/v.deciding.limit
		case !v.known:
			return 1e5
		}
		return math.Min(v.value/v.deciding.limit, 1e4)
	}
	best := all[0]
	for _, v := range all[1:] {
		if rank(v) > rank(best) {
			best = v
		}
	}
	return best
}

// outcomeOf is the arithmetic alone: what the flight becomes, by which paragraphs,
// and which paragraphs could not be judged.
func (t text) outcomeOf(f Facts) (became outcome, because, undecided []string) {
	because, undecided = []string{}, []string{}
	var met []paragraph
	for _, p := range t.paragraphs {
		v := worst(p.each(f))
		switch {
		case v.exceeded:
			met = append(met, p)
			became = max(became, p.outcome)
		case !v.known:
			undecided = append(undecided, p.id)
		}
	}
	for _, p := range met {
		if p.outcome == became {
			because = append(because, p.id)
		}
	}
	if became == nothing && t.lowest != "" {
		because = append(because, t.lowest)
	}
	return became, because, undecided
}

// after tells in short what a changed flight would be.
func (t text) after(f Facts) After {
	became, because, undecided := t.outcomeOf(f)
	a := After{Because: because, Undecided: undecided, Boxes: len(f.Packages), PayloadKg: f.payload(), facts: f}
	if t.byClass {
		a.Class = became.class()
	} else {
		part := became == applies
		a.Applies = &part
	}
	return a
}
