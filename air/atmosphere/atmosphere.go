// Package atmosphere is the US Standard Atmosphere 1976 up to 86 km, and the
// properties of air that follow from temperature, pressure and humidity.
package atmosphere

import (
	"math"

	"pappus/measure/geo"
	"pappus/measure/unit"
)

// Constants of the standard, [USSA76] tables 1 and 2. The gas constant is the
// value of 1976, not today's: with any other the published table is missed.
const (
	UniversalGas    = 8.31432                                             // J/(mol K)
	MolarMassAir    = 0.0289644                                           // kg/mol, dry air at sea level
	GasConstantAir  = UniversalGas / MolarMassAir                         // J/(kg K), 287.05287
	StandardGravity = unit.StandardGravity                                // m/s²
	HeatRatio       = 1.400                                               // of the specific heats of air
	EarthRadius     = 6356766.0                                           // m, the radius at which gravity is StandardGravity
	SeaLevelDensity = unit.StandardAtmosphere / (GasConstantAir * 288.15) // kg/m³, 1.2250
)

// Top is the geometric height at which the lower part of the standard ends.
const Top geo.AltMSL = 86000

// State is the air at one height.
type State struct {
	Temperature float64 // K; above 80 km the molecular-scale temperature
	Pressure    float64 // Pa
	Density     float64 // kg/m³
}

// layer is one row of [USSA76] table 4; base pressures are filled in once from
// the hydrostatic equation, so that no layer joins the next with a step.
type layer struct {
	base        float64 // geopotential metres
	lapse       float64 // K per geopotential metre
	temperature float64 // K at the base
	pressure    float64 // Pa at the base
	exponent    float64 // g0/(R lapse), or g0/(R T) where the lapse is zero
}

// layers holds the seven layers and an isothermal one above the top.
var layers = buildLayers()

func buildLayers() [8]layer {
	bases := [8]float64{0, 11000, 20000, 32000, 47000, 51000, 71000, topGeopotential()}
	lapses := [8]float64{-0.0065, 0, 0.001, 0.0028, 0, -0.0028, -0.002, 0}
	var built [8]layer
	temperature, pressure := 288.15, unit.StandardAtmosphere
	for i := range built {
		if i > 0 {
			below := built[i-1]
			temperature = below.temperature + below.lapse*(bases[i]-below.base)
			pressure = below.pressureAt(bases[i])
		}
		l := layer{base: bases[i], lapse: lapses[i], temperature: temperature, pressure: pressure}
		if l.lapse == 0 {
			l.exponent = StandardGravity / (GasConstantAir * temperature)
		} else {
			l.exponent = StandardGravity / (GasConstantAir * l.lapse)
		}
		built[i] = l
	}
	return built
}

func topGeopotential() float64 { return EarthRadius * float64(Top) / (EarthRadius + float64(Top)) }

func (l *layer) temperatureAt(h float64) float64 { return l.temperature + l.lapse*(h-l.base) }

// pressureAt is [USSA76] equations 33a (with a lapse) and 33b (without).
func (l *layer) pressureAt(h float64) float64 {
	if l.lapse == 0 {
		return l.pressure * math.Exp(-l.exponent*(h-l.base))
	}
	return l.pressure * math.Pow(l.temperature/l.temperatureAt(h), l.exponent)
}

// heightOf inverts pressureAt.
func (l *layer) heightOf(pressure float64) float64 {
	if l.lapse == 0 {
		return l.base - math.Log(pressure/l.pressure)/l.exponent
	}
	return l.base + l.temperature*(math.Pow(pressure/l.pressure, -1/l.exponent)-1)/l.lapse
}

func layerAt(h float64) *layer {
	i := len(layers) - 1
	for i > 0 && h < layers[i].base {
		i--
	}
	return &layers[i]
}

// Geopotential turns a geometric height into the standard's geopotential,
// [USSA76] equation 18, with the standard's one gravity for all latitudes.
// For real air use geo.ToGeopotential, which knows the latitude.
func Geopotential(z geo.AltMSL) geo.Geopotential {
	return geo.Geopotential(EarthRadius * float64(z) / (EarthRadius + float64(z)))
}

// Geometric is the inverse of Geopotential, [USSA76] equation 19.
func Geometric(h geo.Geopotential) geo.AltMSL {
	return geo.AltMSL(EarthRadius * float64(h) / (EarthRadius - float64(h)))
}

// At gives the standard air at a geometric height, [USSA76] equations 23, 33
// and 42. It holds from -5 km to 86 km. Below, the lowest layer is carried on;
// above, the temperature of the top is kept, so that pressure goes on falling.
func At(z geo.AltMSL) State { return AtGeopotential(Geopotential(z)) }

// AtGeopotential is At for a geopotential height.
func AtGeopotential(h geo.Geopotential) State {
	l := layerAt(float64(h))
	temperature, pressure := l.temperatureAt(float64(h)), l.pressureAt(float64(h))
	return State{temperature, pressure, Density(pressure, temperature)}
}

// Temperature is the temperature alone, cheaper than At.
func Temperature(z geo.AltMSL) float64 {
	h := float64(Geopotential(z))
	return layerAt(h).temperatureAt(h)
}

// PressureAltitude is the geometric height at which the standard has this
// pressure: what an altimeter set to 1013.25 hPa means. The pressure must be
// above zero; its range is that of At.
func PressureAltitude(pressure float64) geo.AltMSL {
	i := len(layers) - 1
	for i > 0 && pressure > layers[i].pressure {
		i--
	}
	return Geometric(geo.Geopotential(layers[i].heightOf(pressure)))
}

// Gravity is the standard's gravity at a height, [USSA76] equation 17.
func Gravity(z geo.AltMSL) float64 {
	ratio := EarthRadius / (EarthRadius + float64(z))
	return StandardGravity * ratio * ratio
}
