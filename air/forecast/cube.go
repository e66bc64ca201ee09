// Package forecast is the sky over a flight: a cube of pressure, temperature
// and wind over time, height, place and ensemble member, and its sampler.
//
// A profile and the standard atmosphere are cubes of one column, so that every
// flight is flown through the same sampler.
package forecast

import (
	"math"
	"slices"
	"time"

	"pappus/air/atmosphere"
	"pappus/measure/geo"
)

// node is one grid point of the cube. Nodes of a column lie together, lowest first.
type node struct {
	alt     float32 // geometric height above mean sea level, m
	temp    float32 // air temperature, K
	virtual float32 // virtual temperature, K
	east    float32 // wind component towards east, m/s
	north   float32 // wind component towards north, m/s
}

// Cube is read-only once built and may be shared by any number of samplers.
type Cube struct {
	axes
	epoch   time.Time // the first step; times below are seconds from it
	times   []float64
	members int

	// pressure and its logarithm by level, lowest level first. Levels below
	// `first` and above `last` were added in the standard shape.
	pressure    []float64
	logPressure []float64
	first, last int

	nodes   []node    // member, step, row, column, level
	surface []float32 // model surface height by row and column; nil when not given
	near    [nearKinds][]float32

	info Info
}

// axes are the horizontal grid: rows from south to north, columns from west to east.
type axes struct {
	lat0, dLat float64
	lon0, dLon float64
	rows, cols int
	around     bool // the columns close the whole circle
}

// Info says where a cube comes from.
type Info struct {
	Source string    // what the file says of its maker, or the name of a table
	Cycle  time.Time // reference time of the forecast; zero when unknown
	Kind   Kind
	Levels []float64 // pressures given in the files, Pa, lowest level first
	Steps  []time.Time
	Files  []string // names of the files whose fields were used
	Unused []string // what was in the files and not used, one phrase each
	Notes  []string // what was made of the files that they do not say, one phrase each
}

// Kind tells what sort of sky a cube is.
type Kind uint8

// The kinds of sky.
const (
	Standard Kind = iota // the standard atmosphere, without wind
	Profile              // one column from a table
	Gridded              // a forecast
)

// Info answers where the cube comes from.
func (c *Cube) Info() Info { return c.info }

// Members is the number of ensemble members, at least 1.
func (c *Cube) Members() int { return c.members }

// Epoch is the instant from which the sampler counts its seconds.
func (c *Cube) Epoch() time.Time { return c.epoch }

// Frozen tells whether the cube holds one step only.
func (c *Cube) Frozen() bool { return len(c.times) == 1 }

// Seconds turns an instant into the sampler's time.
func (c *Cube) Seconds(t time.Time) float64 { return t.Sub(c.epoch).Seconds() }

// Instant turns the sampler's time into an instant.
func (c *Cube) Instant(seconds float64) time.Time {
	return c.epoch.Add(time.Duration(math.Round(seconds*1e3)) * time.Millisecond)
}

// raw is a cube as the files state it, before heights become geometric and
// the standard shape is added above and below.
type raw struct {
	axes
	times     []time.Time
	members   int
	pressures []float64 // Pa, lowest level first
	// By member, step, row, column, level.
	geopotential []float32 // geopotential metres
	temperature  []float32 // K
	virtual      []float32 // K; nil when the files give no humidity
	east, north  []float32 // m/s
	surface      []float32 // geopotential metres by row and column; nil when not given
	near         [nearKinds][]float32
	info         Info
}

// Spacing of the added levels in the logarithm of pressure (about 1 km), the
// highest pressure that is filled in below and the lowest above. A latex
// envelope ends far below 60 km, where the standard has about 0.2 hPa.
const (
	addedStep      = 0.15
	lowestAdded    = 110000.0
	highestAdded   = 20.0
	heldLapse      = -0.0065 // K/m below the lowest level [USSA76]
	gravityOverGas = atmosphere.StandardGravity / atmosphere.GasConstantAir
)

// build turns what the files state into a cube.
func build(r raw) *Cube {
	c := &Cube{axes: r.axes, epoch: r.times[0], members: r.members, near: r.near, info: r.info}
	for _, t := range r.times {
		c.times = append(c.times, t.Sub(c.epoch).Seconds())
	}
	c.setLevels(r.pressures)
	levels, given := len(c.pressure), len(r.pressures)
	columns := r.members * len(r.times) * r.rows * r.cols
	c.nodes = make([]node, columns*levels)
	for column := range columns {
		row := column / r.cols % r.rows
		latDeg := r.lat0 + float64(row)*r.dLat
		out := c.nodes[column*levels : (column+1)*levels]
		for k := range given {
			from := column*given + k
			virtual := r.temperature[from]
			if r.virtual != nil {
				virtual = r.virtual[from]
			}
			out[c.first+k] = node{
				alt:     float32(geo.Geometric(geo.Geopotential(r.geopotential[from]), latDeg)),
				temp:    r.temperature[from],
				virtual: virtual,
				east:    r.east[from],
				north:   r.north[from],
			}
		}
		c.addShape(out)
	}
	if r.surface != nil {
		c.surface = make([]float32, len(r.surface))
		for i, h := range r.surface {
			latDeg := r.lat0 + float64(i/r.cols)*r.dLat
			c.surface[i] = float32(geo.Geometric(geo.Geopotential(h), latDeg))
		}
	}
	c.info.Levels = slices.Clone(r.pressures)
	c.info.Steps = slices.Clone(r.times)
	return c
}

