// Package sounding is one profile of the air: a table of pressure, temperature
// and wind by height, as a person writes it down or a weather balloon brings it.
package sounding

import (
	"math"

	"pappus/air/atmosphere"
	"pappus/measure/geo"
)

// Profile is a table that was read and checked: rows from the lowest to the
// highest, none doubled. It has neither place nor date.
type Profile struct {
	Name     string   // the file that it came from
	Vertical Vertical // what its heights rest on
	HasTemp  bool     // false: the standard's temperatures stand in
	rows     []row
}

// Vertical is the column that places the rows of a table.
type Vertical uint8

// The columns that can place a row.
const (
	ByGeometric    Vertical = iota // alt_m
	ByGeopotential                 // height_m
	ByPressure                     // pressure_hpa
)

// row is one line of the table in SI. What is not given is NaN.
type row struct {
	line        int
	height      float64 // geometric or geopotential, as Vertical says
	pressure    float64
	temperature float64
	east, north float64
}

// Level is one row of a profile made complete.
type Level struct {
	Height      geo.Geopotential
	Pressure    float64
	Temperature float64
	WindEast    float64
	WindNorth   float64
}

// Len is the number of rows.
func (p Profile) Len() int { return len(p.rows) }

// Levels answers the rows over a latitude, which decides how geometric and
// geopotential heights belong together. What the table leaves out follows from
// the standard atmosphere and from hydrostatic balance in dry air.
func (p Profile) Levels(latDeg float64) []Level {
	levels := make([]Level, len(p.rows))
	for i, r := range p.rows {
		levels[i] = Level{Pressure: r.pressure, Temperature: r.temperature, WindEast: r.east, WindNorth: r.north}
		switch p.Vertical {
		case ByGeometric:
			levels[i].Height = geo.ToGeopotential(geo.AltMSL(r.height), latDeg)
		case ByGeopotential:
			levels[i].Height = geo.Geopotential(r.height)
		}
	}
	if p.Vertical == ByPressure {
		heightsFromPressure(levels)
	} else {
		pressuresFromHeight(levels)
	}
	return levels
}

// heightsFromPressure starts at the height that the standard gives the lowest
// pressure, and goes up by the hypsometric equation ([WMO8], part I, chapter
// 12), the temperature between two rows being linear in the logarithm of pressure.
func heightsFromPressure(levels []Level) {
	for i := range levels {
		l := &levels[i]
		standard := atmosphere.Geopotential(atmosphere.PressureAltitude(l.Pressure))
		if math.IsNaN(l.Temperature) {
			l.Height, l.Temperature = standard, atmosphere.AtGeopotential(standard).Temperature
			continue
		}
		if i == 0 {
			l.Height = standard
			continue
		}
		below := levels[i-1]
		mean := (below.Temperature + l.Temperature) / 2
		l.Height = below.Height + geo.Geopotential(mean/perMetre*math.Log(below.Pressure/l.Pressure))
	}
}

// perMetre is g/R, the lapse of a homogeneous atmosphere, K/m.
const perMetre = atmosphere.StandardGravity / atmosphere.GasConstantAir

// pressuresFromHeight fills in the pressures that are not given: between two
// that are, linear in the logarithm; otherwise by hydrostatic balance, from the
// standard's pressure at the lowest row where the table gives none at all.
func pressuresFromHeight(levels []Level) {
	first, last := -1, -1
	for i := range levels {
		l := &levels[i]
		if math.IsNaN(l.Temperature) {
			l.Temperature = atmosphere.AtGeopotential(l.Height).Temperature
		}
		if math.IsNaN(l.Pressure) {
			continue
		}
		if last >= 0 {
			between(levels[last : i+1])
		}
		if first < 0 {
			first = i
		}
		last = i
	}
	if first < 0 {
		levels[0].Pressure = atmosphere.AtGeopotential(levels[0].Height).Pressure
		first, last = 0, 0
	}
	for i := first - 1; i >= 0; i-- {
		levels[i].Pressure = hydrostatic(levels[i+1], levels[i])
	}
	for i := last + 1; i < len(levels); i++ {
		levels[i].Pressure = hydrostatic(levels[i-1], levels[i])
	}
}

// between fills the pressures inside a run whose two ends have one.
func between(run []Level) {
	low, high := run[0], run[len(run)-1]
	slope := math.Log(high.Pressure/low.Pressure) / float64(high.Height-low.Height)
	for i := 1; i < len(run)-1; i++ {
		run[i].Pressure = low.Pressure * math.Exp(slope*float64(run[i].Height-low.Height))
	}
}

// hydrostatic answers the pressure at `to`, from that at `from`, with the
// temperature between them linear in height: [USSA76] equations 33a and 33b.
func hydrostatic(from, to Level) float64 {
	rise := float64(to.Height - from.Height)
	change := to.Temperature - from.Temperature
	// The mean that makes the isothermal equation exact for a straight slope.
	mean := from.Temperature
	if math.Abs(change) > 1e-6 {
		mean = change / math.Log(to.Temperature/from.Temperature)
	}
	return from.Pressure * math.Exp(-perMetre*rise/mean)
}
