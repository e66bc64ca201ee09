package sizing

import (
	"pappus/air/atmosphere"
	"pappus/odds/ensemble"
)

func viscosity(temperature float64) float64 { return atmosphere.Viscosity(temperature) }

const (
	archimedes = "Archimedes' principle and the gas law; doc/physics.md, Lift"
	flown      = "the equations of motion of doc/physics.md, flown in steps through the air named at the top"
	energyLaw  = "kinetic energy; mechanics"
	drawn      = "drawn flights; how doubt is sized: odds/ensemble, each a named judgement"
)

// all lists every number that can be asked why, in the order of the answer.
func (b *ledger) all() []Reason {
	var list []Reason
	for _, part := range [][]Reason{b.liftReasons(), b.gasReasons(), b.ascentReasons(), b.burstReasons(), b.descentReasons(), b.budgetReasons(), b.adviceReasons()} {
		list = append(list, part...)
	}
	return list
}

func from(name string, value float64, unit, key string) Input { return Input{name, value, unit, key} }

func (b *ledger) liftReasons() []Reason {
	l := b.answer.Lift
	gross := from("gross lift", l.Gross, "kg", "lift.gross_kg")
	neck := from("neck lift", l.Neck, "kg", "lift.neck_kg")
	volume := from("volume of the gas", b.answer.Gas.Volume, "m3", "gas.volume_m3")
	mass := from("mass of the gas", b.answer.Gas.Mass, "kg", "gas.mass_kg")
	return []Reason{
		{"lift.gross_kg", l.Gross, "kg", "density of air × volume of gas − mass of gas", []Input{b.air, volume, mass}, archimedes},
		{"lift.neck_kg", l.Neck, "kg", "gross lift − envelope", []Input{gross, b.envelope}, "definition; it is what a scale at the neck shows"},
		{"lift.free_kg", l.Free, "kg", "neck lift − train", []Input{neck, b.train}, "definition; it is what makes the balloon rise"},
	}
}

func (b *ledger) gasReasons() []Reason {
	g := b.answer.Gas
	return []Reason{
		{"gas.amount_mol", g.Moles, "mol", "the amount that gives what the file states of the fill; where that is a lift: (free lift + train + envelope) / (molar mass of air − molar mass of gas)",
			[]Input{b.fill, b.train, b.envelope, b.airMolar, b.gasMolar}, archimedes},
		{"gas.volume_m3", g.Volume, "m3", "amount × 8.31432 × temperature / pressure", []Input{b.moles, b.temperature, b.pressure}, "gas law; the gas is as warm as the air"},
		{"gas.diameter_m", g.Diameter, "m", "cube root of (6 / π × volume)", []Input{from("volume of the gas", g.Volume, "m3", "gas.volume_m3")}, "a sphere"},
		{"gas.mass_kg", g.Mass, "kg", "amount × molar mass", []Input{b.moles, b.gasMolar}, "IUPAC standard atomic weights; the impurity counts as dry air"},
		{"gas.standard_ft3", g.Cubic, "ft3", "amount × Z × 8.31432 × 294.261 K / 101325 Pa / 0.0283168 m3", []Input{b.moles}, "the trade's 70 F and 1 atm, with the compressibility Z of the real gas; doc/physics.md, Cylinders"},
	}
}

func (b *ledger) ascentReasons() []Reason {
	a := b.answer.Ascent
	height := from("height of the burst", b.answer.Burst.Nominal, "m", "burst.nominal_alt_m")
	took := from("time to the burst", a.Duration, "s", "ascent.duration_s")
	diameter := from("diameter at the launch", b.answer.Gas.Diameter, "m", "gas.diameter_m")
	free := from("free lift", b.answer.Lift.Free, "kg", "lift.free_kg")
	return []Reason{
		{"ascent.launch_rate_mps", a.LaunchRate, "m/s", "sqrt(2 × free lift × g / (drag × density × π/4 × diameter²)), once up to speed", []Input{free, gravity(), b.drag, b.air, diameter}, "balance of lift and drag; " + flown},
		{"ascent.mean_rate_mps", a.MeanRate, "m/s", "(height of burst − elevation) / time to the burst", []Input{height, b.elevation, took}, flown},
		{"ascent.duration_s", a.Duration, "s", "sum of the steps from the release to the burst", []Input{b.moles, b.envelope, b.train, b.drag, b.rated}, flown + "; drag by Gallice et al. 2011 (from memory), or the file's number"},
	}
}

