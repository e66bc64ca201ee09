package sizing

import (
	"fmt"
	"math"

	"pappus/craft/envelope"
	"pappus/craft/inflation"
	"pappus/measure/unit"
	"pappus/record"
)

// ImpossibleFill says why no gas does what the file asks, and what would.
type ImpossibleFill struct{ Message string }

func (e *ImpossibleFill) Error() string { return e.Message }

func impossible(format string, words ...any) error {
	return &ImpossibleFill{fmt.Sprintf(format, words...)}
}

// Fill works out the gas that the file's statement asks for. Lifts and volumes
// follow from the launch air alone; a rate or a height is found by flying.
func (p *Parts) Fill(s Setting, system unit.System) error {
	f := p.File.Gas.Fill
	air := s.launchAir()
	if inflation.LiftPerMole(air, p.Craft.Gas, 0) <= 0 {
		return impossible("gas.purity: gas of %s purity lifts nothing in this air: give the share of %s in it", unit.FormatShare(p.Craft.Gas.Purity), p.Craft.Gas.Kind)
	}
	var moles float64
	var err error
	switch f.Kind {
	case record.FreeLift:
		moles = p.molesForFree(f.Value, air)
	case record.NeckLift:
		moles = p.molesForFree(float64(inflation.NeckLift(f.Value).Free(p.Craft.TrainMass)), air)
	case record.Volume:
		moles = p.molesIn(f.Value, air)
	case record.AscentRate:
		moles, err = p.molesForRate(&s, f.Value, system)
	case record.BurstAltitude:
		moles, err = p.molesForHeight(&s, f.Value, system)
	}
	if err != nil {
		return err
	}
	p.Craft.GasMoles = moles
	return p.mustFly(air, system)
}

func (p *Parts) molesForFree(free float64, air inflation.Air) float64 {
	gross := inflation.FreeLift(free).Neck(p.Craft.TrainMass).Gross(p.Craft.EnvelopeMass)
	moles := inflation.MolesForGross(gross, air, p.Craft.Gas, 0)
	if !p.Craft.Film {
		return moles
	}
	// The film squeezes the gas by a quarter of a per cent: each round leaves
	// that share of the error.
	for range 6 {
		moles += (float64(gross) - p.lift(moles, air).gross) / inflation.LiftPerMole(air, p.Craft.Gas, 0)
	}
	return moles
}

// volume is the room that the gas takes in launch air, inside the film.
func (p *Parts) volume(moles float64, air inflation.Air) float64 {
	volume := inflation.Volume(moles, air, 0)
	if p.Craft.Film {
		volume = envelope.Volume(envelope.TautDiameter(envelope.Diameter(volume), p.Craft.EnvelopeMass, air.Pressure))
	}
	return volume
}

// molesIn is the inverse of volume.
func (p *Parts) molesIn(volume float64, air inflation.Air) float64 {
	moles := inflation.MolesInVolume(volume, air, 0)
	if p.Craft.Film {
		moles *= 1 + envelope.RubberPressure(p.Craft.EnvelopeMass, envelope.Diameter(volume))/air.Pressure
	}
	return moles
}

// mustFly refuses a fill that does not lift the train, or that the envelope
// does not hold on the ground.
func (p *Parts) mustFly(air inflation.Air, system unit.System) error {
	lift, volume := p.lift(p.Craft.GasMoles, air), p.volume(p.Craft.GasMoles, air)
	if lift.free <= 0 {
		enough := p.volume(p.molesForFree(0, air), air)
		return impossible("gas.fill.%s: cannot lift the train: the gas lifts %s at the neck and %s hang below it; more than %s of gas are needed (%s more than this fill) before anything rises",
			p.File.Gas.Fill.Kind, unit.FormatMass(lift.neck, system), unit.FormatMass(p.Craft.TrainMass, system),
			unit.FormatVolume(enough, system), unit.FormatVolume(enough-volume, system))
	}
	if size := envelope.Diameter(volume); size >= p.Craft.Burst.Median {
		return impossible("gas.fill.%s: the fill makes the envelope %s wide on the ground, and it bursts at %s: at most %s of gas, or a larger envelope",
			p.File.Gas.Fill.Kind, unit.FormatLength(size, system), unit.FormatLength(p.Craft.Burst.Median, system),
			unit.FormatVolume(envelope.Volume(p.Craft.Burst.Median), system))
	}
	return nil
}

