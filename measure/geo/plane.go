package geo

import "math"

// Plane is a flat map about a centre in which every point keeps its true distance and
// direction from the centre (azimuthal equidistant on the ellipsoid). It holds at the
// poles and across the antimeridian, and everywhere short of the antipode. At a pole
// "north" is the direction of the centre's stated longitude carried over the pole.
// Away from the centre it stretches across the radius: areas at distance s are drawn
// too large by about s²/(6R²), 0.1 % at 500 km.
type Plane struct{ centre Point }

// NewPlane lays the plane about a centre.
func NewPlane(centre Point) Plane { return Plane{centre: centre} }

// Centre is where the plane touches.
func (p Plane) Centre() Point { return p.centre }

// To puts a place on the plane.
func (p Plane) To(q Point) (eastM, northM float64) {
	distance, azimuth, _ := Inverse(p.centre, q)
	sin, cos := sincosDeg(azimuth)
	return distance * sin, distance * cos
}

// From takes a point of the plane back to the globe.
func (p Plane) From(eastM, northM float64) Point {
	q, _ := Direct(p.centre, atan2Deg(eastM, northM), math.Hypot(eastM, northM))
	return q
}
