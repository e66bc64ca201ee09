package sizing

import (
	"fmt"
	"math"

	"pappus/craft/envelope"
	"pappus/craft/liftgas"
	"pappus/measure/unit"
)

// Caution is something to watch: what, and why it is said.
type Caution struct {
	ID   string `json:"id"`
	Text string `json:"text"`
	Why  string `json:"why"`
}

// Bounds of the cautions; each with where it comes from.
const (
	floaterRate  = 3.0  // m/s; below it a small leak or ice leaves a floater, common practice, no source
	hardLanding  = 6.0  // m/s; common practice, no source
	aimSlow      = 4.5  // m/s at the ground: aimSlow to aimFast is the usual aim, common practice, no source
	aimFast      = 5.5  // m/s
	softLanding  = 3.0  // m/s; slower drifts far near the ground, judgement
	unusualBurst = 0.15 // share of the typical diameter; makes differ by about this much
	fastRise     = 8.0  // m/s; above what operational soundings fly (WMO-No. 8), judgement
)

// cautions looks over a worked-out flight.
func (p *Parts) cautions(a *Answer, system unit.System) []Caution {
	list := []Caution{}
	add := func(id, text, why string, words ...any) {
		list = append(list, Caution{id, text, fmt.Sprintf(why, words...)})
	}
	p.riseCautions(a, system, add)
	p.trainCautions(system, add)
	aim := fmt.Sprintf("%s at the ground; %s to %s is the usual aim",
		unit.FormatSpeed(a.Descent.Landing, system), unit.FormatSpeed(aimSlow, system), unit.FormatSpeed(aimFast, system))
	if speed := a.Descent.Landing; speed > hardLanding {
		add("hard-landing", "The box lands hard: a larger canopy or less mass brings it down more gently.",
			"%s", aim)
	} else if speed < softLanding {
		add("slow-descent", "The fall near the ground is slow: the wind carries the box far and into trees.",
			"%s", aim)
	}
	typical := envelope.TypicalBurstDiameter(p.Craft.EnvelopeMass)
	if off := p.Craft.Burst.Median/typical - 1; math.Abs(off) > unusualBurst {
		add("burst-size", "The burst diameter is far from what is typical for this envelope's mass: check the data sheet and the unit.",
			"%s, typical is %s; makes differ by about 15 %%", unit.FormatLength(p.Craft.Burst.Median, system), unit.FormatLength(typical, system))
	}
	p.gasCautions(a, system, add)
	return list
}

type adder func(id, text, why string, words ...any)

func (p *Parts) riseCautions(a *Answer, system unit.System, add adder) {
	slowest := a.Ascent.MeanRate
	for _, r := range a.Ascent.Profile {
		slowest = min(slowest, r.Rate)
	}
	if slowest < floaterRate {
		add("floater", "The rise is slow: with a small leak or ice the balloon may stop and float for hours, hundreds of km away. More free lift makes it burst.",
			"the rate falls to %s; under %s is where floaters come from", unit.FormatRate(slowest, system), unit.FormatRate(floaterRate, system))
	}
	if a.Ascent.MeanRate > fastRise {
		add("fast-rise", "The rise is fast: much gas for little height, and the envelope starts its flight already well stretched.",
			"%s in the mean; operational soundings fly at about %s (WMO-No. 8)", unit.FormatRate(a.Ascent.MeanRate, system), unit.FormatRate(usualRise, system))
	}
	if !p.File.Envelope.Made.Known() {
		add("age-unknown", "The envelope's month of making is not in the file: old latex bursts early more often.",
			"early failures are taken as %s of flights instead of 5 %% (judgement)", unit.FormatShare(p.Craft.Burst.EarlyShare))
	} else if p.Craft.Burst.EarlyShare > envelope.EarlyShare(true, 0) {
		add("old-envelope", "The envelope is over two years old at launch: old latex bursts early more often.",
			"early failures are taken as %s of flights instead of 5 %% (judgement)", unit.FormatShare(p.Craft.Burst.EarlyShare))
	}
}

func (p *Parts) trainCautions(system unit.System, add adder) {
	t := p.Train
	below := t.WeakLineBelowCanopy()
	switch {
	case below >= 0:
		add("weak-line-below", "A line below the parachute is the one that parts first: the box would fall without its parachute. Make it stronger than the line above the canopy.",
			"%s holds %s", lineName(t[below].Name), unit.FormatForce(t[below].BreakingLoad, system))
	case !t.WeakLinkAboveCanopy():
		why := "no line above the parachute is known to part before every line below it"
		if len(t.LinesOfUnknownLoad()) > 0 {
			why += "; some lines have no breaking load in the file"
		}
		add("no-weak-link", "There is no weak link between envelope and parachute: a snag or a pull can take the whole train along, or part it in the wrong place.", "%s", why)
	}
	if h := t.HeaviestBox(); h >= 0 && t.Canopy() > h {
		add("box-above-canopy", "A box hangs above the parachute: when the envelope bursts it falls onto the canopy.", "the order of the train in the file")
	}
}

func lineName(name string) string {
	if name == "" {
		return "it"
	}
	return name
}

func (p *Parts) gasCautions(a *Answer, system unit.System, add adder) {
	if n := len(a.Gas.Cylinders); n > 0 {
		if used := a.Gas.Cylinders[n-1].Used; used > 1 {
			have := 0.0
			for _, c := range a.Gas.Cylinders {
				have += c.Content
			}
			need := liftgas.StandardVolume(p.Craft.Gas.Kind, p.Craft.GasMoles)
			add("gas-short", "The cylinders do not hold enough gas for this fill.",
				"%s are needed and %s are there, at 70 F and 1 atm", unit.FormatVolume(need, system), unit.FormatVolume(have, system))
		}
	}
	if p.Craft.Gas.Kind == liftgas.Hydrogen {
		add("hydrogen", "Hydrogen burns: no flame or spark, bonded and earthed gear, open air, few people, eyes and ears covered. Follow local rules and leave it to people trained for it.",
			"flammable from 4 to 75 %% in air, lit by 0.02 mJ, with a flame that is hardly seen (from memory)")
	}
	add("cylinder", "A cylinder is dangerous by itself: chained upright, cap on when moved, opened slowly, the right regulator, never in a closed car with people. The supplier's and local rules come first.",
		"gas under 150 to 200 bar; %s drives out the air in a closed room", p.Craft.Gas.Kind)
}
