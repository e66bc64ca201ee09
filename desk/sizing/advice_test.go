package sizing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pappus/craft/envelope"
	"pappus/measure/unit"
)

func sensitivity(t *testing.T, a *Answer, id string) Sensitivity {
	t.Helper()
	for _, c := range a.Changes {
		if c.ID == id && c.Flies {
			return c
		}
	}
	t.Fatalf("no change %s among %+v", id, a.Changes)
	return Sensitivity{}
}

// Published: 100 g of lift take 3.4 ft³ of helium, a figure of two digits for
// pure gas (worked out from the buoyancy of helium for NAVEDTRA 14270's rule on rain).
func TestHundredGramsTakeThreeAndAHalfCubicFeet(t *testing.T) {
	a := planned(t, parsed(t, `"98 %"`, `"100 %"`), Options{})
	if got := sensitivity(t, a, "box_100_g_heavier_refilled").Cubic; math.Abs(got-3.4) > 0.05 {
		t.Errorf("%.3f ft³ for 100 g, want 3.4", got)
	}
	same := sensitivity(t, a, "box_100_g_heavier")
	if same.Cubic != 0 || math.Abs(same.Free+0.1) > 1e-9 {
		t.Errorf("the same gas under 100 g more: gas %+g ft³, free lift %+g kg; want 0 and -0.1", same.Cubic, same.Free)
	}
}

// 5 % of burst diameter are three times that of volume, and the density's scale
// height is 6.50 km at 30 km (US Standard Atmosphere 1976): 0.98 km up; down it
// is -3 ln(0.95) × 6.5 = 1.00 km. At 31 km it is 2 % more.
func TestBurstSizeMovesTheBurst(t *testing.T) {
	change := sensitivity(t, planned(t, parsed(t), Options{}), "burst_5_percent_smaller")
	if math.Abs(change.BurstAlt+1000) > 40 {
		t.Errorf("burst %+.0f m, want -1000", change.BurstAlt)
	}
}

// Signs that follow from the forces alone.
func TestChangesPointTheRightWay(t *testing.T) {
	a := planned(t, parsed(t), Options{})
	heavier := sensitivity(t, a, "box_100_g_heavier")
	less := sensitivity(t, a, "gas_5_percent_less")
	impure := sensitivity(t, a, "purity_1_percent_less")
	if heavier.MeanRate >= 0 || heavier.Landing <= 0 || heavier.Aloft <= 0 {
		t.Errorf("100 g more: %+v", *heavier.Outlook)
	}
	if less.MeanRate >= 0 || less.BurstAlt <= 0 || less.Aloft <= 0 {
		t.Errorf("less gas: %+v", *less.Outlook)
	}
	// 1 % of the gas as air costs 1 % of 28.96 - 4.00 g a mole: 1.02 % of the gross lift at 98 %.
	if want := -0.0102 * a.Lift.Gross; math.Abs(impure.Neck/want-1) > 0.01 {
		t.Errorf("1 %% less purity: lift %+g kg, want %+g", impure.Neck, want)
	}
}

func TestPartsThatSuitAndPartsThatDoNot(t *testing.T) {
	if s := planned(t, parsed(t), Options{}).Suits; !s.OK || len(s.Troubles) != 0 || s.Best == nil {
		t.Errorf("the usual flight: %+v", s)
	}
	for _, c := range []struct {
		trouble, best string
		replace       []string
	}{
		{"landing_speed", "canopy", []string{`diameter = "1.5 m"`, `diameter = "0.9 m"`}},
		{"slow_rise", "fill", []string{usualFill, `{ free_lift = "250 g" }`}},
		{"fast_rise", "fill", []string{usualFill, `{ free_lift = "6 kg" }`}},
		{"gas", "less_gas", []string{`"291 ft3"`, `"130 ft3"`}}, // a little less free lift is the least effort
	} {
		s := planned(t, parsed(t, c.replace...), Options{}).Suits
		if s.OK || len(s.Troubles) == 0 || s.Troubles[0].ID != c.trouble {
			t.Errorf("%s: %+v", c.trouble, s.Troubles)
			continue
		}
		if s.Best == nil || len(s.Best.Troubles) != 0 {
			t.Errorf("%s: best %+v leaves trouble", c.trouble, s.Best)
		} else if s.Best.ID != c.best {
			t.Errorf("%s: best is %s, want %s", c.trouble, s.Best.ID, c.best)
		}
	}
}

