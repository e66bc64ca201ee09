package papers

import (
	"fmt"
	"strings"

	"pappus/desk/hours"
	"pappus/measure/unit"
	"pappus/record"
)

// filling is the list for the filling of the balloon.
func (f *Facts) filling() Sheet {
	t := f.Fill.Target
	target := Part{Heading: "Fill until the scale shows this", Rows: []Row{
		{Label: "lift on the scale", Text: fmt.Sprintf("%s, give or take %s", both(t.Scale, unit.FormatMass, f.System), f.mass(t.Tolerance))},
		{Label: "of that", Text: fmt.Sprintf("%s hold up the train, %s are free lift", f.mass(t.Train), f.mass(t.Free))},
		{Label: "across", Text: fmt.Sprintf("%s wide, %s around, %s of gas", both(t.Diameter, unit.FormatLength, f.System), both(t.Girth, unit.FormatLength, f.System), unit.FormatVolume(t.Volume, f.System))},
		{Label: "counted with", Text: fmt.Sprintf("air of %s at %s", unit.FormatTemperature(t.Air, f.System), unit.FormatPressure(t.Pressure, f.System))},
	}}
	for i, g := range t.GaugeShares {
		text := fmt.Sprintf("from %s down to %s", unit.FormatPressure(g.Before, f.System), unit.FormatPressure(g.After, f.System))
		if g.Empty {
			text = fmt.Sprintf("%s: all of it, then the next one", unit.FormatPressure(g.Before, f.System))
		}
		target.Rows = append(target.Rows, Row{Label: fmt.Sprintf("gauge, bottle %d", i+1), Text: text})
	}
	l := newList("filling")
	l.add("weather", "no rain, no thunder, mean wind and gusts within the limits of the launch list")
	l.add("ground", "ground sheet down, nothing sharp, wind screen up, onlookers back")
	l.add("cylinder", "cylinder chained upright, regulator on, soap water on the joints: no leak")
	l.add("gauge-before", "gauge and its temperature read and written below")
	l.add("hands", "gloves on, rings off, eyes and ears covered")
	l.add("neck", "envelope out of its pack now, neck on the nozzle, tied, hose held 5 to 8 cm (2 to 3 in) from the neck")
	l.add("zero", "scale set to zero with nozzle and clamp on it, or their mass noted: it is added to what the scale shows")
	ready := l.part("Before", append(f.gasCautions(), cautionBurst, cautionStorm)...)
	l.add("slow", "gas on slowly: sudden gas chills and weakens the film")
	l.add("half", "stopped half-way, listened for leaks")
	l.add("lift", "on to the lift above")
	l.add("settle", "ten minutes' rest: gas fresh from the bottle is cold and lifts less, 1 % of what it displaces for each 3 K")
	l.add("lull", "weighed in a lull: wind puts up to a fifth on or off")
	l.add("gauge-after", "gauge read again: bottle volume, fall of pressure and scale tell the same lift")
	fill := l.part("Fill")
	l.add("tie", "neck tied twice, folded, tied again, taped")
	l.add("train", "train tied on; someone holds the balloon until the launch, by more than the neck")
	l.add("valve", "cylinder closed, regulator off, cap on")
	tie := l.part("Tie off")
	measured := Part{Heading: "As measured", Rows: []Row{
		{Label: "scale shows", Blank: true}, {Label: "on the scale hangs", Text: "nozzle, hose, clamp", Blank: true},
		{Label: "gauge before", Blank: true}, {Label: "gauge after", Blank: true},
		{Label: "temperatures", Text: "air, bottle, gas", Blank: true}, {Label: "wind", Blank: true}, {Label: "time", Blank: true},
	}, Text: []string{"What a lift out of tolerance does to the flight: pappus fill FILE --weighed MASS. Below the train's mass it does not rise; a rise under 3 m/s (600 ft/min) risks a floater."}}
	return Sheet{Title: "Filling list", For: "whoever fills", Parts: []Part{target, ready, fill, tie, measured}}
}

