package box

import (
	"math"

	"pappus/air/atmosphere"
	"pappus/measure/unit"
)

const (
	stefanBoltzmann = 5.670374e-8 // W/(m² K⁴) (CODATA, from memory)
	prandtl         = 0.71        // of air, nearly the same at all heights
	leastSpeed      = 1.0         // m/s past the box: no air outdoors stands stiller (judgement)
)

// Film answers the heat that air carries off a body, W/(m² K), by Whitaker's law
// for a sphere of the same outside [Whitaker1972]: Nu = 2 + (0.4 Re^½ + 0.06
// Re^⅔) Pr^0.4, for Re from 3.5 to 76,000; beyond it is carried on. A tumbling
// box is no sphere: 20 % either way is in the spread.
func Film(pressure, temperature, speed, length float64) float64 {
	density := atmosphere.Density(pressure, temperature)
	reynolds := density * speed * length / atmosphere.Viscosity(temperature)
	third := math.Cbrt(reynolds)
	nusselt := 2 + (0.4*math.Sqrt(reynolds)+0.06*third*third)*prandtlPower
	return nusselt * atmosphere.Conductivity(temperature) / length
}

// prandtlPower is Pr^0.4.
var prandtlPower = math.Pow(prandtl, 0.4)

// RadiantFilm is what radiation carries off like a film of air, W/(m² K), near a
// temperature.
func RadiantFilm(emits, temperature float64) float64 {
	return 4 * emits * stefanBoltzmann * temperature * temperature * temperature
}

const (
	solarConstant = 1361.0 // W/m² (from memory)
	meanLongWave  = 239.0  // W/m² that leave the Earth in the mean, 150 to 300 (from memory)
	meanAlbedo    = 0.30   // 0.2 over clear land and sea, 0.6 to 0.8 over cloud and snow (from memory)
	clearSky      = 0.75   // of the black-body radiation that a clear sky sends down at the ground; judgement
	vapourFalls   = 1.7    // exponent of pressure with which that fades upwards; judgement
	sunnyGround   = 15.0   // K that ground in the full sun is warmer than the air; judgement
	earthRadius   = 6371e3 // m
)

// sunlight is what a sky sends to a box, averaged over its whole outside.
type sunlight struct {
	direct, reflected float64 // W/m², before absorption
	longWave          float64 // W/m²
}

// lightAt answers the radiation at a height. elevation is the Sun's true one in
// radians. A tumbling convex body shows the Sun a quarter of its outside.
func lightAt(alt, pressure, ground, groundPressure, elevation, albedo float64) sunlight {
	above := max(alt, 0)
	dip := math.Acos(earthRadius / (earthRadius + above))
	// The share of the outside's view that is ground: a half on the ground.
	ratio := earthRadius / (earthRadius + above)
	groundShare := (1 - math.Sqrt(1-ratio*ratio)) / 2
	var l sunlight
	sine := max(math.Sin(elevation), 0)
	if elevation > -dip {
		l.direct = solarConstant * clearAir(elevation, pressure) / 4
		l.reflected = albedo * solarConstant * sine * clearAir(elevation, groundPressure) * groundShare
	}
	warm := ground + sunnyGround*sine
	share := min(pressure/groundPressure, 1)
	upward := share*stefanBoltzmann*math.Pow(warm, 4) + (1-share)*meanLongWave
	downward := clearSky * stefanBoltzmann * math.Pow(ground, 4) * math.Pow(share, vapourFalls)
	l.longWave = groundShare*upward + (1-groundShare)*downward
	return l
}

// clearAir is the share of sunlight that clear air lets through: 0.7^(m^0.678)
// with the air mass m [Meinel1976] (from memory) of Kasten and Young
// [Kasten1989] (from memory), less with the pressure above.
func clearAir(elevation, pressure float64) float64 {
	deg := max(elevation/unit.Degree, 0)
	mass := 1 / (math.Sin(deg*unit.Degree) + 0.50572*math.Pow(deg+6.07995, -1.6364))
	return math.Pow(0.7, math.Pow(mass*pressure/seaPressure, 0.678))
}

const seaPressure = 101325.0
