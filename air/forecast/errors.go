package forecast

import (
	"fmt"
	"math"
	"strings"
	"time"

	"pappus/measure/geo"
)

// FileError says what is wrong with one file.
type FileError struct {
	File string
	Err  error // from grib2, or a plain sentence with advice
}

func (e *FileError) Error() string { return e.File + ": " + e.Err.Error() }

func (e *FileError) Unwrap() error { return e.Err }

// mostNamed is how many faults are written out; the rest are counted, so that
// a folder of broken files still fits on a screen.
const mostNamed = 3

// Faults is what is wrong with files, in their order.
type Faults []error

func (f Faults) Error() string {
	var lines []string
	for i, fault := range f {
		if i == mostNamed {
			lines = append(lines, fmt.Sprintf("and %d more faults like these", len(f)-mostNamed))
			break
		}
		lines = append(lines, fault.Error())
	}
	return strings.Join(lines, "\n")
}

// Unwrap lets errors.As look into each of them.
func (f Faults) Unwrap() []error { return f }

// ChoiceError says that files were given that cannot serve together, or none.
type ChoiceError struct{ Text string }

func (e *ChoiceError) Error() string { return e.Text }

// MissingError says that the files lack something without which there is no sky.
type MissingError struct {
	Files []string
	Lacks []string // the quantities on pressure levels that no file holds
	Text  string
}

func (e *MissingError) Error() string { return fileList(e.Files) + ": " + e.Text }

// GridError says that fields stand on a grid that is not read, or on several.
type GridError struct {
	File string
	Text string
}

func (e *GridError) Error() string { return e.File + ": " + e.Text }

// ValueError says that a field holds no value, or an impossible one, at a place
// that is needed.
type ValueError struct {
	File, Field string
	Place       geo.Point
	Value       float64 // NaN: none
	Expected    string
}

func (e *ValueError) Error() string {
	what := "has no value"
	if !math.IsNaN(e.Value) {
		what = fmt.Sprintf("holds %.6g", e.Value)
	}
	return fmt.Sprintf("%s: %s %s at %s, where %s is expected: fetch the file again, or leave it out", e.File, e.Field, what, placeText(e.Place), e.Expected)
}

// SizeError says that the part of the forecast that is needed takes too much memory.
type SizeError struct {
	Nodes, Most int
}

func (e *SizeError) Error() string {
	return fmt.Sprintf("the forecast has %d million points around the flight, more than the %d million that are held in memory: give fewer members or steps", e.Nodes/1e6, e.Most/1e6)
}

// Span is a stretch of time that files cover.
type Span struct{ From, To time.Time }

// CoverageError says that the launch lies outside what the files cover.
type CoverageError struct {
	Launch time.Time
	Place  geo.Point
	Time   bool   // the time lies outside; otherwise the place does
	Spans  []Span // what the files cover, earliest first; From equals To for one step alone
	Areas  []Area
}

func (e *CoverageError) Error() string {
	if !e.Time {
		var areas []string
		for _, a := range e.Areas {
			areas = append(areas, a.String())
		}
		return fmt.Sprintf("the place %s lies outside the forecast, which covers %s: fetch one around the launch place", placeText(e.Place), strings.Join(areas, "; "))
	}
	var spans []string
	alone := true
	for _, s := range e.Spans {
		if s.From.Equal(s.To) {
			spans = append(spans, timeText(s.From))
			continue
		}
		alone = false
		spans = append(spans, timeText(s.From)+" to "+timeText(s.To))
	}
	covers := "which covers " + strings.Join(spans, " and ")
	if alone {
		covers = fmt.Sprintf("whose only step, %s, serves for launches within %.0f hours of it", strings.Join(spans, " or "), frozenReach.Hours())
	}
	return fmt.Sprintf("the launch at %s lies outside the forecast, %s: fetch one for that time", timeText(e.Launch), covers)
}

// Area is what a grid covers.
type Area struct {
	SouthDeg, NorthDeg float64
	WestDeg, EastDeg   float64 // East lies less than a turn beyond West
	Around             bool    // all longitudes
}

func (a Area) String() string {
	south, north := latText(a.SouthDeg), latText(a.NorthDeg)
	if a.Around {
		return fmt.Sprintf("%s to %s, all longitudes", south, north)
	}
	return fmt.Sprintf("%s to %s, %s to %s", south, north, lonText(a.WestDeg), lonText(a.EastDeg))
}

func latText(latDeg float64) string {
	if latDeg < 0 {
		return fmt.Sprintf("%.4g S", -latDeg)
	}
	return fmt.Sprintf("%.4g N", latDeg)
}

func lonText(lonDeg float64) string {
	if lonDeg = geo.WrapLonDeg(lonDeg); lonDeg < 0 {
		return fmt.Sprintf("%.5g W", -lonDeg)
	}
	return fmt.Sprintf("%.5g E", lonDeg)
}

func placeText(p geo.Point) string { return latText(p.LatDeg) + " " + lonText(p.LonDeg) }

func timeText(t time.Time) string { return t.UTC().Format("2006-01-02 15:04") + " UTC" }

// fileList names files, but not a whole folder of them.
func fileList(names []string) string {
	const most = 3
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more files", strings.Join(names[:most-1], ", "), len(names)-most+1)
}
