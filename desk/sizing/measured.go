package sizing

import (
	"fmt"
	"math"
	"strings"
	"time"

	"pappus/air/atmosphere"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/record"
)

// The ground tests whose figures replace typical ones. Their names are the words
// of `what` in the flight file.
const (
	DropTest    = "drop"
	ScaleCheck  = "scale check"
	FreezerSoak = "freezer soak"
	CellRunDown = "cell run-down"
	PullTest    = "pull"
)

// Errors of a careful test, one standard deviation, where the file states none.
const (
	usualDropError  = 0.025 // of the speed: 20 m timed by film frames or a stop watch; judgement
	usualScaleError = 0.01  // of the lift: a scale that shows a known mass; judgement
	usualSoakError  = 0.08  // of the loss: two thermometers read by eye; judgement
	// leastCanopy is how much one canopy's drag scatters from fall to fall, by the
	// way it swings and opens; judgement.
	leastCanopy = 0.03
	// lullShare is what is left of the doubt of a lift weighed with a good scale:
	// wind, and gas that is not yet as warm as the air. With a scale that nobody
	// checked (4 %) it makes the usual 5 %.
	lullShare = 0.03
)

// Measured is a typical value that a ground test replaced.
type Measured struct {
	Test   string  `json:"test"`
	Key    string  `json:"key"` // of the flight file
	What   string  `json:"what"`
	Before float64 `json:"before"`
	After  float64 `json:"after"`
	Unit   string  `json:"unit"`
	// Spread is one standard deviation of the value, as a share, before and after.
	SpreadBefore float64 `json:"spread_before"`
	SpreadAfter  float64 `json:"spread_after"`
	Used         bool    `json:"used"`
	Text         string  `json:"text"`
}

// Is tells whether a test of the file is of a kind, however its name is written:
// words count, capitals, hyphens and the word test do not.
func Is(t *record.Test, kind string) bool { return plainWords(t.What) == plainWords(kind) }

func plainWords(name string) string {
	name = strings.NewReplacer("-", " ", "_", " ").Replace(strings.ToLower(name))
	var words []string
	for _, w := range strings.Fields(name) {
		if w != "test" {
			words = append(words, w)
		}
	}
	return strings.Join(words, " ")
}

func errorOf(t *record.Test, usual float64) float64 {
	if t.Error.Given {
		return t.Error.Value
	}
	return usual
}

// measure puts what the file's ground tests say in place of what is typical. It is
// the one way by which a test reaches the odds.
func (p *Parts) measure() {
	for _, m := range []struct {
		kind string
		use  func(*record.Test)
	}{{DropTest, p.measureDrop}, {ScaleCheck, p.measureScale}} {
		if t := LatestTest(p.File, func(t *record.Test) bool { return Is(t, m.kind) }); t != nil && t.Result == "pass" {
			m.use(t)
		}
	}
}

// LatestTest answers the last one done of those that match, whatever its result;
// of a day the one that stands later in the file.
func LatestTest(f *record.Flight, match func(*record.Test) bool) *record.Test {
	var last *record.Test
	for i := range f.Tests {
		if t := &f.Tests[i]; match(t) && (last == nil || !TestDay(t).Before(TestDay(last))) {
			last = t
		}
	}
	return last
}

// TestDay is the day of a test.
func TestDay(t *record.Test) time.Time {
	return time.Date(t.Date.Year, t.Date.Month, t.Date.Day, 0, 0, 0, 0, time.UTC)
}

// DropArea answers the drag area that a drop test measured, m²: 2 m g / (density
// v²), in the standard air of the launch elevation, or at the temperature that the
// test states.
func DropArea(f *record.Flight, t *record.Test) (float64, bool) {
	if !t.Mass.Given || !t.Speed.Given || t.Mass.Value <= 0 || t.Speed.Value <= 0 {
		return 0, false
	}
	air := atmosphere.At(f.Launch.Elevation)
	density := air.Density
	if t.Temperature.Given {
		density = atmosphere.Density(air.Pressure, t.Temperature.Value)
	}
	return 2 * t.Mass.Value * unit.StandardGravity / (density * t.Speed.Value * t.Speed.Value), true
}

