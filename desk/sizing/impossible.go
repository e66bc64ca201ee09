package sizing

import (
	"context"
	"fmt"
	"math"
	"slices"

	"pappus/craft/liftgas"
	"pappus/measure/unit"
	"pappus/record"
)

// Shortfall is by how much a wish is missed.
type Shortfall struct {
	Wish   string  `json:"wish"`
	Wanted float64 `json:"wanted"`
	Best   float64 `json:"best"`
	Short  float64 `json:"short"`
	Unit   string  `json:"unit"`
	Text   string  `json:"text"`
}

// Help is one change that alone makes the goal possible.
type Help struct {
	ID     string  `json:"id"`
	Text   string  `json:"text"`
	Step   float64 `json:"step_share"` // how large the change is, as a share of what was wished or is there
	Keeps  bool    `json:"keeps_the_wishes"`
	Flight Outlook `json:"flight"`
}

// Left is the best flight of what is there.
type Left struct {
	Text     string   `json:"text"`
	Envelope float64  `json:"envelope_kg,omitempty"`
	Canopy   float64  `json:"canopy_diameter_m,omitempty"`
	Box      float64  `json:"box_kg,omitempty"`
	Flight   *Outlook `json:"flight,omitempty"`
}

// first answers the best workable candidate.
func first(list []candidate) *candidate {
	if len(list) > 0 && list[0].workable {
		return &list[0]
	}
	return nil
}

// extreme answers the rising candidate for which a figure is greatest.
func extreme(list []candidate, allowed func(*candidate) bool, figure func(Outlook) float64) *candidate {
	var found *candidate
	for i := range list {
		c := &list[i]
		if c.least > 0 && allowed(c) && (found == nil || figure(c.slowest) > figure(found.slowest)) {
			found = c
		}
	}
	return found
}

func height(o Outlook) float64   { return o.BurstAlt }
func duration(o Outlook) float64 { return o.Aloft }

// explain says by how much the goal is missed, what would help, and what is left.
func (g *Goal) explain(ctx context.Context, a *Sketch, found []candidate, system unit.System) {
	have := g.atHand()
	affordable := func(c *candidate) bool { return c.least <= have }
	a.Shortfalls = g.shortfalls(found, affordable, system)
	a.Helps = []Help{}
	for _, way := range []func(unit.System) (Help, bool){g.moreGas, g.lighterBox, g.lessHeight, g.lessTime, g.moreMoney, g.otherGas} {
		if ctx.Err() != nil {
			return
		}
		if help, ok := way(system); ok {
			a.Helps = append(a.Helps, help)
		}
	}
	// What keeps the wishes goes first, and of these the smaller step; hydrogen,
	// which brings duties of its own, stands last.
	slices.SortStableFunc(a.Helps, func(x, y Help) int {
		switch {
		case (x.ID == "hydrogen") != (y.ID == "hydrogen"):
			return order(y.ID == "hydrogen")
		case x.Keeps != y.Keeps:
			return order(x.Keeps)
		case x.Step < y.Step:
			return -1
		}
		return 1
	})
	a.Left = g.left(found, affordable, system)
	a.Text = "No"
	for i, s := range a.Shortfalls {
		a.Text += map[bool]string{true: ": ", false: "; "}[i == 0] + s.Text
	}
	a.Text += "."
	if len(a.Helps) > 0 {
		a.Text += " The single change: " + a.Helps[0].Text + "."
	} else {
		a.Text += " No single change among gas, box, height, time and money makes it possible: change two."
	}
	a.Text += " " + a.Left.Text
}

