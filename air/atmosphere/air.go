package atmosphere

import (
	"math"

	"pappus/measure/unit"
)

// Density is that of air from its pressure and temperature, [USSA76] equation
// 42; with the virtual temperature it holds for moist air too.
func Density(pressure, temperature float64) float64 {
	return pressure / (GasConstantAir * temperature)
}

// Viscosity is the dynamic viscosity of air in Pa s, by Sutherland's formula,
// [USSA76] equation 51. It holds from about 100 K to 1500 K while the air is
// dense enough to be a fluid at all (to about 86 km).
func Viscosity(temperature float64) float64 {
	return 1.458e-6 * temperature * math.Sqrt(temperature) / (temperature + 110.4)
}

// SoundSpeed is the speed of sound, [USSA76] equation 50, to 86 km.
func SoundSpeed(temperature float64) float64 {
	return math.Sqrt(HeatRatio * GasConstantAir * temperature)
}

// Conductivity is the thermal conductivity of air in W/(m K), [USSA76]
// equation 53, to 86 km.
func Conductivity(temperature float64) float64 {
	return 2.64638e-3 * temperature * math.Sqrt(temperature) /
		(temperature + 245.4*math.Pow(10, -12/temperature))
}

// moleRatioVapour is the molar mass of water (0.01801528 kg/mol) over that of
// dry air.
const moleRatioVapour = 0.01801528 / MolarMassAir

// SaturationVapourPressure is that of pure water vapour over liquid water in
// Pa, [WMO8] volume I, annex 4.B: 6.112 exp(17.62 t/(243.12 + t)) hPa, t in
// degrees Celsius. The source gives it for -45 to 60 C; colder, it runs on as
// the vapour over supercooled water, where the amount no longer matters to the
// weight of air.
func SaturationVapourPressure(temperature float64) float64 {
	celsius := temperature - unit.ZeroCelsius
	return 611.2 * math.Exp(17.62*celsius/(243.12+celsius))
}

// enhancement is the ratio of saturation over water in moist air to that of
// pure vapour, [WMO8] volume I, annex 4.B; p in hPa there. The source gives it
// for pressures near the ground; below 100 hPa it is held.
func enhancement(pressure float64) float64 {
	hectopascal := math.Max(pressure/unit.HectoPascal, 100)
	return 1.0016 + 3.15e-6*hectopascal - 0.074/hectopascal
}

// VirtualTemperature is the temperature at which dry air would have the
// density of this moist air: T/(1 - (1 - ε) e/p), with e the vapour pressure
// and ε the ratio of the molar masses. The humidity is a fraction over liquid
// water, 0 to 1. The formula is exact for ideal gases; e is [WMO8]'s.
// In thin warm air saturation can exceed the whole pressure; e stops at p.
func VirtualTemperature(temperature, pressure, relativeHumidity float64) float64 {
	vapour := relativeHumidity * enhancement(pressure) * SaturationVapourPressure(temperature)
	share := math.Min(math.Max(vapour/pressure, 0), 1)
	return temperature / (1 - (1-moleRatioVapour)*share)
}
