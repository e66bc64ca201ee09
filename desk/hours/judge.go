package hours

import (
	"fmt"
	"math"
	"strings"

	"pappus/measure/unit"
)

// Verdict is what the limits say of an hour: never that a flight is legal or safe.
type Verdict string

// The verdicts.
const (
	Go   Verdict = "go"   // within every limit that could be looked at
	Wait Verdict = "wait" // nothing speaks against it, but the forecast is too old, or missing
	No   Verdict = "no"   // beyond a limit
)

// Check is one value beside its limit.
type Check struct {
	ID      string  `json:"id"`
	Value   float64 `json:"value"`
	Limit   float64 `json:"limit"`
	Unit    string  `json:"unit"`
	AtLeast bool    `json:"at_least"` // the value must not be below the limit; otherwise not above
	Within  bool    `json:"within"`
	Own     bool    `json:"own"`
	Text    string  `json:"text"`
}

// judge holds values against the limits. A value exactly at its limit is within.
// Limits whose value is not known are answered as words.
func (l Limits) judge(values map[string]float64, system unit.System) (checks []Check, unknown []string) {
	for _, x := range l.list {
		if !x.set {
			continue
		}
		value, known := values[x.id]
		if !known {
			unknown = append(unknown, x.text)
			continue
		}
		within := value <= x.value
		if x.atLeast {
			within = value >= x.value
		}
		c := Check{ID: x.id, Value: value, Limit: x.value, Unit: x.unit, AtLeast: x.atLeast, Within: within, Own: x.own}
		c.Text = x.says(value, within, system)
		checks = append(checks, c)
	}
	return checks, unknown
}

// says writes a value beside its limit.
func (x limit) says(value float64, within bool, system unit.System) string {
	whose := "the usual limit is"
	if x.own {
		whose = "your limit is"
	}
	words := x.written(value, system)
	if x.id == daylight && value <= 0 {
		words = "none"
	}
	bound := x.written(x.value, system)
	// Two values that are written alike and are not alike would puzzle.
	plain := strings.NewReplacer(".0 ", " ")
	if !within && plain.Replace(bound) == plain.Replace(words) {
		words = fmt.Sprintf("just over %s", bound)
		if x.atLeast {
			words = fmt.Sprintf("just under %s", bound)
		}
	}
	edge := "at most"
	if x.atLeast {
		edge = "at least"
	}
	return fmt.Sprintf("%s: %s, %s %s %s", x.text, words, whose, edge, bound)
}

func (x limit) written(value float64, system unit.System) string {
	switch x.unit {
	case "m/s":
		if x.id == rise {
			return unit.FormatRate(value, system)
		}
		return unit.FormatSpeed(value, system)
	case "s":
		return unit.FormatDuration(value)
	case "m":
		return unit.FormatDistance(value, system)
	case "J":
		return unit.FormatEnergy(value, system)
	}
	return unit.FormatShare(value)
}

// verdict follows from the checks: no when the air, the ground or the light is
// beyond a limit; wait when only the forecast is too old, for a newer one may
// say go.
func verdict(checks []Check) (Verdict, []string) {
	v := Go
	var reasons []string
	var nearest *Check
	for i := range checks {
		c := &checks[i]
		switch {
		case c.Within:
			if c.ID != forecastAge && (nearest == nil || c.used() > nearest.used()) {
				nearest = c
			}
			continue
		case c.ID != forecastAge:
			v = No
		case v == Go:
			v = Wait
		}
		reasons = append(reasons, c.Text)
	}
	switch {
	case v == Go && nearest != nil:
		reasons = append(reasons, "within every limit that could be looked at; nearest to one: "+nearest.Text)
	case v == Wait:
		reasons = append(reasons, "all else that could be looked at is within the limits: look again with a newer forecast")
	}
	return v, reasons
}

// used answers which share of a limit is used up: 1 at the limit, more beyond.
func (c *Check) used() float64 {
	low, high := c.Value, c.Limit
	if c.AtLeast {
		low, high = c.Limit, c.Value
	}
	switch {
	case high > 0:
		return max(low, 0) / high
	case low <= high:
		return 1
	}
	return math.MaxFloat64
}

// worst answers the greatest share of a limit that is used up, the forecast's
// age aside.
func worst(checks []Check) float64 {
	most := 0.0
	for i := range checks {
		if checks[i].ID != forecastAge {
			most = max(most, checks[i].used())
		}
	}
	return most
}
