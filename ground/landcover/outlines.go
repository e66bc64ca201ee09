package landcover

import (
	"fmt"
	"sort"

	"pappus/ground/terrain/packed"
	"pappus/measure/geo"
)

// unitsPerDegree is the step of the outlines' coordinates: 11 m.
const unitsPerDegree = 10000

const (
	maxArcs     = 1 << 20
	maxVertices = 1 << 23
)

// outlines are arcs: lines between junctions, each with the numbers of the areas on its left and right, 0 for none.
// A border that two areas share is there once.
type outlines struct {
	x, y        []int32
	starts      []int32 // first vertex of each arc, and the end
	left, right []uint16
}

// decodeOutlines reads three sections: sides and lengths, eastings, northings, all as differences.
func decodeOutlines(file *packed.File) (*outlines, error) {
	var parts [3]*packed.Reader
	for i := range parts {
		section, err := file.Section(i)
		if err != nil {
			return nil, err
		}
		parts[i] = packed.NewReader(section)
	}
	heads, xs, ys := parts[0], parts[1], parts[2]
	arcs, vertices := heads.Count(maxArcs), heads.Count(maxVertices)
	o := &outlines{x: make([]int32, vertices), y: make([]int32, vertices), starts: make([]int32, 1, arcs+1),
		left: make([]uint16, arcs), right: make([]uint16, arcs)}
	var left, right, x, y int64
	at := 0
	for a := range arcs {
		left, right = left+heads.Varint(), right+heads.Varint()
		n := heads.Count(vertices - at)
		o.left[a], o.right[a] = uint16(left), uint16(right)
		for range n {
			x, y = x+xs.Varint(), y+ys.Varint()
			if x < -180*unitsPerDegree || x > 180*unitsPerDegree || y < -90*unitsPerDegree || y > 90*unitsPerDegree {
				return nil, fmt.Errorf("vertex %d of arc %d is off the globe", at, a)
			}
			o.x[at], o.y[at] = int32(x), int32(y)
			at++
		}
		o.starts = append(o.starts, int32(at))
	}
	for _, p := range parts {
		if p.Err() != nil {
			return nil, fmt.Errorf("outlines: %w", p.Err())
		}
		if p.Left() != 0 {
			return nil, fmt.Errorf("outlines: %d bytes left over", p.Left())
		}
	}
	if at != vertices {
		return nil, fmt.Errorf("outlines: %d vertices, expected %d", at, vertices)
	}
	return o, nil
}

// arcOf is the arc a vertex belongs to.
func (o *outlines) arcOf(vertex int32) int {
	return sort.Search(len(o.starts)-1, func(a int) bool { return o.starts[a+1] > vertex })
}

func (o *outlines) point(vertex int32) geo.Point {
	return geo.Point{LatDeg: float64(o.y[vertex]) / unitsPerDegree, LonDeg: float64(o.x[vertex]) / unitsPerDegree}
}
