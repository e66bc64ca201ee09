package notation

import (
	"regexp"
	"strconv"
	"strings"
	"time"

	"pappus/signal/fix"
)

// Order says which number of a date such as 04/05/2027 is the day.
type Order int

// The orders of such dates.
const (
	Usual Order = iota // by the separator: month first between slashes, else the day
	DayFirst
	MonthFirst
)

// Moment is a date and a time of day as written; each may be missing.
type Moment struct {
	Year, Month, Day int // Year 0: the date is missing
	Hour, Minute     int
	Second           float64
	HasClock         bool
	Zone             *time.Location // nil where none is written
	Ambiguous        bool           // day and month could be exchanged
	At               int            // where in the text the time of day, or else the date, begins
}

var (
	isoDate      = regexp.MustCompile(`(?:^|\D)(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:\D|$)`)
	shortDate    = regexp.MustCompile(`(?:^|[^\d.])(\d{1,2})([./-])(\d{1,2})[./-](\d{4}|\d{2})(?:[^\d.]|\.?\s|\.?$)`)
	packedDate   = regexp.MustCompile(`(?:^|\D)(20\d\d)(\d\d)(\d\d)(?:[T _-]?(\d\d)(\d\d)(\d\d)(?:\.(\d{1,9}))?)?(Z)?(?:\D|$)`)
	dayMonth     = regexp.MustCompile(`(?i)(?:^|\D)(\d{1,2})(?:st|nd|rd|th|\.)?[ -](jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]{0,6}\.?,?[ -]?(\d{4})?`)
	monthDay     = regexp.MustCompile(`(?i)\b(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]{0,6}\.? (\d{1,2})(?:st|nd|rd|th)?\b(?:,? (\d{4}))?`)
	clockWriting = regexp.MustCompile(`(?i)(?:^|[^\d:.])(\d{1,2})[:h](\d{2})(?:[:m](\d{2})(?:[.,](\d{1,9}))?s?)?(?: ?(am|pm|a\.m\.|p\.m\.))?(?: ?(z|utc|gmt|[-+−]\d{2}:?\d{2}|[-+]\d{1,2}|[ecmp][sd]t|ces?t|bst)\b)?`)
)

// zones are offsets of names, hours from UTC, for those that mean one thing in most
// places (common practice, no source).
var zones = map[string]int{"z": 0, "utc": 0, "gmt": 0, "est": -5, "edt": -4, "cst": -6, "cdt": -5, "mst": -7, "mdt": -6, "pst": -8, "pdt": -7, "cet": 1, "cest": 2, "bst": 1}

var months = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// FindMoment finds the first date and the first time of day in a text.
func FindMoment(text string, order Order) (Moment, bool) {
	const most = 4096
	text = text[:min(len(text), most)]
	var m Moment
	dated := m.findDate(text, order)
	if !m.HasClock {
		m.findClock(text)
	}
	return m, dated || m.HasClock
}

func number(text string) int {
	v, err := strconv.Atoi(text)
	if err != nil {
		return 0
	}
	return v
}

func (m *Moment) setDate(year, month, day, at int) bool {
	t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if year < 1970 || year > 2200 || month < 1 || month > 12 || t.Day() != day || day < 1 {
		return false
	}
	m.Year, m.Month, m.Day, m.At = year, month, day, at
	return true
}

func (m *Moment) findDate(text string, order Order) bool {
	if f := isoDate.FindStringSubmatchIndex(text); f != nil {
		if m.setDate(number(text[f[2]:f[3]]), number(text[f[4]:f[5]]), number(text[f[6]:f[7]]), f[2]) {
			return true
		}
	}
	if f := packedDate.FindStringSubmatchIndex(text); f != nil {
		if m.packed(text, f) {
			return true
		}
	}
	if f := shortDate.FindStringSubmatchIndex(text); f != nil {
		a, b, year := number(text[f[2]:f[3]]), number(text[f[6]:f[7]]), number(text[f[8]:f[9]])
		if year < 100 {
			year += 2000
		}
		day, month := a, b
		if order == MonthFirst || order == Usual && text[f[4]] == '/' && a <= 12 {
			day, month = b, a
		}
		if month > 12 && day <= 12 {
			day, month = month, day
		}
		if m.setDate(year, month, day, f[2]) {
			m.Ambiguous = order == Usual && a <= 12 && b <= 12 && a != b
			return true
		}
	}
	for _, p := range []struct {
		pattern    *regexp.Regexp
		day, month int
	}{{dayMonth, 1, 2}, {monthDay, 2, 1}} {
		if f := p.pattern.FindStringSubmatch(text); f != nil && f[3] != "" {
			if m.setDate(number(f[3]), monthNumber(f[p.month]), number(f[p.day]), strings.Index(text, f[0])) {
				return true
			}
		}
	}
	return false
}

