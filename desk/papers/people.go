package papers

import (
	"fmt"
	"strings"

	"pappus/measure/unit"
	"pappus/record"
)

// crew is the one page that everyone reads.
func (f *Facts) crew() Sheet {
	launch := f.File.Launch
	plan := Part{Heading: "The flight", Rows: []Row{
		{Label: "what", Text: fmt.Sprintf("a latex balloon with %s carries %s up until it bursts; the parachute brings it down", f.File.Gas.Kind, f.boxNames())},
		{Label: "launch", Text: f.moment(launch.Time)},
		{Label: "place", Text: comma(named(launch.Place, "no name in the file"), DMS(launch.Point), Decimal(launch.Point))},
		{Label: "up", Text: fmt.Sprintf("%s at %s to %s%s", unit.FormatDuration(f.Plan.Ascent.Duration), both(f.Plan.Ascent.MeanRate, unit.FormatRate, f.System), f.heightBoth(f.Plan.Burst.Nominal), spread(f.Plan.Burst.Alt, unit.FormatHeight, f.System))},
		{Label: "down", Text: fmt.Sprintf("%s, %s at the ground", unit.FormatDuration(f.Plan.Descent.Duration), both(f.Plan.Descent.Landing, unit.FormatSpeed, f.System))},
	}}
	if _, _, _, ok := f.middle(); ok {
		_, when := f.planned()
		plan.Rows = append(plan.Rows, Row{Label: "lands", Text: "about " + f.clocks(when) + ". " + f.region()})
	} else {
		plan.Rows = append(plan.Rows, Row{Label: "lands", Text: needsForecast})
	}
	light := f.Around.Sun
	if light.Rise != "" && light.Set != "" {
		plan.Rows = append(plan.Rows, Row{Label: "light", Text: fmt.Sprintf("sun up %s to %s local at the launch place", f.local(instant(light.Rise)), f.local(instant(light.Set)))})
	}
	parts := []Part{plan, {Heading: "Who does what", Rows: f.roles()}, f.dayTable()}
	if f.Odds != nil && len(f.Odds.Chances) > 0 {
		chances := Part{Heading: "Chances"}
		for _, c := range f.Odds.Chances {
			chances.Rows = append(chances.Rows, Row{Label: percent(c.Probability), Text: c.What})
		}
		parts = append(parts, chances)
	}
	if f.Rules != nil {
		rule := Part{Heading: "What the rule text says", Lead: f.Rules.Title + ". " + f.Rules.Summary}
		for _, d := range f.Rules.Always {
			rule.Rows = append(rule.Rows, Row{Label: d.Paragraph, Text: d.Text})
		}
		parts = append(parts, rule)
	}
	if f.Ready != nil {
		tested := Part{Heading: "Tested on the ground", Text: []string{f.Ready.Text}}
		var open []string
		for _, m := range f.Ready.Missing {
			open = append(open, m.Text)
		}
		if len(open) > 0 {
			tested.Text = append(tested.Text, sentence("open: "+strings.Join(open, "; ")))
		}
		parts = append(parts, tested)
	}
	careful := Part{Heading: "So that nobody is hurt", Cautions: append(f.gasCautions(), cautionBurst, cautionStorm, cautionPower, cautionWater, cautionTrespass, cautionDriving)}
	parts = append(parts, careful)
	if f.Odds != nil {
		parts = append(parts, Part{Heading: "Not looked at by the program: look yourselves", Text: []string{sentence(strings.Join(f.Odds.NotLookedAt, "; "))}})
	}
	return Sheet{Title: "Crew brief", For: "everyone who comes along, and the person at home", Parts: parts}
}

// roles are the jobs of the day with who has them, or room for a name.
func (f *Facts) roles() []Row {
	var rows []Row
	taken := map[int]bool{}
	for _, job := range []struct{ label, hint, word string }{
		{"leads, decides go or no", "", "launch"}, {"rings the authority", "", "operator"},
		{"fills", "", "fill"}, {"drives", "does nothing else", "driver"},
		{"passenger", "reads the table, map, telephones", "passenger"}, {"at home", "watches positions, answers the telephone", "home"},
	} {
		row := Row{Label: job.label, Text: job.hint, Blank: true}
		for i, c := range f.File.Contacts {
			if strings.Contains(strings.ToLower(c.Role), job.word) {
				row, taken[i] = Row{Label: job.label, Text: contactLine(c)}, true
				break
			}
		}
		rows = append(rows, row)
	}
	for i, c := range f.File.Contacts {
		if !taken[i] {
			rows = append(rows, Row{Label: named(c.Role, "contact"), Text: contactLine(c)})
		}
	}
	return rows
}