func (b *ledger) burstReasons() []Reason {
	x := b.answer.Burst
	list := []Reason{
		{"burst.nominal_alt_m", x.Nominal, "m", "the height at which amount × 8.31432 × T / p fills a sphere of the burst diameter", []Input{b.moles, b.rated}, "gas law; " + flown},
		{"burst.diameter_m", x.Diameter, "m", "the data sheet's, or 0.169 × (mass in g)^0.549", []Input{b.envelope, b.rated}, "WMO-No. 8, table of typical performance (from memory), when the file has none"},
		{"burst.early_share", x.EarlyShare, "1", "5 %; 8 % when the month of making is unknown or over two years back", nil, "judgement; common practice is 5 to 10 %"},
		{"burst.temperature_k", x.Temperature, "K", "temperature of the air at the burst", []Input{from("height of the burst", x.Nominal, "m", "burst.nominal_alt_m")}, "the air named at the top"},
	}
	if x.Alt == nil && x.Nominal > 0 { // no flights were drawn
		return list
	}
	return append(list, Reason{"burst.alt_m", bandMiddle(x.Alt), "m", "the middle of the drawn flights; a tenth of them lies below p10, a tenth above p90", []Input{b.rated}, drawn})
}

func bandMiddle(band *ensemble.Band) float64 {
	if band == nil {
		return 0
	}
	return band.P50
}

func (b *ledger) descentReasons() []Reason {
	d := b.answer.Descent
	speed := from("speed at the ground", d.Landing, "m/s", "descent.landing_speed_mps")
	return []Reason{
		{"descent.landing_speed_mps", d.Landing, "m/s", "sqrt(2 × mass × g / (density × drag area)), flown", []Input{b.falling, gravity(), b.air, b.canopyArea, b.bodyArea}, "balance of weight and drag, Knacke 1991 (coefficients from memory); " + flown},
		{"descent.peak_speed_mps", d.Peak, "m/s", "the fastest step of the way down", []Input{b.falling, b.canopyArea, b.bodyArea}, flown},
		{"descent.peak_speed_alt_m", d.PeakAlt, "m", "where that step ends", []Input{b.falling, b.canopyArea, b.bodyArea}, flown},
		{"descent.falling_mass_kg", d.FallingMass, "kg", "train + share left × envelope", []Input{b.train, b.remains, b.envelope}, "how much of an envelope stays on the cord is judgement: 10 to 90 %, 30 % at the centre"},
		{"descent.falling_energy_j", d.FallingEnergy, "J", "mass × speed² / 2, of all that falls", []Input{b.falling, speed}, energyLaw},
		{"descent.landing_energy_j", d.LandingEnergy, "J", "mass × speed² / 2, of the heaviest box alone", []Input{b.heavyBox, speed}, energyLaw},
		{"descent.duration_s", d.Duration, "s", "sum of the steps from the burst to the launch elevation", []Input{b.falling, b.canopyArea, b.bodyArea}, flown},
	}
}

func (b *ledger) budgetReasons() []Reason {
	m := b.answer.Budget
	gas := from("mass of the gas", b.answer.Gas.Mass, "kg", "gas.mass_kg")
	return []Reason{
		{"budget.envelope_kg", m.EnvelopeMass, "kg", "the file's", []Input{b.envelope}, "the person's scale"},
		{"budget.train_kg", m.TrainMass, "kg", "sum of the parts and their items", []Input{b.train}, "the person's scale"},
		{"budget.total_with_gas_kg", m.TotalMass, "kg", "envelope + train + gas", []Input{b.envelope, b.train, gas}, "sum"},
		{"budget.train_length_m", m.TrainLength, "m", "sum of the lengths of the parts", nil, "the file"},
	}
}

func (b *ledger) adviceReasons() []Reason {
	value := func(q *float64) float64 {
		if q == nil {
			return 0
		}
		return *q
	}
	list := []Reason{
		{"film_pressure.pressure_at_release_pa", b.answer.Film.Pressure, "Pa", "2 s (h/r) (1/L − 1/L⁷)(1 + 0.1 L²), L the stretch", []Input{b.envelope, from("diameter at the launch", b.answer.Gas.Diameter, "m", "gas.diameter_m")}, "Müller and Strehlow 2004 (from memory); good to a factor of two"},
		{"film_pressure.burst_shift_m", value(b.answer.Film.BurstShift), "m", "burst of a flight with the film, its rating converted, less that of a flight without", []Input{b.envelope, b.rated, b.moles}, flown},
	}
	need, reserve, want := 0.0, gasReserve, 0.0
	if g := b.answer.GasToBuy; g != nil {
		need, want = g.Need, g.Want
	}
	return append(list, Reason{"gas_to_buy.with_reserve_ft3", want, "ft3", "gas needed × (1 + reserve)",
		[]Input{from("gas needed", need, "ft3", "gas.standard_ft3"), from("reserve", reserve, "1", "constant")}, "judgement: what does not flow out, the doubt of the weighing, and what blows off"})
}