// measureDrop puts the measured drag area in place of the canopy's. The boxes that
// hang below brake too: what they add in the flight is taken off, so that the fall
// with them is the measured one.
func (p *Parts) measureDrop(t *record.Test) {
	area, known := DropArea(p.File, t)
	// The drag area goes with the square of the speed.
	spread := max(2*errorOf(t, usualDropError), leastCanopy)
	before, usual := p.Craft.CanopyArea, p.Spread.Canopy
	m := Measured{Test: t.What, Key: canopyKey(p.File), What: "drag area of the canopy", Before: before, After: before, Unit: "m2", SpreadBefore: usual, SpreadAfter: usual}
	switch area -= p.Craft.BodyArea; {
	case !known:
		m.Text = "the drop test states no mass and speed: nothing of it can be used"
	case area < before/3 || area > before*3:
		m.Text = fmt.Sprintf("the drop test says %.2f m² where the file's canopy has %.2f: too far apart to be this canopy; look at mass, speed and units", area, before)
	case spread > usual:
		m.Text = fmt.Sprintf("the drop test is too rough to replace the typical value: %s against %s", unit.FormatShare(spread), unit.FormatShare(usual))
	default:
		p.Craft.CanopyArea = area
		p.CanopyDrag *= area / before // so that the diameter stays what it is
		p.Spread.Canopy = spread
		m.After, m.SpreadAfter, m.Used = area, spread, true
		m.Text = fmt.Sprintf("measured: %.2f m² instead of %.2f, good to %s instead of %s", area, before, unit.FormatShare(spread), unit.FormatShare(usual))
	}
	p.Measured = append(p.Measured, m)
}

// canopyKey is where the canopy's drag stands in the file.
func canopyKey(f *record.Flight) string {
	for i := range f.Train {
		if f.Train[i].Kind == record.Parachute {
			return fmt.Sprintf("train[%d].drag", i+1)
		}
	}
	return "train"
}

// measureScale narrows the doubt of the weighed lift.
func (p *Parts) measureScale(t *record.Test) {
	e := errorOf(t, usualScaleError)
	if t.Mass.Given && t.Reference.Given && t.Reference.Value > 0 {
		e = max(e, math.Abs(t.Mass.Value/t.Reference.Value-1))
	}
	before := p.Spread.Lift
	spread := math.Hypot(lullShare, e)
	m := Measured{Test: t.What, Key: "gas.fill", What: "lift as weighed at the neck", Before: 1, After: 1, Unit: "1", SpreadBefore: before, SpreadAfter: before}
	if spread >= before {
		m.Text = fmt.Sprintf("the scale is off by %s: use another, or apply its correction and test again", unit.FormatShare(e))
	} else {
		p.Spread.Lift = spread
		m.SpreadAfter, m.Used = spread, true
		m.Text = fmt.Sprintf("the scale is good to %s: the weighed lift to %s instead of %s, the rest being wind and warmth", unit.FormatShare(e), unit.FormatShare(spread), unit.FormatShare(before))
	}
	p.Measured = append(p.Measured, m)
}

// AsIfTested answers the spread that the odds would have after a usual test of a
// kind, and whether that test would change them.
func AsIfTested(now ensemble.Spread, kind string) (ensemble.Spread, bool) {
	then := now
	switch kind {
	case DropTest:
		then.Canopy = min(now.Canopy, max(2*usualDropError, leastCanopy))
	case ScaleCheck:
		then.Lift = min(now.Lift, math.Hypot(lullShare, usualScaleError))
	}
	return then, then != now
}

// Soak is the loss of heat of a box as a freezer soak measured it: by its time
// constant, or by the power that held it warm.
type Soak struct {
	Test         string
	TimeConstant float64 // s; zero where the power is known
	Conductance  float64 // W/K of the whole box; zero where the time constant is known
	Mean         float64 // K, of the wall meanwhile
	Error        float64 // one standard deviation, a share
}

// SoakOf answers the freezer soak of a box of the file, if the last one passed.
// A test that names no part belongs to the only box.
func SoakOf(f *record.Flight, box *record.Part) (*Soak, bool) {
	boxes := 0
	for i := range f.Train {
		if f.Train[i].Kind == record.Box {
			boxes++
		}
	}
	last := LatestTest(f, func(t *record.Test) bool {
		return Is(t, FreezerSoak) && (t.Part == box.Name && box.Name != "" || t.Part == "" && boxes == 1)
	})
	if last == nil || last.Result != "pass" {
		return nil, false
	}
	return soakOf(last)
}

// soakOf reads a soak: with power and two temperatures the steady loss, else the
// time constant, time / ln((start - outside) / (end - outside)).
func soakOf(t *record.Test) (*Soak, bool) {
	s := &Soak{Test: t.What, Error: errorOf(t, usualSoakError)}
	if !t.Outside.Given || !t.Temperature.Given || t.Temperature.Value <= t.Outside.Value {
		return nil, false
	}
	above := t.Temperature.Value - t.Outside.Value
	s.Mean = t.Outside.Value + above/2
	if t.Power.Given && t.Power.Value > 0 && !t.Start.Given {
		s.Conductance = t.Power.Value / above
		return s, true
	}
	if !t.Start.Given || !t.Time.Given || t.Time.Value <= 0 || t.Start.Value <= t.Temperature.Value {
		return nil, false
	}
	s.TimeConstant = t.Time.Value / math.Log((t.Start.Value-t.Outside.Value)/above)
	s.Mean = t.Outside.Value + (t.Start.Value-t.Outside.Value+above)/4
	return s, true
}
