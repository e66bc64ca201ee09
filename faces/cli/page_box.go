package cli

import (
	"fmt"
	"strings"

	"pappus/desk/box"
	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
)

// boxPage is the box along the flight as a tired person can read it.
func boxPage(a *box.Answer, s unit.System) string {
	p := &page{}
	p.title(a.Name, "the box along the flight")
	p.lines("", "in: "+a.Air)
	p.lines("", fmt.Sprintf("set out closed %s before the release, switched on %s before it; burst after %s at %s, landing after %s",
		unit.FormatDuration(-a.Packed), unit.FormatDuration(-a.On), unit.FormatDuration(a.Burst), unit.FormatHeight(a.BurstAlt, s), unit.FormatDuration(a.Landing)))
	for i := range a.Boxes {
		onePart(p, &a.Boxes[i], a, s)
	}
	silencePart(p, a.Silence)
	for _, v := range a.Views {
		viewPart(p, &v, s)
	}
	p.head("Space, as people draw it")
	for _, line := range a.Space {
		p.item("-", fmt.Sprintf("%s: %s above the top of this flight, which comes %s of the way", line.Name, unit.FormatDistance(line.Above, s), unit.FormatShare(line.Share)))
	}
	cautions(p, a.Cautions)
	reasons(p, a.Why)
	p.head("Not in this answer")
	for _, what := range a.NotLooked {
		p.item("-", what)
	}
	if a.Members > 0 {
		p.item("-", fmt.Sprintf("the bands are the middle four of five of %d flights (seed %d), with doubts of walls, air, Sun, loads and cells that are judgements: pappus ready lists the tests that settle them", a.Members, a.Seed))
	}
	return p.String()
}

func onePart(p *page, b *box.Box, a *box.Answer, s unit.System) {
	name := b.Name
	if name == "" {
		name = "the box"
	}
	p.head(strings.ToUpper(name[:1]) + name[1:])
	if w := b.Wall; w != nil {
		kind := "worked out"
		if w.Measured {
			kind = "measured in a freezer soak"
		}
		p.row("wall", "%s of %s, %s finish: loses %.2f W for each kelvin (%s, ± %s); a watt warms it by %.1f K in the end, with a time constant of %s",
			unit.FormatLength(w.Thickness, s), foamWord(w.Foam), w.Finish, w.Conductance, kind, unit.FormatShare(w.Error), w.PerWatt, unit.FormatDuration(w.TimeConstant))
		p.row("heat", "%s of devices", unit.FormatPower(w.Load))
	}
	if b.Packs != nil {
		p.row("heat packs", "%s at sea level; gave %s%s. %s", unit.FormatPower(b.Packs.Heat), unit.FormatEnergy(b.Packs.Given.P50, unit.Metric), bandWords(b.Packs.Given, kilojoules), b.Packs.Text)
	}
	if len(b.Rows) > 0 {
		fmt.Fprintf(p, "\n  %-26s%10s%10s%22s\n", "", "outside", "inside", "4 in 5")
		for _, r := range moments(b.Rows, a) {
			fmt.Fprintf(p, "  %-26s%10s%10s%22s\n", r.label, unit.FormatTemperature(r.row.Outside, s), unit.FormatTemperature(r.row.Inside.P50, s),
				unit.FormatTemperature(r.row.Inside.P10, s)+" to "+unit.FormatTemperature(r.row.Inside.P90, s))
		}
		fmt.Fprintf(p, "\n  %-22s%18s%18s%18s\n", "", "warmest waiting", "coldest aloft", "warmest aloft")
		for i := range b.Items {
			t := &b.Items[i]
			fmt.Fprintf(p, "  %-22.22s%18s%18s%18s\n", t.Name, warmth(t.Before, s), warmth(t.Cold, s), warmth(t.Warm, s))
		}
	}
	for _, e := range b.Energy {
		p.row("power", "%s (%s, %s) feed %s: %s at %s in the warm; they last %s%s", e.Cells, e.Chemistry, unit.FormatElectricEnergy(e.Content),
			strings.Join(e.Feeds, ", "), unit.FormatDuration(e.Hours), unit.FormatPower(e.Load), beyondLanding(*e.AfterLandingMid), bandWords(e.AfterLanding, unit.FormatDuration))
	}
	if b.Cards != nil {
		p.row("card", "%s", b.Cards.Text)
	}
	for _, m := range b.Missing {
		p.item("?", "not in the file: "+m)
	}
}

func foamWord(name string) string {
	if name == "" {
		return "a foam that the file does not name"
	}
	return name
}

func warmth(b *ensemble.Band, s unit.System) string {
	low, high := unit.FormatTemperature(b.P10, s), unit.FormatTemperature(b.P90, s)
	if low == high {
		return low
	}
	return low + " … " + high
}

// bandWords writes a band of one flight as nothing.
func bandWords(b *ensemble.Band, format func(float64) string) string {
	low, high := format(b.P10), format(b.P90)
	if low == high {
		return ""
	}
	return fmt.Sprintf(" (4 in 5: %s to %s)", low, high)
}

func kilojoules(j float64) string { return unit.FormatEnergy(j, unit.Metric) }

