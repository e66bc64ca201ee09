package papers

import (
	"fmt"
	"strings"

	"pappus/craft/liftgas"
	"pappus/measure/unit"
	"pappus/record"
)

// packing is what goes into the car, from the file's own parts and what they need.
func (f *Facts) packing() Sheet {
	l := newList("packing")
	e := &f.File.Envelope
	l.addf("envelope", "envelope%s, %s, in its sealed pack, cool, dark and away from motors and oil", bracket(e.Name), f.mass(e.Mass))
	l.add("spare-envelope", "a second envelope, if you have one: the first may burst while it is filled")
	f.packGas(l)
	parts := []Part{l.part("Balloon and gas", f.gasCautions()...)}
	for i := range f.File.Train {
		f.packPart(l, &f.File.Train[i])
	}
	parts = append(parts, l.part("The train, from the top", cautionLine))
	for _, b := range f.boxes() {
		for i := range b.Items {
			item := &b.Items[i]
			l.addf("item."+slug(item.Name), "%s%s for %s%s", count(item.Count), item.Name, named(b.Name, "the box"), itemNote(item))
		}
		if len(b.Items) > 0 {
			parts = append(parts, l.part("In "+named(b.Name, "the box"), f.cellCaution(b)...))
		}
	}
	for i := range f.File.Reporters {
		r := &f.File.Reporters[i]
		l.addf("reporter."+slug(r.Name), "%s (%s), charged or with new cells, subscription or licence in force", r.Name, r.Kind)
	}
	if len(f.File.Reporters) > 0 {
		parts = append(parts, l.part("Position reporters"))
	}
	f.packGear(l)
	parts = append(parts, l.part("To fill and launch with"))
	f.packPeople(l)
	parts = append(parts, l.part("Papers, people, car", cautionDriving))
	return Sheet{Title: "Packing list", For: "whoever packs, the evening before", Parts: parts}
}

func bracket(name string) string {
	if name == "" {
		return ""
	}
	return " (" + name + ")"
}

func count(n int) string {
	if n <= 1 {
		return ""
	}
	return fmt.Sprintf("%d x ", n)
}

func (f *Facts) packGas(l *list) {
	gas := f.File.Gas.Kind.String()
	for i := range f.File.Cylinders {
		c := &f.File.Cylinders[i]
		content := unit.FormatVolume(c.Content.Value, f.System) + " as the trade counts it"
		if !c.Content.Given {
			content = unit.FormatVolume(c.WaterVolume.Value, unit.Metric) + " of water at " + unit.FormatPressure(c.Pressure.Value, f.System)
		}
		l.addf("cylinder", "%s%s cylinder%s, %s, gauge read, cap on", count(c.Count), gas, bracket(c.Name), content)
	}
	if len(f.File.Cylinders) == 0 {
		l.addf("cylinder", "%s: the fill takes %.0f ft³ (70 F, 1 atm); no cylinder is in the file", gas, f.Plan.Gas.Cubic)
	}
	l.add("regulator", "regulator that fits the cylinder, its key, hose and filling nozzle that fits the neck")
	l.add("chain", "chain or straps that hold the cylinder upright, and a trolley")
	if f.File.Gas.Kind == liftgas.Hydrogen {
		l.add("earthing", "earthing cable and spike, bonding leads, cotton clothes, face shields, a fire extinguisher and a water hose at hand")
	}
}

// packPart lists one part of the train.
func (f *Facts) packPart(l *list, p *record.Part) {
	id := p.Kind.String()
	if p.Name != "" {
		id += "." + slug(p.Name)
	}
	words := []string{partName(p)}
	if p.Kind == record.Parachute {
		words[0] = named(p.Name, p.Canopy.Kind+" parachute")
		if p.Canopy.Diameter.Given {
			words = append(words, unit.FormatLength(p.Canopy.Diameter.Value, f.System)+" across")
		}
	}
	if p.Length.Given {
		words = append(words, unit.FormatLength(p.Length.Value, f.System)+" long")
	}
	if p.Mass.Given || len(p.Items) > 0 {
		words = append(words, f.mass(p.Total()))
	}
	if p.BreakingLoad.Given {
		words = append(words, "holds "+unit.FormatForce(p.BreakingLoad.Value, f.System))
	}
	if p.Kind == record.Box && p.Size.Given {
		words = append(words, edges(p.Size, f.System))
	}
	l.addf(id, "%s", strings.Join(words, ", "))
}

func itemNote(item *record.Item) string {
	switch item.Kind {
	case "camera", "logger":
		return ": card empty, clock set"
	case "cell":
		return ": new, or charged, and as many spare"
	case "card":
		return ": empty, and a spare"
	case "heat pack":
		return ": sealed until the box is closed"
	}
	return ""
}

func (f *Facts) cellCaution(b *record.Part) []string {
	for i := range b.Items {
		if b.Items[i].Kind == "cell" {
			return []string{cautionCells}
		}
	}
	return nil
}

func (f *Facts) packGear(l *list) {
	l.addf("scale", "scale that reads to 10 g, or a bag of water of %s: the lift to weigh", f.mass(f.Fill.Target.Scale))
	l.addf("sheet", "clean ground sheet%s, wind screen or the lee of a building", f.sheetNote())
	l.add("gloves", "soft gloves for everyone who touches the envelope; eye and ear protection")
	l.add("ties", "strong cord and wide tape or bands for the neck, double")
	l.add("tape", "tape, knife, scissors, spare line of the same kind, swivels")
	l.add("wind", "something that shows the wind: a meter, or a ribbon on a pole")
	l.addf("measure", "measuring tape of %s for the girth", unit.FormatLength(f.Fill.Target.Girth, f.System))
	l.add("water", "water, shade, warm and dry clothes, first-aid kit")
}

func (f *Facts) sheetNote() string {
	if f.File.Gas.Kind == liftgas.Hydrogen {
		return " of cotton, not plastic"
	}
	return ""
}

func (f *Facts) packPeople(l *list) {
	l.add("papers", "these sheets, printed, and a pen; the number of the notice written in")
	l.addf("labels", "%s, filled in and fixed: %s", few(len(f.boxes()), "label", "labels"), f.boxNames())
	l.add("phones", "telephones charged, car charger, the map of the landing area kept for use without a network")
	for i := range f.File.Reporters {
		if r := &f.File.Reporters[i]; r.Kind == "radio" {
			l.addf("receiver."+slug(r.Name), "receiver, antenna outside the car and cables for %s", r.Name)
		}
	}
	l.add("car", "full tank, spare wheel, torch, stout shoes, long trousers, bright vests")
	l.add("bags", "bags for the rags of latex and a box for wet cells")
	l.add("people", "everyone knows the place and the time, and who decides")
}

func (f *Facts) boxNames() string {
	var names []string
	for _, b := range f.boxes() {
		names = append(names, named(b.Name, "box"))
	}
	return strings.Join(names, ", ")
}
