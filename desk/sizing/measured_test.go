package sizing

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/record"
)

// tested is the usual flight with test rows below it.
func tested(t *testing.T, rows ...string) *record.Flight {
	t.Helper()
	text := flightFile
	for _, row := range rows {
		text += "\n[[test]]\n" + row + "\n"
	}
	f, err := record.Parse("tested", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func partsOf(t *testing.T, f *record.Flight) *Parts {
	t.Helper()
	p, err := FromFile(f)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

const day = "date = \"2027-03-02\"\nresult = \"pass\"\n"

// Without a measuring test nothing moves: the same parts, doubts and answer to the
// last bit, whatever else is in the ledger.
func TestNoMeasuringTestChangesNothing(t *testing.T) {
	plain := partsOf(t, tested(t))
	if plain.Spread != ensemble.UsualSpread() || len(plain.Measured) != 0 {
		t.Fatalf("%+v", plain.Spread)
	}
	other := partsOf(t, tested(t, "what = \"clocks\"\n"+day, "what = \"dress rehearsal\"\n"+day, "what = \"drop\"\ndate = \"2027-03-02\"\nresult = \"fail\"\nmass = \"1.5 kg\"\nspeed = \"5 m/s\""))
	if other.Spread != plain.Spread || other.Craft != plain.Craft {
		t.Errorf("%+v", other)
	}
	var texts []string
	for _, f := range []*record.Flight{plain.File, other.File} {
		text, err := json.Marshal(planned(t, f, Options{Members: 100, Seed: 3}))
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(text))
	}
	if texts[0] != texts[1] {
		t.Error("tests that measure nothing change the plan")
	}
}

// A drop test of 1.6 kg at 4.8 m/s near 610 m (1.1549 kg/m3 in the standard): 2 x
// 1.6 x 9.80665 / (1.1549 x 23.04) = 1.1793 m2, good to twice the error of the speed.
func TestDropTestReachesTheOdds(t *testing.T) {
	row := "what = \"Drop Test\"\nmass = \"1.6 kg\"\nspeed = \"4.8 m/s\"\nerror = \"2 %\"\n" + day
	plain, p := partsOf(t, tested(t)), partsOf(t, tested(t, row))
	whole := p.Craft.CanopyArea + p.Craft.BodyArea
	if math.Abs(whole-1.1793) > 0.001 { // the density is printed to four digits
		t.Errorf("drag area %.4f m2", whole)
	}
	if p.Spread.Canopy != 0.04 {
		t.Errorf("spread %.4f", p.Spread.Canopy)
	}
	changed := p.Spread
	changed.Canopy = plain.Spread.Canopy
	if changed != plain.Spread {
		t.Error("another doubt moved, fouling among them")
	}
	if math.Abs(p.canopyDiameter()-plain.canopyDiameter()) > 1e-12 {
		t.Errorf("the canopy became %.3f m wide, was %.3f", p.canopyDiameter(), plain.canopyDiameter())
	}
	// The flight falls as the test did, but for its mass: v goes with its root.
	a := planned(t, p.File, Options{Members: 400, Seed: 1})
	if want := 4.8 * math.Sqrt(a.Descent.FallingMass/1.6); math.Abs(a.Descent.Landing/want-1) > 0.01 {
		t.Errorf("lands at %.3f m/s, want %.3f", a.Descent.Landing, want)
	}
	// And the landing speeds are closer together than those of a canopy of 10 %.
	b := planned(t, plain.File, Options{Members: 400, Seed: 1})
	narrow := (a.Descent.LandingBand.P90 - a.Descent.LandingBand.P10) / a.Descent.Landing
	broad := (b.Descent.LandingBand.P90 - b.Descent.LandingBand.P10) / b.Descent.Landing
	if !(narrow < 0.9*broad) {
		t.Errorf("the band is %.3f of the speed, was %.3f", narrow, broad)
	}
	if len(p.Measured) != 1 || !p.Measured[0].Used || p.Measured[0].Key != "train[2].drag" {
		t.Errorf("%+v", p.Measured)
	}
}

// The error of the test is the error of the odds, never under what one canopy
// scatters by, and a test rougher than what is typical is not used.
func TestErrorOfADropTest(t *testing.T) {
	for text, want := range map[string]float64{"": 0.05, "error = \"1 %\"\n": 0.03, "error = \"4.5 %\"\n": 0.09, "error = \"8 %\"\n": 0.10} {
		p := partsOf(t, tested(t, "what = \"drop\"\nmass = \"1.6 kg\"\nspeed = \"4.8 m/s\"\n"+text+day))
		if math.Abs(p.Spread.Canopy-want) > 1e-12 {
			t.Errorf("%q: %.4f, want %.4f", text, p.Spread.Canopy, want)
		}
		if used := want < 0.10; p.Measured[0].Used != used || used == strings.Contains(p.Measured[0].Text, "rough") {
			t.Errorf("%q: %+v", text, p.Measured[0])
		}
	}
	for _, row := range []string{"what = \"drop\"\n", "what = \"drop\"\nmass = \"1.6 kg\"\nspeed = \"4.8 km/h\"\n"} {
		if p := partsOf(t, tested(t, row+day)); p.Measured[0].Used || p.Spread.Canopy != 0.10 {
			t.Errorf("%q is used: %+v", row, p.Measured)
		}
	}
	// The last word counts: a later failure takes an earlier pass away.
	if p := partsOf(t, tested(t, "what = \"drop\"\nmass = \"1.6 kg\"\nspeed = \"4.8 m/s\"\n"+day, "what = \"drop\"\ndate = \"2027-03-05\"\nresult = \"fail\"")); len(p.Measured) != 0 {
		t.Errorf("%+v", p.Measured)
	}
}

func TestScaleCheckNarrowsTheLift(t *testing.T) {
	for text, want := range map[string]float64{"": math.Hypot(0.03, 0.01), "mass = \"2.04 kg\"\nreference = \"2 kg\"\n": math.Hypot(0.03, 0.02), "mass = \"2.2 kg\"\nreference = \"2 kg\"\n": 0.05} {
		p := partsOf(t, tested(t, "what = \"scale-check\"\n"+text+day))
		if math.Abs(p.Spread.Lift-want) > 1e-12 || p.Measured[0].Used != (want < 0.05) {
			t.Errorf("%q: %.4f, want %.4f", text, p.Spread.Lift, want)
		}
	}
	if _, would := AsIfTested(partsOf(t, tested(t)).Spread, ScaleCheck); !would {
		t.Error("a scale check would do nothing")
	}
	if _, would := AsIfTested(partsOf(t, tested(t)).Spread, "clocks"); would {
		t.Error("clocks move the odds")
	}
}

// A soak from 21 to -2 degrees in -19 for 40 min: 40 min / ln(40/17) = 46.7 min; and
// 3 W that hold 17 K over the freezer: 0.176 W/K.
func TestFreezerSoak(t *testing.T) {
	row := "what = \"freezer soak\"\npart = \"camera box\"\noutside = \"-19 degC\"\ntemperature = \"-2 degC\"\n" + day
	f := tested(t, row+"start = \"21 degC\"\ntime = \"40 min\"")
	box := &f.Train[len(f.Train)-1]
	soak, ok := SoakOf(f, box)
	if !ok || math.Abs(soak.TimeConstant/unit.Minute-46.75) > 0.01 || soak.Error != 0.08 {
		t.Errorf("%+v", soak)
	}
	f = tested(t, row+"power = \"3 W\"\nerror = \"5 %\"")
	soak, ok = SoakOf(f, &f.Train[len(f.Train)-1])
	if !ok || math.Abs(soak.Conductance-3.0/17) > 1e-9 || soak.Error != 0.05 {
		t.Errorf("%+v", soak)
	}
	for _, bad := range []string{strings.Replace(row, "-2 degC", "-25 degC", 1), row, strings.Replace(row, "camera box", "other", 1) + "power = \"3 W\"", strings.Replace(row, "pass", "fail", 1) + "power = \"3 W\""} {
		f := tested(t, bad)
		if soak, ok := SoakOf(f, &f.Train[len(f.Train)-1]); ok {
			t.Errorf("%q gives %+v", bad, soak)
		}
	}
}
