package envelope

import "math"

// Film constants for RubberPressure. The stiffness is that of toy balloons,
// [Mueller2004] (from memory); the thickness is assumed, so that 1.2 kg of latex
// make a sphere of 1.1 m at rest. Together they are good to a factor of two.
const (
	rubberStiffness = 3e5    // Pa, s+ of the source
	rubberDensity   = 920.0  // kg/m³
	filmThickness   = 3.4e-4 // m, unstretched
)

// RestDiameter is the diameter at which the film of an envelope is just round
// and not yet stretched: sqrt(m/(π ρ h)) for a film of density ρ and thickness h.
func RestDiameter(mass float64) float64 {
	return math.Sqrt(mass / (math.Pi * rubberDensity * filmThickness))
}

// RubberPressure is how far the pressure inside lies above the air's, for an
// envelope of a mass blown to a diameter: a thin sphere of Mooney-Rivlin rubber,
// p = 2 s (h/r) (1/L - 1/L⁷)(1 + 0.1 L²), L the stretch, h and r thickness and
// radius at rest, [Mueller2004]. About 2.4 hPa at all stretches from 2 to 5 for
// a large envelope; a slack one presses nothing. Real rubber stiffens further as
// it cools and before it bursts, which is left out.
func RubberPressure(mass, diameter float64) float64 {
	rest := RestDiameter(mass)
	if diameter <= rest {
		return 0
	}
	inverse := rest / diameter
	square := inverse * inverse
	shape := inverse * (1 - square*square*square) * (1 + 0.1/square)
	return 2 * rubberStiffness * filmThickness / (rest / 2) * shape
}

// TautDiameter is the diameter that gas takes which would fill freeDiameter if
// the film pressed nothing: it solves (p + film(d)) d³ = p D³ for the air's
// pressure p, to nine digits. The cube root of that is nearly a straight line in
// d, so that a secant kept inside its bracket (the Illinois rule) ends in about
// ten evaluations.
func TautDiameter(freeDiameter, mass, airPressure float64) float64 {
	excess := func(d float64) float64 {
		return d*math.Cbrt(1+RubberPressure(mass, d)/airPressure) - freeDiameter
	}
	low, high := 0.0, freeDiameter
	atLow, atHigh := -freeDiameter, excess(freeDiameter)
	side := 0
	for range 100 {
		if !(atHigh > 0) || high-low <= 1e-13*freeDiameter {
			return high
		}
		next := high - atHigh*(high-low)/(atHigh-atLow)
		at := excess(next)
		switch {
		case math.Abs(at) <= 1e-12*freeDiameter:
			return next
		case at > 0:
			high, atHigh = next, at
			if side > 0 {
				atLow /= 2
			}
			side = 1
		default:
			low, atLow = next, at
			if side < 0 {
				atHigh /= 2
			}
			side = -1
		}
	}
	return (low + high) / 2
}

// ConvertRating turns a rated burst diameter into the one at which the film
// really gives. Makers' ratings and TypicalBurstDiameter are worked out from
// the gas law without the film's pressure, so a flight that does count it must
// burst at a smaller diameter, or the film would be counted once and its rating
// not at all. airPressure is that of the height at which the rating was made:
// RatingPressure where the data sheet says nothing. A flight like the rating's
// then bursts at the same height with and without rubber; the difference shows
// with fills unlike it.
func ConvertRating(ratedDiameter, mass, airPressure float64) float64 {
	return TautDiameter(ratedDiameter, mass, airPressure)
}

// ratingRows are mass in kg and the standard atmosphere's pressure in Pa at the
// maximum height of the typical performance table of [WMO8] (from memory): 100 g
// to 20 km, 350 g to 26 km, 1 kg to 34 km, 3 kg to 38 km.
var ratingRows = [4][2]float64{{0.1, 5529.3}, {0.35, 2188.4}, {1, 663.41}, {3, 377.14}}

// RatingPressure is the air's pressure at which an envelope of a mass usually
// bursts, between and beyond the rows of [WMO8]'s table in logarithms of both.
func RatingPressure(mass float64) float64 {
	i := 1
	for i < len(ratingRows)-1 && mass > ratingRows[i][0] {
		i++
	}
	a, b := ratingRows[i-1], ratingRows[i]
	t := math.Log(mass/a[0]) / math.Log(b[0]/a[0])
	return a[1] * math.Pow(b[1]/a[1], t)
}
