package landcover

import (
	"math"
	"slices"

	"pappus/measure/geo"
)

const (
	degree = math.Pi / 180

	semiMajor     = 6378137.0 // the WGS-84 ellipsoid
	flattening    = 1 / 298.257223563
	eccentricity2 = flattening * (2 - flattening)

	// runLength is how many edges share a box; longestEdge is how long an edge may be (in units: 0.1 degrees, 11 km) before it
	// is cut, so that its chord passes at most 2.5 m below the ground and as much beside the parallel.
	runLength   = 8
	longestEdge = 1000
)

// cartesian places a point on the ellipsoid, from the Earth's centre.
func cartesian(p geo.Point) (x, y, z float64) {
	sinLat, cosLat := math.Sincos(p.LatDeg * degree)
	sinLon, cosLon := math.Sincos(p.LonDeg * degree)
	n := semiMajor / math.Sqrt(1-eccentricity2*sinLat*sinLat)
	return n * cosLat * cosLon, n * cosLat * sinLon, n * (1 - eccentricity2) * sinLat
}

// geodetic undoes cartesian for a point on the ellipsoid, or within some metres of it.
func geodetic(x, y, z float64) geo.Point {
	return geo.Point{
		LatDeg: math.Atan2(z, (1-eccentricity2)*math.Hypot(x, y)) / degree,
		LonDeg: geo.WrapLonDeg(math.Atan2(y, x) / degree),
	}
}

type box struct{ low, high [3]float32 }

func emptyBox() box {
	inf := float32(math.Inf(1))
	return box{[3]float32{inf, inf, inf}, [3]float32{-inf, -inf, -inf}}
}

func (b *box) join(o box) {
	for k := range 3 {
		b.low[k], b.high[k] = min(b.low[k], o.low[k]), max(b.high[k], o.high[k])
	}
}

// distance2 is the square of the distance from a point to a box.
func (b *box) distance2(p *[3]float64) float64 {
	sum := 0.0
	for k := range 3 {
		if d := float64(b.low[k]) - p[k]; d > 0 {
			sum += d * d
		} else if d := p[k] - float64(b.high[k]); d > 0 {
			sum += d * d
		}
	}
	return sum
}

// lines finds the nearest point of a set of lines. The edges stand in runs along their arcs, each with a box in space; the
// runs are put in an order that keeps neighbours together, and a binary tree of boxes stands over them.
type lines struct {
	vertices [][3]float32
	runs     []run
	tree     []box // a heap: the root at 1, the runs' boxes from leaves on
	leaves   int
}

type run struct{ first, edges, arc int32 }

func newLines(o *outlines, wanted func(arc int) bool) *lines {
	l := &lines{}
	var boxes []box
	for arc := range len(o.starts) - 1 {
		if !wanted(arc) {
			continue
		}
		for i := o.starts[arc]; i < o.starts[arc+1]-1; {
			n := int32(0)
			for i+n < o.starts[arc+1]-1 && !onSeam(o, i+n) {
				n++
			}
			if n == 0 {
				i++
				continue
			}
			first := int32(len(l.vertices))
			l.addVertices(o, i, i+n)
			last := int32(len(l.vertices)) - 1
			for at := first; at < last; at += runLength {
				r := run{at, min(runLength, last-at), int32(arc)}
				b := emptyBox()
				for _, v := range l.vertices[at : at+r.edges+1] {
					b.join(box{v, v})
				}
				l.runs, boxes = append(l.runs, r), append(boxes, b)
			}
			i += n
		}
	}
	l.plant(boxes)
	return l
}

// onSeam tells whether an edge runs along the antimeridian or the south pole, where the outlines are cut and nothing is.
func onSeam(o *outlines, i int32) bool {
	const half = 180 * unitsPerDegree
	return o.x[i] == o.x[i+1] && (o.x[i] == half || o.x[i] == -half) || o.y[i] == -90*unitsPerDegree && o.y[i+1] == o.y[i]
}

// addVertices lays the vertices from first to last down in space, with more between where they are far apart.
func (l *lines) addVertices(o *outlines, first, last int32) {
	for i := first; i <= last; i++ {
		if i > first {
			a, b := o.point(i-1), o.point(i)
			long := math.Max(math.Abs(b.LatDeg-a.LatDeg), math.Abs(b.LonDeg-a.LonDeg)) * unitsPerDegree
			parts := int(long/longestEdge) + 1
			for k := 1; k < parts; k++ {
				f := float64(k) / float64(parts)
				l.addVertex(geo.Point{LatDeg: a.LatDeg + f*(b.LatDeg-a.LatDeg), LonDeg: a.LonDeg + f*(b.LonDeg-a.LonDeg)})
			}
		}
		l.addVertex(o.point(i))
	}
}

