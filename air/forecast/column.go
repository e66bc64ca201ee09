package forecast

import (
	"math"
	"time"

	"pappus/measure/geo"
)

// Level is one row of a column: the cube at a pressure given in the files.
type Level struct {
	Alt         geo.AltMSL
	Pressure    float64
	Temperature float64
	WindEast    float64
	WindNorth   float64
}

// Column answers the given levels over a place at an instant, lowest first:
// bilinear in place, linear in time, nothing resampled in height.
func (c *Cube) Column(at geo.Point, seconds float64, member int) []Level {
	s := c.Sampler(member)
	s.locate(at.LatDeg, at.LonDeg, seconds)
	rows := make([]Level, 0, c.last-c.first+1)
	var low, high [5]float64
	for k := c.first; k <= c.last; k++ {
		// sum works on pairs; the last level is the upper one of its pair.
		pair := &low
		if k == len(c.pressure)-1 {
			s.sum(k-1, &low, &high)
			pair = &high
		} else {
			s.sum(k, &low, &high)
		}
		rows = append(rows, Level{geo.AltMSL(pair[0]), c.pressure[k], pair[1], pair[3], pair[4]})
	}
	return rows
}

// SurfaceHeight answers the forecast's own ground at a place, and whether the files give it.
func (c *Cube) SurfaceHeight(at geo.Point) (geo.AltMSL, bool) {
	if c.surface == nil {
		return 0, false
	}
	row, fy := c.rowOf(at.LatDeg)
	col, next, fx := c.colOf(at.LonDeg)
	fy, fx = min(max(fy, 0), 1), min(max(fx, 0), 1)
	up := min(row+1, c.rows-1)
	value := func(r, k int) float64 { return float64(c.surface[r*c.cols+k]) }
	south := value(row, col) + fx*(value(row, next)-value(row, col))
	north := value(up, col) + fx*(value(up, next)-value(up, col))
	return geo.AltMSL(south + fy*(north-south)), true
}

// Covers tells whether a place lies in the area.
func (c *Cube) Covers(at geo.Point) bool {
	if c.rows == 1 && c.cols == 1 {
		return true
	}
	_, fy := c.rowOf(at.LatDeg)
	_, _, fx := c.colOf(at.LonDeg)
	return fy >= 0 && fy <= 1 && fx >= 0 && fx <= 1
}

// Span answers the first and last step.
func (c *Cube) Span() (first, last time.Time) {
	return c.epoch, c.Instant(c.times[len(c.times)-1])
}

// TopPressure is the pressure of the highest level given.
func (c *Cube) TopPressure() float64 { return c.pressure[c.last] }

// Tropopause answers the height of the first tropopause over a place: the
// lowest level above 500 hPa from which the lapse to every level within 2 km
// stays at 2 K/km or less (WMO-No. 8, definition of the first tropopause,
// from memory). Without such a level it answers the standard's 11 km.
func (c *Cube) Tropopause(at geo.Point, seconds float64) geo.AltMSL {
	const lapse, depth, lowest = 0.002, 2000.0, 50000.0
	column := c.Column(at, seconds, 0)
	for i, low := range column {
		if low.Pressure > lowest || i == len(column)-1 {
			continue
		}
		stable := true
		for j := i + 1; j < len(column); j++ {
			dz := float64(column[j].Alt - low.Alt)
			stable = stable && low.Temperature-column[j].Temperature <= lapse*dz
			if dz >= depth {
				break
			}
		}
		if stable {
			return low.Alt
		}
	}
	return standardTropopause
}

const standardTropopause geo.AltMSL = 11019 // 11 km geopotential [USSA76]

// Spread answers the standard deviation between members of one wind component
// (the mean of both) over a place at a height; zero with one member.
func (c *Cube) Spread(at geo.Point, alt geo.AltMSL, seconds float64) float64 {
	if c.members < 2 {
		return 0
	}
	var sumEast, sumNorth, square float64
	for m := range c.members {
		s := c.Sampler(m)
		air := s.At(at.LatDeg, at.LonDeg, float64(alt), seconds)
		sumEast += air.WindEast
		sumNorth += air.WindNorth
		square += air.WindEast*air.WindEast + air.WindNorth*air.WindNorth
	}
	n := float64(c.members)
	variance := (square - (sumEast*sumEast+sumNorth*sumNorth)/n) / (n - 1) / 2
	return math.Sqrt(max(variance, 0))
}
