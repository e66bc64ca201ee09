package sun

import (
	"math"
	"time"

	"pappus/measure/geo"
)

// meanEarthRadius serves the horizon only; the ellipsoid would change the dip by 0.2 %.
const meanEarthRadius = 6371000.0

// HorizonDeg is the true elevation of the Sun's centre when its upper limb vanishes behind a level horizon,
// for an eye this high above the ground: -0.83° on the ground, about -6.8° at 30 km.
//
// The last ray grazes the ground. From the grazing point on to space it is bent by the almanacs' 34', and
// the eye stands the angle theta further round the Earth; so the depression is 34' + 16' + theta.
// theta follows from Bouguer's law n r sin z = const in air with n - 1 = 2.77e-4 exp(-h / 8 km),
// which itself bends a grazing ray by 34'. Heights below zero count as zero; valid to 100 km.
func HorizonDeg(above geo.AltAGL) float64 {
	return -horizonRefractionDeg - semidiameterDeg - grazingArcDeg(float64(above))
}

// grazingArcDeg integrates dθ = dr / (r sqrt((n r / n0 R)² - 1)) from the ground to the eye.
// With r = R + h u² the integrand is smooth, and Simpson's rule on 16 intervals is good to 1e-4°.
func grazingArcDeg(height float64) float64 {
	const (
		refractivity = 2.77e-4
		scaleHeight  = 8000.0
		intervals    = 16
	)
	if !(height > 0) {
		return 0
	}
	integrand := func(u float64) float64 {
		h := height * u * u
		// (n r / n0 R)² - 1 without cancellation: with x = n r / (n0 R) - 1 it is x (2 + x).
		dn := refractivity * math.Expm1(-h/scaleHeight) / (1 + refractivity)
		x := h/meanEarthRadius + dn*(1+h/meanEarthRadius)
		if u == 0 {
			// The limit: x -> h (1/R - refractivity / scaleHeight).
			slope := 1/meanEarthRadius - refractivity/scaleHeight/(1+refractivity)
			return 2 * math.Sqrt(height) / (meanEarthRadius * math.Sqrt(2*slope))
		}
		return 2 * height * u / ((meanEarthRadius + h) * math.Sqrt(x*(2+x)))
	}
	sum := integrand(0) + integrand(1)
	for i := 1; i < intervals; i++ {
		weight := 4.0
		if i%2 == 0 {
			weight = 2
		}
		sum += weight * integrand(float64(i)/intervals)
	}
	return sum / (3 * intervals) / degree
}

// Light is how light it is.
type Light uint8

// The kinds of light, from dark to bright.
const (
	Night         Light = iota // the Sun is more than 6° below the horizon
	CivilTwilight              // the Sun is down, but large things can still be told apart outdoors
	Daylight                   // some of the disc is up
)

// String names the light in words.
func (l Light) String() string {
	switch l {
	case Daylight:
		return "daylight"
	case CivilTwilight:
		return "civil twilight"
	default:
		return "night"
	}
}

// LightAt says how light it is at an instant and place, this high above level ground.
func LightAt(t time.Time, p geo.Point, above geo.AltAGL) Light {
	elevation := At(t, p).ElevationDeg
	arc := grazingArcDeg(float64(above))
	switch {
	case elevation > -horizonRefractionDeg-semidiameterDeg-arc:
		return Daylight
	case elevation > -CivilTwilightDeg-arc:
		return CivilTwilight
	default:
		return Night
	}
}
