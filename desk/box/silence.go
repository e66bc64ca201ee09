package box

import (
	"fmt"
	"math"
	"slices"

	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/record"
)

// Listeners are what can hear a radio reporter.
type Listeners struct {
	Mast  float64         // m, the antenna at the launch place
	Car   float64         // m, the chase car's antenna
	Near  record.Quantity // m from the landing place to where the car waits
	Relay record.Quantity // m over the ground to the nearest relay station; none when absent
}

// UsualListeners are an antenna on a table and one on the roof of a car, with
// nobody near the landing and no relay.
func UsualListeners() Listeners { return Listeners{Mast: 2, Car: 2} }

const (
	// networkTop is the height at which cellular networks are taken to be lost:
	// antennas look down and masts refuse far telephones (common practice: a few km).
	networkTop = 2000.0
	relayMast  = 30.0 // m, of a relay on a hill or a tower; judgement
	boxAntenna = 1.0  // m above the ground once landed
	// landedReach is how far a beacon on the ground is heard over real ground: 10 km
	// by the formula, 1 to 3 km behind hills and in wet grass (common practice).
	landedReach = 2000.0
	// faceDown is the chance that an antenna on one side of a box lies underneath.
	faceDown = 1.0 / 6
	// gnssTop is where some receivers stop for good unless their airborne mode is set.
	gnssTop = 18000.0
)

// Silence is when nothing is heard.
type Silence struct {
	Reporters []ReporterSilence `json:"reporters"`
	// All is when every one of them is silent.
	All     []Spell        `json:"all_silent"`
	Gap     *float64       `json:"longest_gap_s,omitempty"` // expected, between two positions heard
	GapBand *ensemble.Band `json:"longest_gap_band_s,omitempty"`
	Oldest  *float64       `json:"oldest_position_s,omitempty"` // how old the last one is just before the next is heard
	Text    string         `json:"text"`
}

// ReporterSilence is one reporter along the flight.
type ReporterSilence struct {
	Name     string         `json:"name"`
	Kind     string         `json:"kind"`
	Every    *float64       `json:"every_s,omitempty"`
	Delay    *float64       `json:"delay_s,omitempty"`
	Height   bool           `json:"height_reported"`
	Spells   []Spell        `json:"silent"`
	Gap      *float64       `json:"longest_gap_s,omitempty"`
	Alive    *ensemble.Band `json:"alive_after_landing_s,omitempty"`
	AliveMid *float64       `json:"alive_after_landing_mid_s,omitempty"`
	FaceDown *float64       `json:"face_down_chance,omitempty"` // after the landing
	Notes    []string       `json:"notes"`
}

// Spell is a stretch of silence and its cause.
type Spell struct {
	From float64 `json:"from_s"`
	To   float64 `json:"to_s"`
	Why  string  `json:"why"`
}

// hearing is what silences one reporter, by height and place.
type hearing struct {
	reporter *record.Reporter
	listen   Listeners
	launch   geo.Point
}

// spot is a flight's place at a time, for radio.
type spot struct {
	after, alt    float64
	fromLaunch    float64 // m over the ground
	fromLanding   float64
	aboveGround   float64
	landedAlready bool
}

// silent says why a reporter is not heard at a place; empty when it is.
func (h *hearing) silent(s spot) string {
	r := h.reporter
	if r.Ceiling.Limited && s.alt > float64(r.Ceiling.Height) {
		return "above its ceiling"
	}
	switch r.Kind {
	case "cellular":
		if !r.Ceiling.Limited && s.aboveGround > networkTop {
			return "above the cellular network"
		}
	case "radio":
		return h.radioSilent(s)
	}
	return ""
}

func (h *hearing) radioSilent(s spot) string {
	antenna := max(s.aboveGround, boxAntenna)
	near := h.listen.Near.Given
	if s.landedAlready {
		if near && h.listen.Near.Value <= landedReach || s.fromLaunch <= landedReach {
			return ""
		}
		return "on the ground, out of reach: someone must come near"
	}
	if s.fromLaunch <= RadioReach(antenna, h.listen.Mast) {
		return ""
	}
	if near && s.fromLanding+h.listen.Near.Value <= RadioReach(antenna, h.listen.Car) {
		return ""
	}
	if h.listen.Relay.Given && h.listen.Relay.Value <= RadioReach(antenna, relayMast) {
		return ""
	}
	return "below the radio horizon of everyone who listens"
}

