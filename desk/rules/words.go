package rules

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"pappus/measure/unit"
)

// trimmed writes a number with at most so many decimals and no idle zeros.
func trimmed(value float64, decimals int) string {
	s := strconv.FormatFloat(value, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// both writes a quantity in the text's own unit first, the other in brackets, so
// that a sentence can be checked against the printed limit and against a scale.
func (t text) both(imperial, metric string) string {
	if t.imperial {
		return fmt.Sprintf("%s (%s)", imperial, metric)
	}
	return fmt.Sprintf("%s (%s)", metric, imperial)
}

func (t text) mass(value float64) string {
	return t.both(trimmed(value/unit.Pound, 3)+" lb", trimmed(value, 4)+" kg")
}

func (t text) grams(value float64) string {
	decimals := 0
	if value < 10*unit.Gram {
		decimals = 1
	}
	return t.both(trimmed(value/unit.Ounce, 2)+" oz", trimmed(value/unit.Gram, decimals)+" g")
}

func (t text) density(value float64) string {
	return t.both(trimmed(value/ouncePerSquareInch, 3)+" oz/in²", trimmed(value/gramPerSquareCentimetre, 3)+" g/cm²")
}

func (t text) length(value float64) string {
	return t.both(trimmed(value/unit.Inch, 2)+" in", trimmed(value/unit.Centimetre, 1)+" cm")
}

func (t text) amount(q quantity, value float64) string {
	switch q {
	case packageDensity:
		return t.density(value)
	case separationLoad:
		return t.force(value)
	}
	return t.mass(value)
}

// difference says by how much, fine enough to be seen on a kitchen scale.
func (t text) difference(q quantity, value float64) string {
	value = math.Abs(value)
	if (q == packageMass || q == payloadMass) && value < 1 {
		return t.grams(value)
	}
	return t.amount(q, value)
}

func lineName(l Line) string {
	if l.Name == "" {
		return "a line"
	}
	return fmt.Sprintf("%q", l.Name)
}

// sentence says what was compared, with what, and what came of it.
func (t text) sentence(v verdict, f Facts) string {
	l := v.deciding
	if !v.known {
		if l.quantity == separationLoad {
			return fmt.Sprintf("Not known: give the breaking load of the lines. The limit is %s, and unmarked cord often holds more.", t.force(l.limit))
		}
		return fmt.Sprintf("Not known: give the size of the box %s. It weighs %s, so its smallest side decides; the limit is %s.",
			f.Packages[v.of].label(v.of), t.mass(f.Packages[v.of].Mass), t.density(l.limit))
	}
	words := fmt.Sprintf("%s %s: %s", t.subject(v, f), t.amount(l.quantity, v.value), t.standing(l, v))
	words += t.otherLimbs(v, f)
	if v.few {
		words += fmt.Sprintf(" The paragraph speaks of %d or more packages, and here is %d, so it does not reach this flight.", v.paragraph.packages, len(f.Packages))
	}
	if v.near {
		if l.quantity == separationLoad {
			words += " This is within 30 % of the limit: labels, knots and the speed of impact differ, so pull-test the line as it is tied."
		} else {
			words += " This is within 3 % of the limit: weigh again with everything in it, on a scale held against a known weight."
		}
	}
	return words
}

func (t text) subject(v verdict, f Facts) string {
	switch v.deciding.quantity {
	case packageMass:
		return fmt.Sprintf("The box %s weighs", f.Packages[v.of].label(v.of))
	case packageDensity:
		return fmt.Sprintf("The box %s, its mass over its smallest side, has", f.Packages[v.of].label(v.of))
	case payloadMass:
		return fmt.Sprintf("All boxes (%d) weigh", len(f.Packages))
	}
	line, _ := f.weakest()
	where := "below"
	if line.AboveCanopy {
		where = "above"
	}
	return fmt.Sprintf("The weakest line, %s %s the parachute, parts at", lineName(*line), where)
}

// standing places the value against the limit; at the limit itself the word of the
// text decides, so it is quoted.
func (t text) standing(l limb, v verdict) string {
	limit := t.amount(l.quantity, l.limit)
	over := v.value - l.limit
	switch {
	case math.Abs(over) <= sameShare*l.limit && l.strict:
		return fmt.Sprintf("exactly at the limit of %s, which only more than that exceeds.", limit)
	case math.Abs(over) <= sameShare*l.limit:
		return fmt.Sprintf("exactly at the limit of %s, which that much already reaches.", limit)
	case over > 0:
		return fmt.Sprintf("over the limit of %s by %s.", limit, t.difference(l.quantity, over))
	}
	return fmt.Sprintf("under the limit of %s by %s.", limit, t.difference(l.quantity, over))
}

// otherLimbs tells the rest of a paragraph that asks for two things at once.
func (t text) otherLimbs(v verdict, f Facts) string {
	words := ""
	for _, l := range v.paragraph.limbs {
		if l == v.deciding {
			continue
		}
		value, known := l.quantity.value(f, f.Packages[v.of])
		switch {
		case !known && !v.exceeded:
			words += " Its size is not given; at this mass that does not matter."
		case l.exceeds(value) && !v.exceeded:
			words += fmt.Sprintf(" The other half, %s, is over its limit of %s; both are needed.", t.amount(l.quantity, value), t.amount(l.quantity, l.limit))
		case l.exceeds(value):
			words += fmt.Sprintf(" So is the other half, %s, over %s.", t.amount(l.quantity, value), t.amount(l.quantity, l.limit))
		default:
			words += fmt.Sprintf(" The other half, %s, does not exceed its limit of %s either.", t.amount(l.quantity, value), t.amount(l.quantity, l.limit))
		}
	}
	return words
}
