package forecast

import (
	"fmt"
	"math"

	"pappus/air/grib2"
	"pappus/measure/geo"
	"pappus/measure/unit"
)

// mesh is a regular latitude-longitude grid, whatever the order in which a file
// writes it: rows from the south, columns from the west.
type mesh struct {
	rows, cols  int
	south, west float64
	dLat, dLon  float64
	around      bool // the columns close the circle
	spare       int  // columns at the east end that stand for the first ones again
}

// meshOf reads a grid, or says why it is not one that is read.
func meshOf(g grib2.Grid) (mesh, error) {
	if g.Template != 0 {
		return mesh{}, fmt.Errorf("%s is a grid that is not read: fetch the forecast on a regular latitude-longitude grid", gridText(g))
	}
	if err := g.Regular(); err != nil {
		return mesh{}, err
	}
	if g.Ni < 2 || g.Nj < 2 {
		return mesh{}, fmt.Errorf("the grid has %d by %d points: fetch an area of at least two rows and two columns", g.Ni, g.Nj)
	}
	m := mesh{rows: g.Nj, cols: g.Ni}
	north, west := g.At(g.Index(0, 0))
	south, east := g.At(g.Index(g.Ni-1, g.Nj-1))
	m.south, m.west, m.dLat = south, west, (north-south)/float64(g.Nj-1)
	span := math.Mod(east-west, 360)
	if span <= 0 {
		span += 360
	}
	m.dLon = span / float64(g.Ni-1)
	if !(m.dLat > 0) || !(m.dLon > 0) {
		return mesh{}, fmt.Errorf("the corners of the grid do not fit: fetch the file again")
	}
	// A third of a degree written in millionths closes to a thousandth of a step.
	const slack = 0.01
	switch gap := (360 - span) / m.dLon; {
	case math.Abs(gap-1) < slack:
		m.around, m.dLon = true, 360/float64(m.cols)
	case math.Abs(gap) < slack: // the first column again at the end
		m.around, m.spare, m.dLon = true, 1, 360/float64(m.cols-1)
	}
	return m, nil
}

// same tells whether two meshes are one; written in another order, the corners
// come out different in their last bits.
func (m mesh) same(other mesh) bool {
	const slack = 1e-6 // degrees, the unit of the files
	differ := func(a, b float64) bool { return math.Abs(a-b) > slack }
	if differ(m.south, other.south) || differ(m.west, other.west) || differ(m.dLat, other.dLat) || differ(m.dLon, other.dLon) {
		return false
	}
	return m.rows == other.rows && m.cols == other.cols && m.around == other.around && m.spare == other.spare
}

func (m mesh) area() Area {
	return Area{SouthDeg: m.south, NorthDeg: m.south + float64(m.rows-1)*m.dLat,
		WestDeg: m.west, EastDeg: m.west + float64(m.cols-1)*m.dLon, Around: m.around}
}

// axes answers the whole mesh as the axes of a cube.
func (m mesh) axes() axes {
	return axes{lat0: m.south, dLat: m.dLat, lon0: m.west, dLon: m.dLon, rows: m.rows, cols: m.cols - m.spare, around: m.around}
}

func (m mesh) covers(p geo.Point) bool {
	return (&Cube{axes: m.axes()}).Covers(p)
}

// window is the part of a mesh around a flight. Column i of the window is
// column (col+i) mod turn of the mesh.
type window struct {
	mesh
	row, col   int
	rowN, colN int
	turn       int
	whole      bool // all columns of a closed circle
}

// metresPerDegree is a little less than a degree of latitude is long anywhere
// (110.57 km at the equator, [WGS84]), so that a window is never too narrow.
const metresPerDegree = 110500.0

// windowAround cuts out what lies within a distance of a place, and one cell more.
func windowAround(m mesh, place geo.Point, radius float64) window {
	a := m.axes()
	w := window{mesh: m, turn: a.cols}
	reach := radius / metresPerDegree
	low := int(math.Floor((place.LatDeg - reach - m.south) / m.dLat))
	high := int(math.Ceil((place.LatDeg + reach - m.south) / m.dLat))
	low, high = max(low, 0), min(high, m.rows-1)
	// The place lies inside the mesh, so that two rows are left at least.
	low, high = min(low, m.rows-2), max(high, 1)
	w.row, w.rowN = low, high-low+1
	half := lonReach(place.LatDeg, reach)
	x := place.LonDeg - m.west
	if m.around {
		x -= 360 * math.Floor(x/360)
		low, high = int(math.Floor((x-half)/m.dLon)), int(math.Ceil((x+half)/m.dLon))
		if high-low+1 >= a.cols {
			w.colN, w.whole = a.cols, true
			return w
		}
		w.col, w.colN = (low+a.cols)%a.cols, high-low+1
		return w
	}
	width := float64(a.cols-1) * m.dLon
	x -= 360 * math.Floor((x-width/2+180)/360)
	low, high = int(math.Floor((x-half)/m.dLon)), int(math.Ceil((x+half)/m.dLon))
	low, high = min(max(low, 0), a.cols-2), max(min(high, a.cols-1), 1)
	w.col, w.colN = low, high-low+1
	return w
}

// lonReach is how many degrees of longitude a circle of that many degrees
// spans to either side; all of them when it holds a pole.
func lonReach(latDeg, reachDeg float64) float64 {
	if math.Abs(latDeg)+reachDeg >= 89.9 {
		return 360
	}
	return math.Asin(math.Sin(reachDeg*unit.Degree)/math.Cos(latDeg*unit.Degree)) / unit.Degree
}

// cut answers the window as the axes of a cube.
func (w window) cut() axes {
	a := w.axes()
	a.lat0 += float64(w.row) * w.dLat
	a.lon0 += float64(w.col) * w.dLon
	a.rows, a.cols, a.around = w.rowN, w.colN, w.whole
	return a
}

// index answers where a field keeps the value of a point of the window.
func (w window) index(g grib2.Grid, row, col int) int {
	return g.Index((w.col+col)%w.turn, w.rows-1-w.row-row)
}

// place answers where a point of the window lies.
func (w window) place(row, col int) geo.Point {
	a := w.cut()
	return geo.Point{LatDeg: a.lat0 + float64(row)*a.dLat, LonDeg: geo.WrapLonDeg(a.lon0 + float64(col)*a.dLon)}
}
