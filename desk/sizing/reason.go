package sizing

import (
	"fmt"
	"slices"
	"strings"

	"pappus/craft/liftgas"
	"pappus/measure/unit"
)

// Reason says where a number comes from: the formula, what was put in, and who
// says so. Key is the number's place in the plan's JSON document.
type Reason struct {
	Key     string  `json:"key"`
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"`
	Formula string  `json:"formula"`
	Inputs  []Input `json:"inputs"`
	Source  string  `json:"source"`
}

// Input is one number that a formula takes.
type Input struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	From  string  `json:"from"` // another key, "file", "default", "air" or "constant"
}

// AllReasons asks for the reason of every number.
const AllReasons = "all"

// ReasonKeys lists the numbers that can be asked why.
func ReasonKeys() []string {
	var keys []string
	for _, r := range (&ledger{}).all() {
		keys = append(keys, r.Key)
	}
	return keys
}

// UnknownReason says that there is no such number.
type UnknownReason struct{ Key string }

func (e *UnknownReason) Error() string {
	return fmt.Sprintf("no number of the plan is named %q: expected %s, or one of %s", e.Key, AllReasons, strings.Join(ReasonKeys(), ", "))
}

// reasons answers those that are asked. A group such as "lift" stands for all
// its numbers.
func (p *Parts) reasons(a *Answer, s *Setting, keys []string) (map[string]Reason, error) {
	book := p.ledger(a, s).all()
	found := map[string]Reason{}
	for _, key := range keys {
		before := len(found)
		for _, r := range book {
			if key == AllReasons || r.Key == key || strings.HasPrefix(r.Key, key+".") {
				found[r.Key] = r
			}
		}
		known := slices.ContainsFunc(book, func(r Reason) bool { return r.Key == key })
		if len(found) == before && !known {
			return nil, &UnknownReason{key}
		}
	}
	return found, nil
}

// ledger gathers the inputs once; the zero value lists the keys.
type ledger struct {
	answer                                      Answer
	air                                         Input // inputs by their everyday names
	pressure, temperature                       Input
	airMolar, gasMolar, moles                   Input
	envelope, train, heavyBox, remains, falling Input
	fill, rated, drag, canopyArea, bodyArea     Input
	elevation                                   Input
}

func (p *Parts) ledger(a *Answer, s *Setting) *ledger {
	air := s.launchAir()
	b := &ledger{answer: *a}
	b.air = Input{"density of the air at the launch", air.Density, "kg/m3", "air"}
	b.pressure = Input{"pressure of the air at the launch", air.Pressure, "Pa", "air"}
	b.temperature = Input{"temperature of the air at the launch", air.Temperature, "K", "air"}
	b.airMolar = Input{"molar mass of dry air", liftgas.MolarMassAir, "kg/mol", "constant"}
	b.gasMolar = Input{"molar mass of the gas with its impurity", p.Craft.Gas.MolarMass(), "kg/mol", "file"}
	b.moles = Input{"amount of gas", p.Craft.GasMoles, "mol", "gas.amount_mol"}
	b.envelope = Input{"mass of the envelope", p.Craft.EnvelopeMass, "kg", "file"}
	b.train = Input{"mass of all that hangs below", p.Craft.TrainMass, "kg", "file"}
	b.heavyBox = Input{"mass of the heaviest box", p.HeavyBox, "kg", "file"}
	b.remains = Input{"share of the envelope left on the cord", p.Craft.Remains.Centre, "1", given(p.File.Remains.Given)}
	b.falling = Input{"mass of all that falls", a.Descent.FallingMass, "kg", "descent.falling_mass_kg"}
	b.fill = Input{"gas.fill." + p.File.Gas.Fill.Kind.String(), p.File.Gas.Fill.Value, fillUnit(p), "file"}
	b.rated = Input{"rated burst diameter", p.Craft.Burst.Median, "m", given(p.File.Envelope.BurstDiameter.Given)}
	b.drag = Input{"drag coefficient at the launch", launchDrag(p, a, s), "1", "envelope.drag"}
	b.canopyArea = Input{"drag area of the canopy", p.Craft.CanopyArea, "m2", "file"}
	b.bodyArea = Input{"drag area of the boxes", p.Craft.BodyArea, "m2", "file"}
	b.elevation = Input{"elevation of the launch", s.Start.Alt, "m", "file"}
	return b
}

func given(yes bool) string {
	if yes {
		return "file"
	}
	return "default"
}

func fillUnit(p *Parts) string {
	return [...]string{"kg", "kg", "m3", "m/s", "m"}[p.File.Gas.Fill.Kind]
}

// launchDrag is the coefficient that the rise after the release has.
func launchDrag(p *Parts, a *Answer, s *Setting) float64 {
	sampler := s.Sky.Sampler(0)
	at := sampler.At(s.Start.LatDeg, s.Start.LonDeg, s.Start.Alt, s.Start.Seconds)
	return p.Craft.Drag.Coefficient(at.Density * a.Ascent.LaunchRate * a.Gas.Diameter / viscosity(at.Temperature))
}

// gravity is that of formulas that people check by hand.
func gravity() Input { return Input{"standard gravity", unit.StandardGravity, "m/s2", "constant"} }
