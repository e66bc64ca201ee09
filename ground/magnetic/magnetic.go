// Package magnetic gives the Earth's magnetic field, and with it the angle between true and magnetic north,
// by the World Magnetic Model of 2025, for a place, a height above the ellipsoid and a time.
//
// The model holds the field of the core only, to degree 12 (waves of 3000 km). Rocks, iron and magnetic storms
// add a degree or more in places. It is meant for 2025 to 2029; outside these years the answer is
// still worked out, and carries a caution.
package magnetic

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"
	"time"

	"pappus/measure/geo"
)

const (
	degree = math.Pi / 180

	maxDegree       = 12
	referenceRadius = 6371200.0 // [WMM2025] the geomagnetic reference sphere
	epochYear       = 2025.0

	// weakNT is the horizontal field below which [WMM2025] warns of compasses ("caution zone"), and uselessNT
	// below which it calls them unreliable ("blackout zone").
	weakNT    = 6000.0
	uselessNT = 2000.0
)

// ValidFrom and ValidUntil bound the years the model is issued for [WMM2025].
func ValidFrom() time.Time  { return time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC) }
func ValidUntil() time.Time { return time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC) }

// ModelName is what the answer should be called where it is printed.
const ModelName = "WMM2025"

// Standing says how far an answer may be trusted. The zero value is a plain answer.
type Standing uint8

// The standings, the graver one winning.
const (
	Good         Standing = iota
	WeakField             // a compass is sluggish here
	TooEarly              // before the model's years
	TooLate               // after them: the field has moved on
	UselessField          // near a magnetic pole: a compass does not point
)

// String is a caution in words, empty when there is none.
func (s Standing) String() string {
	switch s {
	case WeakField:
		return "near a magnetic pole: the horizontal field is weak and a compass is uncertain"
	case TooEarly:
		return "before 2025, when the magnetic model begins: the declination may be off by more than is stated"
	case TooLate:
		return "after 2029, when the magnetic model ends: take the declination from a newer chart"
	case UselessField:
		return "at a magnetic pole: a compass cannot be used here"
	default:
		return ""
	}
}

// Field is the field at a point. Angles are in degrees; strengths in nanotesla, as the model states them.
type Field struct {
	DeclinationDeg float64 // of magnetic north, east of true north
	InclinationDeg float64 // down from the horizontal
	HorizontalNT   float64
	TotalNT        float64
	// DeclinationErrorDeg is the model's own one standard deviation, rocks and storms of a usual kind included.
	DeclinationErrorDeg float64
	Standing            Standing
}

//go:embed WMM2025.tsv
var table string

// coefficient is one row of the model: nanotesla, and nanotesla a year.
type coefficient struct{ g, h, gRate, hRate float64 }

// coefficients are Schmidt semi-normalised, row (n, m) at n(n+1)/2 + m.
var coefficients = sync.OnceValue(func() *[91]coefficient {
	model, err := parse(table)
	if err != nil {
		panic(err) // the embedded table is part of the program
	}
	return model
})

func parse(text string) (*[91]coefficient, error) {
	var model [91]coefficient
	rows := 0
	for line := range strings.Lines(text) {
		fields := strings.Fields(line)
		if len(fields) == 0 || fields[0] == "#" {
			continue
		}
		if len(fields) != 6 {
			return nil, fmt.Errorf("magnetic model, line %q: %d columns, expected n, m, g, h and their rates", line, len(fields))
		}
		var v [6]float64
		for i, f := range fields {
			var err error
			if v[i], err = strconv.ParseFloat(f, 64); err != nil {
				return nil, fmt.Errorf("magnetic model, line %q: %w", line, err)
			}
		}
		n, m := int(v[0]), int(v[1])
		if n < 1 || n > maxDegree || m < 0 || m > n {
			return nil, fmt.Errorf("magnetic model: degree %d and order %d are outside 1 to %d", n, m, maxDegree)
		}
		model[n*(n+1)/2+m] = coefficient{v[2], v[3], v[4], v[5]}
		rows++
	}
	if rows != 90 {
		return nil, fmt.Errorf("magnetic model: %d rows, expected 90", rows)
	}
	return &model, nil
}

// At gives the field at a point. For a height above sea level the difference to the ellipsoid (100 m at most)
// changes the declination by less than 0.0001°.
func At(p geo.Point, height geo.AltHAE, t time.Time) Field {
	north, east, down := vector(p, float64(height), decimalYear(t))
	horizontal := math.Hypot(north, east)
	f := Field{
		DeclinationDeg: math.Atan2(east, north) / degree,
		InclinationDeg: math.Atan2(down, horizontal) / degree,
		HorizontalNT:   horizontal,
		TotalNT:        math.Hypot(horizontal, down),
	}
	// [WMM2025] error model: 0.26° everywhere, and 5417 nT sideways.
	f.DeclinationErrorDeg = math.Min(180, math.Hypot(0.26, 5417/horizontal))
	switch {
	case horizontal < uselessNT:
		f.Standing = UselessField
	case t.Before(ValidFrom()):
		f.Standing = TooEarly
	case !t.Before(ValidUntil()):
		f.Standing = TooLate
	case horizontal < weakNT:
		f.Standing = WeakField
	}
	return f
}

// FromTrueDeg turns a true bearing into a magnetic one, 0 to 360.
func (f Field) FromTrueDeg(bearingDeg float64) float64 {
	b := math.Mod(bearingDeg-f.DeclinationDeg, 360)
	if b < 0 {
		b += 360
	}
	return b
}

func decimalYear(t time.Time) float64 {
	t = t.UTC()
	start := time.Date(t.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
	length := time.Date(t.Year()+1, 1, 1, 0, 0, 0, 0, time.UTC).Sub(start)
	return float64(t.Year()) + float64(t.Sub(start))/float64(length)
}
