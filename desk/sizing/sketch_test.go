package sizing

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"pappus/craft/liftgas"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/record"
)

func goal(box float64) *Goal {
	return &Goal{
		Box: box, Gas: liftgas.Gas{Kind: liftgas.Helium, Purity: 0.98}, Rules: "US", Currency: "USD",
		Point: geo.Point{LatDeg: 40, LonDeg: -99}, Elevation: 610, Time: time.Date(2027, 4, 17, 13, 0, 0, 0, time.UTC),
	}
}

func sketched(t *testing.T, g *Goal) *Sketch {
	t.Helper()
	a, err := g.Work(context.Background(), unit.Metric)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func bottle(feet float64) []record.Cylinder {
	return []record.Cylinder{{Content: record.Given(feet * unit.CubicFoot), Count: 1}}
}

// What is ranked, written as a file and flown by plan must meet its goal to 1 %.
func TestRankedFlightsMeetTheirGoalWhenPlanned(t *testing.T) {
	for name, g := range map[string]*Goal{
		"height":         {Above: record.Given(30000)},
		"time":           {Aloft: record.Given(2.75 * unit.Hour)},
		"gas":            {Above: record.Given(27000), Cylinders: bottle(110)},
		"gentle landing": {Above: record.Given(28000), Landing: record.Given(3.5)},
		"all of them":    {Above: record.Given(29500), Aloft: record.Given(2.4 * unit.Hour), Landing: record.Given(6), Cylinders: bottle(150)},
		"nothing but":    {},
	} {
		full := goal(1.1)
		full.Above, full.Aloft, full.Landing, full.Cylinders = g.Above, g.Aloft, g.Landing, g.Cylinders
		a := sketched(t, full)
		if !a.Possible || len(a.Options) == 0 {
			t.Errorf("%s: %s", name, a.Text)
			continue
		}
		for _, o := range a.Options {
			plan := planned(t, o.File(), Options{})
			const one = 0.01
			if g.Above.Given && plan.Burst.Nominal < g.Above.Value*(1-one) {
				t.Errorf("%s, rank %d: bursts at %.0f m, %.0f wished", name, o.Rank, plan.Burst.Nominal, g.Above.Value)
			}
			if aloft := plan.Ascent.Duration + plan.Descent.Duration; g.Aloft.Given && aloft < g.Aloft.Value*(1-one) {
				t.Errorf("%s, rank %d: aloft for %.0f s, %.0f wished", name, o.Rank, aloft, g.Aloft.Value)
			}
			if plan.Descent.Landing > full.landing()*(1+one) {
				t.Errorf("%s, rank %d: lands at %.2f m/s, %.2f wished", name, o.Rank, plan.Descent.Landing, full.landing())
			}
			if n := len(plan.Gas.Cylinders); n > 0 && plan.Gas.Cylinders[n-1].Used > 1+one {
				t.Errorf("%s, rank %d: takes %.3f of the gas", name, o.Rank, plan.Gas.Cylinders[n-1].Used)
			}
			if math.Abs(plan.Burst.Nominal-o.Flight.BurstAlt) > 1 || math.Abs(plan.Ascent.MeanRate-o.Flight.MeanRate) > 1e-3 {
				t.Errorf("%s, rank %d: the sketch says %+v, plan flies %.0f m at %.3f m/s", name, o.Rank, o.Flight, plan.Burst.Nominal, plan.Ascent.MeanRate)
			}
			if plan.Ascent.MeanRate < soundRise*(1-one) || plan.Ascent.MeanRate > usualRise*(1+one) {
				t.Errorf("%s, rank %d: rises at %.2f m/s", name, o.Rank, plan.Ascent.MeanRate)
			}
		}
	}
}

// The bind that is named is the one that more of the thing would loosen.
func TestTheLimitThatBindsIsNamed(t *testing.T) {
	g := goal(1.1)
	g.Above = record.Given(30200)
	g.Cylinders = bottle(400)
	bound := false
	for _, o := range sketched(t, g).Options {
		bound = bound || o.Binds == string(bindsHeight)
		if o.Binds == string(bindsHeight) && math.Abs(o.Flight.BurstAlt/30200-1) > 0.01 {
			t.Errorf("the height binds, and it bursts at %.0f m", o.Flight.BurstAlt)
		}
	}
	if !bound {
		t.Error("no envelope is held back by the height")
	}
	g = goal(1.1)
	g.Cylinders = bottle(112)
	for _, o := range sketched(t, g).Options {
		if o.Binds == string(bindsGas) && math.Abs(*o.GasUsed-1) > 0.01 {
			t.Errorf("the gas binds, and %.3f of it is used", *o.GasUsed)
		}
	}
}

// A bottle sold as 150 ft³ that shows 1900 psi at 5 °C, a box of 7.5 lb and a
// wish for 100,000 ft with a landing under 6 m/s.
func hardCase() *Goal {
	g := goal(7.5 * unit.Pound)
	g.Above = record.Given(100000 * unit.Foot)
	g.Landing = record.Given(6)
	g.Cylinders = []record.Cylinder{{
		WaterVolume: record.Given(liftgas.WaterVolumeFor(liftgas.Helium, 150*unit.CubicFoot, 2400*unit.PSI)),
		Pressure:    record.Given(1900 * unit.PSI), Temperature: record.Given(unit.FromCelsius(5)), Count: 1,
	}}
	return g
}

func TestImpossibleGoalSaysByHowMuchAndWhatIsLeft(t *testing.T) {
	g := hardCase()
	a := sketched(t, g)
	if a.Possible || !strings.HasPrefix(a.Text, "No: ") || len(a.Shortfalls) == 0 || len(a.Helps) == 0 || a.Left == nil {
		t.Fatalf("%+v", a)
	}
	// By the ideal gas 1900 psi at 278 K are 0.838 of the content at 2400 psi and
	// 294 K; real helium, less squeezed, holds 1 % more of it: 126 to 128 ft³.
	have := liftgas.StandardCubicFeet(liftgas.Helium, g.atHand())
	if have < 125 || have > 129 {
		t.Errorf("%.1f ft³ at hand, want about 127", have)
	}
	if s := a.Shortfalls[0]; s.Wish != "gas" || math.Abs(s.Best-s.Wanted-s.Short) > 1e-9 || math.Abs(s.Wanted-have) > 1e-6 || s.Short <= 0 {
		t.Errorf("by how much: %+v", s)
	}
	for _, word := range []string{"short", "The single change: ", "no flight is left", "would fly"} {
		if !strings.Contains(a.Text, word) {
			t.Errorf("%q does not say %q", a.Text, word)
		}
	}
	// Archimedes alone: 127 ft³ are 148.8 mol and lift 3.64 kg gross, and the box
	// weighs 3.40 kg: no envelope and canopy fit between.
	if lifts := g.atHand() * (liftgas.MolarMassAir - g.Gas.MolarMass()); lifts > 3.7 || lifts < 3.5 {
		t.Errorf("the gas lifts %.3f kg, want about 3.64", lifts)
	}
}

// Each help, taken alone, must make the goal possible; half of it must not.
func TestHelpsHelpAndAreNoLargerThanNeeded(t *testing.T) {
	a := sketched(t, hardCase())
	for _, h := range a.Helps {
		for _, c := range []struct {
			share float64
			want  bool
		}{{1.002, true}, {0.9, false}} {
			g := hardCase()
			switch h.ID {
			case "more_gas":
				g.Cylinders = append(g.Cylinders, bottle(h.Step*c.share*liftgas.StandardCubicFeet(liftgas.Helium, g.atHand()))...)
			case "lighter_box":
				g.Box *= 1 - h.Step*c.share
			default:
				continue
			}
			if got := first(g.search()) != nil; got != c.want {
				t.Errorf("%s, %g of it: possible is %v", h.ID, c.share, got)
			}
		}
	}
	if left := a.Left; left.Flight != nil {
		g := hardCase()
		g.Above, g.Box = record.Quantity{}, left.Box
		if first(g.search()) == nil {
			t.Errorf("a box of %.2f kg was said to fly", left.Box)
		}
	}
}

// Too high for any envelope, whatever the gas: the height is named, and what is
// offered instead is reached.
func TestTooHighForAnyEnvelope(t *testing.T) {
	g := goal(1.1)
	g.Above = record.Given(45000)
	a := sketched(t, g)
	if a.Possible || len(a.Shortfalls) == 0 || a.Shortfalls[0].Wish != "height" || a.Left.Flight == nil {
		t.Fatalf("%+v", a)
	}
	if s := a.Shortfalls[0]; math.Abs(s.Wanted-s.Best-s.Short) > 1e-6 || s.Best < 35000 || s.Best > 42000 {
		t.Errorf("%+v", s)
	}
	g.Above = record.Given(a.Shortfalls[0].Best - 100)
	if !sketched(t, g).Possible {
		t.Errorf("%.0f m were said to be reached", g.Above.Value)
	}
}

func TestMoneyBindsOnlyByThePersonsOwnPrices(t *testing.T) {
	g := goal(1.1)
	g.Above, g.Money = record.Given(28000), record.Given(100)
	a := sketched(t, g)
	if !a.Possible || !strings.Contains(strings.Join(a.Notes, " "), "money cannot bind") {
		t.Errorf("without prices: possible %v, %v", a.Possible, a.Notes)
	}
	g.Prices = Prices{Envelopes: []EnvelopePrice{{1.0, 90}, {1.2, 115}, {1.5, 160}}, Gas: record.Given(0), Canopy: record.Given(30), Rest: record.Given(0)}
	for _, mass := range usualEnvelopes() { // a price for each: none is free
		if _, known := g.Prices.envelope(mass); !known {
			g.Prices.Envelopes = append(g.Prices.Envelopes, EnvelopePrice{mass, 500})
		}
	}
	if a = sketched(t, g); a.Possible || a.Shortfalls[0].Wish != "money" || math.Abs(a.Shortfalls[0].Short-20) > 1e-9 {
		t.Errorf("90 and 30 for 100: %+v", a.Shortfalls)
	}
	g.Money = record.Given(150)
	if a = sketched(t, g); !a.Possible || a.Options[0].Envelope != 1.0 || a.Options[0].Cost.Known != 120 {
		t.Errorf("the cheapest goes first: %+v", a.Options)
	}
}

func TestGoalsOutOfRangeAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Goal){
		"box":     func(g *Goal) { g.Box = 0 },
		"above":   func(g *Goal) { g.Above = record.Given(100) },
		"aloft":   func(g *Goal) { g.Aloft = record.Given(13 * unit.Hour) },
		"landing": func(g *Goal) { g.Landing = record.Given(0.2) },
		"purity":  func(g *Goal) { g.Gas.Purity = 1.2 },
		"money":   func(g *Goal) { g.Money = record.Given(-1) },
	} {
		g := goal(1)
		spoil(g)
		if _, err := g.Work(context.Background(), unit.Metric); err == nil || !strings.HasPrefix(err.Error(), name+": expected") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
