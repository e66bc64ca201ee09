// Package nearby finds which points of a fixed set lie near a place, anywhere on the globe: over the poles and
// across the antimeridian, without allocation.
//
// The points stand sorted in cells: bands of latitude, each cut into as many columns as keep the cells about square.
// They are compared by the straight line through the Earth between places on the WGS-84 ellipsoid, which puts
// them in the order of the true distance to within one part in 10^5 up to 1000 km.
package nearby

import (
	"fmt"
	"math"
	"sort"

	"pappus/measure/geo"
)

const (
	degree = math.Pi / 180

	// semiMajor and eccentricity2 are the WGS-84 ellipsoid's.
	semiMajor     = 6378137.0
	flattening    = 1 / 298.257223563
	eccentricity2 = flattening * (2 - flattening)

	// shortestRadius is below the Earth's least radius of curvature, so that an angle worked out with it is never too small.
	shortestRadius = 6335000.0
)

// Grid says how a set of points is cut into cells. The zero value is of no use.
type Grid struct {
	bands   int
	columns []int32 // in each band
	first   []int32 // number of the band's first cell
}

// NewGrid cuts the globe into this many bands of latitude.
func NewGrid(bands int) *Grid {
	g := &Grid{bands: bands, columns: make([]int32, bands), first: make([]int32, bands+1)}
	for b := range bands {
		middle := (float64(b)+0.5)*180/float64(bands) - 90
		g.columns[b] = int32(math.Max(1, math.Round(2*float64(bands)*math.Cos(middle*degree))))
		g.first[b+1] = g.first[b] + g.columns[b]
	}
	return g
}

// Cell is the number of the cell a point lies in; points must be handed to New in this order.
func (g *Grid) Cell(p geo.Point) int32 {
	b := g.band(p.LatDeg)
	return g.first[b] + g.column(b, p.LonDeg)
}

// Cells is the number of cells.
func (g *Grid) Cells() int { return int(g.first[g.bands]) }

// Box is a cell's place: its south-west corner and its size.
type Box struct{ SouthDeg, WestDeg, HeightDeg, WidthDeg float64 }

// Box gives the place of a cell.
func (g *Grid) Box(cell int32) Box {
	b := sort.Search(g.bands, func(b int) bool { return g.first[b+1] > cell })
	height, width := 180/float64(g.bands), 360/float64(g.columns[b])
	return Box{SouthDeg: float64(b)*height - 90, WestDeg: float64(cell-g.first[b])*width - 180, HeightDeg: height, WidthDeg: width}
}

func (g *Grid) band(latDeg float64) int {
	return min(max(int((latDeg+90)*float64(g.bands)/180), 0), g.bands-1)
}

func (g *Grid) column(band int, lonDeg float64) int32 {
	n := g.columns[band]
	return min(max(int32((lonDeg+180)*float64(n)/360), 0), n-1)
}

// Index holds the points.
type Index struct {
	grid    *Grid
	starts  []int32 // of each cell, and the end
	x, y, z []float32
	class   []uint8
}

// New makes an index of points that stand in the order of their cells. class, which may be nil, holds for each point
// the bits by which queries choose.
func New(grid *Grid, points []geo.Point, class []uint8) (*Index, error) {
	if class != nil && len(class) != len(points) {
		return nil, fmt.Errorf("%d points with %d classes, expected one each", len(points), len(class))
	}
	ix := &Index{grid: grid, starts: make([]int32, grid.first[grid.bands]+1), class: class,
		x: make([]float32, len(points)), y: make([]float32, len(points)), z: make([]float32, len(points))}
	next := int32(0)
	for i, p := range points {
		c := grid.Cell(p)
		if c < next-1 {
			return nil, fmt.Errorf("point %d of %d is out of the order of cells", i+1, len(points))
		}
		for ; next <= c; next++ {
			ix.starts[next] = int32(i)
		}
		x, y, z := cartesian(p)
		ix.x[i], ix.y[i], ix.z[i] = float32(x), float32(y), float32(z)
	}
	for ; int(next) < len(ix.starts); next++ {
		ix.starts[next] = int32(len(points))
	}
	return ix, nil
}

// Len is the number of points.
func (ix *Index) Len() int { return len(ix.x) }