func (c *Cube) setLevels(given []float64) {
	var below, above []float64
	for p := given[0] * math.Exp(addedStep); given[0] < lowestAdded && p < lowestAdded*math.Exp(addedStep); p *= math.Exp(addedStep) {
		below = append(below, p)
	}
	for p := given[len(given)-1] * math.Exp(-addedStep); p > highestAdded; p *= math.Exp(-addedStep) {
		above = append(above, p)
	}
	slices.Reverse(below)
	c.pressure = slices.Concat(below, given, above)
	c.first, c.last = len(below), len(below)+len(given)-1
	for _, p := range c.pressure {
		c.logPressure = append(c.logPressure, math.Log(p))
	}
}

// addShape fills the added levels of one column: above, the standard's own
// change of temperature with height from the top level on; below, the
// standard lapse. Winds are held. Heights follow from hydrostatic balance.
func (c *Cube) addShape(column []node) {
	top := column[c.last]
	offset := float64(top.virtual) - atmosphere.Temperature(geo.AltMSL(top.alt))
	for k := c.last + 1; k < len(column); k++ {
		lower := column[k-1]
		alt := c.thickness(lower, k, func(z float64) float64 { return atmosphere.Temperature(geo.AltMSL(z)) + offset })
		virtual := max(atmosphere.Temperature(geo.AltMSL(alt))+offset, coldestAdded)
		column[k] = node{float32(alt), float32(virtual), float32(virtual), top.east, top.north}
	}
	bottom := column[c.first]
	for k := c.first - 1; k >= 0; k-- {
		upper := column[k+1]
		dLog := c.logPressure[k] - c.logPressure[k+1]
		dz := dropBelow(float64(upper.virtual), dLog)
		column[k] = node{
			upper.alt + float32(dz), upper.temp + float32(heldLapse*dz), upper.virtual + float32(heldLapse*dz),
			bottom.east, bottom.north,
		}
	}
}

// dropBelow answers the (negative) way from a temperature down to a pressure
// that is higher by dLog in its logarithm, in air with the standard lapse: one
// midpoint step of dz = -(R T/g) d ln p, good to 0.1 m over 1 km.
func dropBelow(temperature, dLog float64) float64 {
	mean := temperature - heldLapse*dLog*temperature/gravityOverGas/2
	return -dLog * mean / gravityOverGas
}

// coldestAdded bounds a temperature carried on above a very cold top level.
const coldestAdded = 150.0

// thickness answers the height of level k above the node below it.
func (c *Cube) thickness(lower node, k int, temperature func(z float64) float64) float64 {
	z := float64(lower.alt)
	// Gravity falls by 0.03 % a kilometre; the standard's radius serves here.
	ratio := atmosphere.EarthRadius / (atmosphere.EarthRadius + z)
	scale := max(temperature(z), coldestAdded) / (gravityOverGas * ratio * ratio)
	dLog := c.logPressure[k-1] - c.logPressure[k]
	middle := z + scale*dLog/2
	ratio = atmosphere.EarthRadius / (atmosphere.EarthRadius + middle)
	return z + max(temperature(middle), coldestAdded)/(gravityOverGas*ratio*ratio)*dLog
}

// standardSpacing keeps the standard's curved pressure within 1e-5 of the
// straight line that the sampler draws between levels.
const standardSpacing = 100.0

// StandardSky is the standard atmosphere as a cube: one column, no wind.
// Levels stand every 100 m and at every bend of the standard temperature.
func StandardSky() *Cube {
	c := &Cube{axes: axes{rows: 1, cols: 1}, epoch: time.Unix(0, 0).UTC(), times: []float64{0}, members: 1}
	c.info = Info{Source: "US Standard Atmosphere 1976, no wind", Kind: Standard}
	heights := []float64{}
	for z := -1000.0; z <= 60000; z += standardSpacing {
		heights = append(heights, z)
	}
	for _, h := range []float64{11000, 20000, 32000, 47000, 51000} { // [USSA76] table 4
		heights = append(heights, atmosphere.EarthRadius*h/(atmosphere.EarthRadius-h))
	}
	slices.Sort(heights)
	for _, z := range heights {
		s := atmosphere.At(geo.AltMSL(z))
		c.pressure = append(c.pressure, s.Pressure)
		c.logPressure = append(c.logPressure, math.Log(s.Pressure))
		c.nodes = append(c.nodes, node{alt: float32(z), temp: float32(s.Temperature), virtual: float32(s.Temperature)})
	}
	c.last = len(heights) - 1
	return c
}
