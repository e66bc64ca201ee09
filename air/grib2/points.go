package grib2

import (
	"fmt"
	"math"
)

// Scanning mode, flag table 3.4.
const (
	scanWestward  = 0x80 // i goes from east to west
	scanNorthward = 0x40 // j goes from south to north
	scanColumns   = 0x20 // adjacent points lie along j
	scanBackForth = 0x10 // every other row runs backwards
	scanStaggered = 0x0f // rows or columns are shifted by half a step
)

// Regular tells whether At and Index can answer for every point: the grid is
// one of rows of equal length on a known layout. The error says what else it is.
func (g Grid) Regular() error {
	switch {
	case !g.isReadable:
		return &UnsupportedError{Section: 3, Template: int(g.Template),
			Advice: fmt.Sprintf("grid template 3.%d%s is not supported: ask for a latitude-longitude grid", g.Template, gridName(g.Template))}
	case g.Ni < 0 || g.Nj < 0 || g.rowOctets > 0:
		return &UnsupportedError{Section: 3, Template: int(g.Template),
			Advice: "a grid whose rows differ in length is not supported: ask for a regular latitude-longitude grid"}
	case g.ScanMode&scanStaggered != 0:
		return &UnsupportedError{Section: 3, Template: int(g.Template),
			Advice: "a grid with rows shifted by half a step is not supported: ask for a regular latitude-longitude grid"}
	case !g.isLatLon && !(g.Earth.Minor > 0 && g.Earth.Minor <= g.Earth.Major && g.Earth.Major < 1e9):
		return &DamageError{Section: 3, What: "the grid is in metres but the file does not give the size of the earth"}
	case g.malformed != "":
		return &DamageError{Section: 3, What: g.malformed}
	}
	return nil
}

func gridName(template uint16) string {
	name := map[uint16]string{1: "rotated latitude-longitude", 2: "stretched latitude-longitude", 12: "transverse Mercator",
		40: "Gaussian", 41: "rotated Gaussian", 50: "spherical harmonics", 90: "space view", 100: "triangular", 101: "unstructured"}[template]
	if name == "" {
		return ""
	}
	return " (" + name + ")"
}

// Index is the place in the file of the point in column i, counted from the
// west (or from the left), and row j, counted from the north (or from the top).
// It is -1 where there is no such point.
func (g Grid) Index(i, j int) int {
	if i < 0 || j < 0 || i >= g.Ni || j >= g.Nj {
		return -1
	}
	if g.ScanMode&scanWestward != 0 {
		i = g.Ni - 1 - i
	}
	if g.ScanMode&scanNorthward != 0 {
		j = g.Nj - 1 - j
	}
	if g.ScanMode&scanColumns != 0 {
		if g.ScanMode&scanBackForth != 0 && i&1 == 1 {
			j = g.Nj - 1 - j
		}
		return i*g.Nj + j
	}
	if g.ScanMode&scanBackForth != 0 && j&1 == 1 {
		i = g.Ni - 1 - i
	}
	return j*g.Ni + i
}

// steps is how many columns and rows a place in the file is away from the first
// point, in the grid's own directions.
func (g Grid) steps(index int) (i, j int) {
	if g.ScanMode&scanColumns != 0 {
		i, j = index/g.Nj, index%g.Nj
		if g.ScanMode&scanBackForth != 0 && i&1 == 1 {
			j = g.Nj - 1 - j
		}
		return i, j
	}
	i, j = index%g.Ni, index/g.Ni
	if g.ScanMode&scanBackForth != 0 && j&1 == 1 {
		i = g.Ni - 1 - i
	}
	return i, j
}

// At is where a value of the file lies: latitude, and longitude from -180 up to
// but not including 180, in degrees. Both are NaN where Regular has an error or
// the file has no such point.
func (g Grid) At(index int) (latDeg, lonDeg float64) {
	if index < 0 || g.Ni < 1 || g.Nj < 1 || index >= g.Ni*g.Nj || g.Regular() != nil {
		return math.NaN(), math.NaN()
	}
	i, j := g.steps(index)
	if !g.isLatLon {
		return g.project(i, j)
	}
	latDeg, lonDeg = g.La1, g.Lo1
	if j > 0 {
		latDeg += g.latSpan * float64(j) / float64(g.Nj-1)
	}
	if i > 0 {
		lonDeg += g.lonSpan * float64(i) / float64(g.Ni-1)
	}
	return latDeg, wrap(lonDeg)
}

// wrap brings a longitude into -180 up to 180. What lies there already is kept
// to the last bit.
func wrap(lon float64) float64 {
	if lon >= -180 && lon < 180 {
		return lon
	}
	if lon = math.Mod(lon, 360); lon >= 180 {
		lon -= 360
	} else if lon < -180 {
		lon += 360
	}
	return lon
}
