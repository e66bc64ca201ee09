package landing

import (
	"cmp"
	"math"
	"slices"

	"pappus/measure/geo"
)

// Geometry is a GeoJSON geometry object as [RFC7946] has it. Marshalled, it is ready to
// stand in a document.
type Geometry struct {
	Type string `json:"type"`
	// Coordinates are polygons, of rings, of [longitude, latitude] in degrees. The first
	// ring of a polygon is its outer one, counterclockwise; the others are holes.
	Coordinates [][][][2]float64 `json:"coordinates"`
}

// position is [longitude, latitude].
type position = [2]float64

// GeoJSON gives the region as a MultiPolygon: rings closed, outer ones counterclockwise
// and holes clockwise (section 3.1.6), cut where they cross the antimeridian (section
// 3.1.9). Around a pole the cut runs along the antimeridian up to the pole.
func (r Region) GeoJSON() Geometry {
	g := Geometry{Type: "MultiPolygon", Coordinates: [][][][2]float64{}}
	for _, p := range r.Polygons {
		for _, piece := range cutPolygon(p) {
			if closed := closeRings(piece); len(closed) > 0 {
				g.Coordinates = append(g.Coordinates, closed)
			}
		}
	}
	return g
}

// closeRings rounds to 1e-7 degrees (1 cm), drops repeated points and rings that
// shrank to nothing, and closes what remains.
func closeRings(rings [][]position) [][]position {
	var closed [][]position
	for i, ring := range rings {
		var out []position
		for _, at := range ring {
			at = position{roundDeg(at[0]), roundDeg(at[1])}
			if len(out) == 0 || out[len(out)-1] != at {
				out = append(out, at)
			}
		}
		if len(out) > 1 && out[0] == out[len(out)-1] {
			out = out[:len(out)-1]
		}
		if len(out) < 3 {
			if i == 0 {
				return nil
			}
			continue
		}
		closed = append(closed, append(out, out[0]))
	}
	return closed
}

func roundDeg(deg float64) float64 { return math.Round(deg*1e7)/1e7 + 0 }

// chain is the part of a ring between two crossings of the antimeridian. Its first and
// last points lie on it, at longitude 180 or -180.
type chain struct {
	points []position
	used   bool
}

func (c *chain) start() position { return c.points[0] }
func (c *chain) end() position   { return c.points[len(c.points)-1] }

// cutPolygon cuts a polygon along the antimeridian into polygons that do not cross it.
func cutPolygon(p Polygon) [][][]position {
	var chains []*chain
	var whole, holes [][]position
	for i, ring := range append([][]geo.Point{p.Outer}, p.Holes...) {
		parts, crossed := cutRing(bent(ring))
		switch {
		case crossed:
			for _, part := range parts {
				chains = append(chains, &chain{points: part})
			}
		case i == 0:
			whole = append(whole, parts[0])
		default:
			holes = append(holes, parts[0])
		}
	}
	whole = append(whole, join(chains)...)
	pieces := make([][][]position, len(whole))
	for i, ring := range whole {
		pieces[i] = [][]position{ring}
	}
	for _, hole := range holes {
		for i, ring := range whole {
			if len(whole) == 1 || within(ring, hole[0]) {
				pieces[i] = append(pieces[i], hole)
				break
			}
		}
	}
	return pieces
}

const (
	// bendDeg is the longitude an edge may span. Edges are straight on the ground but
	// GeoJSON draws them straight in longitude and latitude; close to a pole that is
	// another line.
	bendDeg   = 1.0
	bendDepth = 12 // an edge across the pole itself is never bent enough
)

// bent adds points along edges that span much longitude.
func bent(ring []geo.Point) []geo.Point {
	out := make([]geo.Point, 0, len(ring))
	for i, a := range ring {
		out = append(out, a)
		out = bendEdge(out, a, ring[(i+1)%len(ring)], bendDepth)
	}
	return out
}