func (l *lines) addVertex(p geo.Point) {
	x, y, z := cartesian(p)
	l.vertices = append(l.vertices, [3]float32{float32(x), float32(y), float32(z)})
}

// plant sorts the runs along a curve through space that interleaves the bits of x, y and z, and joins their boxes.
func (l *lines) plant(boxes []box) {
	type ranked struct {
		key uint64
		at  int32
	}
	order := make([]ranked, len(boxes))
	for i, b := range boxes {
		var key uint64
		var cell [3]uint64
		for k := range 3 {
			middle := (float64(b.low[k]) + float64(b.high[k])) / 2
			cell[k] = uint64(min(max((middle/semiMajor+1)/2, 0), 1) * (1<<20 - 1))
		}
		for bit := 19; bit >= 0; bit-- {
			for k := range 3 {
				key = key<<1 | cell[k]>>bit&1
			}
		}
		order[i] = ranked{key, int32(i)}
	}
	slices.SortFunc(order, func(a, b ranked) int {
		if a.key < b.key || a.key == b.key && a.at < b.at {
			return -1
		}
		return 1
	})
	for l.leaves = 1; l.leaves < len(boxes); l.leaves *= 2 {
	}
	l.tree = make([]box, 2*l.leaves)
	for i := range l.tree {
		l.tree[i] = emptyBox()
	}
	runs := make([]run, len(l.runs))
	for i, r := range order {
		runs[i] = l.runs[r.at]
		l.tree[l.leaves+i] = boxes[r.at]
	}
	l.runs = runs
	for i := l.leaves - 1; i >= 1; i-- {
		l.tree[i].join(l.tree[2*i])
		l.tree[i].join(l.tree[2*i+1])
	}
}

// nearest finds the nearest point of all lines within a distance, and the arc it is on.
func (l *lines) nearest(p geo.Point, withinM float64) (at geo.Point, arc int, found bool) {
	x, y, z := cartesian(p)
	q := [3]float64{x, y, z}
	best := withinM * withinM
	var nearest [3]float64
	// The tree is at most 20 deep, and one node waits for each level.
	var waiting [48]int32
	var away [48]float64
	n := 1
	waiting[0], away[0] = 1, l.tree[1].distance2(&q)
	for n > 0 {
		n--
		node, d := int(waiting[n]), away[n]
		if d > best {
			continue
		}
		if node >= l.leaves {
			if i := node - l.leaves; i < len(l.runs) {
				r := l.runs[i]
				for k := r.first; k < r.first+r.edges; k++ {
					if point, d2 := foot(&q, &l.vertices[k], &l.vertices[k+1]); d2 <= best {
						best, nearest, arc, found = d2, point, int(r.arc), true
					}
				}
			}
			continue
		}
		near, far := 2*node, 2*node+1
		dn, df := l.tree[near].distance2(&q), l.tree[far].distance2(&q)
		if df < dn {
			near, far, dn, df = far, near, df, dn
		}
		if df <= best {
			waiting[n], away[n] = int32(far), df
			n++
		}
		if dn <= best {
			waiting[n], away[n] = int32(near), dn
			n++
		}
	}
	if !found {
		return geo.Point{}, 0, false
	}
	return geodetic(nearest[0], nearest[1], nearest[2]), arc, true
}

// foot is the point of the edge ab nearest to q, and the square of its distance.
func foot(q *[3]float64, a, b *[3]float32) ([3]float64, float64) {
	var along, length float64
	for k := range 3 {
		d := float64(b[k]) - float64(a[k])
		along += d * (q[k] - float64(a[k]))
		length += d * d
	}
	t := 0.0
	if length > 0 {
		t = math.Min(math.Max(along/length, 0), 1)
	}
	var p [3]float64
	sum := 0.0
	for k := range 3 {
		p[k] = float64(a[k]) + t*(float64(b[k])-float64(a[k]))
		sum += (q[k] - p[k]) * (q[k] - p[k])
	}
	return p, sum
}
