package unit

import (
	"math"
	"strconv"
	"strings"
)

// System is the set of units a person reads.
type System int

const (
	Metric System = iota
	US
)

// String names the system as the command line does.
func (s System) String() string {
	if s == US {
		return "us"
	}
	return "metric"
}

// Unknown is what a person reads where a number is missing or not finite.
const Unknown = "unknown"

// FormatHeight writes a height above the sea or the ground: whole feet with
// thousands separators, or metres and, from 10 km on, kilometres.
func FormatHeight(metres float64, s System) string {
	if s == US {
		return stepped(metres/Foot, "ft")
	}
	if math.Abs(metres) >= 9995 {
		return fixed(metres/Kilometre, 1, "km")
	}
	return stepped(metres, "m")
}

// FormatDistance writes a distance over the ground.
func FormatDistance(metres float64, s System) string {
	if s == US {
		if math.Abs(metres) < 0.0995*StatuteMile {
			return stepped(metres/Foot, "ft")
		}
		return figures(metres/StatuteMile, 1, "mi")
	}
	if math.Abs(metres) < 999.5 {
		return fixed(metres, 0, "m")
	}
	return figures(metres/Kilometre, 1, "km")
}

// FormatLength writes the size of a thing: a cord, a canopy, an envelope.
func FormatLength(metres float64, s System) string {
	if s == US {
		if math.Abs(metres) < 2*Foot {
			return fixed(metres/Inch, 1, "in")
		}
		return figures(metres/Foot, 1, "ft")
	}
	switch {
	case math.Abs(metres) < 0.00995:
		return fixed(metres/Millimetre, 1, "mm")
	case math.Abs(metres) < 0.995:
		return figures(metres/Centimetre, 1, "cm")
	}
	return figures(metres, 2, "m")
}

// FormatMass writes a mass to the gram below 10 kg, or to a hundredth of a pound.
func FormatMass(kilograms float64, s System) string {
	size := math.Abs(kilograms)
	if s == US {
		if size < 0.995*Pound {
			return fixed(kilograms/Ounce, 1, "oz")
		}
		return fixed(kilograms/Pound, 2, "lb")
	}
	switch {
	case size < 0.00995 && size > 0:
		return fixed(kilograms/Gram, 1, "g")
	case size < 0.9995:
		return fixed(kilograms/Gram, 0, "g")
	case size < 9.9995:
		return fixed(kilograms, 3, "kg")
	}
	return fixed(kilograms, 2, "kg")
}

// FormatSpeed writes the speed of wind, of a landing or of a car.
func FormatSpeed(metresPerSecond float64, s System) string {
	if s == US {
		return figures(metresPerSecond/MilePerHour, 1, "mph")
	}
	return figures(metresPerSecond, 1, "m/s")
}

// FormatRate writes how fast something rises or falls.
func FormatRate(metresPerSecond float64, s System) string {
	if s == US {
		rate := metresPerSecond / FootPerMinute
		return grouped(math.Round(rate/10)*10, 0, "ft/min")
	}
	return figures(metresPerSecond, 1, "m/s")
}

// FormatVolume writes a volume of gas or the water volume of a cylinder.
func FormatVolume(cubicMetres float64, s System) string {
	if s == US {
		return figures(cubicMetres/CubicFoot, 1, "ft³")
	}
	if math.Abs(cubicMetres) < 0.0995 && cubicMetres != 0 {
		return figures(cubicMetres/Litre, 1, "L")
	}
	return figures(cubicMetres, 2, "m³")
}

// FormatArea writes an area of canopy or of ground.
func FormatArea(squareMetres float64, s System) string {
	size := math.Abs(squareMetres)
	if s == US {
		if size < 0.1*SquareMile {
			return figures(squareMetres/SquareFoot, 1, "ft²")
		}
		return figures(squareMetres/SquareMile, 1, "mi²")
	}
	if size < 0.1*SquareKilometre {
		return figures(squareMetres, 2, "m²")
	}
	return figures(squareMetres/SquareKilometre, 1, "km²")
}

// FormatTemperature writes a temperature to the whole degree.
func FormatTemperature(kelvin float64, s System) string {
	if s == US {
		return fixed(ToFahrenheit(kelvin), 0, "°F")
	}
	return fixed(ToCelsius(kelvin), 0, "°C")
}