func TestShortGasIsAbsentWhenThereIsEnough(t *testing.T) {
	if s := planned(t, parsed(t), Options{}).Short; s != nil {
		t.Errorf("short of gas with 291 ft³ for 134: %+v", s)
	}
	if s := planned(t, parsed(t, "[[cylinder]]\ncontent = \"291 ft3\"\n", ""), Options{}).Short; s != nil {
		t.Errorf("short of gas with no cylinder in the file: %+v", s)
	}
}

// Every rescue is flown as a flight file of its own: its gas must be at hand
// and its rise sound.
func TestRescuesFlyOnTheGasAtHand(t *testing.T) {
	a := planned(t, parsed(t, `"291 ft3"`, `"125 ft3"`), Options{})
	if a.Short == nil || a.Short.Left == nil || !a.Short.Sounds {
		t.Fatalf("125 ft³ for 134: %+v", a.Short)
	}
	if got := a.Short.Short; math.Abs(got-(a.Gas.Cubic-125)) > 1e-6 {
		t.Errorf("short by %g ft³", got)
	}
	ids := ""
	for _, r := range a.Short.Saves {
		ids += r.ID + " "
		var replace []string
		switch r.ID {
		case "less_free_lift":
			replace = []string{usualFill, fmt.Sprintf("{ free_lift = \"%.6f kg\" }", r.Flight.Free)}
		case "lighter_train":
			off, err := unit.Parse(between(t, r.Text, "Take ", " out of"), unit.Mass)
			if err != nil {
				t.Fatal(err)
			}
			replace = []string{`"1350 g"`, fmt.Sprintf("\"%.4f kg\"", 1.35-off)}
		case "smaller_envelope":
			mass := between(t, r.Text, "an envelope of ", " (typical")
			grams, err := unit.Parse(mass, unit.Mass)
			if err != nil {
				t.Fatal(err)
			}
			make := 8.3 / envelope.TypicalBurstDiameter(1.2)
			replace = []string{`"1200 g"`, fmt.Sprintf("%q", mass), `"8.3 m"`, fmt.Sprintf("\"%.6f m\"", make*envelope.TypicalBurstDiameter(grams)),
				usualFill, fmt.Sprintf("{ free_lift = \"%.6f kg\" }", r.Flight.Free)}
		case "second_cylinder":
			continue // the flight as planned
		}
		again := planned(t, parsed(t, append(replace, `"291 ft3"`, `"125 ft3"`)...), Options{})
		// A gram of rounding is 0.03 ft³.
		if again.Gas.Cubic > 125.05 || again.Ascent.MeanRate < soundRise || math.Abs(again.Burst.Nominal/r.Flight.BurstAlt-1) > 1e-3 {
			t.Errorf("%s: %.2f ft³, %.2f m/s, burst %.0f m where %.0f was said", r.ID, again.Gas.Cubic, again.Ascent.MeanRate, again.Burst.Nominal, r.Flight.BurstAlt)
		}
	}
	if ids != "less_free_lift lighter_train smaller_envelope second_cylinder " {
		t.Errorf("rescues %s, want all four, least effort first", ids)
	}
}

