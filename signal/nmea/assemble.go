package nmea

import (
	"fmt"
	"math"
	"strings"
	"time"

	"pappus/measure/unit"
	"pappus/signal/fix"
)

// Assembler puts the sentences of one receiver together: those with one time of day are
// one report. It belongs to one stream and one goroutine.
type Assembler struct {
	source string
	near   time.Time
	now    *moment

	date    date // the last one told, and the time of day it belongs to
	dateDay float64
}

// NewAssembler begins a stream. The moment near says which day is meant where sentences
// tell none and their arrival is not noted either; it may be zero.
func NewAssembler(source string, near time.Time) *Assembler {
	return &Assembler{source: source, near: near}
}

// timeField is where each kind of sentence keeps its time of day; -1: it keeps none and
// belongs to the sentences around it.
var timeField = map[string]int{"GGA": 0, "RMC": 0, "GNS": 0, "ZDA": 0, "GLL": 4, "VTG": -1, "GSA": -1}

// Line takes the next line. It answers the report of the moment before when the line
// begins a new one. A faulty line is refused and changes nothing; sentences of other
// kinds are passed over.
func (a *Assembler) Line(line string, received time.Time) (report fix.Report, ready bool, err error) {
	s, err := Parse(line)
	if err != nil {
		return fix.Report{}, false, err
	}
	field, known := timeField[s.Kind]
	if !known {
		return fix.Report{}, false, nil
	}
	trial := moment{kinds: map[string]bool{}}
	if field >= 0 {
		if trial.at, err = s.clock(field); err != nil {
			return fix.Report{}, false, err
		}
	}
	if err := trial.take(s); err != nil {
		return fix.Report{}, false, err
	}
	if a.now == nil || field >= 0 && (a.now.at != trial.at || a.now.kinds[s.Kind]) {
		report, ready = a.Flush()
		a.now = &moment{at: trial.at, received: received, kinds: map[string]bool{}, checked: true}
	}
	m := a.now
	const mostLines = 16 // a moment has some ten sentences; a stuck receiver repeats one without end
	if len(m.raw) < mostLines {
		m.raw = append(m.raw, strings.TrimSpace(line))
	}
	m.kinds[s.Kind] = true
	m.checked = m.checked && s.Checked
	return report, ready, m.take(s)
}

// take adds what a sentence says to the moment.
func (m *moment) take(s Sentence) error {
	switch s.Kind {
	case "GGA":
		return m.gga(s)
	case "RMC":
		return m.rmc(s)
	case "GNS":
		return m.gns(s)
	case "GLL":
		return m.gll(s)
	case "VTG":
		return m.vtg(s)
	case "GSA":
		return m.gsa(s)
	}
	return m.zda(s)
}

// Flush ends the moment that is being gathered: call it when the stream ends or has
// been silent for a while.
func (a *Assembler) Flush() (fix.Report, bool) {
	m := a.now
	a.now = nil
	if m == nil {
		return fix.Report{}, false
	}
	r := fix.Report{Source: a.source, Raw: strings.Join(m.raw, "\n"), Received: m.received, Speed: m.speed, CourseDeg: m.course, Quality: m.quality}
	a.when(m, &r)
	if !m.places {
		return fix.Report{}, false
	}
	r.Place, r.HasPlace = m.position.place, m.position.known
	r.Height = m.height
	r.Quality.Mode = m.fixMode()
	if r.Quality.Mode == fix.Flat && r.Height.Kind != fix.NoHeight {
		r.Height = fix.Height{}
		r.Assumed = append(r.Assumed, "the receiver knew its place only in the plane: the height beside it was not taken")
	}
	if !m.checked {
		r.Assumed = append(r.Assumed, "a sentence without checksum was taken to be sound")
	}
	r.Expected = m.expected()
	return r, true
}

func (m *moment) fixMode() fix.Mode {
	switch {
	case m.useless || m.gsaMode == 1 || !m.position.known:
		return fix.NoFix
	case m.special != fix.ModeUnsaid:
		return m.special
	case m.gsaMode == 2:
		return fix.Flat
	case m.gsaMode == 3 || m.height.Kind != fix.NoHeight:
		return fix.Full
	}
	return fix.ModeUnsaid
}

// expected is the error by the dilution of precision and by the last digit told, of
// which half is the most it can be off.
func (m *moment) expected() fix.Expected {
	across := fix.AcrossUsual
	if m.quality.HDOP.Known && m.quality.HDOP.Value > 0 {
		across = math.Max(1, fix.AcrossPerHDOP*m.quality.HDOP.Value)
	}
	minute := 60 * math.Max(m.position.stepLat, m.position.stepL) * unit.NauticalMile
	return fix.Expected{Across: math.Hypot(across, minute/math.Sqrt(12)), Up: fix.UpUsual / fix.AcrossUsual * across, Time: 0.5}
}

// when finds the moment's date: its own, else the last one told, else that of arrival.
func (a *Assembler) when(m *moment, r *fix.Report) {
	if !m.at.known {
		return
	}
	if m.date.year != 0 {
		a.date, a.dateDay = m.date, m.at.ofDay()
		r.Time, r.TimeKind = at(m.date, m.at, 0), fix.Told
		return
	}
	if a.date.year != 0 {
		days := 0
		if m.at.ofDay() < a.dateDay-unit.Day/2 {
			days = 1 // midnight has passed since
		}
		r.Time, r.TimeKind = at(a.date, m.at, days), fix.Told
		r.Assumed = append(r.Assumed, "the date is that of an earlier sentence")
		if days == 1 {
			a.date = date{r.Time.Year(), int(r.Time.Month()), r.Time.Day()}
		}
		a.dateDay = m.at.ofDay()
		return
	}
	near := fix.Before(m.received)
	if near.IsZero() {
		near = a.near
	}
	if t := fix.NearestDay(m.at.hour, m.at.minute, m.at.second, near.UTC()); !t.IsZero() {
		r.Time, r.TimeKind = t, fix.DateAssumed
		r.Assumed = append(r.Assumed, "no date was told: the day that fits best was taken")
	}
}

func at(d date, c clock, days int) time.Time {
	within := time.Duration(math.Round(c.second*1e3)) * time.Millisecond
	return time.Date(d.year, time.Month(d.month), d.day+days, c.hour, c.minute, 0, 0, time.UTC).Add(within)
}

// Fault is a line of a log that was refused, counted from 1.
type Fault struct {
	Line int
	Err  error
}

func (f Fault) Error() string { return fmt.Sprintf("line %d: %v", f.Line, f.Err) }

// mostFaults is how many faults of a log are told.
const mostFaults = 100

// Read takes a whole log. Lines without a "$" are not sentences and are passed over,
// as are remarks after a "#"; of faulty ones the first hundred are named.
func Read(text, source string, near time.Time) (reports []fix.Report, faults []Fault) {
	a := NewAssembler(source, near)
	number := 0
	for line := range strings.Lines(text) {
		number++
		if !strings.Contains(line, "$") || strings.HasPrefix(line, "#") {
			continue
		}
		r, ready, err := a.Line(line, time.Time{})
		if ready {
			reports = append(reports, r)
		}
		if err != nil && len(faults) < mostFaults {
			faults = append(faults, Fault{number, err})
		}
	}
	if r, ready := a.Flush(); ready {
		reports = append(reports, r)
	}
	return reports, faults
}
