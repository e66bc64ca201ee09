package landing

import (
	"cmp"
	"math"
	"slices"

	"pappus/measure/geo"
)

const (
	// smallIsland is the share below which an island is not drawn.
	smallIsland = 0.01
	mergeSteps  = 6
	// mergeEnough is the part of the share by which the drawn islands may miss it.
	mergeEnough = 5e-4
	// mergeFails is the part missed from which on the small islands are drawn after all.
	mergeFails = 0.01
)

// Region is the highest-density region for a probability above 0 and below 1.
func (e *Estimate) Region(probability float64) (Region, error) {
	if err := checkProbability(probability); err != nil {
		return Region{}, err
	}
	return e.region(probability), nil
}

// sea is what lies above one level: the islands of each patch, by number.
type sea struct {
	level     float64
	number    [][]int32
	mass      [][]float64 // the estimate's own share on each island
	drawnMass float64     // on all islands of at least smallIsland
	smallMass float64     // on the others
	small     float64     // share of landings on the small islands
	drawn     float64     // share of landings on the others
}

// flood cuts the density at a level. How large an island is says the estimate's mass;
// whether the islands hold what they should, say the landings, each judged by the
// others alone.
func (e *Estimate) flood(level float64) sea {
	s := sea{level: level}
	cell := e.lattice.step * e.lattice.step
	for i := range e.lattice.patches {
		p := &e.lattice.patches[i]
		number, count := p.islands(level)
		mass := make([]float64, count+1)
		for node, which := range number {
			mass[which] += float64(p.density[node] * cell)
		}
		s.number, s.mass = append(s.number, number), append(s.mass, mass)
		for _, m := range mass[1:] {
			if m < smallIsland {
				s.smallMass += m
			} else {
				s.drawnMass += m
			}
		}
	}
	for _, g := range e.group {
		if g.density < level {
			break
		}
		if s.mass[g.patch][e.islandOf(s, g)] < smallIsland {
			s.small += g.weight
		} else {
			s.drawn += g.weight
		}
	}
	return s
}

// islandOf is the island under a landing: that of any dense corner of its cell.
func (e *Estimate) islandOf(s sea, g standing) int32 {
	number, nx := s.number[g.patch], e.lattice.patches[g.patch].nx
	node := int(g.node)
	return max(number[node], number[node+1], number[node+nx], number[node+nx+1])
}

// region lowers the level until the islands worth drawing hold the share by themselves.
// Where most of the share is on small islands, or the others cannot hold it, all are drawn.
func (e *Estimate) region(probability float64) Region {
	e = e.suited(probability)
	share := probability
	s := e.flood(e.level(share))
	r := Region{Probability: probability, plane: e.cloud.plane}
	if s.drawnMass < s.smallMass {
		e.draw(&r, s, 0)
		return r
	}
	first := s
	for range mergeSteps {
		missing := probability - s.drawn
		if s.small == 0 || missing < mergeEnough*probability {
			break
		}
		share = math.Min(share+missing, 1-mostOutside*(1-probability))
		s = e.flood(e.level(share))
	}
	if first.small > 0 && probability-s.drawn > mergeFails*probability {
		e.draw(&r, first, 0)
		return r
	}
	r.MergedShare = s.smallMass
	e.draw(&r, s, smallIsland)
	return r
}

// draw turns the islands of at least some mass into polygons, the largest first.
func (e *Estimate) draw(r *Region, s sea, least float64) {
	type island struct {
		area  float64
		outer []vector
		holes [][]vector
	}
	var all []island
	for i := range e.lattice.patches {
		byNumber := make([]island, len(s.mass[i]))
		for _, o := range e.lattice.patches[i].outlines(e.lattice, s.level, s.number[i]) {
			if s.mass[i][o.island] < least {
				continue
			}
			ring := e.flatten(o.points)
			area := ringArea(ring)
			at := &byNumber[o.island]
			at.area += area
			switch {
			case area > 0:
				at.outer = ring
			case area < 0:
				at.holes = append(at.holes, ring)
			}
		}
		for _, one := range byNumber {
			if one.outer != nil {
				all = append(all, one)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b island) int { return cmp.Compare(b.area, a.area) })
	for _, one := range all {
		r.AreaKm2 += one.area / squareKilometre
		polygon := Polygon{Outer: e.globe(one.outer)}
		r.flat = append(r.flat, one.outer)
		for _, hole := range one.holes {
			polygon.Holes = append(polygon.Holes, e.globe(hole))
			r.flat = append(r.flat, hole)
		}
		r.Polygons = append(r.Polygons, polygon)
	}
}

const squareKilometre = 1e6 // m²

// flatten takes an outline to the plane, leaving out points that repeat the one before.
func (e *Estimate) flatten(points []vector) []vector {
	ring := make([]vector, 0, len(points))
	for i, u := range points {
		if i > 0 && u == points[i-1] {
			continue
		}
		ring = append(ring, e.frame.from(u))
	}
	return ring
}

func (e *Estimate) globe(ring []vector) []geo.Point {
	places := make([]geo.Point, len(ring))
	for i, a := range ring {
		places[i] = e.cloud.plane.From(a.x, a.y)
	}
	return places
}

// meanRadius of the Earth, m [WGS84, chapter 3]: enough for a correction that is itself
// small.
const meanRadius = 6371008.7714

// ringArea is the signed true area of a ring in the plane, m², counterclockwise
// positive. The plane draws areas too large away from its centre: on a sphere the
// sector of an edge counts (sin(c/2)/(c/2))² of what it measures, c being the angle
// from the centre.
func ringArea(ring []vector) float64 {
	sum := 0.0
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		sector := (float64(a.x*b.y) - float64(b.x*a.y)) / 2
		half := math.Hypot(a.x+b.x, a.y+b.y) / (4 * meanRadius)
		shrink := 1.0
		if half > 1e-9 {
			shrink = math.Sin(half) / half
		}
		sum += float64(sector * shrink * shrink)
	}
	return sum
}

// Contains says whether a place lies in the region.
func (r Region) Contains(pt geo.Point) bool {
	if len(r.flat) == 0 {
		r = r.laidFlat()
	}
	x, y := r.plane.To(pt)
	inside := false
	for _, ring := range r.flat {
		if encloses(ring, x, y) {
			inside = !inside
		}
	}
	return inside
}

// laidFlat prepares a region that was put together from polygons alone.
func (r Region) laidFlat() Region {
	var rings [][]geo.Point
	for _, p := range r.Polygons {
		rings = append(append(rings, p.Outer), p.Holes...)
	}
	var places []geo.Point
	for _, ring := range rings {
		places = append(places, ring...)
	}
	if len(places) == 0 {
		return r
	}
	weight := make([]float64, len(places))
	for i := range weight {
		weight[i] = 1 / float64(len(places))
	}
	r.plane = geo.NewPlane(middle(places, weight))
	for _, ring := range rings {
		flat := make([]vector, len(ring))
		project(r.plane, ring, flat)
		r.flat = append(r.flat, flat)
	}
	return r
}

// encloses counts the edges that a ray to the east crosses.
func encloses(ring []vector, x, y float64) bool {
	inside := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.y > y) != (b.y > y) && x < a.x+(b.x-a.x)*(y-a.y)/(b.y-a.y) {
			inside = !inside
		}
	}
	return inside
}
