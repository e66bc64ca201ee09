package cli

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/record"
)

// planPage is the plan as a tired person can read it.
func planPage(f *record.Flight, a *sizing.Answer, s unit.System) string {
	p := &page{}
	p.title(a.Name, "the plan")
	p.lines("", "in: "+a.Air)
	p.head("How much")
	p.row("weigh", "%s at the neck; %s of that is free lift, the pull left over to climb with",
		unit.FormatMass(a.Lift.Neck, s), unit.FormatMass(a.Lift.Free, s))
	p.row("gas", "%s of %s (%s) in launch air, a balloon %s wide; %.0f ft³ as the trade counts (70 F, 1 atm)",
		unit.FormatVolume(a.Gas.Volume, s), a.Gas.Kind, unit.FormatShare(a.Gas.Purity), unit.FormatLength(a.Gas.Diameter, s), a.Gas.Cubic)
	for i, c := range a.Gas.Cylinders {
		p.row(fmt.Sprintf("cylinder %d", i+1), "%s of its %.0f ft³", unit.FormatShare(c.Used), c.Content/unit.CubicFoot)
	}
	p.row("masses", "envelope %s, train %s, all with gas %s", unit.FormatMass(a.Budget.EnvelopeMass, s),
		unit.FormatMass(a.Budget.TrainMass, s), unit.FormatMass(a.Budget.TotalMass, s))
	p.head("Way up")
	p.row("rise", "%s in the mean%s, %s soon after release", unit.FormatRate(a.Ascent.MeanRate, s),
		spread(a.Ascent.RateBand, unit.FormatRate, s), unit.FormatRate(a.Ascent.LaunchRate, s))
	p.row("burst", "%s%s, %s wide, after %s", unit.FormatHeight(a.Burst.Nominal, s),
		spread(a.Burst.Alt, unit.FormatHeight, s), unit.FormatLength(a.Burst.Diameter, s), unit.FormatDuration(a.Ascent.Duration))
	p.row("", "%s of envelopes are taken to fail early", unit.FormatShare(a.Burst.EarlyShare))
	p.head("Way down")
	p.row("fall", "%s; %s at the fastest, high up at %s", unit.FormatDuration(a.Descent.Duration),
		unit.FormatSpeed(a.Descent.Peak, s), unit.FormatHeight(a.Descent.PeakAlt, s))
	p.row("landing", "%s%s; the heaviest box alone carries %s, all that falls %s", unit.FormatSpeed(a.Descent.Landing, s),
		spread(a.Descent.LandingBand, unit.FormatSpeed, s), unit.FormatEnergy(a.Descent.LandingEnergy, s), unit.FormatEnergy(a.Descent.FallingEnergy, s))
	p.head("Rise rate by height")
	for _, r := range thin(a.Ascent.Profile, 8) {
		p.row(unit.FormatHeight(r.Alt, s), "%s, %s wide, %s outside", unit.FormatRate(r.Rate, s), unit.FormatLength(r.Diameter, s), unit.FormatTemperature(r.Temperature, s))
	}
	boxBrief(p, a.Box, s)
	advice(p, a, s)
	cautions(p, a.Cautions)
	reasons(p, a.Why)
	if a.Weather != nil {
		weatherPart(p, a.Weather, s)
	}
	p.head("Not in this answer")
	p.item("-", "wind and place: pappus odds flies the plan through a forecast")
	if a.Members > 0 {
		p.item("-", fmt.Sprintf("the bands are the middle four of five of %d drawn flights (seed %d); the doubts they are drawn from are judgements", a.Members, a.Seed))
	}
	film(p, a, s)
	return p.String()
}

// film says whether the film's own pressure is in the figures, and what it does.
func film(p *page, a *sizing.Answer, s unit.System) {
	switch shift := a.Film.BurstShift; {
	case a.Textbook:
		p.item("-", "the film's own pressure: a textbook flight knows none")
	case a.Film.Floats:
		p.item("-", "the film's own pressure: counted (--film) it would hold the balloon from bursting at this fill; its stiffness is good to a factor of two, and more free lift is on the safe side")
	case shift == nil:
		p.item("-", "what the film's own pressure does: with it or without it the balloon does not burst")
	case a.Film.Counted:
		p.item("-", fmt.Sprintf("nothing of the film: its own pressure is counted, and moves the burst by %s", signed(*shift, unit.FormatHeight, s)))
	default:
		p.item("-", fmt.Sprintf("the film's own pressure, which would move the burst by %s (--film counts it)", signed(*shift, unit.FormatHeight, s)))
	}
}