// spells walks along a flight and gathers a reporter's silences.
func (h *hearing) spells(path []spot) []Spell {
	list := []Spell{}
	for i, s := range path {
		why := h.silent(s)
		if why == "" {
			continue
		}
		from := s.after
		to := from
		if i+1 < len(path) {
			to = path[i+1].after
		}
		if n := len(list); n > 0 && list[n-1].Why == why && list[n-1].To == from {
			list[n-1].To = to
			continue
		}
		list = append(list, Spell{from, to, why})
	}
	return list
}

// stretches joins spells that follow each other without a break.
func stretches(spells []Spell) []Spell {
	var list []Spell
	for _, s := range spells {
		if n := len(list); n > 0 && s.From <= list[n-1].To {
			list[n-1].To = max(list[n-1].To, s.To)
			continue
		}
		list = append(list, s)
	}
	return list
}

// heardEvery is the shortest interval of the reporters that are heard at a time;
// infinite when none is.
func heardEvery(reporters []record.Reporter, all [][]Spell, after float64) float64 {
	least := math.Inf(1)
	for i := range reporters {
		silent := slices.ContainsFunc(all[i], func(s Spell) bool { return s.From <= after && after <= s.To })
		if reporters[i].Every.Given && !silent {
			least = min(least, reporters[i].Every.Value)
		}
	}
	return least
}

// gap is the longest expected time between two positions heard. Where all that
// report more often than every X are silent for a while, it is that while and half
// an interval of those heard on either side of it, since the last position before
// and the first after fall evenly within one; but no longer than X, where one that
// reports every X is heard throughout (where it is not, a longer X finds it). Zero
// when no interval is known.
func gap(reporters []record.Reporter, all [][]Spell, landing float64) float64 {
	var intervals []float64
	for i := range reporters {
		if reporters[i].Every.Given {
			intervals = append(intervals, reporters[i].Every.Value)
		}
	}
	if len(intervals) == 0 {
		return 0
	}
	slices.Sort(intervals)
	longest := intervals[0]
	for _, x := range append(slices.Compact(intervals), math.Inf(1)) {
		var quick [][]Spell
		for i := range reporters {
			if reporters[i].Every.Given && reporters[i].Every.Value < x {
				quick = append(quick, all[i])
			}
		}
		for _, s := range stretches(together(quick)) {
			before, after := 0.0, 0.0 // the release is watched, and so is the landing's place
			if s.From > 0 {
				before = heardEvery(reporters, all, s.From-pathStep)
			}
			if s.To < landing {
				after = heardEvery(reporters, all, s.To+pathStep)
			}
			whole := s.To - s.From
			if side := (before + after) / 2; !math.IsInf(side, 1) {
				whole += side
			}
			longest = max(longest, min(x, whole))
		}
	}
	return longest
}

// together is where all of several are silent.
func together(all [][]Spell) []Spell {
	if len(all) == 0 {
		return []Spell{}
	}
	common := all[0]
	for _, other := range all[1:] {
		next := []Spell{}
		for _, a := range common {
			for _, b := range other {
				if from, to := max(a.From, b.From), min(a.To, b.To); to > from {
					why := a.Why
					if b.Why != why {
						why += "; " + b.Why
					}
					next = append(next, Spell{from, to, why})
				}
			}
		}
		common = next
	}
	return common
}

