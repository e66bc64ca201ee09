package sizing

import (
	"context"
	"fmt"
	"math"

	"pappus/craft/canopy"
	"pappus/craft/envelope"
	"pappus/craft/inflation"
	"pappus/craft/liftgas"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/record"
)

// FillDay is what is known on the field. What is absent is taken from the
// file's [flown] table, or from the standard.
type FillDay struct {
	Air      record.Quantity // K, at the launch
	Pressure record.Quantity // Pa, at the launch
	Gas      record.Quantity // K, of the gas in the balloon
	Bottle   record.Quantity // K, of the bottles
	Wind     record.Quantity // m/s
	Hangs    record.Quantity // kg between balloon and scale: nozzle, hose, clamp
	Weighed  record.Quantity // kg, what the scale shows
	Train    record.Quantity // kg, all that hangs below the neck, as weighed
	Gauges   []GaugePair
}

// GaugePair is one bottle before and after.
type GaugePair struct {
	Water, Before, After float64 // m³, Pa, Pa
}

// FillAnswer says what to fill to, and what the measured lift means.
type FillAnswer struct {
	Name     string       `json:"name,omitempty"`
	Target   FillTarget   `json:"target"`
	Scale    *Measure     `json:"scale,omitempty"`
	Gauge    *Measure     `json:"gauge,omitempty"`
	Together *Together    `json:"together,omitempty"`
	Verdict  *FillVerdict `json:"verdict,omitempty"`
	Planned  Outlook      `json:"planned"`
	Measured *FillFlight  `json:"measured,omitempty"`
	Notes    []string     `json:"notes"`
}

// FillTarget is what to weigh and what to expect.
type FillTarget struct {
	Neck        float64      `json:"neck_kg"`         // once the gas is as warm as the air
	Now         float64      `json:"neck_now_kg"`     // with the gas as warm as it is
	Scale       float64      `json:"scale_kg"`        // what the scale then shows, what hangs on it taken off
	Hangs       float64      `json:"hangs_kg"`        // between balloon and scale
	Tolerance   float64      `json:"tolerance_kg"`    // either side
	Free        float64      `json:"free_kg"`         // of the neck lift
	Train       float64      `json:"train_kg"`        // of the neck lift
	Volume      float64      `json:"volume_m3"`       // of the gas as it is
	Diameter    float64      `json:"diameter_m"`      //
	Girth       float64      `json:"girth_m"`         // tape around the widest
	Moles       float64      `json:"amount_mol"`      //
	Air         float64      `json:"air_k"`           // counted with
	Pressure    float64      `json:"air_pa"`          // counted with
	GaugeShares []GaugeShare `json:"gauge,omitempty"` // where bottles are known
}

// GaugeShare says at which reading a bottle has given what the fill takes.
type GaugeShare struct {
	Before float64 `json:"before_pa"`
	After  float64 `json:"after_pa"`
	Empty  bool    `json:"empty"` // it does not hold enough: the next bottle goes on
}

// FillVerdict says whether to go on filling.
type FillVerdict struct {
	Within bool    `json:"within"`
	Off    float64 `json:"off_kg"`    // measured less wanted
	Volume float64 `json:"volume_m3"` // of gas to add, or to let out when negative
	Text   string  `json:"text"`
}

// FillFlight is the flight that the measured lift makes.
type FillFlight struct {
	Flight  Outlook        `json:"flight"`
	Change  Outlook        `json:"change"` // less the planned one
	Rate    *ensemble.Band `json:"mean_rate_band_mps,omitempty"`
	Burst   *ensemble.Band `json:"burst_alt_band_m,omitempty"`
	Landing *ensemble.Band `json:"landing_speed_band_mps,omitempty"`
	Text    string         `json:"text"`
}

// rateTolerance is how far the mean rise may be off the planned one; judgement,
// half of what separates flights anyway.
const rateTolerance = 0.05

// FillDay answers what to weigh, and re-plans on what was weighed.
func (p *Parts) FillDay(ctx context.Context, s Setting, day FillDay, o Options) (*FillAnswer, error) {
	if day.Train.Given {
		p = p.withTrain(day.Train.Value)
	}
	if err := p.Fill(s, o.System); err != nil {
		return nil, err
	}
	air := day.air(&s)
	planned, ok := p.outlook(&s, p.Craft.GasMoles)
	if !ok {
		return nil, impossible("the planned flight does not come down: pappus plan says more")
	}
	answer := &FillAnswer{Name: p.File.Name, Planned: planned}
	answer.Target = p.target(&s, &day, air)
	if day.Weighed.Given {
		answer.Scale = day.byScale(p, day.Weighed.Value+day.Hangs.Value, air, o.System)
	}
	if len(day.Gauges) > 0 {
		answer.Gauge = day.byGauge(p, air, o.System)
	}
	answer.Together = p.weighTogether(answer.Scale, answer.Gauge, air, o.System)
	if answer.Together != nil {
		answer.Verdict = p.verdict(answer, air, o.System)
		if err := p.refly(ctx, answer, &s, air, o); err != nil {
			return nil, err
		}
	}
	answer.Notes = day.notes(air, o.System)
	return answer, nil
}