type lifts struct{ gross, neck, free float64 }

func (p *Parts) lift(moles float64, air inflation.Air) lifts {
	gross := inflation.GrossLift(air.Density*p.volume(moles, air) - inflation.GasMass(moles, p.Craft.Gas))
	neck := gross.Neck(p.Craft.EnvelopeMass)
	return lifts{float64(gross), float64(neck), float64(neck.Free(p.Craft.TrainMass))}
}

// fillRange answers the least gas that rises at all and the most that the
// envelope holds at launch.
func (p *Parts) fillRange(s *Setting) (least, most float64) {
	air := s.launchAir()
	return p.molesForFree(0, air), p.molesIn(envelope.Volume(p.Craft.Burst.Median), air)
}

func (p *Parts) noRoom(system unit.System) error {
	return impossible("envelope.burst_diameter: cannot lift the train: the gas that carries %s fills the envelope to its burst size of %s on the ground: a larger envelope or a lighter train",
		unit.FormatMass(p.Craft.EnvelopeMass+p.Craft.TrainMass, system), unit.FormatLength(p.Craft.Burst.Median, system))
}

// Fractions of the way from the least to the most gas that are searched: the
// ends themselves do not fly.
const (
	emptiest = 1e-4
	fullest  = 1 - 1e-3
)

// rates is what is known of the mean rates that fills give.
type rates struct {
	moles            float64 // the least fill with the rate asked; zero when there is none
	slowest, fastest float64 // m/s
	fastestMoles     float64
}

// fillForRate finds the least fill whose mean rate from release to burst is
// the one asked. The rate grows with gas until the flight is too short to come
// up to speed.
func (p *Parts) fillForRate(s *Setting, want float64) (r rates, ok bool) {
	least, most := p.fillRange(s)
	if least >= most {
		return r, false
	}
	at := func(x float64) float64 { return least * math.Pow(most/least, x) }
	rate := func(x float64) float64 {
		_, mean, ok := p.rise(s, at(x))
		if !ok {
			return 0
		}
		return mean
	}
	r.slowest = rate(emptiest)
	if want < r.slowest {
		return r, false
	}
	off := func(x float64) float64 { return rate(x) - want }
	const grid = 24
	below, best := emptiest, 0.0
	for i := 1; i < grid; i++ {
		x := float64(i) / grid
		reached := rate(x)
		if reached >= want {
			r.moles = at(solve(off, below, x))
			return r, true
		}
		if below = x; reached > r.fastest {
			best, r.fastest = x, reached
		}
	}
	low := max(best-1.0/grid, emptiest)
	best, r.fastest = peak(rate, low, min(best+1.0/grid, fullest))
	r.fastestMoles = at(best)
	if want > r.fastest {
		return r, false
	}
	r.moles = at(solve(off, low, best))
	return r, true
}

func (p *Parts) molesForRate(s *Setting, want float64, system unit.System) (float64, error) {
	r, ok := p.fillForRate(s, want)
	switch {
	case ok:
		return r.moles, nil
	case r.slowest == 0 && r.fastestMoles == 0:
		return 0, p.noRoom(system)
	case want < r.slowest:
		return 0, impossible("gas.fill.ascent_rate: %s is slower than any fill that can be weighed out (%s): ask for more", unit.FormatSpeed(want, system), unit.FormatSpeed(r.slowest, system))
	}
	volume := p.volume(r.fastestMoles, s.launchAir())
	return 0, impossible("gas.fill.ascent_rate: a rise no fill gives: %s is asked, and this envelope with this train rises at most at %s in the mean (with %s of gas): ask for less, lighten the train, or take a larger envelope",
		unit.FormatSpeed(want, system), unit.FormatSpeed(r.fastest, system), unit.FormatVolume(volume, system))
}

