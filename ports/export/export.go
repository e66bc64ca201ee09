// Package export writes a flight and its odds in formats that other programs
// open: GeoJSON [RFC7946], KML 2.2 [KML22], GPX 1.1 [GPX11] and CSV [RFC4180];
// and prints the sheets of the desk as text, HTML, PDF and iCalendar [RFC5545].
//
// Each function answers the octets of one whole file and touches no disk. The
// same odds give the same octets. Places are WGS 84 degrees, heights are metres
// above mean sea level, instants are UTC to the millisecond. doc/exports.md
// lists what stands in each file.
package export

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"

	"pappus/flight"
	"pappus/measure/geo"
	"pappus/motion/trajectory"
)

// position is one point of the central flight.
type position struct {
	lon, lat float64 // degrees, to 1e-7
	alt      float64 // to 0.1 m
	at       time.Time
}

func (p position) point() geo.Point { return geo.Point{LatDeg: p.lat, LonDeg: geo.WrapLonDeg(p.lon)} }

// flown is the central flight as the files want it. The way down begins at the
// burst, so that the two ways join.
type flown struct {
	name     string
	up, down []position
}

func (f *flown) launch() position  { return f.up[0] }
func (f *flown) burst() position   { return f.up[len(f.up)-1] }
func (f *flown) landing() position { return f.down[len(f.down)-1] }

// errNoFlight means that there is nothing to write.
var errNoFlight = errors.New("there is no flight to write: work out the odds first")

// prepare takes the central flight out of the odds and refuses what no file may hold.
func prepare(o *flight.Odds, name string) (*flown, error) {
	if o == nil || o.Answer == nil || o.Nominal == nil || o.Sky == nil || len(o.Nominal.Up) == 0 {
		return nil, errNoFlight
	}
	f := &flown{name: tidy(name)}
	for _, way := range []struct {
		rows []trajectory.Row
		into *[]position
	}{{o.Nominal.Up, &f.up}, {o.Nominal.Down, &f.down}} {
		if len(f.up) > 0 {
			*way.into = append(*way.into, f.burst())
		}
		for _, r := range way.rows {
			if err := checkPlace(r.LatDeg, r.LonDeg, r.Alt); err != nil {
				return nil, fmt.Errorf("the central flight: %w", err)
			}
			*way.into = append(*way.into, position{
				lon: roundTo(r.LonDeg, 1e7), lat: roundTo(r.LatDeg, 1e7), alt: roundTo(r.Alt, 10), at: instant(o, r.Seconds),
			})
		}
	}
	if g := o.Answer.Landing; g != nil {
		if err := checkPlace(g.Median.Lat, g.Median.Lon, 0); err != nil {
			return nil, fmt.Errorf("the median landing: %w", err)
		}
	}
	return f, nil
}

func checkPlace(latDeg, lonDeg, alt float64) error {
	if !(math.Abs(latDeg) <= 90 && math.Abs(lonDeg) <= 180) || math.IsNaN(alt) || math.IsInf(alt, 0) {
		return fmt.Errorf("latitude %v, longitude %v, height %v m is no place and is not written", latDeg, lonDeg, alt)
	}
	return nil
}

// instant turns the sky's seconds into UTC.
func instant(o *flight.Odds, seconds float64) time.Time { return o.Sky.Instant(seconds).UTC() }

// stamp writes an instant as [RFC3339] has it. Rows are as close as half a
// second, so whole seconds would make two of them one.
func stamp(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000Z") }

// roundTo rounds to a part of the unit and never answers a negative zero.
func roundTo(value, parts float64) float64 { return math.Round(value*parts)/parts + 0 }

// digits writes a number without an exponent and without zeros at its end.
func digits(value float64) string { return strconv.FormatFloat(value+0, 'f', -1, 64) }

// longestName bounds what a name adds to a file, in characters.
const longestName = 200

// tidy makes a name fit for every format: one line, none of the characters
// that [XML10, section 2.2] forbids, and none that turn the reading direction
// of what follows.
func tidy(name string) string { return tidyTo(name, longestName) }

// longestText bounds what one text of a sheet adds to a file, in characters.
const longestText = 8000

// tidyLong is tidy for the longer texts of a sheet.
func tidyLong(text string) string { return tidyTo(text, longestText) }

func tidyTo(text string, most int) string {
	var b strings.Builder
	count := 0
	for _, word := range strings.Fields(strings.ToValidUTF8(text, "")) {
		word = strings.Map(func(r rune) rune {
			if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == 0xFFFE || r == 0xFFFF {
				return -1
			}
			return r
		}, word)
		if word == "" {
			continue
		}
		if b.Len() > 0 {
			word = " " + word
		}
		for _, r := range word {
			if count++; count > most {
				return b.String()
			}
			b.WriteRune(r)
		}
	}
	return b.String()
}

// titled is the name of the flight, or a word for it.
func (f *flown) titled() string {
	if f.name == "" {
		return "flight"
	}
	return f.name
}
