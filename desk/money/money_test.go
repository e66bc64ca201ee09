package money

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pappus/record"
)

const flight = `format = 1
currency = "USD"
[launch]
latitude = 40.1
longitude = -99.2
elevation = "610 m"
time = 2027-06-17T10:00:00-05:00
[envelope]
mass = "1200 g"
price = 120
[gas]
kind = "helium"
fill = { free_lift = "1100 g" }
[[cylinder]]
content = "150 ft3"
count = 2
price = 170
deposit = 100
[[train]]
part = "parachute"
diameter = "1.5 m"
mass = "180 g"
price = 35
[[train]]
part = "box"
name = "box"
mass = "300 g"
[[train.item]]
name = "camera"
kind = "camera"
mass = "120 g"
count = 2
price = 90
[[train.item]]
name = "messenger"
kind = "reporter"
mass = "110 g"
[[reporter]]
name = "messenger"
kind = "satellite"
price = 150
[[reporter]]
name = "beacon"
kind = "radio"
price = 60
`

func of(t *testing.T, c Chances, more string) *Answer {
	t.Helper()
	f, err := record.Parse("money", []byte(flight+more))
	if err != nil {
		t.Fatal(err)
	}
	return Of(f, c)
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9 {
		t.Errorf("%s: %.6f, want %.6f", what, got, want)
	}
}

// Sums by hand: envelope 120, two cylinders 340; parachute 35, cameras 180, messenger
// 150, beacon 60: 425 fly. A spare envelope 120, travel 80. Deposits 200, of which 90 %
// come back: 20 are lost.
func TestSums(t *testing.T) {
	a := of(t, Chances{}, "[[spare]]\nname = \"envelope\"\nprice = 120\n[cost]\ntravel = 80\nreturned = \"90 %\"\n[limits]\nbudget = 1000\n")
	near(t, "total", a.Total, 120+340+425+120+80+20)
	near(t, "to lay out", a.Out, 120+340+425+120+80+200)
	near(t, "lost", a.Stake.Lost, 425)
	near(t, "gone", a.Stake.Gone, 120+340+80+20)
	near(t, "left", *a.Left, 1000-1105)
	near(t, "expected", a.Stake.Expected, 425*(1-a.Back.Chance))
	// The box and the fees have no price: said, never guessed.
	if !slices.Equal(a.Missing, []string{"box box", "subscriptions, licences, insurance"}) {
		t.Errorf("%q", a.Missing)
	}
}

// A device with two prices is counted once, and said so.
func TestDeviceIsCountedOnce(t *testing.T) {
	text := strings.Replace(flight, "mass = \"110 g\"", "mass = \"110 g\"\nprice = 140", 1)
	f, err := record.Parse("money", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	a := Of(f, Chances{})
	near(t, "lost", a.Stake.Lost, 35+180+140+60)
	if !slices.ContainsFunc(a.Notes, func(n string) bool { return strings.Contains(n, "messenger has a price as an item and as a reporter") }) {
		t.Errorf("%q", a.Notes)
	}
}

// The chance by hand: water 10 % of which 20 % come back, out of reach 5 %, silent
// 20 %, found 95 %, label 10 %: 0.92 x 0.95 x (0.8 x 0.95 + 0.2 x 0.1) = 0.68172.
func TestChanceOfGettingItBack(t *testing.T) {
	g := record.Given
	a := of(t, Chances{Water: g(0.1), WaterFound: g(0.2), OutOfReach: g(0.05), Silent: g(0.2), Found: g(0.95), Label: g(0.1)}, "")
	near(t, "chance", a.Back.Chance, 0.68172)
	if !a.Back.Estimate || len(a.Back.Factors) != 6 {
		t.Errorf("%+v", a.Back)
	}
	for i, h := range a.Back.Helps {
		if h.Gain < 0 || i > 0 && h.Gain > a.Back.Helps[i-1].Gain {
			t.Errorf("%+v", a.Back.Helps)
		}
	}
	// At the best of "silent": 0.92 x 0.95 x 0.95 less the chance.
	near(t, "silent's change", a.Back.Factors[3].Change, 0.92*0.95*0.95-0.68172)
}

// Flags go before the odds for water, odds before the file, the file before judgement.
func TestWhoseFactor(t *testing.T) {
	own := "[recovery]\nwater = \"9 %\"\nlabel = \"50 %\"\n"
	from := func(a *Answer, id string) (float64, string) {
		x := a.Back.Factors[slices.IndexFunc(a.Back.Factors, func(f Factor) bool { return f.ID == id })]
		return x.Value, x.From
	}
	for _, c := range []struct {
		chances Chances
		more    string
		id      string
		value   float64
		from    string
	}{
		{Chances{}, "", "water", 0.03, "judgement"}, {Chances{}, own, "water", 0.09, "file"},
		{Chances{OddsWater: record.Given(0.2)}, own, "water", 0.2, "odds"}, {Chances{OddsWater: record.Given(0.2), Water: record.Given(0)}, own, "water", 0, "asked"},
		{Chances{}, own, "label", 0.5, "file"}, {Chances{Label: record.Given(1)}, own, "label", 1, "asked"},
		// Satellite 10 % and radio 40 % alone, 3 % together: 0.03 + 0.97 x 0.04.
		{Chances{}, own, "silent", 0.0688, "judgement"},
	} {
		value, name := from(of(t, c.chances, c.more), c.id)
		near(t, c.id, value, c.value)
		if name != c.from {
			t.Errorf("%s is from %s, want %s", c.id, name, c.from)
		}
	}
	f, err := record.Parse("money", []byte(flight[:strings.Index(flight, "[[reporter]]")]))
	if err != nil {
		t.Fatal(err)
	}
	if value, _ := from(Of(f, Chances{}), "silent"); value != 1 {
		t.Errorf("without reporters %.2f", value)
	}
}