// silenceOf answers the flight's reporters; nil when it has none. Only the flight
// counts for gaps, not what comes after the landing.
func silenceOf(f *record.Flight, listen Listeners, path []spot, others [][]spot, system unit.System) *Silence {
	if len(f.Reporters) == 0 {
		return nil
	}
	s := &Silence{}
	all, flown := make([][]Spell, len(f.Reporters)), make([][]Spell, len(f.Reporters))
	known, late := true, 0.0
	landing := landingOf(path)
	for i := range f.Reporters {
		r := &f.Reporters[i]
		h := hearing{reporter: r, listen: listen, launch: f.Launch.Point}
		all[i] = h.spells(path)
		flown[i] = inFlight(all[i], landing)
		row := ReporterSilence{Name: r.Name, Kind: r.Kind, Height: r.HeightReported.Value, Spells: all[i], Notes: notesOf(r, listen, system)}
		if r.Every.Given {
			row.Every = &r.Every.Value
			g := gap(f.Reporters[i:i+1], flown[i:i+1], landing)
			row.Gap = &g
			late = max(late, r.Delay.Value)
		} else {
			known = false
		}
		if r.Delay.Given {
			row.Delay = &r.Delay.Value
		}
		if r.Kind == "satellite" {
			chance := faceDown
			row.FaceDown = &chance
		}
		s.Reporters = append(s.Reporters, row)
	}
	s.All = together(all)
	if g := gap(f.Reporters, flown, landing); g > 0 {
		oldest := g + late
		s.Gap, s.Oldest = &g, &oldest
		var gaps []float64
		for _, other := range others {
			each := make([][]Spell, len(f.Reporters))
			for i := range f.Reporters {
				h := hearing{reporter: &f.Reporters[i], listen: listen, launch: f.Launch.Point}
				each[i] = inFlight(h.spells(other), landingOf(other))
			}
			gaps = append(gaps, gap(f.Reporters, each, landingOf(other)))
		}
		s.GapBand = bandOf(gaps)
	}
	s.Text = silenceText(s, known)
	return s
}

// landingOf is when a path reaches the ground.
func landingOf(path []spot) float64 {
	for _, p := range path {
		if p.landedAlready {
			return p.after
		}
	}
	return path[len(path)-1].after
}

// inFlight cuts spells off at the landing.
func inFlight(spells []Spell, landing float64) []Spell {
	var kept []Spell
	for _, s := range spells {
		if s.To = min(s.To, landing); s.To > s.From {
			kept = append(kept, s)
		}
	}
	return kept
}

func silenceText(s *Silence, known bool) string {
	text := "No stretch of the flight is silent by height and horizon alone."
	if s.Gap == nil {
		text = "The file says of no reporter how often it reports, so that no gap can be worked out."
	} else if len(s.All) > 0 {
		text = fmt.Sprintf("All are silent in %d stretches; the longest gap to expect in flight is %s.", len(s.All), unit.FormatDuration(*s.Gap))
	} else {
		text += fmt.Sprintf(" The longest gap to expect in flight is %s.", unit.FormatDuration(*s.Gap))
	}
	if !known && s.Gap != nil {
		text += " One reporter's interval is not in the file."
	}
	return text
}

// notesOf says what else silences a reporter.
func notesOf(r *record.Reporter, l Listeners, system unit.System) []string {
	notes := []string{}
	if !r.HeightReported.Value {
		notes = append(notes, "its positions carry no height: burst and fall are seen only by where it goes")
	}
	if !r.Ceiling.Given {
		notes = append(notes, fmt.Sprintf("no ceiling is in the file: many receivers stop above %s unless their high-altitude mode is set and read back", unit.FormatHeight(gnssTop, system)))
	}
	switch r.Kind {
	case "satellite":
		notes = append(notes, "upside down after the landing it sees no sky: one side of six lies underneath, and it may stop when it lies still",
			"a position fails now and then without a cause that can be told: one interval more is no alarm")
	case "radio":
		if !l.Near.Given {
			notes = append(notes, "no car is counted near the landing: say how far from it the car will wait")
		}
		if !l.Relay.Given {
			notes = append(notes, "no relay stations are counted; where there are some they hear it from height, and one hop with 60 s or more between packets is enough")
		}
		notes = append(notes, "smooth ground: hills and wet ground shorten every reach near it")
	case "cellular":
		notes = append(notes, "in flight it is silent, and in many countries must be off; it says something only where there is a network at the landing")
	}
	return notes
}

// aliveOf puts what the energy of a box says beside the reporter of the same name.
func (s *Silence) aliveOf(boxes []Box) {
	if s == nil {
		return
	}
	for i := range s.Reporters {
		r := &s.Reporters[i]
		for _, b := range boxes {
			for _, e := range b.Energy {
				if r.Name != "" && slices.Contains(e.Feeds, r.Name) {
					r.Alive, r.AliveMid = e.AfterLanding, e.AfterLandingMid
				}
			}
		}
		if r.AliveMid == nil {
			r.Notes = append(r.Notes, "how long it lives after the landing is not known: an item of its name with power and cells in a box would say it")
		}
	}
}