func (g *Goal) shortfalls(found []candidate, affordable func(*candidate) bool, system unit.System) []Shortfall {
	list := []Shortfall{}
	free := *g
	free.Cylinders, free.Money = nil, record.Quantity{}
	with := first(free.search())
	any := func(*candidate) bool { return true }
	if with != nil && len(g.Cylinders) > 0 {
		need, have := cubicFeetOf(with.parts, g.cheapestGas(&free)), cubicFeetOf(with.parts, g.atHand())
		if need > have {
			list = append(list, Shortfall{"gas", have, need, need - have, "ft3",
				fmt.Sprintf("it takes at least %s of gas and %s are at hand, %s short", cubicFeet(need, system), cubicFeet(have, system), cubicFeet(need-have, system))})
		}
	}
	if with == nil {
		affordable = any
	}
	if best := extreme(found, affordable, height); g.Above.Given && best != nil && best.slowest.BurstAlt < g.Above.Value {
		off := g.Above.Value - best.slowest.BurstAlt
		list = append(list, Shortfall{"height", g.Above.Value, best.slowest.BurstAlt, off, "m",
			fmt.Sprintf("the highest burst of this box%s is at %s, %s short", g.gasWords(with != nil), unit.FormatHeight(best.slowest.BurstAlt, system), unit.FormatHeight(off, system))})
	}
	if best := extreme(found, affordable, duration); g.Aloft.Given && best != nil && best.slowest.Aloft < g.Aloft.Value {
		off := g.Aloft.Value - best.slowest.Aloft
		list = append(list, Shortfall{"time_aloft", g.Aloft.Value, best.slowest.Aloft, off, "s",
			fmt.Sprintf("the longest flight of this box%s is %s, %s short", g.gasWords(with != nil), unit.FormatDuration(best.slowest.Aloft), unit.FormatDuration(off))})
	}
	if extreme(found, any, height) == nil {
		list = append(list, Shortfall{"rise", soundRise, 0, soundRise, "m/s",
			fmt.Sprintf("no usual envelope makes a box of %s rise at %s", unit.FormatMass(g.Box, system), unit.FormatRate(soundRise, system))})
	}
	if cheapest, ok := g.cheapest(found); ok {
		list = append(list, Shortfall{"money", g.Money.Value, cheapest, cheapest - g.Money.Value, g.Currency,
			fmt.Sprintf("the cheapest costs %.0f %s by your prices, %.0f too much", cheapest, g.Currency, cheapest-g.Money.Value)})
	}
	return list
}

func (g *Goal) gasWords(bound bool) string {
	if bound && len(g.Cylinders) > 0 {
		return " with the gas at hand"
	}
	return ""
}

// cheapest answers the least cost among those that fail for money alone.
func (g *Goal) cheapest(found []candidate) (float64, bool) {
	least, ok := math.Inf(1), false
	for i := range found {
		if found[i].binds == bindsMoney {
			least, ok = min(least, found[i].cost.Known), true
		}
	}
	return least, ok
}

// cheapestGas is the least gas with which a goal without bounds on gas is met.
func (g *Goal) cheapestGas(free *Goal) float64 {
	least := math.Inf(1)
	for _, c := range free.search() {
		if c.workable {
			least = min(least, c.least)
		}
	}
	return least
}

func (g *Goal) moreGas(system unit.System) (Help, bool) {
	if len(g.Cylinders) == 0 {
		return Help{}, false
	}
	free := *g
	free.Cylinders = nil
	need, have := g.cheapestGas(&free), g.atHand()
	if math.IsInf(need, 1) || need <= have {
		return Help{}, false
	}
	// The least gas rises slowest; a flight a little above it is offered.
	for _, c := range free.search() {
		if c.workable && c.least == need {
			step := need/have - 1
			more := liftgas.StandardVolume(g.Gas.Kind, need-have)
			text := fmt.Sprintf("%s more gas (%s of what is at hand), with an envelope of %s", unit.FormatVolume(more, system), unit.FormatShare(step), grams(c.parts.Craft.EnvelopeMass))
			return Help{"more_gas", text, step, true, c.slowest}, true
		}
	}
	return Help{}, false
}

func (g *Goal) lighterBox(system unit.System) (Help, bool) {
	try := func(box float64) *candidate {
		lighter := *g
		lighter.Box = box
		return first(lighter.search())
	}
	box, best, ok := largestBox(g.Box, try)
	if !ok {
		return Help{}, false
	}
	step := 1 - box/g.Box
	text := fmt.Sprintf("a box of %s, %s lighter, under an envelope of %s", unit.FormatMass(box, system), unit.FormatMass(g.Box-box, system), grams(best.parts.Craft.EnvelopeMass))
	return Help{"lighter_box", text, step, true, best.flight}, true
}

// boxStep is how closely the largest box is found, kg.
const boxStep = 0.010

// largestBox finds the heaviest box under the one wished that works, to 10 g.
func largestBox(most float64, try func(box float64) *candidate) (float64, *candidate, bool) {
	low := boxStep
	best := try(low)
	if best == nil {
		return 0, nil, false
	}
	for high := most; high-low > boxStep; {
		middle := math.Round((low+high)/2/boxStep) * boxStep
		if middle <= low || middle >= high {
			break
		}
		if c := try(middle); c != nil {
			low, best = middle, c
		} else {
			high = middle
		}
	}
	return low, best, true
}

