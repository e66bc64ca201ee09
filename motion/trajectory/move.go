package trajectory

import (
	"math"

	"pappus/measure/geo"
)

// move carries a point by an easterly and a northerly way along the WGS-84
// ellipsoid. The ways of one step are short (a few km at most), so the local
// radii of curvature serve: the error is below 1e-4 of the way at latitudes
// under 88 degrees. Nearer a pole, where a degree of longitude shrinks within
// the step, the step is made along the geodesic.
func move(latDeg, lonDeg, alt, east, north float64) (float64, float64) {
	const (
		nearPole   = 88.0
		widestTurn = 0.5 // rad; within a step of the pole itself east means nothing
	)
	if math.Abs(latDeg) > nearPole {
		way := math.Hypot(east, north)
		if way == 0 {
			return latDeg, lonDeg
		}
		meridian, prime := geo.CurvatureRadii(latDeg)
		// The wind is that of the step's middle, where east points elsewhere:
		// the meridians have turned by half the step's change of longitude.
		turned := 0.0
		if halfLon := east / (2 * (prime + alt) * math.Cos(latDeg*math.Pi/180)); math.Abs(halfLon) < widestTurn {
			turned = halfLon * math.Sin(latDeg*math.Pi/180)
		}
		bearing := (math.Atan2(east, north) - turned) * (180 / math.Pi)
		to, _ := geo.Direct(geo.Point{LatDeg: latDeg, LonDeg: geo.WrapLonDeg(lonDeg)}, bearing, way*meridian/(meridian+alt))
		return to.LatDeg, to.LonDeg
	}
	meridian, prime := geo.CurvatureRadii(latDeg)
	newLat := latDeg + north/(meridian+alt)*(180/math.Pi)
	// The eastward way is laid along the parallel of the middle of the step.
	middle := (latDeg + newLat) / 2 * (math.Pi / 180)
	newLon := lonDeg + east/((prime+alt)*math.Cos(middle))*(180/math.Pi)
	if newLon >= 180 {
		newLon -= 360
	} else if newLon < -180 {
		newLon += 360
	}
	return newLat, newLon
}
