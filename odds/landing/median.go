package landing

import (
	"cmp"
	"math"
	"slices"

	"pappus/measure/geo"
)

// MedianPoint is the geometric median: the place with the least mean distance to all
// landings, which a few stray ones hardly move. Points that Summarise would refuse give
// a place of NaN.
func MedianPoint(p Points) geo.Point {
	places, weight, err := p.check()
	if err != nil {
		return geo.Point{LatDeg: math.NaN(), LonDeg: math.NaN()}
	}
	plane, _ := median(places, weight)
	return plane.Centre()
}

// planes is how often the plane is laid anew about the median found in the one before.
// Distances to its centre are exact, so at the last the median is that of the true
// distances. Each turn shrinks what is left by (spread/R)², below 1e-2 for any cloud
// up to 600 km.
const planes = 3

// median answers the plane about the geometric median, and the places in it.
func median(places []geo.Point, weight []float64) (geo.Plane, []vector) {
	plane := geo.NewPlane(middle(places, weight))
	at := make([]vector, len(places))
	for range planes {
		project(plane, places, at)
		m := weiszfeld(at, weight)
		if math.Hypot(m.x, m.y) < stillM {
			return plane, at
		}
		plane = geo.NewPlane(plane.From(m.x, m.y))
	}
	project(plane, places, at)
	return plane, at
}

func project(plane geo.Plane, places []geo.Point, at []vector) {
	for i, q := range places {
		at[i].x, at[i].y = plane.To(q)
	}
}

// middle is the direction of the mean of the directions from the Earth's centre. Where
// they cancel, the heaviest place stands in.
func middle(places []geo.Point, weight []float64) geo.Point {
	var x, y, z float64
	heaviest := 0
	for i, q := range places {
		d := direction(q)
		x += float64(weight[i] * d[0])
		y += float64(weight[i] * d[1])
		z += float64(weight[i] * d[2])
		if weight[i] > weight[heaviest] {
			heaviest = i
		}
	}
	across := math.Hypot(x, y)
	if math.Hypot(across, z) < 1e-6 {
		return places[heaviest]
	}
	return geo.Point{
		LatDeg: math.Atan2(z, across) * (180 / math.Pi),
		LonDeg: geo.WrapLonDeg(math.Atan2(y, x) * (180 / math.Pi)),
	}
}

// direction is the unit vector of the vertical at a place.
func direction(q geo.Point) [3]float64 {
	sinLat, cosLat := math.Sincos(q.LatDeg * (math.Pi / 180))
	sinLon, cosLon := math.Sincos(q.LonDeg * (math.Pi / 180))
	return [3]float64{cosLat * cosLon, cosLat * sinLon, sinLat}
}

const (
	stillM         = 1e-4 // a step of the median that no longer matters, m
	weiszfeldSteps = 400  // ends the walk where it creeps
)

// weiszfeld finds the geometric median in the plane by repeated weighted means, in the
// form of [Vardi2000] that neither divides by zero at a data point nor sticks there.
func weiszfeld(at []vector, weight []float64) vector {
	m := medianStart(at, weight)
	for range weiszfeldSteps {
		var sum, pull vector
		var inverse, here float64
		for i, a := range at {
			dx, dy := a.x-m.x, a.y-m.y
			d := math.Sqrt(float64(dx*dx) + float64(dy*dy))
			if d < 1e-9 {
				here += weight[i]
				continue
			}
			k := weight[i] / d
			inverse += k
			sum.x += float64(k * a.x)
			sum.y += float64(k * a.y)
			pull.x += float64(k * dx)
			pull.y += float64(k * dy)
		}
		if inverse == 0 {
			return m
		}
		force := math.Hypot(pull.x, pull.y)
		if force <= here {
			return m // the point under it outweighs the pull of all others
		}
		share := 1 - here/force
		stepX := float64(share * (sum.x/inverse - m.x))
		stepY := float64(share * (sum.y/inverse - m.y))
		m.x += stepX
		m.y += stepY
		if math.Hypot(stepX, stepY) < stillM/10 {
			break
		}
	}
	return m
}

// medianStart is the heaviest point where one holds half of all weight (it is then the
// median), else the mean.
func medianStart(at []vector, weight []float64) vector {
	var m vector
	for i, a := range at {
		if weight[i] >= 0.5 {
			return a
		}
		m.x += float64(weight[i] * a.x)
		m.y += float64(weight[i] * a.y)
	}
	return m
}

// radii are the least distances from the median within which rising shares of the
// weight lie.
func (c *cloud) radii(shares ...float64) []float64 {
	type reach struct{ distance, weight float64 }
	all := make([]reach, len(c.at))
	for i, a := range c.at {
		all[i] = reach{math.Hypot(a.x, a.y), c.weight[i]}
	}
	slices.SortStableFunc(all, func(a, b reach) int { return cmp.Compare(a.distance, b.distance) })
	found := make([]float64, 0, len(shares))
	sum := 0.0
	for _, r := range all {
		sum += r.weight
		for len(found) < len(shares) && sum >= shares[len(found)]-1e-12 {
			found = append(found, r.distance)
		}
	}
	for len(found) < len(shares) {
		found = append(found, all[len(all)-1].distance)
	}
	return found
}
