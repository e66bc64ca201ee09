package weather

import (
	"fmt"
	"math"

	"pappus/air/grib2"
	"pappus/measure/geo"
	"pappus/measure/unit"
)

// Window is the part of a global grid that is kept.
type Window struct {
	NorthDeg, SouthDeg float64
	WestDeg, EastDeg   float64 // west from 0 up to 360; east may go past 360
	StepDeg            float64
}

// metresPerDegree is a little less than a degree of latitude is long anywhere
// (110.57 km at the equator, [WGS84]), so that a window is never too narrow.
const metresPerDegree = 110500.0

// WindowAround holds all that lies within a distance of a place, on a global
// grid of a step, and one cell more.
func WindowAround(at geo.Point, radius, stepDeg float64) Window {
	reach := radius/metresPerDegree + stepDeg
	rows := math.Round(180 / stepDeg)
	up := func(deg float64) float64 { return math.Ceil(deg/stepDeg) * stepDeg }
	down := func(deg float64) float64 { return math.Floor(deg/stepDeg) * stepDeg }
	w := Window{StepDeg: stepDeg}
	w.NorthDeg = min(up(at.LatDeg+reach), 90)
	w.SouthDeg = max(down(at.LatDeg-reach), 90-rows*stepDeg)
	half := 360.0
	if math.Abs(at.LatDeg)+reach < 89.9 {
		// Half the width of a circle on the sphere.
		half = math.Asin(math.Sin(reach*unit.Degree)/math.Cos(at.LatDeg*unit.Degree))/unit.Degree + stepDeg
	}
	if 2*half >= 360-2*stepDeg {
		w.WestDeg, w.EastDeg = 0, 360-stepDeg
		return w
	}
	w.WestDeg, w.EastDeg = down(at.LonDeg-half), up(at.LonDeg+half)
	if turn := 360 * math.Floor(w.WestDeg/360); turn != 0 {
		w.WestDeg, w.EastDeg = w.WestDeg-turn, w.EastDeg-turn
	}
	return w
}

// Cols and Rows are the numbers of grid points.
func (w Window) Cols() int { return int(math.Round((w.EastDeg-w.WestDeg)/w.StepDeg)) + 1 }

// Rows is the number of grid points from north to south.
func (w Window) Rows() int { return int(math.Round((w.NorthDeg-w.SouthDeg)/w.StepDeg)) + 1 }

func (w Window) String() string {
	east := geo.WrapLonDeg(w.EastDeg)
	return fmt.Sprintf("%g to %g north, %g to %g east", w.SouthDeg, w.NorthDeg, geo.WrapLonDeg(w.WestDeg), east)
}

// gridSlack is how far, in degrees, a corner may lie from where it should:
// files write millionths, and some only thousandths.
const gridSlack = 2e-3

// part finds a window in the grid of a field.
func (w Window) part(g grib2.Grid) (grib2.Part, error) {
	none := grib2.Part{}
	if g.Template != 0 || g.Regular() != nil || g.Ni < 2 || g.Nj < 2 {
		return none, fmt.Errorf("the field does not stand on a regular latitude-longitude grid")
	}
	north, west := g.At(g.Index(0, 0))
	south, east := g.At(g.Index(g.Ni-1, g.Nj-1))
	span := math.Mod(east-west, 360)
	if span <= 0 {
		span += 360
	}
	dLat, dLon := (north-south)/float64(g.Nj-1), span/float64(g.Ni-1)
	if math.Abs(dLat-w.StepDeg) > gridSlack || math.Abs(dLon-w.StepDeg) > gridSlack {
		return none, fmt.Errorf("the grid has steps of %.4g by %.4g degrees, and %g is expected", dLat, dLon, w.StepDeg)
	}
	p := grib2.Part{Cols: w.Cols(), Rows: w.Rows()}
	away := w.WestDeg - west
	away -= 360 * math.Floor((away+gridSlack)/360)
	p.Col, p.Row = int(math.Round(away/dLon)), int(math.Round((north-w.NorthDeg)/dLat))
	closed := math.Abs((360-span)/dLon-1) < 0.01
	if p.Row < 0 || p.Row+p.Rows > g.Nj || p.Col >= g.Ni || p.Cols > g.Ni || p.Col+p.Cols > g.Ni && !closed {
		return none, fmt.Errorf("the grid covers %g to %g north, %g to %g east, and not the %s that are wanted", south, north, west, east, w)
	}
	gotNorth, gotWest := g.At(g.Index(p.Col, p.Row))
	if math.Abs(gotNorth-w.NorthDeg) > gridSlack || math.Abs(math.Remainder(gotWest-w.WestDeg, 360)) > gridSlack {
		return none, fmt.Errorf("the points of the grid lie beside those that are wanted")
	}
	return p, nil
}

// holds tells whether a grid is this window.
func (w Window) holds(g grib2.Grid) bool {
	p, err := w.part(g)
	return err == nil && p == grib2.Part{Cols: g.Ni, Rows: g.Nj}
}
