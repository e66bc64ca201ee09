package landcover

import (
	"cmp"
	"math"
	"slices"

	"pappus/measure/geo"
)

// areas tells which area of a set of outlines a place lies in.
//
// The globe is cut into cells. Each knows which area its south-west corner lies in and which edges pass through it.
// From the corner we go north along the cell's side, then east to the place, and at each edge leave the area on one of
// its sides and enter the one on the other.
type areas struct {
	*outlines
	size    int32   // of a cell, in units
	perUnit float64 // 1 / size
	columns int
	rows    int
	corners []uint16
	doubled map[int32]within // corners that lie in several areas
	starts  []int32          // of each cell's edges
	edges   []int32          // first vertex of each
}

// The cells' sides stand beside the vertices' grid by odd parts of a unit, so that neither a vertex lies on one nor an edge
// with a simple slope runs through a corner.
const (
	offsetX = 0.4142135
	offsetY = 0.3178372
	several = uint16(65535) // stands among the corners for an entry in doubled
)

func newAreas(o *outlines, cellsPerDegree int) *areas {
	a := &areas{outlines: o, size: int32(unitsPerDegree / cellsPerDegree), perUnit: float64(cellsPerDegree) / unitsPerDegree, columns: 360 * cellsPerDegree, rows: 180 * cellsPerDegree}
	a.starts = make([]int32, a.columns*a.rows+1)
	a.eachEdgeCell(func(cell int, _ int32) { a.starts[cell+1]++ })
	for i := 1; i < len(a.starts); i++ {
		a.starts[i] += a.starts[i-1]
	}
	a.edges = make([]int32, a.starts[len(a.starts)-1])
	next := make([]int32, a.columns*a.rows)
	copy(next, a.starts)
	a.eachEdgeCell(func(cell int, vertex int32) {
		a.edges[next[cell]] = vertex
		next[cell]++
	})
	a.fillCorners()
	return a
}

// column and row find a cell, the sides' offset included.
func (a *areas) column(x float64) int {
	return min(max(int((x+180*unitsPerDegree-offsetX)*a.perUnit), 0), a.columns-1)
}

func (a *areas) row(y float64) int {
	return min(max(int((y+90*unitsPerDegree-offsetY)*a.perUnit), 0), a.rows-1)
}

func (a *areas) side(column int) float64 {
	return float64(column)*float64(a.size) - 180*unitsPerDegree + offsetX
}
func (a *areas) base(row int) float64 {
	return float64(row)*float64(a.size) - 90*unitsPerDegree + offsetY
}

// eachEdgeCell visits every cell that an edge may pass through: row by row, between where it enters and leaves.
func (a *areas) eachEdgeCell(visit func(cell int, vertex int32)) {
	for arc := range len(a.outlines.starts) - 1 {
		next := -1 // the cell of the vertex to come
		for i := a.outlines.starts[arc]; i < a.outlines.starts[arc+1]-1; i++ {
			x1, y1, x2, y2 := float64(a.x[i]), float64(a.y[i]), float64(a.x[i+1]), float64(a.y[i+1])
			here := next
			if here < 0 {
				here = a.row(y1)*a.columns + a.column(x1)
			}
			if next = a.row(y2)*a.columns + a.column(x2); next == here { // as most are
				visit(here, i)
				continue
			}
			if y1 > y2 {
				x1, y1, x2, y2 = x2, y2, x1, y1
			}
			first, last := a.row(y1), a.row(y2)
			for r := first; r <= last; r++ {
				west, east := x1, x2
				if first != last {
					low, high := math.Max(y1, a.base(r)), math.Min(y2, a.base(r+1))
					west = x1 + (low-y1)/(y2-y1)*(x2-x1)
					east = x1 + (high-y1)/(y2-y1)*(x2-x1)
				}
				if west > east {
					west, east = east, west
				}
				// A hair more, lest rounding leave out a cell that the edge just touches.
				for c := a.column(west - 0.01); c <= a.column(east+0.01); c++ {
					visit(r*a.columns+c, i)
				}
			}
		}
	}
}

// within is the areas a walk is in just now. Areas do not overlap, but for slips of the outlines; then it is a few.
type within struct {
	areas [6]uint16
	n     int
}

