package sizing

import (
	"fmt"
	"math"

	"pappus/craft/inflation"
	"pappus/craft/liftgas"
	"pappus/measure/unit"
	"pappus/record"
)

// Measure is one measurement of the gas that is in.
type Measure struct {
	Moles float64 `json:"amount_mol"`
	Neck  float64 `json:"neck_kg"` // once the gas is as warm as the air
	Error float64 `json:"error_kg"`
	Text  string  `json:"text"`
}

// Together weighs the two measurements against each other.
type Together struct {
	Neck       float64  `json:"neck_kg"`
	Free       float64  `json:"free_kg"`
	Error      float64  `json:"error_kg"`
	Difference *float64 `json:"difference_kg,omitempty"` // scale less gauge
	Agree      *bool    `json:"agree,omitempty"`
	Text       string   `json:"text"`
	Causes     []string `json:"causes,omitempty"` // where they do not agree
	Purity     *float64 `json:"purity_implied,omitempty"`
}

// Sizes of the errors of measuring, one standard deviation.
const (
	calmScale   = 0.02 // of the lift: a spring scale read in a room; common practice, no source
	usualScale  = 0.05 // of the lift, where the wind is not given; the spread of every flight
	gustScale   = 0.20 // of the lift, the most that wind puts on it at the limit; common practice, no source
	fillWind    = 5.0  // m/s, up to which people fill; common practice, no source
	gaugeClass  = 0.016
	gaugeFull   = 300 * unit.Bar // end of the dial; class and dial are common practice, no source
	readWarmth  = 1.5            // K, of a gas temperature that was measured
	guessWarmth = 5.0            // K, of one that was not
	bottleWater = 0.01           // of the stamped water volume
)

// scaleError is that of a lift read in a wind, as a share: calm air's, and half
// of what the wind puts on at the most, which grows with its square.
func scaleError(wind record.Quantity) float64 {
	if !wind.Given {
		return usualScale
	}
	share := wind.Value / fillWind
	return math.Hypot(calmScale, gustScale/2*share*share)
}

// byScale turns the lift at the neck into gas: what it lifts now, with gas that
// is colder or warmer than the air, and what it will lift once that has passed.
func (d *FillDay) byScale(p *Parts, neck float64, air inflation.Air, system unit.System) *Measure {
	offset, warmth := d.offset(air)
	gross := inflation.NeckLift(neck).Gross(p.Craft.EnvelopeMass)
	moles := inflation.MolesForGross(gross, air, p.Craft.Gas, offset)
	settled := p.lift(moles, air)
	displaced := air.Density * inflation.Volume(moles, air, 0)
	fromScale := scaleError(d.Wind) * math.Abs(neck)
	fromWarmth := displaced * warmth / air.Temperature // 3 K are 1 % of the displaced air
	m := &Measure{Moles: moles, Neck: settled.neck, Error: math.Hypot(fromScale, fromWarmth)}
	m.Text = fmt.Sprintf("%s weighed, good to %s (%s)", unit.FormatMass(neck, system), unit.FormatMass(m.Error, system), d.errorWords(system))
	if change := settled.neck - neck; math.Abs(change) > 0.5*unit.Gram && d.Gas.Given {
		m.Text += fmt.Sprintf("; once the gas is as warm as the air it will be %s", unit.FormatMass(settled.neck, system))
	}
	return m
}

func (d *FillDay) errorWords(system unit.System) string {
	words := "wind not given"
	if d.Wind.Given {
		words = "wind of " + unit.FormatSpeed(d.Wind.Value, system)
	}
	if !d.Gas.Given {
		words += ", gas temperature not measured"
	}
	return words
}

// offset is the gas's temperature less the air's, and how well it is known.
func (d *FillDay) offset(air inflation.Air) (offset, doubt float64) {
	if d.Gas.Given {
		return d.Gas.Value - air.Temperature, readWarmth
	}
	return 0, guessWarmth
}

