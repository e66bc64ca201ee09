package papers

import (
	"fmt"
	"strings"
	"time"

	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/record"
)

// Since is an instant some seconds after another.
func Since(t time.Time, seconds float64) time.Time { return t.Add(secondsOf(seconds)) }

func secondsOf(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// spread writes the band that holds four flights in five.
func spread(b *ensemble.Band, format func(float64, unit.System) string, s unit.System) string {
	if b == nil {
		return ""
	}
	return fmt.Sprintf("; four flights in five %s to %s", format(b.P10, s), format(b.P90, s))
}

func duration(seconds float64, _ unit.System) string { return unit.FormatDuration(seconds) }

func (f *Facts) rise() []Row {
	p := f.Plan
	return []Row{
		{Label: "climb rate", Text: both(p.Ascent.MeanRate, unit.FormatRate, f.System) + " in the mean" + spread(p.Ascent.RateBand, unit.FormatRate, f.System)},
		{Label: "cruising height", Text: "none: it climbs until it bursts"},
		{Label: "burst", Text: f.heightBoth(p.Burst.Nominal) + spread(p.Burst.Alt, unit.FormatHeight, f.System)},
		{Label: "up", Text: unit.FormatDuration(p.Ascent.Duration) + spread(p.Ascent.TimeBand, duration, f.System)},
		{Label: "down", Text: unit.FormatDuration(p.Descent.Duration) + " under the parachute" + spread(p.Descent.TimeBand, duration, f.System)},
		{Label: "whole flight", Text: unit.FormatDuration(p.Ascent.Duration + p.Descent.Duration)},
	}
}

func (f *Facts) landing() []Row {
	at, half, most, ok := f.middle()
	if !ok {
		return []Row{{Label: "where", Text: needsForecast, Blank: true}, {Label: "when", Text: "about " + f.clocks(f.Down[len(f.Down)-1].Time)}}
	}
	planned, when := f.planned()
	band := f.Odds.Landing.Time
	rows := []Row{
		{Label: "when", Text: fmt.Sprintf("%s; four in five between %s and %s local", f.clocks(when), f.local(instant(band.P10)), f.local(instant(band.P90)))},
		{Label: "deg min sec", Text: DMS(planned)},
		{Label: "decimal degrees", Text: Decimal(planned)},
	}
	if f.Land.State != "" || f.Land.Country != "" {
		rows = append(rows, Row{Label: "state", Text: comma(f.Land.State, f.Land.Country)})
	}
	words := fmt.Sprintf("the middle of all landings, %s, is", Decimal(at))
	for i, t := range f.Land.Towns {
		if i < 2 {
			rows = append(rows, Row{Label: first(i, "near"), Text: fmt.Sprintf("%s %s %s of %s", words, both(t.Distance, unit.FormatDistance, f.System), point(t.FromTown), comma(t.Name, t.State))})
			words = "and"
		}
	}
	for i, a := range f.majorFirst(f.Land.Airfields) {
		if i < 2 {
			rows = append(rows, Row{Label: "from " + a.Ident, Text: fmt.Sprintf("%s magnetic, %s from %s (%s)", bearing(a.Magnetic), nautical(a.Distance), a.Name, a.Kind)})
		}
	}
	return append(rows,
		Row{Label: "how sure", Text: fmt.Sprintf("half of all landings within %s (%s) of that middle, nine in ten within %s (%s); %d flights drawn", f.distance(half), nautical(half), f.distance(most), nautical(most), f.Odds.Members)},
		Row{Label: "stands on", Text: f.Stamp.Weather})
}

// first keeps a label for the first of several rows.
func first(i int, label string) string {
	if i > 0 {
		return ""
	}
	return label
}

func (f *Facts) reporterRows() []Row {
	var rows []Row
	for i := range f.File.Reporters {
		r := &f.File.Reporters[i]
		rows = append(rows, Row{Label: named(r.Name, "reporter"), Text: reporterWords(r, f.System)})
	}
	if len(rows) == 0 {
		return []Row{{Label: "none", Text: "no position reporter is in the file"}}
	}
	return rows
}

// reporterWords says what is heard of a reporter and when.
func reporterWords(r *record.Reporter, s unit.System) string {
	words := []string{r.Kind}
	if r.Every.Given {
		words = append(words, "a position every "+unit.FormatDuration(r.Every.Value))
	}
	if r.Delay.Given && r.Delay.Value > 0 {
		words = append(words, "heard "+unit.FormatDuration(r.Delay.Value)+" later")
	}
	if r.HeightReported.Value || !r.HeightReported.Given && r.Kind == "radio" {
		words = append(words, "tells its height")
	} else {
		words = append(words, "does not tell its height")
	}
	if r.Ceiling.Limited {
		words = append(words, "silent above "+unit.FormatHeight(float64(r.Ceiling.Height), s))
	}
	if r.Frequency.Given {
		words = append(words, fmt.Sprintf("%.3f MHz", r.Frequency.Value/unit.MegaHertz))
	}
	if r.CallSign != "" {
		words = append(words, "call sign "+r.CallSign)
	}
	return strings.Join(words, ", ")
}

// calls are what the rule text asks for, and what is customary, kept apart.
func (f *Facts) calls() []Part {
	if f.Rules == nil {
		return []Part{{Heading: "Calls that a rule text asks for", Text: []string{"Not looked at: the flight file names no rule text. Ask the authority where you launch."}}}
	}
	asked := Part{Heading: "Calls that the rule text asks for", Lead: f.Rules.Title + ". " + f.Rules.Summary}
	for _, c := range f.ruleCalls() {
		text := c.text
		if c.window != "" {
			text = c.window + ". " + text
		}
		asked.Rows = append(asked.Rows, Row{Label: c.paragraph, Text: text})
	}
	if len(asked.Rows) == 0 {
		asked.Text = append(asked.Text, "It sets no window for a notice of this flight.")
	}
	parts := []Part{asked}
	if c := f.Rules.Customary; c != nil {
		parts = append(parts, Part{Heading: "The customary call, which no text asks for", Text: []string{c.Text, "They will want: " + strings.Join(c.Give, "; ") + ". It stands above; fill in the blanks first."}})
	}
	return parts
}

// call is one call that a rule text asks for.
type call struct {
	paragraph, text, window string
	from, to                time.Time // zero where there is no window
}

// ruleCalls picks the calls out of the duties that follow, with the window of
// each on this flight's clock. Duties are there only when the text reaches the
// flight, so no window is told to one outside it.
func (f *Facts) ruleCalls() []call {
	launch := f.File.Launch.Time
	day := func(t time.Time) string { return t.In(f.zone()).Format("Mon 2 Jan 15:04") + " local" }
	var calls []call
	for _, d := range f.Rules.Always {
		if f.Rules.Text == "ICAO" && (d.ID == "2.1" || d.ID == "2.2" || d.ID == "2.3") {
			calls = append(calls, call{paragraph: d.Paragraph, text: d.Text})
		}
	}
	for _, d := range f.Rules.Duties {
		c := call{paragraph: d.Paragraph, text: d.Text}
		switch {
		case d.ID == "101.37(a)":
			c.from, c.to = launch.Add(-24*time.Hour), launch.Add(-6*time.Hour)
			c.window = "Between " + day(c.from) + " and " + day(c.to)
		case d.ID == "5.1.1":
			c.to = launch.AddDate(0, 0, -7)
			c.window = "Not later than " + day(c.to)
		case d.ID == "101.37(b)", d.ID == "101.39(a)(1)":
			continue // for other flights, or no call
		case strings.HasPrefix(d.ID, "101.37"), strings.HasPrefix(d.ID, "101.39"), strings.HasPrefix(d.ID, "5."), d.ID == "6":
		default:
			continue
		}
		calls = append(calls, c)
	}
	return calls
}
