package box

import "math"

const (
	// Packs of iron give 824.2 kJ per mole of Fe2O3 (from memory), which takes 1.5
	// moles of O2.
	packHeat     = 824.2e3                  // J/mol of Fe2O3
	oxygenMolar  = 31.998e-3                // kg/mol (IUPAC, from memory)
	oxygenHeat   = packHeat / 1.5           // J/mol of O2
	packTop      = 15e3                     // m; above it packs give a tenth and less
	oxygenShare  = 0.20946                  // of dry air (US Standard Atmosphere 1976)
	gasConstant  = 8.31432                  // J/(mol K), that atmosphere's
	oxygenEnergy = oxygenHeat / oxygenMolar // J/kg of O2
)

// OxygenIn answers the oxygen in a room of air, kg.
func OxygenIn(room, pressure, temperature float64) float64 {
	return oxygenShare * pressure * room / (gasConstant * temperature) * oxygenMolar
}

// PackLimit is the most heat that packs can give in a closed room of air, J.
func PackLimit(room, pressure, temperature float64) float64 {
	return OxygenIn(room, pressure, temperature) * oxygenEnergy
}

// packs are the heat packs of a box. They burn as fast as oxygen reaches them: in
// proportion to its pressure, which falls with height and with what they used.
type packs struct {
	heat   float64 // W at sea level in fresh air
	energy float64 // J left in the iron; +Inf where the file does not say
	share  float64 // of oxygen in the air of the box
	leak   float64 // s in which the box's air is renewed through its gaps; +Inf sealed
	room   float64 // m³
	given  float64 // J so far
}

// step answers the mean power over dt at a pressure that changes by growth (the
// rate of its logarithm, 1/s). The share x of oxygen obeys
//
//	dx/dt = (x0 - x)(1/leak + max(growth, 0)) - use x,
//
// since air that comes in is fresh and air that leaves takes its oxygen along; the
// step is its exact solution.
func (p *packs) step(pressure, growth, temperature, dt float64) float64 {
	if p.heat == 0 || p.energy <= 0 {
		return 0
	}
	fresh := 1/p.leak + max(growth, 0)
	perShare := p.heat / oxygenShare * pressure / seaPressure // W for each share of oxygen
	moles := pressure * p.room / (gasConstant * temperature)
	use := perShare / (oxygenHeat * moles)
	rate := fresh + use
	level := oxygenShare * fresh / rate
	fade := -math.Expm1(-rate * dt)
	mean := level + (p.share-level)*fade/(rate*dt)
	p.share += (level - p.share) * fade
	power := min(perShare*mean, p.energy/dt)
	p.energy -= power * dt
	p.given += power * dt
	return power
}