// withTrain answers the parts with the train as weighed; the difference is put
// down to the box.
func (p *Parts) withTrain(mass float64) *Parts { return p.withBox(mass - p.Craft.TrainMass) }

// air is that of the launch with what was measured of it.
func (d *FillDay) air(s *Setting) inflation.Air {
	air := s.launchAir()
	was := air
	if d.Air.Given {
		air.Temperature = d.Air.Value
	}
	if d.Pressure.Given {
		air.Pressure = d.Pressure.Value
	}
	air.Density *= air.Pressure / was.Pressure * was.Temperature / air.Temperature
	return air
}

func (p *Parts) target(s *Setting, d *FillDay, air inflation.Air) FillTarget {
	moles := p.Craft.GasMoles
	offset, _ := d.offset(air)
	settled := p.lift(moles, air)
	now := float64(inflation.Gross(moles, air, p.Craft.Gas, offset).Neck(p.Craft.EnvelopeMass))
	volume := inflation.Volume(moles, air, offset)
	t := FillTarget{
		Neck: settled.neck, Now: now, Scale: now - d.Hangs.Value, Hangs: d.Hangs.Value, Free: settled.free, Train: p.Craft.TrainMass,
		Tolerance: p.tolerance(s, moles, air), Volume: volume, Diameter: envelope.Diameter(volume), Moles: moles,
		Air: air.Temperature, Pressure: air.Pressure,
	}
	t.Girth = inflation.Girth(t.Diameter)
	temperature := air.Temperature
	if d.Bottle.Given {
		temperature = d.Bottle.Value
	}
	t.GaugeShares = p.gaugeTargets(d.Gauges, moles, temperature)
	return t
}

// gaugeTargets says at which reading each bottle has given its part. Before any
// reading the file's bottles stand in, brought to today's temperature.
func (p *Parts) gaugeTargets(gauges []GaugePair, moles, temperature float64) []GaugeShare {
	kind := p.Craft.Gas.Kind
	if len(gauges) == 0 {
		for _, c := range p.File.Cylinders {
			if !c.WaterVolume.Given || !c.Pressure.Given {
				continue
			}
			read := liftgas.StandardTemperature
			if c.Temperature.Given {
				read = c.Temperature.Value
			}
			held := liftgas.MolesInBottle(kind, c.WaterVolume.Value, c.Pressure.Value, read)
			for range c.Count {
				gauges = append(gauges, GaugePair{Water: c.WaterVolume.Value, Before: liftgas.GaugeForMoles(kind, c.WaterVolume.Value, held, temperature)})
			}
		}
	}
	var list []GaugeShare
	for _, b := range gauges {
		in := liftgas.MolesInBottle(kind, b.Water, b.Before, temperature)
		gives := in - liftgas.MolesInBottle(kind, b.Water, 0, temperature)
		taken := min(moles, gives)
		list = append(list, GaugeShare{b.Before, liftgas.GaugeForMoles(kind, b.Water, in-taken, temperature), moles > gives})
		moles -= taken
	}
	return list
}

// tolerance is how much lift moves the mean rise by a twentieth.
func (p *Parts) tolerance(s *Setting, moles float64, air inflation.Air) float64 {
	const step = 0.01
	_, slow, okSlow := p.rise(s, moles*(1-step))
	_, rate, ok := p.rise(s, moles)
	_, fast, okFast := p.rise(s, moles*(1+step))
	lift := p.lift(moles, air)
	if !ok || !okSlow || !okFast || fast <= slow {
		return 0
	}
	perLift := (fast - slow) / (2 * step * lift.gross)
	return math.Min(rateTolerance*rate/perLift, lift.free/2)
}

func (p *Parts) verdict(a *FillAnswer, air inflation.Air, system unit.System) *FillVerdict {
	off := a.Together.Neck - a.Target.Neck
	perMole := inflation.LiftPerMole(air, p.Craft.Gas, 0)
	v := &FillVerdict{Off: off, Within: math.Abs(off) <= a.Target.Tolerance, Volume: -inflation.Volume(off/perMole, air, 0)}
	amount := fmt.Sprintf("%s of lift (%s of gas)", unit.FormatMass(math.Abs(off), system), unit.FormatVolume(math.Abs(v.Volume), system))
	switch {
	case a.Together.Free <= 0:
		v.Text = fmt.Sprintf("It does not lift the train: add %s.", amount)
	case v.Within:
		v.Text = "Within the tolerance: tie off."
	case off < 0:
		v.Text = fmt.Sprintf("Too little: add %s.", amount)
	default:
		v.Text = fmt.Sprintf("Too much: let out %s, or fly higher rise and lower burst as below.", amount)
	}
	return v
}

