// Package fix holds a position report as a value, and judges a stream of them: which
// are to be believed, and why the others are not. It knows no format and no network.
package fix

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"time"

	"pappus/measure/geo"
)

// Figure is a number that a report may lack. Its zero value is the lack of it.
type Figure struct {
	Value float64
	Known bool
}

// Known makes a figure of a number; what is no finite number is not known.
func Known(value float64) Figure {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return Figure{}
	}
	return Figure{value, true}
}

// HeightKind says from what a height is counted.
type HeightKind int

// The kinds of height that reports carry.
const (
	NoHeight       HeightKind = iota
	AboveSea                  // above mean sea level, by satellites
	AboveEllipsoid            // above the WGS-84 ellipsoid
	ByPressure                // worked out from a barometer in the standard atmosphere
	AboveGround               // above the ground below
	Unsaid                    // the format does not say; taken as above sea
)

func (k HeightKind) String() string {
	return [...]string{"none", "above sea", "above the ellipsoid", "by pressure", "above ground", "not said"}[k]
}

// Height is a height in a report, m. Separation is the height of mean sea level over
// the ellipsoid there, where the report tells it.
type Height struct {
	Metres     float64
	Kind       HeightKind
	Separation Figure
}

// What turning one kind of height into another leaves in doubt, one standard deviation.
const (
	geoidDoubt    = 31.0 // m: sea level lies from -107 to +85 m off the ellipsoid, about 31 m in the mean square [EGM96, from memory]
	unsaidDoubt   = 31.0 // m: as likely as not the geoid was left out
	pressureDoubt = 0.03 // of the height: the real column of air is some percent thicker or thinner than the standard one (judgement)
)

// MSL answers the height above mean sea level, and what the kind of height leaves in
// doubt, one standard deviation in m. A height above ground needs the ground: not ok.
func (h Height) MSL() (alt geo.AltMSL, doubt float64, ok bool) {
	switch h.Kind {
	case AboveSea:
		return geo.AltMSL(h.Metres), 0, true
	case AboveEllipsoid:
		if h.Separation.Known {
			return geo.AltMSL(h.Metres - h.Separation.Value), 0, true
		}
		return geo.AltMSL(h.Metres), geoidDoubt, true
	case ByPressure:
		return geo.AltMSL(h.Metres), math.Abs(pressureDoubt * h.Metres), true
	case Unsaid:
		return geo.AltMSL(h.Metres), unsaidDoubt, true
	}
	return 0, 0, false
}

// TimeKind says how a report's time is known.
type TimeKind int

// How a time is known.
const (
	NoTime      TimeKind = iota // not told; the arrival stands for it
	DateAssumed                 // a time of day was told, the date was taken from the arrival
	Told                        // date and time were told
)

// Mode is how a receiver says it knows its place.
type Mode int

// The modes of a receiver.
const (
	ModeUnsaid Mode = iota
	NoFix           // it says it does not know
	Flat            // place without height
	Full            // place and height
	Estimated       // carried on from an older place by dead reckoning
	Simulated       // set by hand, or by a simulator
)

// Quality is what the receiver says of its own fix.
type Quality struct {
	Mode       Mode
	Satellites Figure
	HDOP       Figure
}

// Expected is the expected error of a report: one standard deviation of its core. The
// tails are heavier than normal: see Weight.
type Expected struct {
	Across float64 // m, in each of east and north
	Up     float64 // m, of the height as its kind counts it
	Time   float64 // s
}

// Errors of a satellite fix that says nothing of itself (common practice, no source),
// and of the time of anything that arrives without one.
const (
	AcrossUsual  = 5.0
	UpUsual      = 10.0
	ArrivalDelay = 5.0
	// AcrossPerHDOP turns a dilution of precision into metres (common practice, no source).
	AcrossPerHDOP = 5.0
)

// freedom is the degrees of freedom of the Student distribution of report errors: a
// judgement; four leave one error in 80 beyond three and a half times the core.
const freedom = 4.0

// Weight is how much a report counts whose difference from what was expected, divided
// by the expected error and squared, is given, in so many dimensions: the weight
// (ν+d)/(ν+δ²) of the Student distribution [Lange1989], at most (ν+d)/ν. A report far
// off is heard the less the farther it is, and never decides alone.
func Weight(squared float64, dimensions int) float64 {
	return (freedom + float64(dimensions)) / (freedom + squared)
}

// Report is one position report as it was understood. It is a value: nothing in it
// changes after it was made.
type Report struct {
	Source   string    // the receiver or paste it came by, as the person named it
	Station  string    // who it speaks of: call sign, object or device; may be empty
	Raw      string    // the line it was made of, as it came
	Received time.Time // when it arrived here; zero for a log read later

	Time     time.Time // when it was true; zero when not told
	TimeKind TimeKind

	Place    geo.Point
	HasPlace bool
	Height   Height

	Speed     Figure // over the ground, m/s
	CourseDeg Figure // over the ground, true
	Climb     Figure // m/s

	Quality  Quality
	Expected Expected
	Assumed  []string // what had to be assumed to understand it, in words
	Comment  string   // free words that came with it
}

// At is the time a report stands for: the told one, else that of its arrival.
func (r Report) At() (time.Time, bool) {
	if r.TimeKind != NoTime && !r.Time.IsZero() {
		return r.Time, true
	}
	return r.Received, !r.Received.IsZero()
}

// Key names a report by what it says, so that the same report heard twice has one key.
// Where no time is told the arrival belongs to it: a box lying still says the same thing
// again and again.
func (r Report) Key() string {
	told := r.Time
	if r.TimeKind == NoTime {
		told = r.Received
	}
	content := fmt.Sprintf("%q %q %q %d %d %v %v %v %v", r.Source, r.Station, r.Raw,
		told.UnixNano(), r.TimeKind, r.HasPlace, r.Place, r.Height, r.Quality)
	sum := sha256.Sum256([]byte(content))
	return hex.EncodeToString(sum[:12])
}
