// Package inflation joins gas, envelope and train at one place: how much gas,
// how large a balloon, and how much it lifts, gross, at the neck and free.
package inflation

import (
	"math"

	"pappus/craft/liftgas"
)

// Air is the air around the balloon. Density is given beside pressure and
// temperature because moist air is lighter than they say.
type Air struct {
	Pressure    float64
	Temperature float64
	Density     float64
}

// The three lifts, in kg. Each has its own type, since to take one for another
// is off by the mass of an envelope or of a train.
type (
	// GrossLift is the displaced air less the gas: what the gas lifts.
	GrossLift float64
	// NeckLift is gross lift less the envelope: what is weighed at the neck.
	NeckLift float64
	// FreeLift is neck lift less all that hangs below: what makes it rise.
	FreeLift float64
)

// Neck is what the neck holds up of a gross lift.
func (g GrossLift) Neck(envelopeMass float64) NeckLift { return NeckLift(float64(g) - envelopeMass) }

// Gross is the gross lift that shows as this neck lift.
func (n NeckLift) Gross(envelopeMass float64) GrossLift { return GrossLift(float64(n) + envelopeMass) }

// Free is what is left of a neck lift for rising.
func (n NeckLift) Free(trainMass float64) FreeLift { return FreeLift(float64(n) - trainMass) }

// Neck is the neck lift that leaves this free lift.
func (f FreeLift) Neck(trainMass float64) NeckLift { return NeckLift(float64(f) + trainMass) }

// MolarVolume is the room that one mole of gas takes in the balloon, by the gas
// law. The gas's temperature is the air's plus the offset, its pressure is the
// air's. A real gas takes 0.05 % more at one atmosphere, and less than that higher
// up, which is left out; so is the film's pressure.
func MolarVolume(air Air, gasTemperatureOffset float64) float64 {
	return liftgas.UniversalGas * (air.Temperature + gasTemperatureOffset) / air.Pressure
}

// LiftPerMole is what one mole of gas lifts, in kg: the displaced air less the
// gas. In dry air and without an offset it is the difference of the molar
// masses, at every height; it falls in moist air and for cold gas, and rises for
// warm gas.
func LiftPerMole(air Air, gas liftgas.Gas, gasTemperatureOffset float64) float64 {
	return air.Density*MolarVolume(air, gasTemperatureOffset) - gas.MolarMass()
}

// Gross is what an amount of gas lifts.
func Gross(moles float64, air Air, gas liftgas.Gas, gasTemperatureOffset float64) GrossLift {
	return GrossLift(moles * LiftPerMole(air, gas, gasTemperatureOffset))
}

// MolesForGross is the gas that gives a gross lift. It is +Inf where the gas
// lifts nothing (a purity near zero, or gas far colder than the air).
func MolesForGross(lift GrossLift, air Air, gas liftgas.Gas, gasTemperatureOffset float64) float64 {
	perMole := LiftPerMole(air, gas, gasTemperatureOffset)
	if perMole <= 0 {
		return math.Inf(1)
	}
	return float64(lift) / perMole
}

// Volume is the room that an amount of gas takes in the balloon.
func Volume(moles float64, air Air, gasTemperatureOffset float64) float64 {
	return moles * MolarVolume(air, gasTemperatureOffset)
}

// MolesInVolume is the inverse of Volume.
func MolesInVolume(volume float64, air Air, gasTemperatureOffset float64) float64 {
	return volume / MolarVolume(air, gasTemperatureOffset)
}

// GasMass is what an amount of gas weighs.
func GasMass(moles float64, gas liftgas.Gas) float64 { return moles * gas.MolarMass() }

// Girth is the way round a balloon at its widest: a tape checks a fill when no
// scale can.
func Girth(diameter float64) float64 { return math.Pi * diameter }

// DiameterFromGirth is the inverse of Girth.
func DiameterFromGirth(girth float64) float64 { return girth / math.Pi }
