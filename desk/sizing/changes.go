package sizing

import "pappus/measure/unit"

// Sensitivity is what one small change does to the flight: every figure is the
// changed flight's less the plan's.
type Sensitivity struct {
	ID    string `json:"id"`
	Text  string `json:"text"`
	Held  string `json:"held"`  // what stays as it is: the gas, or what the file states of the fill
	Flies bool   `json:"flies"` // false: the changed flight does not rise and come down, and the figures are absent
	*Outlook
}

// Sizes of the changes that every plan is tried with.
const (
	changedBox    = 100 * unit.Gram
	changedGas    = 0.05
	changedPurity = 0.01
	changedBurst  = 0.05
)

// sensitivities flies the plan again with each change.
func (p *Parts) sensitivities(s *Setting, o Options) []Sensitivity {
	moles := p.Craft.GasMoles
	base, ok := p.outlook(s, moles)
	if !ok {
		return nil
	}
	var list []Sensitivity
	add := func(id, text, held string, q *Parts, moles float64) {
		row := Sensitivity{ID: id, Text: text, Held: held}
		if changed, flies := q.outlook(s, moles); flies {
			difference := changed.minus(base)
			row.Flies, row.Outlook = true, &difference
		}
		list = append(list, row)
	}
	heavier := p.withBox(changedBox)
	add("box_100_g_heavier", "100 g more in the box, same gas", "gas", heavier, moles)
	if again, ok := heavier.refill(s, o.System); ok {
		add("box_100_g_heavier_refilled", "100 g more in the box, same "+p.fillWords(), "fill", heavier, again)
	}
	add("gas_5_percent_less", "5 % less gas", "parts", p, moles*(1-changedGas))
	if p.Craft.Gas.Purity > changedPurity {
		impure := *p
		impure.Craft.Gas.Purity -= changedPurity
		add("purity_1_percent_less", "1 % less purity, as much gas", "gas", &impure, moles)
	}
	smaller := *p
	smaller.Craft.Burst.Median *= 1 - changedBurst
	add("burst_5_percent_smaller", "burst size 5 % smaller", "gas", &smaller, moles)
	return list
}

// fillWords names the file's statement of the fill.
func (p *Parts) fillWords() string {
	return [...]string{"free lift", "neck lift", "volume", "mean rise", "burst height"}[p.File.Gas.Fill.Kind]
}
