// Package demo is an invented flight under an invented sky. The sky is a set
// of formulas; its grid points are kept as a real GRIB2 file, which the demo
// reads like any other forecast.
package demo

import (
	_ "embed"
	"math"
	"time"

	"pappus/air/atmosphere"
)

// Cycle is when the invented forecast starts from.
var Cycle = time.Date(2027, 4, 17, 0, 0, 0, 0, time.UTC)

// The frame of the file: half-degree points, steps in hours, levels in hPa.
const (
	South, North = 35.0, 45.5
	West, East   = -106.0, -90.0
	GridStep     = 0.5
	FirstStep    = 9
	LastStep     = 24
	StepHours    = 3
)

// Levels are the pressures of the file in hPa, lowest level first.
var Levels = []float64{
	1000, 975, 950, 925, 900, 850, 800, 750, 700, 650, 600, 550, 500, 450, 400, 350, 300, 250, 200,
	150, 100, 70, 50, 40, 30, 20, 15, 10, 7, 5,
}

// Node is the invented sky at one grid point.
type Node struct {
	Height      float64 // geopotential metres
	Temperature float64 // K
	Humidity    float64 // per cent
	East, North float64 // m/s
}

// wave is the phase of the meander that the westerlies follow; it drifts east.
func wave(latDeg, lonDeg, seconds float64) float64 {
	return (lonDeg+98)*2*math.Pi/24 + (latDeg-40)*0.05 - seconds/3600*0.09
}

// Sky answers the invented sky at a pressure in hPa and a time from the cycle.
func Sky(latDeg, lonDeg, pressure, seconds float64) Node {
	phase := wave(latDeg, lonDeg, seconds)
	height, temperature := column(latDeg, phase, pressure)
	z := height / 1000
	core := math.Exp(-math.Pow((z-11)/3.8, 2))
	meander := 0.35 * math.Cos(phase)
	jet := 41 * core * math.Exp(-math.Pow((latDeg-40.5-1.5*math.Sin(phase))/6, 2))
	westerly := 9*(1-math.Exp(-z/1.5))*math.Exp(-z/25) + jet
	easterly := 11 * (1 + math.Tanh((z-23)/3)) / 2
	// Near the ground the wind comes from the south-west and veers within 2 km.
	low := 3.5 * math.Exp(-z/1.2)
	hour := seconds/3600 - 6 // local time of day, near enough
	low *= 1 + 0.3*math.Sin((hour-9)/24*2*math.Pi)
	ripple := 2.2 * math.Sin(2*math.Pi*z/5.3+phase)
	return Node{
		Height:      height,
		Temperature: temperature,
		Humidity:    min(max(78*math.Exp(-z/4)+20*core*math.Sin(phase), 3), 97),
		East:        westerly*math.Cos(meander) + 0.5*low - easterly + ripple,
		North:       westerly*math.Sin(meander) + low + 1.4*math.Cos(2*math.Pi*z/7.1-phase),
	}
}

// column integrates the heights of one column from the sea upwards.
func column(latDeg, phase, pressure float64) (height, temperature float64) {
	sea := 1015 + 4*math.Sin(phase) - 0.4*(latDeg-40)
	const step = 0.01 // in the logarithm of pressure, about 80 m
	target := math.Log(sea / pressure)
	scale := atmosphere.GasConstantAir / atmosphere.StandardGravity
	if target < 0 {
		t := temperatureAt(0, latDeg, phase)
		return scale * t * target, t
	}
	for at := 0.0; at < target; at += step {
		d := min(step, target-at)
		middle := height + scale*temperatureAt(height, latDeg, phase)*d/2
		height += scale * temperatureAt(middle, latDeg, phase) * d
	}
	return height, temperatureAt(height, latDeg, phase)
}

// temperatureAt falls with height to a tropopause near 11.5 km and grows again
// from 20 km on.
func temperatureAt(height, latDeg, phase float64) float64 {
	ground := 291 - 0.75*(latDeg-40) + 2*math.Sin(phase)
	const tropopause, lapse, warmFrom, warming = 11500.0, 0.0064, 20000.0, 0.0011
	smooth := func(x, width float64) float64 { return width * math.Log1p(math.Exp(x/width)) } // max(x, 0), rounded
	return ground - lapse*(height-smooth(height-tropopause, 600)) + warming*smooth(height-warmFrom, 1500)
}

// GroundHeight is the model's surface: plains that rise to the west, with low hills.
func GroundHeight(latDeg, lonDeg float64) float64 {
	return 640 - 52*(lonDeg+99) + 40*math.Sin(latDeg*2.1)*math.Cos(lonDeg*1.7)
}

//go:embed sky.grib2
var file []byte

// Forecast is the invented forecast as a file in memory.
func Forecast() (name string, data []byte) { return "demo/sky.grib2", file }

//go:embed flight.toml
var flight []byte

// Flight is the invented flight file.
func Flight() (name string, data []byte) { return "demo/flight.toml", flight }