// For a wished height the box need only be light enough to rise soundly: a
// gram less taken out must not do.
func TestLighterBoxKeepsAWishedHeight(t *testing.T) {
	height := []string{usualFill, `{ burst_altitude = "30 km" }`, `"1350 g"`, `"2200 g"`}
	a := planned(t, parsed(t, append(height, `"291 ft3"`, `"143 ft3"`)...), Options{})
	for _, r := range a.Short.Saves {
		if r.ID != "lighter_train" {
			continue
		}
		off, err := unit.Parse(between(t, r.Text, "Take ", " out of"), unit.Mass)
		if err != nil {
			t.Fatal(err)
		}
		if r.Flight.BurstAlt < 30000 || r.Flight.MeanRate < soundRise {
			t.Errorf("%+v", r)
		}
		for grams, sound := range map[float64]bool{0: true, -0.003: false} {
			again := planned(t, parsed(t, usualFill, fmt.Sprintf("{ free_lift = \"%.6f kg\" }", r.Flight.Free+grams),
				`"1350 g"`, fmt.Sprintf("\"%.6f kg\"", 2.2-off-grams)), Options{})
			if got := again.Ascent.MeanRate >= soundRise-1e-6; got != sound {
				t.Errorf("%g kg more off: rises at %.5f m/s", grams, again.Ascent.MeanRate)
			}
		}
		return
	}
	t.Errorf("no lighter box among %+v", a.Short.Saves)
}

func TestNoFlightIsLeftIsSaid(t *testing.T) {
	s := planned(t, parsed(t, `"291 ft3"`, `"40 ft3"`), Options{}).Short
	if s == nil || s.Left != nil || !strings.Contains(s.Text, "no flight is left") {
		t.Errorf("40 ft³ lift 1.2 kg of 2.7: %+v", s)
	}
}

func TestBottlesToBuyHoldTheFillWithItsReserve(t *testing.T) {
	a := planned(t, parsed(t, "[[cylinder]]\ncontent = \"291 ft3\"\n", ""), Options{System: unit.US})
	g := a.GasToBuy
	// 134.2 ft³ and a tenth are 147.6: the next usual size is 150 ft³, and two of 80.
	if math.Abs(g.Want-147.6) > 0.3 || len(g.Bottles) < 2 || g.Bottles[0].Content != 150 || g.Bottles[1].Content != 80 || g.Bottles[1].Count != 2 {
		t.Errorf("%+v", g)
	}
	for _, b := range g.Bottles {
		if float64(b.Count)*b.Content < g.Missing || b.Spare < 0 {
			t.Errorf("%d × %g ft³ do not hold %g", b.Count, b.Content, g.Missing)
		}
	}
	if enough := planned(t, parsed(t), Options{}).GasToBuy; enough.Missing != 0 || len(enough.Bottles) != 0 {
		t.Errorf("291 ft³ at hand, and %g more are to be bought", enough.Missing)
	}
	// Hydrogen lifts (28.964 - 2.016)/(28.964 - 4.003) = 1.0796 times as much by
	// volume: 8 % for pure gas, and the same ratio but for 0.02 parts of air.
	if gain := g.Hydrogen.Gain / a.Lift.Gross; math.Abs(gain-0.0796) > 0.002 {
		t.Errorf("hydrogen lifts %.4f more, want 0.0796", gain)
	}
	for i, grade := range g.Grades {
		if i > 0 && (grade.Cubic <= g.Grades[i-1].Cubic || grade.Lost >= g.Grades[i-1].Lost) {
			t.Errorf("a lower grade costs nothing: %+v", grade)
		}
	}
}

// With many members the answer must not depend on the advice being asked for.
func TestAdviceKeepsTheFlight(t *testing.T) {
	a := planned(t, parsed(t), Options{Members: 50, Seed: 1, Workers: 2})
	b := planned(t, parsed(t), Options{})
	if a.Burst.Nominal != b.Burst.Nominal || a.Burst.Alt == nil || b.Burst.Alt != nil {
		t.Errorf("burst %g and %g", a.Burst.Nominal, b.Burst.Nominal)
	}
}

func BenchmarkNominalPlan(b *testing.B) {
	f := parsed(b, usualFill, `{ burst_altitude = "31 km" }`)
	for b.Loop() {
		planned(b, f, Options{})
	}
}
