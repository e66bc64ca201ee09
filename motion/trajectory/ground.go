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
	launch geo.Plane
	shift  float64
}

// GroundOf answers the ground that a forecast gives, or flat ground at the
// launch elevation when it gives none.
func GroundOf(sky *forecast.Cube, launch geo.Point, elevation geo.AltMSL) Ground {
	model, ok := sky.SurfaceHeight(launch)
	if !ok {
		return Flat(elevation)
	}
	return &forecastGround{sky: sky, launch: geo.NewPlane(launch), shift: float64(elevation - model)}
}

// Elevation answers the ground's height.
func (g *forecastGround) Elevation(at geo.Point) geo.AltMSL {
	model, _ := g.sky.SurfaceHeight(at)
	east, north := g.launch.To(at)
	away := math.Hypot(east, north)
	return model + geo.AltMSL(g.shift*max(1-away/shiftFade, 0))
}
