package cli

import (
	"fmt"

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
	cautions(p, a.Cautions)
	p.head("Not in this answer")
	p.item("-", "wind and place: pappus odds flies the plan through a forecast")
	if a.Members > 0 {
		p.item("-", fmt.Sprintf("the bands are the middle four of five of %d drawn flights (seed %d); the doubts they are drawn from are judgements", a.Members, a.Seed))
	}
	p.item("-", fmt.Sprintf("the film's own pressure, which would move the burst by about %s", unit.FormatHeight(a.Film.BurstShift, s)))
	return p.String()
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
