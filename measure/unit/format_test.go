package unit

import (
	"math"
	"testing"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{FormatHeight(30000, US), "98,400 ft"},
		{FormatHeight(30000, Metric), "30.0 km"},
		{FormatHeight(609.6, US), "2,000 ft"},
		{FormatHeight(610, Metric), "610 m"},
		{FormatHeight(1523, Metric), "1,520 m"},
		{FormatHeight(9999, Metric), "10.0 km"},
		{FormatHeight(0, US), "0 ft"},
		{FormatHeight(-0.1, Metric), "0 m"},
		{FormatHeight(-86, Metric), "-86 m"},
		{FormatDistance(850, Metric), "850 m"},
		{FormatDistance(12340, Metric), "12.3 km"},
		{FormatDistance(123400, Metric), "123 km"},
		{FormatDistance(32186.88, US), "20.0 mi"},
		{FormatDistance(100, US), "328 ft"},
		{FormatLength(8.3, Metric), "8.30 m"},
		{FormatLength(0.2, Metric), "20.0 cm"},
		{FormatLength(0.0051, Metric), "5.1 mm"},
		{FormatLength(8.3, US), "27.2 ft"},
		{FormatLength(0.2, US), "7.9 in"},
		{FormatMass(1.35, Metric), "1.350 kg"},
		{FormatMass(0.18, Metric), "180 g"},
		{FormatMass(0.004, Metric), "4.0 g"},
		{FormatMass(0.9999, Metric), "1.000 kg"},
		{FormatMass(0, Metric), "0 g"},
		{FormatMass(12.345, Metric), "12.35 kg"},
		{FormatMass(1.81436948, US), "4.00 lb"},
		{FormatMass(0.1, US), "3.5 oz"},
		{FormatSpeed(5, Metric), "5.0 m/s"},
		{FormatSpeed(5, US), "11.2 mph"},
		{FormatRate(5.08, US), "1,000 ft/min"},
		{FormatRate(-5.08, Metric), "-5.1 m/s"},
		{FormatVolume(3.85, Metric), "3.85 m³"},
		{FormatVolume(0.049, Metric), "49.0 L"},
		{FormatVolume(8.240202358272, US), "291 ft³"},
		{FormatVolume(0, Metric), "0.00 m³"},
		{FormatArea(1.767, Metric), "1.77 m²"},
		{FormatArea(12.34e6, Metric), "12.3 km²"},
		{FormatArea(2589988.110336, US), "1.0 mi²"},
		{FormatTemperature(216.65, Metric), "-56 °C"},
		{FormatTemperature(294.2611, US), "70 °F"},
		{FormatTemperature(273.15, Metric), "0 °C"},
		{FormatPressure(101325, US), "1,013 hPa"},
		{FormatPressure(1197, Metric), "12.0 hPa"},
		{FormatPressure(18202159, US), "2,640 psi"},
		{FormatPressure(18202159, Metric), "182 bar"},
		{FormatForce(150, Metric), "150 N"},
		{FormatForce(222.411, US), "50.0 lbf"},
		{FormatEnergy(19, Metric), "19.0 J"},
		{FormatEnergy(110e3, Metric), "110 kJ"},
		{FormatEnergy(1.3558179483314004, US), "1.0 ft·lbf"},
		{FormatElectricEnergy(39600), "11.0 Wh"},
		{FormatPower(2.5), "2.50 W"},
		{FormatPower(0.05), "50.0 mW"},
		{FormatShare(0.06), "6 %"},
		{FormatShare(0.065), "6.5 %"},
		{FormatShare(0.5), "50 %"},
		{FormatDuration(6120), "1 h 42 min"},
		{FormatDuration(7199), "2 h"},
		{FormatDuration(250), "4 min 10 s"},
		{FormatDuration(2580), "43 min"},
		{FormatDuration(55), "55 s"},
		{FormatDuration(59.7), "1 min"},
		{FormatDuration(183600), "2 d 3 h"},
		{FormatDuration(-250), "-4 min 10 s"},
		{FormatDuration(math.NaN()), "unknown"},
		{FormatHeight(math.Inf(1), US), "unknown"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestTemperatures(t *testing.T) {
	// Fixed points of the scales: -40 is the same on both, water freezes at 32 °F.
	// The tolerance is some units in the last place of a float near 300.
	for _, c := range []struct{ degC, degF, kelvin float64 }{{-40, -40, 233.15}, {0, 32, 273.15}, {100, 212, 373.15}} {
		if got := FromFahrenheit(c.degF); math.Abs(got-c.kelvin) > 1e-12 {
			t.Errorf("%g °F is %g K, want %g", c.degF, got, c.kelvin)
		}
		if got := ToFahrenheit(c.kelvin); math.Abs(got-c.degF) > 1e-12 {
			t.Errorf("%g K is %g °F, want %g", c.kelvin, got, c.degF)
		}
		if got := FromCelsius(c.degC); math.Abs(got-c.kelvin) > 1e-12 {
			t.Errorf("%g °C is %g K, want %g", c.degC, got, c.kelvin)
		}
		if got := ToCelsius(c.kelvin); math.Abs(got-c.degC) > 1e-12 {
			t.Errorf("%g K is %g °C, want %g", c.kelvin, got, c.degC)
		}
	}
}

func TestFactors(t *testing.T) {
	// Published conversion factors (NIST Special Publication 811, appendix B.8,
	// from memory), to the digits printed there.
	for _, c := range []struct {
		name            string
		got, want, size float64
	}{
		{"psi", PSI, 6894.757, 5e-4},
		{"lbf", PoundForce, 4.448222, 5e-7},
		{"ft3", CubicFoot, 0.02831685, 5e-9},
		{"kt", Knot, 0.5144444, 5e-8},
		{"mph", MilePerHour, 0.44704, 1e-15},
		{"ft/min", FootPerMinute, 0.00508, 1e-15},
		{"gal", USGallon, 0.003785412, 5e-10},
		{"acre", Acre, 4046.856, 2e-1},
		{"ft lbf", FootPound, 1.355818, 5e-7},
		{"mi", StatuteMile, 1609.344, 1e-9},
		{"oz", Ounce, 0.02834952, 5e-9},
		{"lb/ft3", PoundPerCubicFoot, 16.01846, 5e-6},
		{"deg", Degree, 0.01745329, 5e-9},
	} {
		if math.Abs(c.got-c.want) > c.size {
			t.Errorf("%s: %.10g, want %.10g", c.name, c.got, c.want)
		}
	}
}