// launch is the list of the launch day, in its order.
func (f *Facts) launch() Sheet {
	l := newList("launch")
	l.add("forecast", "newest forecast fetched, the odds worked out again; sheets that are stale thrown away")
	l.add("limits", "every limit below held against it; one person says go, wait or no")
	for _, r := range hours.LimitsOf(f.File.Limits).Rows() {
		l.addf("limit."+slug(r.ID), "%s", limitWords(r, f.System))
	}
	parts := []Part{l.part("Go, wait or no", cautionStorm)}
	l.add("notice", "the calls on the notice sheet made, the number written down, the launch time still right")
	parts = append(parts, l.part("Notice confirmed"))
	l.add("site", "permission for the site in hand; no wires, masts, trees or roads downwind")
	l.add("shelter", "ground sheet and wind shelter up")
	parts = append(parts, l.part("Site", cautionPower))
	for i := range f.File.Reporters {
		r := &f.File.Reporters[i]
		l.addf("reporter."+slug(r.Name), "%s on, outdoors, a position received by the person at home%s", r.Name, receiverMode(r))
	}
	if len(f.File.Reporters) == 0 {
		l.add("reporter", "no reporter is in the file: nothing will say where the box is; decide again whether to fly")
	}
	parts = append(parts, l.part("Position reporters first"))
	l.addf("weigh", "whole train on the scale: %s in the file; write what it is, and plan again if it differs by more than %s", f.mass(f.Plan.Budget.TrainMass), f.mass(f.Fill.Target.Tolerance))
	for i := range f.File.Train {
		f.rigPart(l, i)
	}
	parts = append(parts, l.part("Weigh and rig, from the top", cautionLine))
	l.addf("fill", "filling list done, from its first line to its last: %s on the scale", f.mass(f.Fill.Target.Scale))
	l.add("tied", "neck folded twice and tied")
	parts = append(parts, l.part("Fill", f.gasCautions()...))
	f.recorders(l)
	parts = append(parts, l.part("Cameras and loggers last"))
	l.add("chase", "chase car already down range, with the table for the passenger's seat")
	l.add("clear", "sky looked over for aircraft; onlookers back; downwind side clear")
	l.add("walk", "walked out with the wind; low parts lifted first, in a lull, the balloon last")
	l.add("minute", "let go; the minute written down")
	parts = append(parts, l.part("Let go", cautionOnlookers, cautionPower))
	l.add("call", "the launch told to whoever asked to be told, with the minute")
	l.add("home", "the person at home has a first position")
	l.add("tidy", "cylinder capped and chained, sheet and rags picked up; then drive")
	last := l.part("After", cautionDriving)
	last.Rows = []Row{{Label: "let go at", Blank: true}, {Label: "whole train weighed", Blank: true}, {Label: "lift weighed", Blank: true}}
	return Sheet{Title: "Launch list", For: "whoever leads the launch", Parts: append(parts, last)}
}

func limitWords(r hours.LimitRow, s unit.System) string {
	var value string
	switch r.Unit {
	case "m/s":
		value = both(r.Value, unit.FormatSpeed, s)
	case "s":
		value = unit.FormatDuration(r.Value)
	case "share":
		value = unit.FormatShare(r.Value)
	case "m":
		value = unit.FormatDistance(r.Value, s)
	case "J":
		value = unit.FormatEnergy(r.Value, s)
	default:
		value = fmt.Sprintf("%g %s", r.Value, r.Unit)
	}
	bound, whose := "at most", "the usual one; yours goes in [limits]"
	if r.ID == "daylight" || r.ID == "rise" {
		bound = "at least"
	}
	if r.Own {
		whose = "yours"
	}
	return fmt.Sprintf("%s: %s %s (%s)", r.Text, bound, value, whose)
}