// FormatPressure writes a pressure: that of air in hectopascals whatever the
// system, as every forecast does, and that of a cylinder in bar or psi.
func FormatPressure(pascals float64, s System) string {
	switch {
	case math.Abs(pascals) < 2*Bar:
		return figures(pascals/HectoPascal, 1, "hPa")
	case s == US:
		return stepped(pascals/PSI, "psi")
	}
	return figures(pascals/Bar, 1, "bar")
}

// FormatForce writes the load on a cord.
func FormatForce(newtons float64, s System) string {
	if s == US {
		return figures(newtons/PoundForce, 1, "lbf")
	}
	return figures(newtons, 1, "N")
}

// FormatEnergy writes the energy of a thing that moves.
func FormatEnergy(joules float64, s System) string {
	if s == US {
		return figures(joules/FootPound, 1, "ft·lbf")
	}
	if math.Abs(joules) >= 9995 {
		return figures(joules/KiloJoule, 1, "kJ")
	}
	return figures(joules, 1, "J")
}

// FormatElectricEnergy writes what a cell holds or a device takes.
func FormatElectricEnergy(joules float64) string { return figures(joules/WattHour, 1, "Wh") }

// FormatPower writes a power.
func FormatPower(watts float64) string {
	if math.Abs(watts) < 0.0995 && watts != 0 {
		return figures(watts/MilliWatt, 1, "mW")
	}
	return figures(watts, 2, "W")
}

// FormatShare writes a share as a percentage, with a decimal below 10 %.
func FormatShare(share float64) string {
	percent := share / Percent
	if size := math.Abs(percent); size < 9.95 && percent != math.Round(percent) {
		return fixed(percent, 1, "%")
	}
	return fixed(percent, 0, "%")
}

// FormatDuration writes a length of time with its two largest parts:
// "1 h 42 min", "4 min 10 s", "2 d 3 h".
func FormatDuration(seconds float64) string {
	if math.IsNaN(seconds) || math.IsInf(seconds, 0) {
		return Unknown
	}
	size, sign := math.Abs(seconds), ""
	if seconds < 0 {
		sign = "-"
	}
	pair := func(large, small float64, largeName, smallName string) string {
		parts := math.Round(size / small)
		perLarge := math.Round(large / small)
		whole, rest := math.Floor(parts/perLarge), math.Mod(parts, perLarge)
		text := sign + group(strconv.FormatFloat(whole, 'f', 0, 64)) + " " + largeName
		if rest > 0 {
			text += " " + strconv.FormatFloat(rest, 'f', 0, 64) + " " + smallName
		}
		return text
	}
	switch {
	case size < Minute-0.5:
		return fixed(seconds, 0, "s")
	case size < 10*Minute-0.5:
		return pair(Minute, 1, "min", "s")
	case size < Hour-30:
		return fixed(seconds/Minute, 0, "min")
	case size < 2*Day-30:
		return pair(Hour, Minute, "h", "min")
	}
	return pair(Day, Hour, "d", "h")
}

// stepped rounds to 1 below a thousand, to 10 below ten thousand, to 100 above:
// heights are never known better than that.
func stepped(value float64, name string) string {
	step := 1.0
	switch size := math.Abs(value); {
	case size >= 9995:
		step = 100
	case size >= 999.5:
		step = 10
	}
	return grouped(math.Round(value/step)*step, 0, name)
}

// figures keeps three significant figures, but never more than the given
// decimals and never less than whole units.
func figures(value float64, decimals int, name string) string {
	switch size := math.Abs(value); {
	case size >= 99.95:
		decimals = 0
	case size >= 9.995:
		decimals = min(decimals, 1)
	}
	return grouped(value, decimals, name)
}

func fixed(value float64, decimals int, name string) string { return grouped(value, decimals, name) }

// grouped writes a number with thousands separators and its unit; there is no
// negative zero.
func grouped(value float64, decimals int, name string) string {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return Unknown
	}
	text := strconv.FormatFloat(value, 'f', decimals, 64)
	if bare, negative := strings.CutPrefix(text, "-"); negative && strings.Trim(bare, "0.") == "" {
		text = bare
	}
	return group(text) + " " + name
}

func group(text string) string {
	digits, fraction, _ := strings.Cut(text, ".")
	sign := ""
	if bare, negative := strings.CutPrefix(digits, "-"); negative {
		sign, digits = "-", bare
	}
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	if fraction != "" {
		digits += "." + fraction
	}
	return sign + digits
}
