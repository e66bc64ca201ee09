// Package ascent is the way up: a sphere of gas that lifts its envelope and
// train through the air until it is as wide as it can be.
package ascent

import (
	"math"

	"pappus/air/atmosphere"
	"pappus/air/forecast"
	"pappus/craft/envelope"
)

// addedMass is the share of the displaced air that a sphere in unsteady
// motion carries with it (potential flow; Lamb, Hydrodynamics, art. 92, from memory).
const addedMass = 0.5

// Balloon is what rises: one draw of every quantity that is in doubt.
type Balloon struct {
	GasMoles      float64
	GasMolarMass  float64 // kg/mol, purity included
	EnvelopeMass  float64
	TrainMass     float64 // everything below the envelope
	Drag          envelope.Drag
	DragFactor    float64 // 1 for the nominal drag coefficient
	GasOffset     float64 // gas temperature minus air temperature, K
	BurstDiameter float64
	Film          bool // count the film's own pressure; BurstDiameter is then the size at which the film gives
}

// State is the balloon in the air at one instant.
type State struct {
	Volume   float64
	Diameter float64
	Lift     float64 // displaced air minus all masses, kg
}

// In answers the balloon's size and net lift in the air around it.
func (b *Balloon) In(air forecast.Air) State {
	volume := b.GasMoles * atmosphere.UniversalGas * (air.Temperature + b.GasOffset) / air.Pressure
	diameter := math.Cbrt(6 / math.Pi * volume)
	if b.Film {
		diameter = envelope.TautDiameter(diameter, b.EnvelopeMass, air.Pressure)
		volume = envelope.Volume(diameter)
	}
	return State{
		Volume:   volume,
		Diameter: diameter,
		Lift:     air.Density*volume - b.mass(),
	}
}

func (b *Balloon) mass() float64 {
	return b.EnvelopeMass + b.TrainMass + b.GasMoles*b.GasMolarMass
}

// Rise moves the balloon through one step: the vertical equation of a sphere
// with added mass,
//
//	(m + rho V / 2) dw/dt = (rho V - m) g - rho/2 Cd(Re) (pi d^2 / 4) w |w|
//
// with the drag coefficient taken at the speed reached. rateFactor multiplies
// the speed at which lift and drag balance.
func (b *Balloon) Rise(air forecast.Air, s State, gravity, rateFactor, speed, dt float64) (newSpeed, way float64) {
	inertia := b.mass() + addedMass*air.Density*s.Volume
	push := s.Lift * gravity / inertia
	area := math.Pi / 4 * s.Diameter * s.Diameter
	perCoefficient := air.Density * area * b.DragFactor / (2 * inertia * rateFactor * rateFactor)
	if b.Drag.Constant > 0 {
		return Relax(push, perCoefficient*b.Drag.Constant, speed, dt)
	}
	reynoldsPerSpeed := air.Density * s.Diameter / atmosphere.Viscosity(air.Temperature)
	reached := speed
	// The coefficient changes slowly with speed: each round leaves a tenth to a
	// quarter of the error, and where the speed hardly changes the slope of the
	// drag gives what further rounds would. Without it the coefficient would lag
	// a step behind, and the landing with it.
	const hardly = 0.01
	for range 3 {
		cd, slope := envelope.DragCurve(reynoldsPerSpeed * math.Abs(reached))
		newSpeed, way = Relax(push, perCoefficient*cd, speed, dt)
		change := newSpeed - reached
		if math.Abs(change) < hardly*math.Abs(newSpeed) {
			// The settled speed goes with cd to the -1/2.
			answer := -slope / (2 * cd)
			more := change * answer / (1 - answer)
			return newSpeed + more, way + more*dt
		}
		reached = newSpeed
	}
	return newSpeed, way
}

// BurstAbove answers how much higher the balloon reaches its burst diameter,
// by the scale height of the air around it; negative when it is already wider.
func (b *Balloon) BurstAbove(air forecast.Air, s State, gravity float64) float64 {
	scaleHeight := air.Pressure / (air.Density * gravity)
	if b.Film {
		return b.tautBurstAbove(air, s, scaleHeight)
	}
	return 3 * scaleHeight * math.Log(b.BurstDiameter/s.Diameter)
}

// tautBurstAbove is BurstAbove with the film counted: gas and film together
// hold (p + film(d)) d³ constant, which gives the air's pressure at the burst
// size. A film that alone holds the gas below that size never lets it get there.
func (b *Balloon) tautBurstAbove(air forecast.Air, s State, scaleHeight float64) float64 {
	ratio := s.Diameter / b.BurstDiameter
	held := (air.Pressure + envelope.RubberPressure(b.EnvelopeMass, s.Diameter)) * ratio * ratio * ratio
	outside := held - envelope.RubberPressure(b.EnvelopeMass, b.BurstDiameter)
	if outside <= 0 {
		return math.Inf(1)
	}
	return scaleHeight * math.Log(air.Pressure/outside)
}
