package forecast

import "math"

// WindFrom turns components into the direction that the wind comes from, in
// degrees from north by east, and its speed.
func WindFrom(east, north float64) (fromDeg, speed float64) {
	fromDeg = math.Atan2(-east, -north) * (180 / math.Pi)
	if fromDeg < 0 {
		fromDeg += 360
	}
	return fromDeg, math.Hypot(east, north)
}