func beyondLanding(seconds float64) string {
	if seconds < 0 {
		return "until " + unit.FormatDuration(-seconds) + " before the landing"
	}
	return unit.FormatDuration(seconds) + " beyond the landing"
}

// marked is a row of the temperatures with what happens then.
type marked struct {
	label string
	row   box.Row
}

// moments picks the rows that people ask about.
func moments(rows []box.Row, a *box.Answer) []marked {
	nearest := func(after float64) box.Row {
		best := rows[0]
		for _, r := range rows {
			if d, e := r.After-after, best.After-after; d*d < e*e {
				best = r
			}
		}
		return best
	}
	coldest := rows[0]
	for _, r := range rows {
		if r.After >= 0 && r.After <= a.Landing && (coldest.After < 0 || r.Inside.P50 < coldest.Inside.P50) {
			coldest = r
		}
	}
	return []marked{
		{"set out", rows[0]}, {"release", nearest(0)}, {"half way up", nearest(a.Burst / 2)}, {"burst", nearest(a.Burst)},
		{"coldest inside", coldest}, {"landing", nearest(a.Landing)}, {unit.FormatDuration(a.End-a.Landing) + " later", rows[len(rows)-1]},
	}
}

func silencePart(p *page, q *box.Silence) {
	if q == nil {
		return
	}
	p.head("When nothing is heard")
	p.lines("  ", q.Text)
	if q.Oldest != nil {
		p.row("oldest", "the last known place may be %s old before the next is heard", unit.FormatDuration(*q.Oldest))
	}
	for i := range q.Reporters {
		r := &q.Reporters[i]
		name := r.Name
		if name == "" {
			name = r.Kind
		}
		if len(r.Spells) == 0 {
			p.row(name, "never silent by height and horizon")
		}
		for _, x := range r.Spells {
			p.row(name, "silent from %s to %s: %s", signedTime(x.From), signedTime(x.To), x.Why)
		}
		if r.AliveMid != nil {
			p.row("", "lives %s", beyondLanding(*r.AliveMid)+bandWords(r.Alive, unit.FormatDuration))
		}
		for _, n := range r.Notes {
			p.item("-", n)
		}
	}
}

func signedTime(seconds float64) string {
	if seconds == 0 {
		return "the release"
	}
	return unit.FormatDuration(seconds)
}

func viewPart(p *page, v *box.View, s unit.System) {
	p.head("What " + v.Camera + " sees")
	p.lines("  ", v.Text)
	fmt.Fprintf(p, "\n  %-14s%14s%10s%22s%14s\n", "from", "horizon", "dip", "true curve", "ground pixel")
	for _, r := range v.Rows {
		curve := fmt.Sprintf("%.2f %%", r.Sag/unit.Percent)
		if r.SagPixels != nil {
			curve += fmt.Sprintf(", %.0f px", *r.SagPixels)
		}
		pixel := "–"
		if r.Pixel != nil {
			pixel = unit.FormatLength(*r.Pixel, s)
		}
		fmt.Fprintf(p, "  %-14s%14s%10s%22s%14s\n", unit.FormatHeight(r.Alt, s), unit.FormatDistance(r.Horizon, s), fmt.Sprintf("%.2f°", r.Dip/unit.Degree), curve, pixel)
	}
	if v.BowPixels != nil && v.Bow > 0 {
		p.row("the lens fakes", "%.0f px", *v.BowPixels)
	}
}

// boxBrief is the few lines that a plan gives the box.
func boxBrief(p *page, b *sizing.BoxBrief, s unit.System) {
	if b == nil {
		return
	}
	p.head("The box along the flight (more: pappus box FILE)")
	for _, lane := range b.Boxes {
		name := lane.Name
		if name == "" {
			name = "box"
		}
		if len(lane.Items) > 0 {
			coldest, warmest := lane.Items[0], lane.Items[0]
			for _, t := range lane.Items {
				if t.Cold.P50 < coldest.Cold.P50 {
					coldest = t
				}
				if t.Before.P50 > warmest.Before.P50 {
					warmest = t
				}
			}
			p.row(name, "%s gets coldest, to %s%s; %s waits warmest, at %s%s", coldest.Name, unit.FormatTemperature(coldest.Cold.P50, s), spread(coldest.Cold, unit.FormatTemperature, s),
				warmest.Name, unit.FormatTemperature(warmest.Before.P50, s), spread(warmest.Before, unit.FormatTemperature, s))
		}
		for _, e := range lane.Energy {
			p.row(e.Cells, "feed %s %s%s", strings.Join(e.Feeds, ", "), beyondLanding(e.AfterLanding.P50), bandWords(e.AfterLanding, unit.FormatDuration))
		}
		if lane.CardLasts != nil {
			p.row("card", "room for %s, %s needed", unit.FormatDuration(*lane.CardLasts), unit.FormatDuration(*lane.CardNeeded))
		}
	}
	if b.Gap != nil {
		p.row("silence", "the longest gap to expect in flight is %s", unit.FormatDuration(*b.Gap))
	}
	for _, c := range b.Cautions {
		p.item("!", c.String())
	}
}