// advice says whether the parts suit, what small changes do and what gas to get.
func advice(p *page, a *sizing.Answer, s unit.System) {
	if a.Suits != nil {
		p.head("Do the parts suit each other")
		p.lines("  ", a.Suits.Text)
		for _, t := range a.Suits.Troubles {
			p.item("!", t.Text)
		}
		if b := a.Suits.Best; b != nil {
			word := "helps most"
			if a.Suits.OK {
				word = "adds most height"
			}
			p.item("-", fmt.Sprintf("what %s: %s (then %s)", word, b.Text, flightWords(b.Flight, s)))
		}
	}
	if short := a.Short; short != nil {
		p.head("The gas at hand is short")
		p.lines("  ", fmt.Sprintf("%.0f ft³ are there, %.0f are needed: %.0f ft³ short. %s", short.Have, short.Need, short.Short, short.Text))
		for _, r := range short.Saves {
			p.item("-", r.Text)
		}
		if len(short.Saves) == 0 {
			p.item("-", "no single usual change saves this flight: pappus sketch looks for another")
		}
	}
	if len(a.Changes) > 0 {
		p.head("What small changes do")
		fmt.Fprintf(p, "  %-34s%12s%11s%10s%11s\n", "", "rise", "burst", "landing", "aloft")
		for _, c := range a.Changes {
			changeRow(p, c, s)
		}
	}
	if g := a.GasToBuy; g != nil {
		p.head("Gas to get")
		if g.Missing == 0 {
			p.lines("  ", g.Say)
		} else if len(g.Bottles) > 0 {
			p.lines("  ", fmt.Sprintf("%.0f ft³ with %s in reserve, %.0f at hand: %s. Grades, fittings, what to ask: pappus gas FILE.", g.Want, unit.FormatShare(g.Reserve), g.AtHand, g.Bottles[0].Text))
		}
	}
}

func flightWords(o sizing.Outlook, s unit.System) string {
	return fmt.Sprintf("%s up, burst at %s, lands at %s, %.0f ft³ of gas", unit.FormatRate(o.MeanRate, s), unit.FormatHeight(o.BurstAlt, s), unit.FormatSpeed(o.Landing, s), o.Cubic)
}

// changeRow is one line of the table of small changes.
func changeRow(p *page, c sizing.Sensitivity, s unit.System) {
	text := c.Text
	if c.Flies && c.Held == "fill" && math.Abs(c.Cubic) >= 0.05 {
		text += fmt.Sprintf(" (%+.1f ft³)", c.Cubic)
	}
	lines := wrap(text, 33)
	for _, line := range lines[:len(lines)-1] {
		p.WriteString("  " + line + "\n")
	}
	last := lines[len(lines)-1]
	if !c.Flies {
		fmt.Fprintf(p, "  %-34s it no longer rises and comes down\n", last)
		return
	}
	fmt.Fprintf(p, "  %-34s%12s%11s%10s%11s\n", last, signed(c.MeanRate, unit.FormatRate, s), signed(c.BurstAlt, unit.FormatHeight, s),
		signed(c.Landing, unit.FormatSpeed, s), signedDuration(c.Aloft))
}

// signed writes a difference with its sign.
func signed(value float64, format func(float64, unit.System) string, s unit.System) string {
	text := format(math.Abs(value), s)
	switch {
	case text == format(0, s):
		return text
	case value < 0:
		return "−" + text
	}
	return "+" + text
}

func signedDuration(seconds float64) string {
	return signed(seconds, func(v float64, _ unit.System) string { return fmt.Sprintf("%.1f min", v/unit.Minute) }, unit.Metric)
}

// reasons prints why the figures asked about are what they are.
func reasons(p *page, why map[string]sizing.Reason) {
	if len(why) == 0 {
		return
	}
	p.head("Why")
	for _, key := range slices.Sorted(maps.Keys(why)) {
		r := why[key]
		p.item("", fmt.Sprintf("%s = %.6g %s", r.Key, r.Value, plainUnit(r.Unit)))
		p.lines("      ", r.Formula)
		for _, in := range r.Inputs {
			p.lines("        ", fmt.Sprintf("%s: %.6g %s (%s)", in.Name, in.Value, plainUnit(in.Unit), in.From))
		}
		p.lines("      ", "source: "+r.Source)
	}
}

// plainUnit leaves out the unit of a plain number.
func plainUnit(unit string) string {
	if unit == "1" {
		return ""
	}
	return unit
}

func cautions(p *page, list []sizing.Caution) {
	p.head("What to watch")
	for _, c := range list {
		p.item("!", c.String())
	}
	if len(list) == 0 {
		p.item("-", "nothing stands out")
	}
}

// thin keeps about n rows, the ends among them.
func thin[T any](rows []T, n int) []T {
	if len(rows) <= n {
		return rows
	}
	var kept []T
	for i := range n {
		kept = append(kept, rows[i*(len(rows)-1)/(n-1)])
	}
	return kept
}
