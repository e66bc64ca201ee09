package box

import (
	"fmt"
	"slices"
	"strings"

	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/record"
)

// Bounds of the cautions where an item states none of its own; common practice.
const (
	keepAbove   = 10.0 // °C, the inside, for cameras and cells
	hotDevice   = 45.0 // °C, cameras switch off near it
	hotLithium  = 60.0 // °C, the top of most cells' ratings
	longSilence = 30 * unit.Minute
	often       = 0.1 // of the flights
	half        = 0.5 // K, below which whole degrees do not tell two temperatures apart
)

// cautions looks the answer over.
func (j *job) cautions(a *Answer) {
	add := func(id, text, why string) {
		a.Cautions = append(a.Cautions, sizing.Caution{ID: id, Text: text, Why: why})
	}
	for i := range a.Boxes {
		b := &a.Boxes[i]
		b.warmCautions(add, j.System)
		b.coldCautions(add, j.System)
		b.energyCautions(add)
		if b.Cards != nil && !b.Cards.Fits {
			add("card-short", "The card is full before the landing: a lower bit rate, a larger card, or a later start.", b.Cards.Text)
		}
	}
	j.lithium(add)
	if a.Silence == nil {
		add("no-reporter", "No reporter is in the file: nothing says where the box is.", "boxes without one are seldom found")
	} else if g := a.Silence.Gap; g != nil && *g > longSilence {
		add("long-silence", "Nothing is heard for a long stretch of the flight: tell the crew how long, so that nobody takes it for the end.",
			"up to "+unit.FormatDuration(*g)+" between two positions")
	}
}

type adder func(id, text, why string)

// isLithium tells what burns when it gets hot.
func isLithium(item *record.Item) bool { return strings.HasPrefix(item.Chemistry, "lithium") }

// lithium says the usual care where such cells are on board.
func (j *job) lithium(add adder) {
	found, packs := false, false
	for i := range j.File.Train {
		items := j.File.Train[i].Items
		found = found || slices.ContainsFunc(items, func(item record.Item) bool { return isLithium(&item) })
		packs = packs || slices.ContainsFunc(items, func(item record.Item) bool { return item.Kind == "heat pack" })
	}
	if !found {
		return
	}
	text := "Lithium cells can burn when they are crushed, shorted, punctured or overheated: fix them, cover the contacts, no loose metal beside them, and look at them before you open a box that fell hard. If one swells, hisses or is hot, keep away, let it cool outdoors, and follow its maker's and local advice."
	if packs {
		text += " Keep heat packs off them."
	}
	add("lithium", text, "usual care with such cells; they must not be charged below 0 °C")
}

func (b *Box) warmCautions(add adder, system unit.System) {
	degrees := func(kelvin float64) string { return unit.FormatTemperature(kelvin, system) }
	for i := range b.Items {
		t := &b.Items[i]
		if t.Kind == "heat pack" && t.Warmest == nil { // it is there to be hot
			continue
		}
		limit, of := celsius(hotDevice), "where many cameras switch off"
		if t.Kind == "cell" {
			limit, of = celsius(hotLithium), "the top of most cells' ratings"
		}
		if t.Warmest != nil {
			limit, of = *t.Warmest, "its rating"
		}
		if t.Before.P90 > limit+half {
			add("hot-before-launch", fmt.Sprintf("%s overheats before the release: keep the box open and in the shade, and switch it on last.", sentence(t.Name)),
				fmt.Sprintf("up to %s while it waits; %s is %s", degrees(t.Before.P90), degrees(limit), of))
		}
		if t.Warm.P90 > limit+half && t.Warm.P90 > t.Before.P90 {
			add("hot-aloft", fmt.Sprintf("%s overheats in flight: thin air cools it badly.", sentence(t.Name)),
				fmt.Sprintf("up to %s; %s is %s", degrees(t.Warm.P90), degrees(limit), of))
		}
	}
}

func (b *Box) coldCautions(add adder, system unit.System) {
	degrees := func(kelvin float64) string { return unit.FormatTemperature(kelvin, system) }
	told := false
	for i := range b.Items {
		t := &b.Items[i]
		if t.Coldest != nil && t.Cold.P10 < *t.Coldest {
			why := fmt.Sprintf("down to %s, rated to %s", degrees(t.Cold.P10), degrees(*t.Coldest))
			if t.TooCold != nil {
				why += fmt.Sprintf("; below it in %s of the flights drawn", unit.FormatShare(*t.TooCold))
			}
			add("cold-aloft", fmt.Sprintf("%s gets colder than it is rated for: thicker foam, smaller gaps, or more heat.", sentence(t.Name)), why)
			told = true
		}
	}
	if told || len(b.Rows) == 0 {
		return
	}
	coldest := b.Rows[0].Inside.P10
	for _, r := range b.Rows {
		coldest = min(coldest, r.Inside.P10)
	}
	if coldest < celsius(keepAbove) {
		add("cold-box", fmt.Sprintf("The inside of %s gets cold: look up what your cameras and cells stand, and soak them in a freezer.", b.called()),
			fmt.Sprintf("down to %s in one flight of ten, hours after the landing counted; above %s is the usual aim", degrees(coldest), degrees(celsius(keepAbove))))
	}
}

func (b *Box) energyCautions(add adder) {
	for i := range b.Energy {
		e := &b.Energy[i]
		switch {
		case e.DiesAloft != nil && *e.DiesAloft > often || e.AfterLanding.P10 < 0:
			add("cells-empty", fmt.Sprintf("%s may be empty before the landing, and with it %s.", sentence(e.Cells), strings.Join(e.Feeds, ", ")),
				fmt.Sprintf("%s in one flight of ten; %s", hoursText(e.AfterLanding.P10), e.Cold))
		case e.Used > margin:
			add("cells-margin", fmt.Sprintf("%s has less than half in reserve at the landing.", sentence(e.Cells)),
				fmt.Sprintf("%s of what the cold leaves is used by then; half is the usual reserve", unit.FormatShare(e.Used)))
		}
	}
}

func sentence(text string) string {
	if text == "" {
		return "It"
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// called is the box's name in a sentence.
func (b *Box) called() string {
	if b.Name == "" {
		return "the box"
	}
	return b.Name
}