// cross enters an area, or leaves it when the walk is in it. Number 0 is no area.
func (w *within) cross(area uint16) {
	if area == 0 {
		return
	}
	for i := range w.n {
		if w.areas[i] == area {
			w.n--
			w.areas[i] = w.areas[w.n]
			return
		}
	}
	if w.n < len(w.areas) {
		w.areas[w.n] = area
		w.n++
	}
}

func (w *within) any() uint16 {
	if w.n == 0 {
		return 0
	}
	return w.areas[0]
}

type crossing struct {
	row         int32
	x           float64
	left, right uint16
}

// fillCorners sweeps the cells' base lines from west to east.
func (a *areas) fillCorners() {
	var all []crossing
	for arc := range len(a.outlines.starts) - 1 {
		next := -1
		for i := a.outlines.starts[arc]; i < a.outlines.starts[arc+1]-1; i++ {
			y1, y2 := float64(a.y[i]), float64(a.y[i+1])
			here := next
			if here < 0 {
				here = a.row(y1)
			}
			// In one row an edge meets no base line; the lowest row's lies a hair above the pole.
			if next = a.row(y2); next == here && here > 0 {
				continue
			}
			low, high := min(y1, y2), max(y1, y2)
			for r := min(here, next); r <= max(here, next); r++ {
				if y := a.base(r); low <= y && y < high {
					all = append(all, crossing{int32(r), a.crossX(i, y), a.left[arc], a.right[arc]})
				}
			}
		}
	}
	slices.SortFunc(all, func(p, q crossing) int {
		if p.row != q.row {
			return int(p.row - q.row)
		}
		return cmp.Compare(p.x, q.x)
	})
	a.corners, a.doubled = make([]uint16, a.columns*a.rows), map[int32]within{}
	k := 0
	for r := range a.rows {
		var now within
		for c := range a.columns {
			for ; k < len(all) && int(all[k].row) == r && all[k].x <= a.side(c); k++ {
				now.cross(all[k].left)
				now.cross(all[k].right)
			}
			a.corners[r*a.columns+c] = now.any()
			if now.n > 1 {
				a.corners[r*a.columns+c] = several
				a.doubled[int32(r*a.columns+c)] = now
			}
		}
		for ; k < len(all) && int(all[k].row) == r; k++ {
		}
	}
}

// crossX is where an edge meets a parallel.
func (a *areas) crossX(i int32, y float64) float64 {
	x1, y1, x2, y2 := float64(a.x[i]), float64(a.y[i]), float64(a.x[i+1]), float64(a.y[i+1])
	return x1 + (y-y1)/(y2-y1)*(x2-x1)
}

// at gives the number of the area a place lies in, 0 for none.
func (a *areas) at(p geo.Point) int {
	x, y := p.LonDeg*unitsPerDegree, p.LatDeg*unitsPerDegree
	column, row := a.column(x), a.row(y)
	cell := row*a.columns + column
	edges := a.edges[a.starts[cell]:a.starts[cell+1]]
	var now within
	if corner := a.corners[cell]; corner == several {
		now = a.doubled[int32(cell)]
	} else {
		now.cross(corner)
	}
	if len(edges) == 0 {
		return int(now.any())
	}
	side, base := a.side(column), a.base(row)
	x, y = math.Max(x, side), math.Max(y, base)
	for _, i := range edges {
		x1, y1, x2, y2 := float64(a.x[i]), float64(a.y[i]), float64(a.x[i+1]), float64(a.y[i+1])
		met := false
		if (x1 > side) != (x2 > side) { // on the way north
			at := y1 + (side-x1)/(x2-x1)*(y2-y1)
			met = at > base && at <= y
		}
		if (y1 > y) != (y2 > y) { // on the way east
			if at := x1 + (y-y1)/(y2-y1)*(x2-x1); at > side && at <= x {
				met = !met // an edge met on both ways is crossed and crossed back
			}
		}
		if met {
			arc := a.arcOf(i)
			now.cross(a.left[arc])
			now.cross(a.right[arc])
		}
	}
	return int(now.any())
}
