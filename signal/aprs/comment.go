package aprs

import (
	"strings"
	"time"

	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/signal/fix"
)

// stampLength is that of every time stamp before a position.
const stampLength = 7

// stamp reads a time stamp [APRS101, chapter 6]: day, hour, minute in UTC (z) or the
// sender's own time (/), or hour, minute, second in UTC (h). A wrong one costs the time
// only: the place is still told.
func (r reader) stamp(text string) {
	p := r.pos
	a, ok := digits(text[:2])
	b, ok2 := digits(text[2:4])
	c, ok3 := digits(text[4:6])
	if !ok || !ok2 || !ok3 {
		p.Assumed = append(p.Assumed, "its time stamp is not readable: the arrival stands for it")
		return
	}
	near := r.near.UTC()
	if r.near.IsZero() {
		near = time.Time{}
	}
	var t time.Time
	const minuteTold = 35.0 // s: minutes are cut off, not rounded (60/√12 s, and half a minute late)
	doubt := minuteTold
	switch {
	case text[6] == 'h' && a <= 23 && b <= 59 && c <= 60:
		t, doubt = fix.NearestDay(a, b, float64(c), near), 1
	case text[6] == 'z' && b <= 23 && c <= 59:
		t = fix.NearestMonth(a, b, c, 0, near)
	case text[6] == '/' && b <= 23 && c <= 59 && r.zone != nil:
		if !r.near.IsZero() {
			t = fix.NearestMonth(a, b, c, 0, r.near.In(r.zone)).UTC()
		}
	case text[6] == '/' && b <= 23 && c <= 59:
		p.Assumed = append(p.Assumed, "its time stamp is in the sender's own time, whose zone is not known: the arrival stands for it")
		return
	default:
		p.Assumed = append(p.Assumed, "its time stamp tells no time of day: the arrival stands for it")
		return
	}
	if t.IsZero() {
		p.Assumed = append(p.Assumed, "its time stamp leaves out the month, and nothing says which: it was not used")
		return
	}
	p.Time, p.TimeKind, p.Expected.Time = t, fix.DateAssumed, doubt
	p.Assumed = append(p.Assumed, "its time stamp leaves out the date: the one that fits best was taken")
}

// comment reads the height and the further digits of the place out of the free words,
// and keeps the words.
func (r reader) comment(text string, finer bool) {
	if feet, ok := altitude(text); ok && r.pos.Height.Kind == fix.NoHeight {
		r.pos.Height = fix.Height{Metres: feet * unit.Foot, Kind: fix.AboveSea}
	}
	if at, ok := extraDigits(text); ok && finer {
		r.finer(text[at+1], text[at+2], text[at+3])
	}
	r.pos.Comment = printable(text)
}

// altitude finds /A= and six digits, feet; the first may be a minus sign.
func altitude(text string) (feet float64, ok bool) {
	const mark, length = "/A=", 6
	for rest := text; ; {
		at := strings.Index(rest, mark)
		if at < 0 || len(rest) < at+len(mark)+length {
			return 0, false
		}
		number := rest[at+len(mark) : at+len(mark)+length]
		if minus, isMinus := strings.CutPrefix(number, "-"); isMinus {
			if v, ok := digits(minus); ok {
				return -float64(v), true
			}
		} else if v, ok := digits(number); ok {
			return float64(v), true
		}
		rest = rest[at+len(mark):]
	}
}

// extraDigits finds !W12! or !wAB! [DAO].
func extraDigits(text string) (at int, ok bool) {
	for i := 0; i+5 <= len(text); i++ {
		if text[i] == '!' && text[i+4] == '!' && (text[i+1] == 'W' || text[i+1] == 'w') {
			return i, true
		}
	}
	return 0, false
}

// finer adds the third decimal of the minutes, or the part of a hundredth that two
// letters of base 91 tell [DAO].
func (r reader) finer(kind, lat, lon byte) {
	var north, east, step float64
	if kind == 'W' {
		a, ok := digits(string(lat))
		b, ok2 := digits(string(lon))
		if !ok || !ok2 {
			return
		}
		north, east, step = float64(a)/1000, float64(b)/1000, 0.001
	} else {
		a, ok := base91(string(lat))
		b, ok2 := base91(string(lon))
		if !ok || !ok2 {
			return
		}
		north, east, step = 0.01*float64(a)/91, 0.01*float64(b)/91, 0.01/91
	}
	p := r.pos.Place
	away := func(deg, minutes float64) float64 { // from the equator, or the prime meridian
		if deg < 0 {
			return deg - minutes/60
		}
		return deg + minutes/60
	}
	if place, err := geo.NewPoint(away(p.LatDeg, north), away(p.LonDeg, east)); err == nil {
		r.pos.Place = place
		r.resolution(step)
	}
}

// printable keeps what can be shown of a comment.
func printable(text string) string {
	return strings.TrimSpace(strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7F || c == '\uFFFD' {
			return -1
		}
		return c
	}, text))
}
