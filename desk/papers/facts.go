package papers

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"pappus/desk/ready"
	"pappus/desk/rules"
	"pappus/desk/sizing"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/record"
)

// Facts are what the sheets are made from. What hangs on a forecast is nil
// without one.
type Facts struct {
	File   *record.Flight
	System unit.System
	Plan   *sizing.Answer
	Fill   *sizing.FillAnswer
	Rules  *rules.Answer // nil where the file names no rule text
	Around *Surroundings // the launch place
	Ready  *ready.Ledger // what was tested on the ground
	Stamp  Stamp

	Odds *ensemble.Answer
	Up   []Spot        // the central flight, from release to burst
	Down []Spot        // and from burst to the ground
	Land *Surroundings // around the middle of the landings
	Seat []SeatRow
}

// Spot is a point of the central flight.
type Spot struct {
	Time     time.Time
	Point    geo.Point
	Alt      float64
	Pressure float64
}

// Names lists the sheets in the order they are needed, first to last.
func Names() []string {
	var names []string
	for _, m := range makers() {
		names = append(names, m.name)
	}
	return names
}

// maker makes one sheet.
type maker struct {
	name     string
	forecast bool // it is nothing without one
	make     func(*Facts) Sheet
}

func makers() []maker {
	return []maker{
		{"timeline", false, (*Facts).timeline},
		{"notice", false, (*Facts).notice},
		{"crew", false, (*Facts).crew},
		{"packing", false, (*Facts).packing},
		{"label", false, (*Facts).label},
		{"filling", false, (*Facts).filling},
		{"launch", false, (*Facts).launch},
		{"chase", false, (*Facts).chase},
		{"seat", true, (*Facts).seat},
		{"point", true, (*Facts).point},
		{"landowner", false, (*Facts).landowner},
		{"recovery", false, (*Facts).recovery},
	}
}

// Sheets makes the sheets asked for, in their own order; with no names, all that
// can be made. A sheet asked for by name that needs a forecast fails without one.
func (f *Facts) Sheets(only ...string) ([]Sheet, error) {
	var sheets []Sheet
	for _, m := range makers() {
		asked := slices.Contains(only, m.name)
		switch {
		case len(only) > 0 && !asked:
			continue
		case m.forecast && len(f.Seat) == 0 && asked:
			return nil, fmt.Errorf("the sheet %q is worked out through a forecast: name one with --weather PATH", m.name)
		case m.forecast && len(f.Seat) == 0:
			continue
		}
		sheet := m.make(f)
		sheet.Name, sheet.Stamp, sheet.Stale = m.name, f.Stamp, f.stale()
		sheets = append(sheets, sheet)
	}
	return sheets, Known(only...)
}

// Known refuses names that no sheet has.
func Known(names ...string) error {
	all := Names()
	for _, name := range names {
		if !slices.Contains(all, name) {
			return &NoSheet{name}
		}
	}
	return nil
}

// NoSheet is a name that no sheet has.
type NoSheet struct{ Name string }

func (e *NoSheet) Error() string {
	return fmt.Sprintf("there is no sheet %q: expected one of %s", e.Name, strings.Join(Names(), ", "))
}

// stale says what makes the sheets wrong.
func (f *Facts) stale() []string {
	why := []string{"the flight file changes in more than layout and comments"}
	switch {
	case f.Odds == nil:
		why = append(why, "a forecast is at hand: this sheet was made without one, in the standard atmosphere without wind")
	case f.Stamp.Cycle != "":
		why = append(why, "a forecast newer than the cycle of "+instant(f.Stamp.Cycle).Format("2 Jan 2006 15:04 MST")+" is out")
	default:
		why = append(why, "other weather files are used")
	}
	return why
}

// contact answers the first contact whose role holds one of the words; failing
// that, the first one there is.
func (f *Facts) contact(words ...string) (record.Contact, bool) {
	for _, word := range words {
		for _, c := range f.File.Contacts {
			if strings.Contains(strings.ToLower(c.Role), word) {
				return c, true
			}
		}
	}
	if len(f.File.Contacts) > 0 {
		return f.File.Contacts[0], true
	}
	return record.Contact{}, false
}

// contactLine writes a person with all ways to reach them.
func contactLine(c record.Contact) string {
	words := []string{named(c.Name, "name not in the file")}
	if c.Role != "" {
		words = append(words, c.Role)
	}
	if c.Phone != "" {
		words = append(words, "telephone "+c.Phone)
	}
	if c.Email != "" {
		words = append(words, c.Email)
	}
	return strings.Join(words, ", ")
}

// phoneRow is who to ring, or room to write it.
func (f *Facts) phoneRow(label string, words ...string) Row {
	if c, ok := f.contact(words...); ok && c.Phone != "" {
		return Row{Label: label, Text: contactLine(c)}
	}
	return Row{Label: label, Text: "name and telephone", Blank: true}
}

// boxes lists the boxes of the train.
func (f *Facts) boxes() []*record.Part {
	var boxes []*record.Part
	for i := range f.File.Train {
		if f.File.Train[i].Kind == record.Box {
			boxes = append(boxes, &f.File.Train[i])
		}
	}
	return boxes
}

// middle is where the landings lie, and how far around it half and nine in ten do.
func (f *Facts) middle() (at geo.Point, half, most float64, ok bool) {
	if f.Odds == nil || f.Odds.Landing == nil {
		return geo.Point{}, 0, 0, false
	}
	g := f.Odds.Landing
	return geo.Point{LatDeg: g.Median.Lat, LonDeg: g.Median.Lon}, g.Radius50, g.Radius90, true
}

// planned is where the central flight comes down.
func (f *Facts) planned() (geo.Point, time.Time) {
	l := f.Odds.Nominal.Landing
	return geo.Point{LatDeg: l.Lat, LonDeg: l.Lon}, instant(l.Time)
}

// region says in words where the landings lie.
func (f *Facts) region() string {
	at, half, most, ok := f.middle()
	if !ok {
		return ""
	}
	text := fmt.Sprintf("One chance in two within %s of %s, nine in ten within %s", f.distance(half), Decimal(at), f.distance(most))
	if near := f.nearTown(); near != "" {
		text += "; that middle lies " + near
	}
	return text + "."
}

// nearTown says where the middle of the landings lies from the nearest town.
func (f *Facts) nearTown() string {
	if f.Land == nil || len(f.Land.Towns) == 0 {
		return ""
	}
	t := f.Land.Towns[0]
	return fmt.Sprintf("%s %s of %s", f.distance(t.Distance), point(t.FromTown), comma(t.Name, t.State))
}

// comma joins what is there.
func comma(words ...string) string {
	var all []string
	for _, w := range words {
		if w != "" {
			all = append(all, w)
		}
	}
	return strings.Join(all, ", ")
}

// needsForecast stands where an answer hangs on one.
const needsForecast = "not known: no forecast was given"