// cartesian places a point on the ellipsoid, from the Earth's centre.
func cartesian(p geo.Point) (x, y, z float64) {
	sinLat, cosLat := math.Sincos(p.LatDeg * degree)
	sinLon, cosLon := math.Sincos(p.LonDeg * degree)
	n := semiMajor / math.Sqrt(1-eccentricity2*sinLat*sinLat)
	return n * cosLat * cosLon, n * cosLat * sinLon, n * (1 - eccentricity2) * sinLat
}

// Near is a point found: its number in the set, and how far it is in a straight line (0.1 m short of the way along
// the ground at 10 km, 100 m at 100 km).
type Near struct {
	Number    int32
	DistanceM float64
}

// Nearest fills into with the nearest points within a distance, nearest first, and says how many there are.
// With a mask other than 0 only points count whose class shares a bit with it.
func (ix *Index) Nearest(p geo.Point, withinM float64, mask uint8, into []Near) int {
	if len(into) == 0 || len(ix.x) == 0 || !(withinM >= 0) {
		return 0
	}
	cell := math.Pi * semiMajor / float64(ix.grid.bands)
	found := 0
	// Look in a small circle first, and in a wider one only when that was not enough. The first is half a cell wide:
	// where points are sparse it costs little, where they are dense it is enough.
	for radius := cell / 2; ; radius *= 3 {
		radius = math.Min(radius, withinM)
		found = ix.within(p, radius, mask, into)
		if found == len(into) || radius >= withinM || radius > 2.1*semiMajor {
			return found
		}
	}
}

// within fills into with the nearest points inside a circle.
func (ix *Index) within(p geo.Point, radius float64, mask uint8, into []Near) int {
	x, y, z := cartesian(p)
	found, limit := 0, radius*radius
	search := func(from, to int32) { // the points of neighbouring cells stand together
		for i := ix.starts[from]; i < ix.starts[to]; i++ {
			dx, dy, dz := float64(ix.x[i])-x, float64(ix.y[i])-y, float64(ix.z[i])-z
			d2 := dx*dx + dy*dy + dz*dz
			if d2 > limit || mask != 0 && (ix.class == nil || ix.class[i]&mask == 0) {
				continue
			}
			found = insert(into, found, Near{i, d2})
			if found == len(into) {
				limit = math.Min(limit, into[found-1].DistanceM)
			}
		}
	}
	g := ix.grid
	// The chord 2 R sin(a/2) is turned into an angle, on the safe side.
	angle := 2 * math.Asin(math.Min(1, radius/(2*shortestRadius))) / degree * 1.001
	south, north := p.LatDeg-angle, p.LatDeg+angle
	half := 360.0
	if south > -90 && north < 90 {
		// On a sphere a circle of this angle reaches asin(sin a / cos latitude) to either side. The
		// geodetic latitude differs from the sphere's by 0.2° at most, hence the margin.
		if s := math.Sin(angle*degree) / math.Cos(math.Min(math.Abs(p.LatDeg)+0.2, 90)*degree); s < 1 {
			half = math.Asin(s)/degree*1.001 + 1e-6
		}
	}
	for b := g.band(south - 0.01); b <= g.band(north+0.01); b++ {
		first := g.first[b]
		if 2*half >= 360 {
			search(first, first+g.columns[b])
			continue
		}
		west, east := p.LonDeg-half, p.LonDeg+half
		switch {
		case west < -180:
			search(first, first+g.column(b, east)+1)
			search(first+max(g.column(b, west+360), g.column(b, east)+1), first+g.columns[b])
		case east >= 180:
			search(first+g.column(b, west), first+g.columns[b])
			search(first, first+min(g.column(b, east-360)+1, g.column(b, west)))
		default:
			search(first+g.column(b, west), first+g.column(b, east)+1)
		}
	}
	for i := range found {
		into[i].DistanceM = math.Sqrt(into[i].DistanceM)
	}
	return found
}

// insert keeps into[:found] sorted by distance; of equals the lower number stands first.
func insert(into []Near, found int, n Near) int {
	i := found
	if found == len(into) {
		if i--; n.DistanceM >= into[i].DistanceM {
			return found
		}
	} else {
		found++
	}
	for ; i > 0 && (into[i-1].DistanceM > n.DistanceM || into[i-1].DistanceM == n.DistanceM && into[i-1].Number > n.Number); i-- {
		into[i] = into[i-1]
	}
	into[i] = n
	return found
}