func receiverMode(r *record.Reporter) string {
	if r.Kind == "radio" {
		return "; receiver's high-altitude mode set and read back"
	}
	return ""
}

// rigPart is the look at one part of the train.
func (f *Facts) rigPart(l *list, i int) {
	p := &f.File.Train[i]
	id := p.Kind.String()
	if p.Name != "" {
		id += "." + slug(p.Name)
	}
	name := partName(p)
	switch p.Kind {
	case record.Line:
		words := "whole and free of knots it should not have, knots taped"
		if p.BreakingLoad.Given {
			words += ", holds " + unit.FormatForce(p.BreakingLoad.Value, f.System)
		}
		if f.aboveCanopy(i) {
			words += "; it stands above the parachute and parts first"
		}
		l.addf(id, "%s: %s", name, words)
	case record.Parachute:
		l.addf(id, "%s: hangs open and free in the train, no line twisted, vent clear, nothing can catch it", name)
	case record.Reflector:
		l.addf(id, "%s: square and fast", name)
	case record.Box:
		l.addf(id, "%s: label on, hung so that it stays upright, holes for lenses clear", name)
	default:
		l.addf(id, "%s: whole and fast", name)
	}
}

func (f *Facts) aboveCanopy(i int) bool {
	for _, p := range f.File.Train[:i] {
		if p.Kind == record.Parachute {
			return false
		}
	}
	return true
}

// recorders are the things that must record, box by box.
func (f *Facts) recorders(l *list) {
	for _, b := range f.boxes() {
		box := slug(named(b.Name, "box"))
		for i := range b.Items {
			item := &b.Items[i]
			switch item.Kind {
			case "camera", "logger":
				l.addf("record."+slug(item.Name), "%s on, films or logs a clock, seen to record", item.Name)
			case "heat pack":
				l.addf("heat."+slug(item.Name), "%s opened and in its place, air left for it", item.Name)
			case "reporter":
				l.addf("inside."+slug(item.Name), "%s in its place, antenna to the sky, light still blinking", item.Name)
			case "card":
				l.addf("card."+slug(item.Name), "%s in and not locked", item.Name)
			}
		}
		if len(b.Items) == 0 {
			l.addf("record."+box, "all that records in %s on, films a clock, seen to record", named(b.Name, "the box"))
		}
		l.addf("close."+box, "%s closed, taped, label outside, lens clean and dry", named(b.Name, "box"))
	}
}

// chase is the list of the car.
func (f *Facts) chase() Sheet {
	where := Part{Heading: "Where to", Rows: []Row{{Label: "comes down", Text: needsForecast}}}
	if at, _, _, ok := f.middle(); ok {
		planned, when := f.planned()
		band := f.Odds.Landing.Time
		where.Rows = []Row{
			{Label: "as planned", Text: Decimal(planned) + " at " + f.clocks(when)},
			{Label: "in all likelihood", Text: f.region()},
			{Label: "between", Text: fmt.Sprintf("%s and %s local, four times in five", f.local(instant(band.P10)), f.local(instant(band.P90)))},
			{Label: "wait near", Text: fmt.Sprintf("%s, on a road, in a safe place to stop, on your side of any river", Decimal(at))},
		}
	}
	hear := Part{Heading: "What you will hear"}
	for i := range f.File.Reporters {
		r := &f.File.Reporters[i]
		hear.Rows = append(hear.Rows, Row{Label: r.Name, Text: reporterWords(r, f.System)})
	}
	hear.Rows = append(hear.Rows, f.phoneRow("person at home", "home", "base"), f.phoneRow("launch site", "launch", "operator"))
	l := newList("chase")
	l.add("roles", "the driver drives; the passenger has the table, the map and the telephones")
	l.add("map", "map kept for use without a network; landing point loaded from its code")
	l.add("fuel", "full tank, water, torch, stout shoes, vests, landowner sheets")
	parts := []Part{where, hear, l.part("Before you leave", cautionDriving)}
	l.add("early", "down range before the launch, at the waiting place before the burst")
	l.add("each", "each position written below with its minute; the next row of the table looked up")
	l.add("silent", "silence is normal: an interval, a ceiling, a hill. Wait where you are rather than hurry")
	l.add("burst", "burst seen or told: the row of the table for that height, drive towards it")
	l.add("last", "last position and its minute kept safe, whatever comes after")
	log := l.part("On the way", cautionDriving)
	log.Table = &Table{Columns: []string{"minute", "latitude", "longitude", "height", "heard of"}, Rows: [][]string{{"", "", "", "", ""}, {"", "", "", "", ""}, {"", "", "", "", ""}, {"", "", "", "", ""}, {"", "", "", "", ""}}}
	parts = append(parts, log)
	l.add("stop", "stopped off the road, hazard lights on, nobody in the lane")
	l.add("owner", "owner found and asked, with the landowner sheet; then the recovery list")
	parts = append(parts, l.part("When it is down", cautionTrespass, cautionPower, cautionWater, cautionHeights))
	return Sheet{Title: "Chase list", For: "driver and passenger of the chase car", Parts: parts}
}