// molesForHeight finds the fill that bursts at the height asked: the less gas,
// the higher.
func (p *Parts) molesForHeight(s *Setting, want float64, system unit.System) (float64, error) {
	least, most := p.fillRange(s)
	if least >= most {
		return 0, p.noRoom(system)
	}
	at := func(x float64) float64 { return least * math.Pow(most/least, x) }
	height := func(x float64) float64 { burst, _, _ := p.rise(s, at(x)); return burst }
	// The least gas floats for half a day; the highest burst is that of the
	// least gas that still gets there.
	slightest := emptiest
	for ; slightest < 1; slightest *= 1.5 {
		if _, _, flies := p.rise(s, at(slightest)); flies {
			break
		}
	}
	if highest := height(slightest); want > highest {
		return 0, p.tooHigh(s, want, highest, system)
	}
	if lowest := height(fullest); want < lowest {
		return 0, impossible("gas.fill.burst_altitude: %s is below any fill's burst: the fullest bursts at %s; ask for more, or take a smaller envelope", unit.FormatHeight(want, system), unit.FormatHeight(lowest, system))
	}
	return at(solve(func(x float64) float64 { return want - height(x) }, slightest, fullest)), nil
}

// usualFree is free lift over gross of a usual fill; common practice, no source.
const usualFree = 0.35

// tooHigh says what would reach a height that no fill reaches: the smallest
// usual envelope that does with a usual fill, and what the gas at hand does.
func (p *Parts) tooHigh(s *Setting, want, highest float64, system unit.System) error {
	advice := "lighten the train or ask for less"
	for _, mass := range usualEnvelopes() {
		if mass <= p.Craft.EnvelopeMass {
			continue
		}
		q := p.withEnvelope(mass)
		free := usualFree / (1 - usualFree) * (mass + q.Craft.TrainMass)
		if burst, _, flies := q.rise(s, q.molesForFree(free, s.launchAir())); flies && burst >= want {
			advice = fmt.Sprintf("an envelope of %s with about %s of free lift would, or a lighter train, or ask for less", grams(mass), unit.FormatMass(free, system))
			break
		}
	}
	if have := p.atHand(); have > 0 {
		short := &ShortGas{}
		if left, ok := p.outlook(s, have); ok {
			short.Left, short.Sounds = &left, left.MeanRate >= soundRise
		}
		advice += ". " + p.leftWords(s, have, short, system)
	}
	return impossible("gas.fill.burst_altitude: a height no fill reaches: %s is asked, and the least gas that rises at all bursts at %s (%s short): %s",
		unit.FormatHeight(want, system), unit.FormatHeight(highest, system), unit.FormatHeight(want-highest, system), advice)
}

// solve finds where a rising function crosses zero (bisection with secant
// steps, the Illinois rule), to a millionth of the range.
func solve(f func(float64) float64, low, high float64) float64 {
	fLow, fHigh := f(low), f(high)
	side := 0
	for range 80 {
		x := (low*fHigh - high*fLow) / (fHigh - fLow)
		if !(x > low && x < high) {
			x = (low + high) / 2
		}
		y := f(x)
		if y == 0 || high-low < 1e-6 {
			return x
		}
		if y < 0 {
			low, fLow = x, y
			if side == -1 {
				fHigh /= 2
			}
			side = -1
		} else {
			high, fHigh = x, y
			if side == 1 {
				fLow /= 2
			}
			side = 1
		}
	}
	return (low + high) / 2
}

// peak finds the maximum of a function with one hill by golden section.
func peak(f func(float64) float64, low, high float64) (x, y float64) {
	const golden = 0.6180339887498949
	a, b := high-golden*(high-low), low+golden*(high-low)
	fa, fb := f(a), f(b)
	for range 20 {
		if fa < fb {
			low, a, fa = a, b, fb
			b = low + golden*(high-low)
			fb = f(b)
		} else {
			high, b, fb = b, a, fa
			a = high - golden*(high-low)
			fa = f(a)
		}
	}
	if fa > fb {
		return a, fa
	}
	return b, fb
}
