// Package geo holds places and heights on the WGS-84 ellipsoid: points, the exact
// geodesics between them, a local plane to count in, and the several heights that
// must not be taken for one another.
//
// Functions that take a Point expect one that NewPoint would answer. A point that
// holds NaN gives NaN back; nothing here loops without bound or allocates.
package geo

import (
	"fmt"
	"math"
)

// Point is a place on the WGS-84 ellipsoid. The latitude is geodetic, the longitude
// lies in [-180, 180). At a pole the longitude still says which way is "north".
type Point struct{ LatDeg, LonDeg float64 }

// NewPoint checks a latitude and a longitude that come from outside. Longitudes from
// -180 to 360 are understood, so that both customs of writing them work.
func NewPoint(latDeg, lonDeg float64) (Point, error) {
	if !(latDeg >= -90 && latDeg <= 90) {
		return Point{}, fmt.Errorf("latitude %v is no place on the globe: give degrees from -90 (south) to 90 (north)", latDeg)
	}
	if !(lonDeg >= -180 && lonDeg <= 360) {
		return Point{}, fmt.Errorf("longitude %v is no place on the globe: give degrees from -180 to 360, east positive", lonDeg)
	}
	return Point{LatDeg: latDeg, LonDeg: WrapLonDeg(lonDeg)}, nil
}

// WrapLonDeg brings any finite longitude into [-180, 180).
func WrapLonDeg(lonDeg float64) float64 {
	if lonDeg >= -180 && lonDeg < 180 {
		return lonDeg
	}
	wrapped := math.Remainder(lonDeg, 360)
	if wrapped == 180 {
		return -180
	}
	return wrapped
}

// wrapBearingDeg brings a direction into [0, 360).
func wrapBearingDeg(deg float64) float64 {
	if deg < 0 {
		deg += 360
	}
	if deg >= 360 {
		return 0
	}
	return deg + 0 // turns -0 into 0
}

// sincosDeg keeps the exact values at multiples of 90 degrees, where converting to
// radians first would leave a residue.
func sincosDeg(deg float64) (sin, cos float64) {
	rest := math.Remainder(deg, 360)
	quarter := math.RoundToEven(rest / 90)
	rest -= 90 * quarter
	s, c := math.Sincos(rest * radian)
	switch int(quarter) & 3 {
	case 1:
		return c, -s
	case 2:
		return -s, -c
	case 3:
		return -c, s
	}
	return s, c
}

// atan2Deg is the direction of the vector (cos, sin), in degrees.
func atan2Deg(sin, cos float64) float64 {
	return math.Atan2(sin, cos) / radian
}

// radian is one degree in radians. No angle leaves this package in radians, so the
// factor lives here and not in package unit.
const radian = math.Pi / 180