func (g *Goal) lessHeight(system unit.System) (Help, bool) {
	if !g.Above.Given {
		return Help{}, false
	}
	lower := *g
	lower.Above = record.Quantity{}
	best := extreme(workable(lower.search()), func(*candidate) bool { return true }, height)
	if best == nil || best.slowest.BurstAlt >= g.Above.Value {
		return Help{}, false
	}
	reach := math.Floor(best.slowest.BurstAlt/100) * 100
	return Help{"less_height", fmt.Sprintf("ask for %s instead, with an envelope of %s", unit.FormatHeight(reach, system), grams(best.parts.Craft.EnvelopeMass)),
		1 - reach/g.Above.Value, false, best.slowest}, true
}

func (g *Goal) lessTime(system unit.System) (Help, bool) {
	if !g.Aloft.Given {
		return Help{}, false
	}
	shorter := *g
	shorter.Aloft = record.Quantity{}
	best := extreme(workable(shorter.search()), func(*candidate) bool { return true }, duration)
	if best == nil || best.slowest.Aloft >= g.Aloft.Value {
		return Help{}, false
	}
	return Help{"less_time", fmt.Sprintf("ask for %s aloft instead", unit.FormatDuration(best.slowest.Aloft)), 1 - best.slowest.Aloft/g.Aloft.Value, false, best.slowest}, true
}

func (g *Goal) moreMoney(unit.System) (Help, bool) {
	if !g.Money.Given {
		return Help{}, false
	}
	richer := *g
	richer.Money = record.Quantity{}
	found := workable(richer.search())
	if len(found) == 0 {
		return Help{}, false
	}
	best := &found[0]
	for i := range found {
		if found[i].cost.Known < best.cost.Known {
			best = &found[i]
		}
	}
	step := math.Inf(1)
	if g.Money.Value > 0 {
		step = best.cost.Known/g.Money.Value - 1
	}
	return Help{"more_money", fmt.Sprintf("%.0f %s instead of %.0f, by your prices", best.cost.Known, g.Currency, g.Money.Value), min(step, 1e6), true, best.flight}, true
}

func (g *Goal) otherGas(unit.System) (Help, bool) {
	if g.Gas.Kind == liftgas.Hydrogen {
		return Help{}, false
	}
	other := *g
	other.Gas.Kind = liftgas.Hydrogen
	if c := first(other.search()); c != nil {
		return Help{"hydrogen", "hydrogen in bottles of the same size would do it; it burns, and brings duties of its own (pappus gas lists them)", 1, true, c.flight}, true
	}
	return Help{}, false
}

func workable(list []candidate) []candidate {
	return slices.DeleteFunc(list, func(c candidate) bool { return !c.workable })
}

// left answers the highest flight of what is there, wishes aside; or else the
// largest box that flies at all.
func (g *Goal) left(found []candidate, affordable func(*candidate) bool, system unit.System) *Left {
	if best := extreme(found, affordable, height); best != nil {
		return &Left{fmt.Sprintf("What is left for this box: an envelope of %s rises at %s and bursts at %s, with %s of gas.", grams(best.parts.Craft.EnvelopeMass),
			unit.FormatRate(best.slowest.MeanRate, system), unit.FormatHeight(best.slowest.BurstAlt, system), cubicFeet(best.slowest.Cubic, system)),
			best.parts.Craft.EnvelopeMass, best.parts.canopyDiameter(), g.Box, &best.slowest}
	}
	bare := *g
	bare.Above, bare.Aloft, bare.Money = record.Quantity{}, record.Quantity{}, record.Quantity{}
	box, best, ok := largestBox(g.Box, func(box float64) *candidate {
		lighter := bare
		lighter.Box = box
		return first(lighter.search())
	})
	if !ok {
		return &Left{Text: "Nothing is left: with this gas no usual envelope lifts even an empty box."}
	}
	return &Left{fmt.Sprintf("For this box no flight is left: with the gas at hand no usual envelope makes it rise soundly. A box of %s would fly under an envelope of %s, and burst at %s.",
		unit.FormatMass(box, system), grams(best.parts.Craft.EnvelopeMass), unit.FormatHeight(best.flight.BurstAlt, system)),
		best.parts.Craft.EnvelopeMass, best.parts.canopyDiameter(), box, &best.flight}
}
