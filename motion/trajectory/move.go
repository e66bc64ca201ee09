package trajectory

import (
	"math"

	"pappus/air/forecast"
	"pappus/measure/geo"
)

// local is the Earth's shape around a latitude: worked out anew only when a
// flight has left its neighbourhood.
type local struct {
	lat, sin, cos   float64 // lat in radians
	meridian, prime float64
	known           bool
}

const (
	degree = math.Pi / 180
	radian = 180 / math.Pi // degrees
	// neighbourhood is how far the radii serve: over 0.05 degrees they change by
	// less than 1e-5, and the cosine is carried on to 1e-10.
	neighbourhood = 0.05 * degree
	nearPole      = 88.0 // degrees
	widestTurn    = 0.5  // rad; within a step of the pole itself east means nothing
)

func (l *local) at(latDeg float64) {
	lat := latDeg * degree
	if l.known && math.Abs(lat-l.lat) < neighbourhood {
		return
	}
	l.known, l.lat = true, lat
	l.sin, l.cos = math.Sincos(lat)
	l.meridian, l.prime = geo.CurvatureRadii(latDeg)
}

// cosine answers that of a latitude in the neighbourhood.
func (l *local) cosine(lat float64) float64 {
	d := lat - l.lat
	return l.cos - d*(l.sin+d/2*l.cos)
}

// move carries a point by an easterly and a northerly way along the WGS-84
// ellipsoid. The ways of one step are short (a few km at most), so the local
// radii of curvature serve: the error is below 1e-4 of the way at latitudes
// under 88 degrees. Nearer a pole, where a degree of longitude shrinks within
// the step, the step is made along the geodesic.
func (l *local) move(latDeg, lonDeg, alt, east, north float64) (float64, float64) {
	if math.Abs(latDeg) > nearPole {
		return moveNearPole(latDeg, lonDeg, alt, east, north)
	}
	l.at(latDeg)
	turn := north / (l.meridian + alt)
	// The eastward way is laid along the parallel of the middle of the step.
	newLon := lonDeg + east/((l.prime+alt)*l.cosine(latDeg*degree+turn/2))*radian
	if newLon >= 180 {
		newLon -= 360
	} else if newLon < -180 {
		newLon += 360
	}
	return latDeg + turn*radian, newLon
}

func moveNearPole(latDeg, lonDeg, alt, east, north float64) (float64, float64) {
	way := math.Hypot(east, north)
	if way == 0 {
		return latDeg, lonDeg
	}
	meridian, prime := geo.CurvatureRadii(latDeg)
	// The wind is that of the step's middle, where east points elsewhere:
	// the meridians have turned by half the step's change of longitude.
	turned := 0.0
	if halfLon := east / (2 * (prime + alt) * math.Cos(latDeg*degree)); math.Abs(halfLon) < widestTurn {
		turned = halfLon * math.Sin(latDeg*degree)
	}
	bearing := (math.Atan2(east, north) - turned) / degree
	to, _ := geo.Direct(geo.Point{LatDeg: latDeg, LonDeg: geo.WrapLonDeg(lonDeg)}, bearing, way*meridian/(meridian+alt))
	return to.LatDeg, to.LonDeg
}

// turned brings a departure of the wind that was drawn at a launch's meridian
// to that of a place. Near a pole east and north point elsewhere after a few km,
// and a departure that kept its components would blow every flight towards the
// pole or away from it. Elsewhere a flight's meridians turn by a few degrees,
// which is nothing beside a departure that has no preferred direction.
func turned(east, north, fromLonDeg float64, p Place) (float64, float64) {
	const turning = 80.0 // degrees of latitude from which it is counted
	if math.Abs(p.LatDeg) < turning {
		return east, north
	}
	sin, cos := math.Sincos(geo.WrapLonDeg(p.LonDeg-fromLonDeg) * degree * math.Sin(p.LatDeg*degree))
	return east*cos + north*sin, north*cos - east*sin
}

// Drift carries a point sideways through the sky along heights that are given:
// what the wind alone does to a balloon whose rise is known. It answers the
// point at each of the given heights and instants; the first is where it starts.
func Drift(sky *forecast.Sampler, start geo.Point, heights []Place) []Place {
	var earth local
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
		lat, lon := earth.move(from.LatDeg, from.LonDeg, alt, air.WindEast*dt/2, air.WindNorth*dt/2)
		air = sky.At(lat, lon, alt, seconds)
		way[i].LatDeg, way[i].LonDeg = earth.move(from.LatDeg, from.LonDeg, alt, air.WindEast*dt, air.WindNorth*dt)
	}
	return way
}