// byGauge turns the gauges before and after into gas, each bottle by the real
// gas. Errors: the gauge's class twice, the stamped volume and the bottle's
// temperature, which falls while gas flows out.
func (d *FillDay) byGauge(p *Parts, air inflation.Air, system unit.System) *Measure {
	kind := p.Craft.Gas.Kind
	temperature := air.Temperature
	if d.Bottle.Given {
		temperature = d.Bottle.Value
	}
	const cooling = 3.0 // K either way; judgement: ten minutes' rest after filling
	moles, variance := 0.0, 0.0
	for _, b := range d.Gauges {
		before := liftgas.MolesInBottle(kind, b.Water, b.Before, temperature)
		after := liftgas.MolesInBottle(kind, b.Water, b.After, temperature)
		taken := before - after
		perPascal := (before - after) / math.Max(b.Before-b.After, 1)
		oneReading := gaugeClass * gaugeFull / 2 * perPascal // a class bounds the error: half of it is one deviation
		for _, e := range []float64{oneReading * math.Sqrt2, bottleWater * taken, after * cooling / temperature, taken * cooling / temperature} {
			variance += e * e
		}
		moles += taken
	}
	// The gas from the bottle brings its impurity with it: moles of both.
	lift := p.lift(moles, air)
	m := &Measure{Moles: moles, Neck: lift.neck, Error: math.Sqrt(variance) * inflation.LiftPerMole(air, p.Craft.Gas, 0)}
	m.Text = fmt.Sprintf("%s of gas out of the bottle (70 F, 1 atm) lift %s at the neck, good to %s", unit.FormatVolume(liftgas.StandardVolume(kind, moles), system),
		unit.FormatMass(m.Neck, system), unit.FormatMass(m.Error, system))
	return m
}

// agreeWithin is how many standard deviations apart two measurements may lie
// before they are called different: one honest pair in twenty lies further.
const agreeWithin = 2.0

// weighTogether joins what was measured, each by the inverse of its variance.
func (p *Parts) weighTogether(scale, gauge *Measure, air inflation.Air, system unit.System) *Together {
	t := &Together{}
	switch {
	case scale == nil && gauge == nil:
		return nil
	case gauge == nil:
		t.Neck, t.Error, t.Text = scale.Neck, scale.Error, "The scale alone: the gauge before and after would be a second, independent measure."
	case scale == nil:
		t.Neck, t.Error, t.Text = gauge.Neck, gauge.Error, "The gauge alone: it does not see what blew off or leaked. Weigh it too."
	default:
		p.compare(t, scale, gauge, air, system)
	}
	t.Free = t.Neck - p.Craft.TrainMass
	return t
}

func (p *Parts) compare(t *Together, scale, gauge *Measure, air inflation.Air, system unit.System) {
	s, g := 1/(scale.Error*scale.Error), 1/(gauge.Error*gauge.Error)
	t.Neck, t.Error = (s*scale.Neck+g*gauge.Neck)/(s+g), 1/math.Sqrt(s+g)
	apart, doubt := scale.Neck-gauge.Neck, math.Hypot(scale.Error, gauge.Error)
	agree := math.Abs(apart) <= agreeWithin*doubt
	t.Difference, t.Agree = &apart, &agree
	words := unit.FormatMass(math.Abs(apart), system)
	if agree {
		t.Text = fmt.Sprintf("Scale and gauge agree: %s apart, within what both are in doubt by.", words)
		return
	}
	// Neither is believed over the other: the doubt covers both.
	t.Error = max(t.Error, math.Abs(apart)/2)
	if apart < 0 {
		t.Text = fmt.Sprintf("The scale shows %s less than the gas that left the bottle should lift. Find out why before you let go.", words)
		t.Causes = []string{"a leak, or gas that blew off at the neck", "gas still cold from the bottle: wait ten minutes and weigh again", "gas less pure than the file says", "wind on the balloon: weigh again in a lull", "a bottle still cold after the fill, whose gauge then reads low"}
		if purity, ok := impliedPurity(p, scale, gauge, air); ok {
			t.Purity = &purity
			t.Causes[2] += fmt.Sprintf(": %s would explain it all", unit.FormatShare(purity))
		}
		return
	}
	t.Text = fmt.Sprintf("The scale shows %s more than the gas that left the bottle can lift. Find out why before you let go.", words)
	t.Causes = []string{"wind or an updraught on the balloon: weigh again in a lull", "a water volume or gauge other than the one written down", "a second bottle, or a top-up, that is not in the readings", "a scale that is not at zero, or a mass on it counted twice"}
}

// impliedPurity is the share of gas that makes the gauge's gas lift what the
// scale shows.
func impliedPurity(p *Parts, scale, gauge *Measure, air inflation.Air) (float64, bool) {
	if gauge.Moles <= 0 {
		return 0, false
	}
	perMole := (scale.Neck + p.Craft.EnvelopeMass) / gauge.Moles
	molar := air.Density*inflation.MolarVolume(air, 0) - perMole
	pure, foreign := p.Craft.Gas.Kind.MolarMass(), liftgas.MolarMassAir
	purity := (foreign - molar) / (foreign - pure)
	return purity, purity > 0 && purity < p.Craft.Gas.Purity
}