// dayTable is the launch day by the clock, as the timeline has it.
func (f *Facts) dayTable() Part {
	part := Part{Heading: "The day", Table: &Table{Columns: []string{"local", "UTC", "what"}}}
	for _, e := range f.events() {
		if e.From == "" {
			continue
		}
		t := instant(e.From)
		if f.File.Launch.Time.Sub(t).Hours() > 12 || t.Sub(f.File.Launch.Time).Hours() > 24 {
			continue
		}
		part.Table.Rows = append(part.Table.Rows, []string{f.local(t), universal(t), e.What})
	}
	return part
}

// label is what goes on each box.
func (f *Facts) label() Sheet {
	var parts []Part
	for _, b := range f.boxes() {
		phone := Row{Label: "please ring", Text: "telephone, with country code", Blank: true}
		if c, ok := f.contact("recovery", "home", "operator", "launch"); ok && c.Phone != "" {
			phone = Row{Label: "please ring", Text: comma(c.Phone, c.Name)}
		}
		rows := []Row{{Label: "what it is", Text: "part of a small balloon flight: " + boxWords(b)}, phone}
		if c, ok := f.contact("recovery", "home", "operator", "launch"); ok && c.Email != "" {
			rows = append(rows, Row{Label: "or write to", Text: c.Email})
		}
		rows = append(rows,
			Row{Label: "flight", Text: comma(named(f.File.Name, "no name in the file"), named(b.Name, "box"), f.File.Launch.Time.Format("2 January 2006"))},
			Row{Label: "please", Text: "leave it closed and dry; do not pull at cords. It wants to go home: we fetch it and thank you"},
			Row{Label: "in a wire, in water, on a road or rails", Text: "do not fetch it. Keep away and ring us"})
		parts = append(parts, Part{Heading: "HARMLESS", Large: true, Rows: rows})
	}
	parts = append(parts, Part{Heading: "For the crew", Text: []string{"Cut out, one for each box, outside, under clear tape, on a side that cannot be hidden in grass; the telephone number again inside. Harmless is yours to answer for: nothing sharp, hot, pressed or poisonous in the box, and cells that are whole."}})
	return Sheet{Title: "Box label", For: "whoever finds it", Parts: parts}
}

// boxWords says what is in a box, for a finder.
func boxWords(b *record.Part) string {
	kinds := map[string]bool{}
	for i := range b.Items {
		kinds[b.Items[i].Kind] = true
	}
	words := []string{"a foam box"}
	for _, k := range []struct{ kind, words string }{{"camera", "a camera"}, {"logger", "a recorder"}, {"reporter", "a position reporter"}, {"cell", "dry cells"}, {"heat pack", "a warming pad"}} {
		if kinds[k.kind] {
			words = append(words, k.words)
		}
	}
	if len(words) == 1 {
		return "a foam box with small battery-run devices"
	}
	return words[0] + " with " + strings.Join(words[1:], ", ")
}

// landowner is what to say at the door, and what to leave there.
func (f *Facts) landowner() Sheet {
	var what []string
	for _, b := range f.boxes() {
		text := "a foam box of " + both(b.Total(), unit.FormatMass, f.System)
		if b.Size.Given {
			text += ", " + edges(b.Size, f.System)
		}
		what = append(what, text)
	}
	say := Part{Heading: "What to say", Text: []string{
		"Good day. A balloon of ours came down on land that we think is yours. May we fetch it, and how would you like us to go?",
		fmt.Sprintf("It is %s, under a parachute, with rags of a latex balloon. It came down at about %s. It is harmless if left closed.", strings.Join(what, " and "), unit.FormatSpeed(f.Plan.Descent.Landing, f.System)),
		"If the answer is no, we thank you, leave our number and go. We ask again another day, or you bring it to the gate.",
	}}
	l := newList("landowner")
	l.add("owner", "this is the owner, or someone who may say yes")
	l.add("way", "way to go, gates, crops, animals, dogs, hunting, sprayed fields asked about")
	l.add("number", "how many go, and for how long, agreed")
	l.add("gates", "gates left as they were found")
	agreed := l.part("Ask and keep", cautionTrespass)
	agreed.Rows = []Row{{Label: "owner", Text: "name", Blank: true}, {Label: "telephone", Blank: true}, {Label: "said yes at", Text: "date, time", Blank: true}, {Label: "agreed", Blank: true}, {Label: "damage seen", Text: "with pictures", Blank: true}}
	leave := Part{Heading: "To leave with the owner", Rows: []Row{
		{Label: "what came down", Text: strings.Join(what, "; ") + ", a parachute, cord, rags of latex (gather them: animals eat them)"},
		{Label: "flight", Text: comma(named(f.File.Name, "no name in the file"), f.File.Launch.Time.Format("2 January 2006"))},
		f.phoneRow("ring us", "recovery", "operator", "launch"),
		{Label: "take care", Text: "if any of it hangs on a power line, keep away and ring the power company"},
	}}
	return Sheet{Title: "Landowner sheet", For: "the person on whose land it lies", Parts: []Part{say, agreed, leave}}
}

