package trajectory

import (
	"math"

	"pappus/air/forecast"
	"pappus/measure/geo"
)

// shiftFade is how far from the launch the forecast's ground is left as it is.
const shiftFade = 50000.0

// forecastGround is the forecast's own surface, shifted to equal the launch
// elevation at the launch; the shift fades out over 50 km.
type forecastGround struct {
	sky    *forecast.Cube
	launch geo.Point
	perLat float64 // m in a degree of latitude and of longitude at the launch
	perLon float64
	shift  float64
}

// GroundOf answers the ground that a forecast gives, or flat ground at the
// launch elevation when it gives none.
func GroundOf(sky *forecast.Cube, launch geo.Point, elevation geo.AltMSL) Ground {
	model, ok := sky.SurfaceHeight(launch)
	if !ok {
		return Flat(elevation)
	}
	meridian, prime := geo.CurvatureRadii(launch.LatDeg)
	const degree = math.Pi / 180
	return &forecastGround{
		sky: sky, launch: launch, shift: float64(elevation - model),
		perLat: meridian * degree, perLon: prime * math.Cos(launch.LatDeg*degree) * degree,
	}
}

// Elevation answers the ground's height. Within 50 km the flat map that the
// fading is measured on is good to 1 %, which is far finer than the shift.
func (g *forecastGround) Elevation(at geo.Point) geo.AltMSL {
	model, _ := g.sky.SurfaceHeight(at)
	away := math.Hypot((at.LatDeg-g.launch.LatDeg)*g.perLat, geo.WrapLonDeg(at.LonDeg-g.launch.LonDeg)*g.perLon)
	return model + geo.AltMSL(g.shift*max(1-away/shiftFade, 0))
}
