package liftgas

import "pappus/measure/unit"

// The trade's standard conditions in the United States: 70 F and one standard
// atmosphere. Elsewhere cubic metres are meant at 15 C and 1 bar, or at 0 C and
// one atmosphere: the buyer must ask.
const (
	StandardTemperature = unit.ZeroCelsius + (70-32)*unit.FahrenheitDegree // K
	StandardPressure    = unit.StandardAtmosphere                          // Pa
)

// standardMolarVolume is the real volume of one mole at 70 F and 1 atm. Gas is
// sold by the room that it takes up, so the real volume counts; it is 0.05 %
// above the ideal one.
func standardMolarVolume(k Kind) float64 {
	return Compressibility(k, StandardPressure, StandardTemperature) *
		UniversalGas * StandardTemperature / StandardPressure
}

// MolesAtStandard is the gas in a trade content, given in m³ at 70 F and 1 atm.
func MolesAtStandard(k Kind, volume float64) float64 { return volume / standardMolarVolume(k) }

// StandardVolume is the trade content in m³ at 70 F and 1 atm, the inverse of
// MolesAtStandard.
func StandardVolume(k Kind, moles float64) float64 { return moles * standardMolarVolume(k) }

// StandardCubicFeet is StandardVolume in the cubic feet that gas is sold by.
func StandardCubicFeet(k Kind, moles float64) float64 {
	return StandardVolume(k, moles) / unit.CubicFoot
}

// MolesInBottle is the gas in a bottle of a water volume whose gauge shows a
// pressure above one standard atmosphere. All of it: what stays behind when the
// gauge shows nothing is MolesInBottle at a gauge of zero.
func MolesInBottle(k Kind, waterVolume, gauge, temperature float64) float64 {
	pressure := gauge + StandardPressure
	return pressure * waterVolume / (Compressibility(k, pressure, temperature) * UniversalGas * temperature)
}

// Cylinder is one cylinder at hand or on order: either its content as the trade
// states it, or its water volume and gauge pressure.
type Cylinder struct {
	Content     float64 // m³ at 70 F and 1 atm; where it is zero the next three count
	WaterVolume float64 // m³
	Gauge       float64 // Pa above one atmosphere
	Temperature float64 // K at which the gauge was read; zero means 70 F, as the trade means it
}

// Moles is the gas that the cylinder can give. A bottle is drawn down to one
// atmosphere, not to nothing.
func (c Cylinder) Moles(k Kind) float64 {
	if c.Content > 0 {
		return MolesAtStandard(k, c.Content)
	}
	temperature := c.Temperature
	if temperature == 0 {
		temperature = StandardTemperature
	}
	return MolesInBottle(k, c.WaterVolume, c.Gauge, temperature) - MolesInBottle(k, c.WaterVolume, 0, temperature)
}

// StandardContent is what the cylinder can give in m³ at 70 F and 1 atm.
func (c Cylinder) StandardContent(k Kind) float64 { return StandardVolume(k, c.Moles(k)) }
