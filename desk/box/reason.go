package box

import (
	"fmt"
	"slices"
	"strings"

	"pappus/desk/sizing"
)

// ReasonKeys lists the numbers that can be asked why, for boxes numbered from 1.
func ReasonKeys() []string {
	empty := &Answer{Boxes: []Box{{Wall: &Wall{}, Packs: &Packs{}, Cards: &Cards{}, Energy: []Energy{{}}}}, Silence: &Silence{}, Views: []View{{Rows: []ViewRow{{}}}}}
	var keys []string
	for _, r := range empty.book() {
		keys = append(keys, r.Key)
	}
	return keys
}

// reasons answers those that are asked; a group such as "boxes[1].wall" stands for
// all its numbers.
func (a *Answer) reasons(keys []string) (map[string]sizing.Reason, error) {
	book := a.book()
	found := map[string]sizing.Reason{}
	for _, key := range keys {
		before := len(found)
		for _, r := range book {
			if key == sizing.AllReasons || r.Key == key || strings.HasPrefix(r.Key, key+".") {
				found[r.Key] = r
			}
		}
		if len(found) == before && !slices.ContainsFunc(book, func(r sizing.Reason) bool { return r.Key == key }) {
			return nil, &UnknownReason{key, book}
		}
	}
	return found, nil
}

// UnknownReason says that there is no such number in this answer.
type UnknownReason struct {
	Key  string
	book []sizing.Reason
}

func (e *UnknownReason) Error() string {
	var keys []string
	for _, r := range e.book {
		keys = append(keys, r.Key)
	}
	return fmt.Sprintf("no number of this box is named %q: expected %s, or one of %s", e.Key, sizing.AllReasons, strings.Join(keys, ", "))
}

const heatModel = "a balance of heat in steps: skin, inside and every item; doc/box.md, Warmth"

func (a *Answer) book() []sizing.Reason {
	var book []sizing.Reason
	for i := range a.Boxes {
		book = append(book, a.Boxes[i].book(fmt.Sprintf("boxes[%d]", i+1), a)...)
	}
	if s := a.Silence; s != nil {
		value := 0.0
		if s.Gap != nil {
			value = *s.Gap
		}
		book = append(book, sizing.Reason{Key: "silence.longest_gap_s", Value: value, Unit: "s", Formula: "longest stretch in which the quick ones are silent + half an interval of those heard on either side, at most the interval of one heard throughout",
			Inputs: []sizing.Input{{Name: "stretches in which all are silent", Value: float64(len(s.All)), Unit: "1", From: "silence.all_silent"}},
			Source: "ceilings and intervals of the file; 4.12 km × (√h1 + √h2), h in m, for radio (an Earth of 4/3 its radius); smooth ground"})
	}
	for i := range a.Views {
		v := &a.Views[i]
		top := v.Rows[len(v.Rows)-1]
		key := fmt.Sprintf("views[%d]", i+1)
		height := sizing.Input{Name: "height", Value: top.Alt, Unit: "m", From: "burst_alt_m"}
		field := sizing.Input{Name: "field of view", Value: v.Field, Unit: "rad", From: "file"}
		book = append(book,
			sizing.Reason{Key: key + ".horizon_m", Value: top.Horizon, Unit: "m", Formula: "sqrt(2 × 6371 km × h + h²)", Inputs: []sizing.Input{height}, Source: "geometry; refraction left out"},
			sizing.Reason{Key: key + ".dip_rad", Value: top.Dip, Unit: "rad", Formula: "acos(R / (R + h))", Inputs: []sizing.Input{height}, Source: "geometry; refraction left out"},
			sizing.Reason{Key: key + ".curve_share", Value: top.Sag, Unit: "1", Formula: "from the chord between the horizon's ends at the picture's sides to its middle, over the width", Inputs: []sizing.Input{height, field}, Source: "geometry of the named lens, aimed at the horizon"},
			sizing.Reason{Key: key + ".barrel_share", Value: v.Bow, Unit: "1", Formula: "bow of a straight line a quarter of a 4:3 picture's height off the middle", Inputs: []sizing.Input{field}, Source: "geometry of an equidistant lens; none for one that keeps lines straight"})
	}
	return book
}