// bendEdge halves an edge until its parts span little longitude.
func bendEdge(out []geo.Point, a, b geo.Point, depth int) []geo.Point {
	if depth == 0 || math.Abs(math.Remainder(b.LonDeg-a.LonDeg, 360)) <= bendDeg {
		return out
	}
	mid := middle([]geo.Point{a, b}, []float64{0.5, 0.5})
	out = append(bendEdge(out, a, mid, depth-1), mid)
	return bendEdge(out, mid, b, depth-1)
}

// cutRing splits a ring where it crosses the antimeridian. A ring that does not cross
// comes back whole.
func cutRing(ring []geo.Point) (parts [][]position, crossed bool) {
	var part []position
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		part = append(part, position{a.LonDeg, a.LatDeg})
		lat, crosses := crossingLat(a, b)
		if !crosses {
			continue
		}
		near, far := 180.0, -180.0
		if a.LonDeg < 0 {
			near, far = far, near
		}
		parts = append(parts, append(part, position{near, lat}))
		part = []position{{far, lat}}
		crossed = true
	}
	if !crossed {
		return [][]position{part}, false
	}
	parts[0] = append(part, parts[0]...) // what follows the last crossing leads into the first
	return parts, true
}

// crossingLat is the latitude at which an edge crosses the antimeridian, if it does:
// its ends are on different sides, and the straight line between the directions of
// their verticals passes on the far side of the axis.
func crossingLat(a, b geo.Point) (latDeg float64, crosses bool) {
	if (a.LonDeg < 0) == (b.LonDeg < 0) {
		return 0, false
	}
	u, v := direction(a), direction(b)
	if math.Abs(a.LonDeg) == 180 {
		u[1] = 0
	}
	if math.Abs(b.LonDeg) == 180 {
		v[1] = 0
	}
	part := 0.5
	if u[1] != v[1] {
		part = u[1] / (u[1] - v[1])
	}
	x := u[0] + float64(part*(v[0]-u[0]))
	z := u[2] + float64(part*(v[2]-u[2]))
	return math.Atan2(z, math.Abs(x)) * (180 / math.Pi), x < 0
}

// join closes chains along the antimeridian. The inside is on the left: from a chain
// that ends at 180 going east it lies to the north, from one that ends at -180 to the
// south. Where nothing more comes before the pole the pole is inside, and the cut goes
// on down the other side.
func join(chains []*chain) [][]position {
	slices.SortStableFunc(chains, func(a, b *chain) int { return cmp.Compare(a.start()[1], b.start()[1]) })
	var rings [][]position
	for _, first := range chains {
		if first.used {
			continue
		}
		var ring []position
		at := first
		for range len(chains) {
			at.used = true
			ring = append(ring, at.points...)
			next := follow(chains, first, at.end(), &ring)
			if next == nil || next == first {
				break
			}
			at = next
		}
		rings = append(rings, ring)
	}
	return rings
}

// follow finds the chain that starts next along the antimeridian, over a pole if need
// be, and adds the corners passed on the way. The first chain of a ring may be met again.
func follow(chains []*chain, first *chain, from position, ring *[]position) *chain {
	side, north := from[0], from[0] > 0
	if next := nextStart(chains, first, side, from[1], north); next != nil {
		return next
	}
	pole := 90.0
	if !north {
		pole = -90
	}
	*ring = append(*ring, position{side, pole}, position{-side, pole})
	return nextStart(chains, first, -side, pole, !north)
}

// nextStart is the nearest start at that side, north or south of a latitude.
func nextStart(chains []*chain, first *chain, side, lat float64, north bool) *chain {
	var best *chain
	for _, c := range chains {
		start := c.start()
		if c.used && c != first || start[0] != side || north && start[1] < lat || !north && start[1] > lat {
			continue
		}
		if best == nil || math.Abs(start[1]-lat) < math.Abs(best.start()[1]-lat) {
			best = c
		}
	}
	return best
}

// within says whether a position lies in a ring that does not cross the antimeridian.
func within(ring []position, at position) bool {
	inside := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a[1] > at[1]) != (b[1] > at[1]) && at[0] < a[0]+(b[0]-a[0])*(at[1]-a[1])/(b[1]-a[1]) {
			inside = !inside
		}
	}
	return inside
}