// seat is the table that the passenger reads.
func (f *Facts) seat() Sheet {
	table := &Table{Columns: []string{"bursts at", "rise", "burst after", "lands after", "local", "lands at", "from launch", "from plan"}}
	for i, r := range f.Seat {
		burst, row := f.height(r.Burst), 0
		for row < i && f.Seat[i-row-1].Burst == r.Burst {
			row++
		}
		switch {
		case row == 1 && r.Mark != seatEarly:
			burst = r.Mark
		case row > 0:
			burst = ""
		}
		down := f.File.Launch.Time.Add(secondsOf(r.Aloft))
		off := "here"
		if r.Off >= 500 {
			off = f.distance(r.Off) + " " + point(r.OffTrue)
		}
		table.Rows = append(table.Rows, []string{
			burst, r.Rise, after(r.Up), after(r.Aloft), f.local(down),
			fmt.Sprintf("%.3f, %.3f", r.Lat, r.Lon), f.distance(r.Distance) + " " + point(r.Bearing), off,
		})
	}
	return Sheet{Title: "Table for the passenger's seat", For: "the passenger; the driver does not read", Parts: []Part{
		{Heading: "If it bursts there, it lands here", Rows: []Row{{Label: "let go at", Text: "planned " + f.File.Launch.Time.Format("15:04"), Blank: true}}, Table: table, Cautions: []string{cautionDriving}},
		{Heading: "How to read it", Text: []string{
			"Find how fast it rises by the clock: as planned it is at " + f.clockHeight() + ". " + f.paces() + " When it has burst, or should have, take the row of that height.",
			"The clock is right only if it was let go at " + f.File.Launch.Time.Format("15:04") + ". Each row is one central flight through the forecast; the wind's own doubt comes on top: " + f.seatDoubt(),
		}},
	}}
}

// seatDoubt is how far off all rows may be.
func (f *Facts) seatDoubt() string {
	_, half, most, ok := f.middle()
	if !ok {
		return "it was not worked out."
	}
	return fmt.Sprintf("half of all landings lie within %s of their middle, nine in ten within %s.", f.distance(half), f.distance(most))
}

// paces says what slow and fast are.
func (f *Facts) paces() string {
	rate := map[string]float64{}
	for _, r := range f.Seat {
		rate[r.Rise] = r.Rate // the last one is to the greatest height
	}
	return fmt.Sprintf("Rise in the mean: slow %s, which 1 flight in 10 falls short of; plan %s; fast %s, which 1 in 10 exceeds.",
		unit.FormatRate(rate["slow"], f.System), unit.FormatRate(rate["plan"], f.System), unit.FormatRate(rate["fast"], f.System))
}

// clockHeight says where the planned flight is after half an hour and an hour.
func (f *Facts) clockHeight() string {
	var words []string
	for _, minutes := range []float64{30, 60} {
		since := func(s Spot) float64 { return s.Time.Sub(f.File.Launch.Time).Seconds() }
		if s, ok := crossing(f.Up, since, minutes*unit.Minute); ok {
			words = append(words, fmt.Sprintf("%s after %.0f min", f.height(s.Alt), minutes))
		}
	}
	if len(words) == 0 {
		return "its burst within half an hour"
	}
	return strings.Join(words, " and ")
}

// point is the planned landing as a code for a telephone's camera.
func (f *Facts) point() Sheet {
	planned, when := f.planned()
	at, half, most, ok := f.middle()
	parts := []Part{{Heading: "Planned landing", Rows: []Row{
		{Label: "decimal degrees", Text: Decimal(planned)}, {Label: "deg min sec", Text: DMS(planned)}, {Label: "at", Text: f.clocks(when)},
	}, Figure: &Figure{Kind: "qr", Content: GeoURI(planned, 0), Caption: "planned landing: " + GeoURI(planned, 0)}}}
	if ok {
		parts = append(parts, Part{Heading: "Middle of all landings", Rows: []Row{
			{Label: "decimal degrees", Text: Decimal(at)}, {Label: "deg min sec", Text: DMS(at)},
			{Label: "how sure", Text: fmt.Sprintf("half within %s, nine in ten within %s", f.distance(half), f.distance(most))},
		}, Figure: &Figure{Kind: "qr", Content: GeoURI(at, most), Caption: "middle of all landings, with the radius of nine in ten in metres: " + GeoURI(at, most)}})
	}
	parts = append(parts, Part{Heading: "How to use it", Text: []string{"Point a telephone's camera at the code: it holds a place and nothing else, and opens in the map of the telephone. Do it before you drive off, while there is a network. The place is a forecast, not a position: what the reporters say goes first."}, Cautions: []string{cautionDriving, cautionTrespass}})
	return Sheet{Title: "Landing point", For: "the telephones of the chase car", Parts: parts}
}