// refly flies what was measured, with its own doubt in place of the usual one.
func (p *Parts) refly(ctx context.Context, a *FillAnswer, s *Setting, air inflation.Air, o Options) error {
	q := *p
	q.Craft.GasMoles = q.molesForFree(a.Together.Free, air)
	flight, ok := q.outlook(s, q.Craft.GasMoles)
	if !ok {
		a.Measured = &FillFlight{Text: "As measured it does not rise, or does not burst within half a day: do not let go."}
		return nil
	}
	m := &FillFlight{Flight: flight, Change: flight.minus(a.Planned)}
	m.Text = fmt.Sprintf("As measured it rises at %s in the mean (%+.0f %%), bursts at %s and lands at %s with %s in the heaviest box.", unit.FormatRate(flight.MeanRate, o.System),
		100*m.Change.MeanRate/a.Planned.MeanRate, unit.FormatHeight(flight.BurstAlt, o.System), unit.FormatSpeed(flight.Landing, o.System),
		unit.FormatEnergy(canopy.FallingEnergy(q.HeavyBox, flight.Landing), o.System))
	if flight.MeanRate < soundRise {
		m.Text += " That is slow: a small leak or ice would leave a floater."
	}
	a.Measured = m
	if o.NominalOnly {
		return nil
	}
	spread := q.Spread
	spread.Lift = a.Together.Error / math.Max(a.Together.Neck, a.Together.Error)
	result, err := ensemble.Run(ctx, ensemble.Request{
		Craft: q.Craft, Spread: spread, Sky: s.Sky, Ground: s.Ground, Start: s.Start, Members: o.Members, Seed: o.Seed, Workers: o.Workers,
	})
	if err != nil {
		return err
	}
	bands := &Answer{}
	addBands(bands, result)
	m.Rate, m.Burst, m.Landing = bands.Ascent.RateBand, bands.Burst.Alt, bands.Descent.LandingBand
	return nil
}

func (d *FillDay) notes(air inflation.Air, system unit.System) []string {
	notes := []string{
		"measure in a lull: wind puts up to a fifth on or off (common practice)",
		fmt.Sprintf("gas fresh from the bottle is cold and lifts less: each 3 K cost 1 %% of what it displaces; counted with air of %s", unit.FormatTemperature(air.Temperature, system)),
		"stop half-way and listen for leaks; let the gas settle ten minutes before the last weighing",
		"gloves or clean hands, no rings, the envelope on a clean sheet; bottle chained, opened slowly",
	}
	if d.Wind.Given && d.Wind.Value > fillWind {
		notes = append([]string{fmt.Sprintf("the wind is above %s, up to which people fill (common practice): wait, or go behind a wind screen", unit.FormatSpeed(fillWind, system))}, notes...)
	}
	if !d.Train.Given {
		notes = append(notes, "weigh the whole train as it hangs, and give that mass too: the lift is worth no more than that mass")
	}
	return notes
}

// FromFile fills what is absent with the file's [flown] table and its bottles.
func (d FillDay) FromFile(f *record.Flight) FillDay {
	take := func(into *record.Quantity, from record.Quantity) {
		if !into.Given {
			*into = from
		}
	}
	flown := f.Flown
	if flown == nil {
		flown = &record.Flown{}
	}
	take(&d.Air, flown.AirTemperature)
	take(&d.Gas, flown.GasTemperature)
	take(&d.Train, flown.Weighed)
	if !d.Weighed.Given && flown.NeckLift.Given {
		// What the file keeps is the lift at the neck, with what hung on the scale.
		d.Weighed, d.Hangs = flown.NeckLift, record.Quantity{}
	}
	if len(d.Gauges) == 0 && flown.GaugeBefore.Given && flown.GaugeAfter.Given {
		if water, ok := WaterVolume(f); ok {
			d.Gauges = []GaugePair{{water, flown.GaugeBefore.Value, flown.GaugeAfter.Value}}
		}
	}
	return d
}

// WaterVolume answers that of the file's first bottle which has one, for gauge
// readings that come without it.
func WaterVolume(f *record.Flight) (float64, bool) {
	for i := range f.Cylinders {
		if f.Cylinders[i].WaterVolume.Given {
			return f.Cylinders[i].WaterVolume.Value, true
		}
	}
	return 0, false
}
