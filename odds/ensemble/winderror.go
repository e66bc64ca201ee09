package ensemble

import (
	"math"

	"pappus/air/forecast"
	"pappus/measure/geo"
)

// WindDoubt answers the standard deviation of one wind component at a level of
// the sky, as the flights of a run are drawn with it: the assumed wind error,
// or the spread of the members and what a grid cannot carry, where that is more.
func WindDoubt(sky *forecast.Cube, at geo.Point, level forecast.Level, seconds, leadHours float64) float64 {
	assumed := windSigma(level.Pressure) * LeadFactor(leadHours)
	carried := sky.Spread(at, level.Alt, seconds)
	if carried == 0 {
		return assumed
	}
	return math.Sqrt(max(assumed*assumed, carried*carried+leastWind*leastWind))
}