func (b *Box) book(key string, a *Answer) []sizing.Reason {
	var book []sizing.Reason
	if w := b.Wall; w != nil {
		area := sizing.Input{Name: "outside of the box", Value: w.Area, Unit: "m2", From: "file"}
		thickness := sizing.Input{Name: "thickness", Value: w.Thickness, Unit: "m", From: "file"}
		foam := sizing.Input{Name: "conductivity at 10 °C", Value: w.Conductivity, Unit: "W/(m K)", From: "file, or typical for the foam"}
		wall := sizing.Input{Name: "conductance of the wall", Value: w.Conductance, Unit: "W/K", From: key + ".wall.conductance_w_per_k"}
		source := "conduction through a slab of the outside's area: edges lose less, lids and holes more (judgement); EN 13164 declared values"
		if w.Measured {
			source = "a freezer soak: " + source
		}
		load := sizing.Input{Name: "load of the devices", Value: w.Load, Unit: "W", From: "file"}
		start := sizing.Input{Name: "temperature when packed", Value: a.Start, Unit: "K", From: "asked, else 20 °C"}
		capacity := sizing.Input{Name: "contents", Value: w.Capacity, Unit: "J/K", From: "mass × 1000 J/(kg K), judgement"}
		coldest := 0.0
		for i, r := range b.Rows {
			if i == 0 || r.Inside.P50 < coldest {
				coldest = r.Inside.P50
			}
		}
		book = append(book,
			sizing.Reason{Key: key + ".wall.conductance_w_per_k", Value: w.Conductance, Unit: "W/K", Formula: "conductivity × outside / thickness", Inputs: []sizing.Input{foam, area, thickness}, Source: source},
			sizing.Reason{Key: key + ".wall.rise_k_per_w", Value: w.PerWatt, Unit: "K/W", Formula: "1 / wall + 1 / (4 W/m2K × outside)", Inputs: []sizing.Input{wall, area}, Source: "wall and film in a row; 4 W/m2K is the film at about 20 km"},
			sizing.Reason{Key: key + ".wall.time_constant_s", Value: w.TimeConstant, Unit: "s", Formula: "(contents + half of the foam) × rise for a watt", Inputs: []sizing.Input{capacity, wall}, Source: "one lump; the flight itself is followed with all parts"},
			sizing.Reason{Key: key + ".temperature", Value: coldest, Unit: "K", Formula: "coldest middle of the inside; C dT/dt = loads + wall × (skin − inside), the skin by air, Sun, albedo and long-wave",
				Inputs: []sizing.Input{wall, capacity, load, start}, Source: heatModel + "; Whitaker 1972 for the film"})
	}
	for i := range b.Energy {
		e := &b.Energy[i]
		middle := 0.0
		if e.AfterLandingMid != nil {
			middle = *e.AfterLandingMid
		}
		book = append(book, sizing.Reason{Key: fmt.Sprintf("%s.energy[%d].after_landing_s", key, i+1), Value: middle, Unit: "s",
			Formula: "(content × share kept at the cells' temperature) / load, counted from switching on, less the landing",
			Inputs:  []sizing.Input{{Name: "content at 20 °C", Value: e.Content, Unit: "J", From: "file"}, {Name: "load", Value: e.Load, Unit: "W", From: "file"}},
			Source:  "cells in the cold, from memory: " + e.Cold})
	}
	if p := b.Packs; p != nil {
		book = append(book, sizing.Reason{Key: key + ".heat_packs.oxygen_limit_j", Value: p.Limit, Unit: "J", Formula: "oxygen in the box × 824.2 kJ / 1.5 mol",
			Inputs: []sizing.Input{{Name: "oxygen", Value: p.Oxygen, Unit: "kg", From: "0.20946 × p V / (R T), of the free room at launch"}}, Source: "4 Fe + 3 O2 → 2 Fe2O3, 824.2 kJ/mol (from memory)"})
	}
	if c := b.Cards; c != nil {
		book = append(book, sizing.Reason{Key: key + ".cards.lasts_s", Value: c.Lasts, Unit: "s", Formula: "room on the cards / octets a second",
			Inputs: []sizing.Input{{Name: "room", Value: c.Storage, Unit: "B", From: "file"}, {Name: "rate", Value: c.Rate, Unit: "B/s", From: "file"}}, Source: "division; cameras keep a few per cent for themselves"})
	}
	return book
}
