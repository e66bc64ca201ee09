package money

import (
	"fmt"

	"pappus/measure/unit"
	"pappus/record"
)

// Chances are the factors as asked on the command line or read off a forecast's
// odds; what is absent is taken from the file, else from a judgement.
type Chances struct {
	Water, WaterFound, OutOfReach, Silent, Found, Label record.Quantity
	// OddsWater is the share of landings in water, when a forecast was flown.
	OddsWater record.Quantity
}

// Back is the chance of getting the box back: an estimate, made of named factors.
type Back struct {
	Estimate bool     `json:"estimate"` // always: no one has counted
	Chance   float64  `json:"chance"`
	Formula  string   `json:"formula"`
	Factors  []Factor `json:"factors"`
	Helps    []Help   `json:"helps"` // the most first
}

// Factor is one thing that decides it.
type Factor struct {
	ID     string  `json:"id"` // the key of [recovery], and the flag
	Name   string  `json:"name"`
	Value  float64 `json:"value"`
	From   string  `json:"from"` // "asked", "file", "odds", "judgement"
	Why    string  `json:"why"`
	Change float64 `json:"change"` // of the chance, were this factor at its best
}

// Help is a factor by what it could bring.
type Help struct {
	ID   string  `json:"id"`
	Gain float64 `json:"gain"`
	Text string  `json:"text"`
}

// Judgements, each to be replaced by the person's own.
const (
	usualWater      = 0.03 // a middling inland place; a forecast says it better
	usualWaterFound = 0.20 // most boxes float, few are reached
	usualOutOfReach = 0.05 // cliffs, forest, standing crops, a refusal
	usualFound      = 0.95 // when a place is known to within a field
	usualLabel      = 0.20 // a box with a telephone number is found by someone, some day
	sharedSilence   = 0.03 // one cause for all: it lands on its face, or the fall breaks it
)

// silentAlone is how likely one reporter says nothing after the landing.
func silentAlone(kind string) float64 {
	switch kind {
	case "satellite":
		return 0.10 // face down, in a ditch, under leaves
	case "radio":
		return 0.40 // someone must be within a few kilometres
	case "cellular":
		return 0.40 // no network, or it did not come back to life
	}
	return 0.60
}

// silence is the chance that no reporter is heard from the ground.
func silence(f *record.Flight) (float64, string) {
	if len(f.Reporters) == 0 {
		return 1, "no reporter is in the file"
	}
	all, text := 1.0, ""
	for i := range f.Reporters {
		r := &f.Reporters[i]
		all *= silentAlone(r.Kind)
		if text != "" {
			text += " × "
		}
		text += fmt.Sprintf("%s (%s)", unit.FormatShare(silentAlone(r.Kind)), r.Kind)
	}
	return sharedSilence + (1-sharedSilence)*all, fmt.Sprintf("one cause for all %s, else %s", unit.FormatShare(sharedSilence), text)
}

// chance is not in water or got out of it, within reach, and heard and found, or
// else found by someone who answers the label.
func chance(v map[string]float64) float64 {
	dry := 1 - v["water"]*(1-v["water_found"])
	known := (1-v["silent"])*v["found"] + v["silent"]*v["label"]
	return dry * (1 - v["out_of_reach"]) * known
}

const formula = "(1 − water × (1 − water_found)) × (1 − out_of_reach) × ((1 − silent) × found + silent × label)"

func backOf(f *record.Flight, c Chances) Back {
	own := &f.Recovery
	silent, why := silence(f)
	water := Factor{ID: "water", Name: "lands in water", Value: usualWater, From: "judgement", Why: "no forecast is flown: with --weather the odds say it"}
	if c.OddsWater.Given {
		water.Value, water.From, water.Why = c.OddsWater.Value, "odds", "share of the drawn landings in water"
	} else if own.Water.Given {
		water.Value, water.From, water.Why = own.Water.Value, "file", "[recovery] of the file"
	}
	if c.Water.Given {
		water.Value, water.From, water.Why = c.Water.Value, "asked", "as asked"
	}
	pick := func(id, name string, asked, file record.Quantity, usual float64, why string) Factor {
		switch {
		case asked.Given:
			return Factor{ID: id, Name: name, Value: asked.Value, From: "asked", Why: "as asked"}
		case file.Given:
			return Factor{ID: id, Name: name, Value: file.Value, From: "file", Why: "[recovery] of the file"}
		}
		return Factor{ID: id, Name: name, Value: usual, From: "judgement", Why: why}
	}
	b := Back{Estimate: true, Formula: formula, Factors: []Factor{
		water,
		pick("water_found", "got out of the water", c.WaterFound, own.WaterFound, usualWaterFound, "most boxes float, few are reached"),
		pick("out_of_reach", "lies where nobody can or may go", c.OutOfReach, own.OutOfReach, usualOutOfReach, "cliffs, forest, standing crops, a landowner's no"),
		pick("silent", "all reporters silent after the landing", c.Silent, own.Silent, silent, why),
		pick("found", "found once its place is heard", c.Found, own.Found, usualFound, "a place good to a field, and daylight"),
		pick("label", "a finder answers the label, nothing heard", c.Label, own.Label, usualLabel, "telephone number, harmless, reward, on every side"),
	}}
	values := map[string]float64{}
	for _, x := range b.Factors {
		values[x.ID] = x.Value
	}
	b.Chance = chance(values)
	for i := range b.Factors {
		b.Factors[i].Change = atBest(values, b.Factors[i].ID) - b.Chance
	}
	b.helps()
	return b
}

// atBest is the chance with one factor at its best.
func atBest(values map[string]float64, id string) float64 {
	better := map[string]float64{}
	for k, v := range values {
		better[k] = v
	}
	best := map[string]float64{"water": 0, "water_found": 1, "out_of_reach": 0, "silent": 0, "found": 1, "label": 1}
	better[id] = best[id]
	return chance(better)
}

// helps orders what the person can do by what it could bring at the most.
func (b *Back) helps() {
	texts := map[string]string{
		"water": "another hour or site: pappus hours compares water", "water_found": "a box that floats high and bright, and someone with a boat",
		"out_of_reach": "look at the landing area on a map, ask landowners early, bring a pole", "silent": "a second reporter of another kind, its antenna seen from both sides",
		"found": "bright colour, a sounder, daylight left after the landing", "label": "a label on every side that lasts wet, with a telephone number and the word harmless",
	}
	b.Helps = []Help{}
	for _, x := range b.Factors {
		at := 0
		for at < len(b.Helps) && b.Helps[at].Gain >= x.Change {
			at++
		}
		b.Helps = append(b.Helps[:at], append([]Help{{x.ID, x.Change, texts[x.ID]}}, b.Helps[at:]...)...)
	}
}