func monthNumber(name string) int {
	for i, n := range months {
		if strings.EqualFold(n, name) {
			return i + 1
		}
	}
	return 0
}

// packed takes a date without separators, with the time of day where it follows.
func (m *Moment) packed(text string, f []int) bool {
	part := func(i int) string {
		if f[2*i] < 0 {
			return ""
		}
		return text[f[2*i]:f[2*i+1]]
	}
	if !m.setDate(number(part(1)), number(part(2)), number(part(3)), f[2]) {
		return false
	}
	if part(4) != "" {
		m.setClock(part(4), part(5), part(6), part(7), "", f[8])
	}
	if part(8) != "" {
		m.Zone = time.UTC
	}
	return true
}

func (m *Moment) setClock(hour, minute, second, fraction, half string, at int) {
	h, min := number(hour), number(minute)
	s, err := strconv.ParseFloat("0"+second+"."+fraction+"0", 64)
	switch half = strings.ToLower(half); {
	case half == "":
	case h < 1 || h > 12:
		return
	default:
		h %= 12
		if half[0] == 'p' {
			h += 12
		}
	}
	if h > 23 || min > 59 || s >= 61 || err != nil {
		return
	}
	m.Hour, m.Minute, m.Second, m.HasClock, m.At = h, min, s, true, at
}

func (m *Moment) findClock(text string) {
	f := clockWriting.FindStringSubmatchIndex(text)
	if f == nil {
		return
	}
	part := func(i int) string {
		if f[2*i] < 0 {
			return ""
		}
		return text[f[2*i]:f[2*i+1]]
	}
	m.setClock(part(1), part(2), part(3), part(4), part(5), f[2])
	if !m.HasClock || part(6) == "" {
		return
	}
	zone := strings.ToLower(part(6))
	if hours, known := zones[zone]; known {
		m.Zone = time.FixedZone(strings.ToUpper(zone), hours*3600)
		return
	}
	zone = strings.ReplaceAll(strings.ReplaceAll(zone, "−", "-"), ":", "")
	hours := number(zone[1:min(len(zone), 3)])
	minutes := 0
	if len(zone) == 5 {
		minutes = number(zone[3:])
	}
	offset := hours*3600 + minutes*60
	if zone[0] == '-' {
		offset = -offset
	}
	if hours <= 14 && minutes < 60 {
		m.Zone = time.FixedZone(part(6), offset)
	}
}

// Time makes a moment of what is written and what is not: the zone is taken from zone
// (nil: UTC), the day from near, which may be zero. It says what it assumed.
func (m Moment) Time(zone *time.Location, near time.Time) (t time.Time, kind fix.TimeKind, assumed []string) {
	if !m.HasClock {
		return time.Time{}, fix.NoTime, nil
	}
	if m.Zone != nil {
		zone = m.Zone
	} else if zone == nil {
		zone = time.UTC
		assumed = append(assumed, "the time names no zone: UTC was taken")
	} else {
		assumed = append(assumed, "the time names no zone: "+zone.String()+" was taken")
	}
	if m.Year != 0 {
		if m.Ambiguous {
			assumed = append(assumed, "day and month of the date could be exchanged")
		}
		within := time.Duration(m.Second * float64(time.Second)).Round(time.Millisecond)
		t = time.Date(m.Year, time.Month(m.Month), m.Day, m.Hour, m.Minute, 0, 0, zone).Add(within)
		return t.UTC(), fix.Told, assumed
	}
	if near.IsZero() {
		return time.Time{}, fix.NoTime, append(assumed, "the time names no date, and nothing says which: it was not used")
	}
	t = fix.NearestDay(m.Hour, m.Minute, m.Second, near.In(zone))
	return t.UTC(), fix.DateAssumed, append(assumed, "the time names no date: the day that fits best was taken")
}