// recovery is the list at the box.
func (f *Facts) recovery() Sheet {
	l := newList("recovery")
	l.add("look", "looked before going: wires, water, animals, traffic, the way back")
	l.add("permission", "owner said yes, and what was agreed is written on the landowner sheet")
	l.add("picture", "pictures of all as it lies, the minute, the position: before anything is moved")
	parts := []Part{l.part("Before you touch it", cautionPower, cautionWater, cautionTrespass, cautionHeights)}
	for i := range f.File.Train {
		p := &f.File.Train[i]
		id := p.Kind.String()
		if p.Name != "" {
			id += "." + slug(p.Name)
		}
		l.addf(id, "%s found", partName(p))
	}
	l.add("envelope", "rags of the envelope, all that can be found: animals eat them. What is on the cord goes in a bag, to be weighed")
	parts = append(parts, l.part("All of it, from the top"))
	for _, b := range f.boxes() {
		for i := range b.Items {
			item := &b.Items[i]
			switch item.Kind {
			case "camera", "logger":
				l.addf("stop."+slug(item.Name), "%s: still running? recording stopped in the ordinary way, so that the file is closed, then off", item.Name)
			case "card":
				l.addf("card."+slug(item.Name), "%s out, locked, in a safe place", item.Name)
			}
		}
		if len(b.Items) == 0 {
			l.addf("stop."+slug(named(b.Name, "box")), "what records in %s: stopped in the ordinary way, so that the file is closed, then off", named(b.Name, "the box"))
		}
	}
	for i := range f.File.Reporters {
		l.addf("off."+slug(f.File.Reporters[i].Name), "%s left on until everyone has its position, then off", f.File.Reporters[i].Name)
	}
	parts = append(parts, l.part("Devices", cautionCells))
	l.add("thanks", "owner thanked and told that all is gone; damage, if any, written down")
	l.addf("told", "the end of the flight told to the person at home%s", f.endCall())
	l.add("copies", "cards copied twice before anything else is done with them")
	last := l.part("After")
	last.Rows = []Row{{Label: "position", Blank: true}, {Label: "minute", Blank: true}, {Label: "how it lay", Text: "which side up, canopy, lines", Blank: true}, {Label: "mass of the rags", Blank: true}, {Label: "what parted", Blank: true}}
	return Sheet{Title: "Recovery list", For: "whoever walks to the box", Parts: append(parts, last)}
}

// endCall names the call at the end where a rule text asks for it.
func (f *Facts) endCall() string {
	if f.Rules != nil {
		for _, d := range f.Rules.Duties {
			if d.ID == "101.39(d)" || d.ID == "6" {
				return " and to the authority (" + strings.TrimSpace(d.Paragraph) + ")"
			}
		}
	}
	return ", and to whoever asked to be told"
}
