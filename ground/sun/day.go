package sun

import (
	"math"
	"time"

	"pappus/measure/geo"
)

// Course says what the Sun does against a horizon during half a day.
type Course uint8

// The courses.
const (
	Crosses    Course = iota // it passes the horizon, at a time given
	StaysAbove               // it is above all the while: polar day, or white nights
	StaysBelow               // it is below all the while: polar night
)

// String names the course in words.
func (c Course) String() string {
	switch c {
	case Crosses:
		return "crosses the horizon"
	case StaysAbove:
		return "stays above the horizon"
	default:
		return "stays below the horizon"
	}
}

// Crossing is a passage of the horizon, or why there is none. Time is set only when Course is Crosses.
type Crossing struct {
	Course Course
	Time   time.Time
}

// Span is the way up before the Sun's noon and the way down after it.
// Near the pole one may happen without the other.
type Span struct{ Up, Down Crossing }

// Day is one day by the Sun, from midnight to midnight about its noon. Times are in UTC.
type Day struct {
	Noon             time.Time // the Sun is on the meridian
	NoonElevationDeg float64   // true, without refraction
	Disc             Span      // rise and set of the upper limb
	Civil            Span      // start and end of civil twilight
}

// DayAt gives the day by the Sun that holds an instant, for an eye this high above level ground.
// For a calendar date pass its noon in the clocks of the place.
func DayAt(t time.Time, p geo.Point, above geo.AltAGL) Day {
	noon := transit(t, p)
	arc := grazingArcDeg(float64(above))
	return Day{
		Noon:             noon.UTC(),
		NoonElevationDeg: At(noon, p).ElevationDeg,
		Disc:             span(noon, p, -horizonRefractionDeg-semidiameterDeg-arc),
		Civil:            span(noon, p, -CivilTwilightDeg-arc),
	}
}

// transit finds the upper passage of the meridian nearest to t. The hour angle runs 15° an hour within 0.01°,
// so that a few steps end within a millisecond.
func transit(t time.Time, p geo.Point) time.Time {
	for range 4 {
		s := equatorial(t)
		hourAngle := math.Remainder(s.siderealDeg+p.LonDeg-s.rightAscensionDeg, 360)
		t = t.Add(-time.Duration(hourAngle / 15 * float64(time.Hour)))
	}
	return t
}

func span(noon time.Time, p geo.Point, thresholdDeg float64) Span {
	return Span{
		Up:   crossing(noon, p, thresholdDeg, -1),
		Down: crossing(noon, p, thresholdDeg, +1),
	}
}

// crossing walks from noon towards midnight (direction -1: back, +1: on) and halves the first interval in which
// the Sun passes the threshold. Away from the poles it only sinks between noon and midnight, so that no passage is
// missed; within some kilometres of a pole a passage there and back within 20 minutes may be.
func crossing(noon time.Time, p geo.Point, thresholdDeg float64, direction time.Duration) Crossing {
	const step = 20 * time.Minute
	const half = 12 * time.Hour
	above := func(after time.Duration) bool {
		return At(noon.Add(direction*after), p).ElevationDeg > thresholdDeg
	}
	atNoon := above(0)
	near, far := time.Duration(0), time.Duration(-1)
	for d := step; d <= half; d += step {
		if above(d) != atNoon {
			far = d
			break
		}
		near = d
	}
	if far < 0 {
		if atNoon {
			return Crossing{Course: StaysAbove}
		}
		return Crossing{Course: StaysBelow}
	}
	for far-near > 100*time.Millisecond {
		middle := (near + far) / 2
		if above(middle) == atNoon {
			near = middle
		} else {
			far = middle
		}
	}
	return Crossing{Course: Crosses, Time: noon.Add(direction * far).UTC()}
}
