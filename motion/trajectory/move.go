package trajectory

import (
	"math"

	"pappus/air/forecast"
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

// Drift carries a point sideways through the sky along heights that are given:
// what the wind alone does to a balloon whose rise is known. It answers the
// point at each of the given heights and instants; the first is where it starts.
func Drift(sky *forecast.Sampler, start geo.Point, heights []Place) []Place {
	way := make([]Place, len(heights))
	copy(way, heights)
	if len(way) == 0 {
		return way
	}
	way[0].LatDeg, way[0].LonDeg = start.LatDeg, start.LonDeg
	for i := 1; i < len(way); i++ {
		from, dt := way[i-1], way[i].Seconds-way[i-1].Seconds
		alt, seconds := (from.Alt+way[i].Alt)/2, from.Seconds+dt/2
		air := sky.At(from.LatDeg, from.LonDeg, alt, seconds)
		lat, lon := move(from.LatDeg, from.LonDeg, alt, air.WindEast*dt/2, air.WindNorth*dt/2)
		air = sky.At(lat, lon, alt, seconds)
		way[i].LatDeg, way[i].LonDeg = move(from.LatDeg, from.LonDeg, alt, air.WindEast*dt, air.WindNorth*dt)
	}
	return way
}
