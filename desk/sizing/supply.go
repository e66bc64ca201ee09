package sizing

import (
	"fmt"
	"math"

	"pappus/craft/liftgas"
	"pappus/measure/unit"
)

// GasToBuy is what to get from a supplier for this fill, and what to ask.
type GasToBuy struct {
	Need     float64        `json:"need_ft3"` // for the fill
	Reserve  float64        `json:"reserve_share"`
	Want     float64        `json:"with_reserve_ft3"`
	AtHand   float64        `json:"at_hand_ft3"`
	Missing  float64        `json:"missing_ft3"` // zero: what is at hand does, with its reserve
	Bottles  []Bottles      `json:"bottles"`     // the smallest of the usual sizes that do it
	Grades   []Grade        `json:"grades"`
	Fitting  string         `json:"fitting"`
	Return   string         `json:"return"`
	Say      string         `json:"say"` // to read out to a supplier
	Ask      []string       `json:"ask"`
	Hydrogen HydrogenChoice `json:"hydrogen"`
}

// Bottles is a number of bottles of one usual size.
type Bottles struct {
	Count   int     `json:"count"`
	Size    string  `json:"size"`
	Content float64 `json:"content_ft3"` // of one
	Spare   float64 `json:"spare_share"` // beyond the need with its reserve
	Text    string  `json:"text"`
}

// Grade is a purity and what it costs in lift.
type Grade struct {
	Name   string  `json:"name"`
	Purity float64 `json:"purity"`
	Cubic  float64 `json:"standard_ft3"`   // for the same lift
	Lost   float64 `json:"lift_change_kg"` // with the same gas instead
	Text   string  `json:"text"`
}

// HydrogenChoice is what the other gas would change, and what it asks.
type HydrogenChoice struct {
	Cubic  float64  `json:"standard_ft3"` // of hydrogen for the same gross lift
	Gain   float64  `json:"lift_gain_kg"` // with as many cubic feet of hydrogen as of helium
	Text   string   `json:"text"`
	Duties []string `json:"duties"`
}

// gasReserve is kept back from what a bottle is said to hold: the last 5 to 10
// bar do not flow (common practice, no source), a weighed lift is good to 5 %,
// and some blows off at the neck; judgement.
const gasReserve = 0.10

// usualBottle is a size that suppliers keep.
type usualBottle struct {
	size    string
	content float64 // m³ at 70 F and 1 atm
}

// usualBottles lists sizes from small to large; common practice, no source:
// suppliers differ, and name a size by what it holds of another gas.
func usualBottles(kind liftgas.Kind, system unit.System) []usualBottle {
	var list []usualBottle
	if system == unit.US {
		for _, feet := range []float64{40, 60, 80, 110, 150, 200, 220, 250, 300} {
			list = append(list, usualBottle{fmt.Sprintf("%.0f cubic foot", feet), feet * unit.CubicFoot})
		}
		return list
	}
	for _, water := range []float64{10, 20, 30, 40, 50} {
		content := liftgas.Cylinder{WaterVolume: water * unit.Litre, Gauge: 200 * unit.Bar, Temperature: unit.FromCelsius(15)}.StandardContent(kind)
		list = append(list, usualBottle{fmt.Sprintf("%.0f L at 200 bar", water), content})
	}
	return list
}

// gasToBuy answers what the fill asks of a supplier.
func (p *Parts) gasToBuy(s *Setting, o Options) *GasToBuy {
	need, have := cubicFeetOf(p, p.Craft.GasMoles), cubicFeetOf(p, p.atHand())
	want := need * (1 + gasReserve)
	g := &GasToBuy{Need: need, Reserve: gasReserve, Want: want, AtHand: have, Missing: max(want-have, 0), Bottles: []Bottles{}}
	if g.Missing > 0 {
		g.Bottles = smallestBottles(p.Craft.Gas.Kind, g.Missing, o.System)
	}
	g.Grades = p.grades(s)
	g.Hydrogen = p.hydrogen(s, o)
	g.Fitting = fitting(p.Craft.Gas.Kind)
	g.Return = "Ask for the rent, the deposit and the day it must be back. Close the valve while the gauge still shows a little, so that no damp air gets in; cap on; say that it is empty."
	purity := p.Craft.Gas.Purity
	g.Say = fmt.Sprintf("I need %s of %s (counted at 70 F and one atmosphere), of at least %s purity, for a sounding balloon, in one or two bottles that two people can lift, with the bottle cap, and I need to know which outlet the valve has.",
		cubicFeet(g.Missing, o.System), p.Craft.Gas.Kind, unit.FormatShare(purity))
	if g.Missing == 0 {
		g.Say = fmt.Sprintf("Nothing more is needed: %s are at hand, and the fill with its reserve takes %s.", cubicFeet(have, o.System), cubicFeet(want, o.System))
	}
	g.Ask = []string{
		"which pressure the gauge shows on delivery, at which temperature, and the bottle's water volume as stamped on its shoulder: that is what the content is worked out from",
		"which conditions the stated content means (70 F and 1 atm, 15 °C and 1 bar, or 0 °C and 1 atm: 7 % lie between the first and the last)",
		"the purity in per cent, in writing: balloon gas is often sold without one",
		"whether a private person may buy, and what papers that takes: some suppliers refuse",
		"how it may be carried in a car, and whether they deliver and fetch it",
	}
	return g
}

// smallestBottles answers the smallest usual size for one, two and three
// bottles; more bottles of a size that fewer would also do are left out.
func smallestBottles(kind liftgas.Kind, feet float64, system unit.System) []Bottles {
	sizes := usualBottles(kind, system)
	list := []Bottles{}
	row := func(count int, b usualBottle) {
		content := b.content / unit.CubicFoot
		spare := float64(count)*content/feet - 1
		list = append(list, Bottles{count, b.size, content, spare, fmt.Sprintf("%d × %s (%s in all, %s to spare beyond the reserve)",
			count, b.size, cubicFeet(float64(count)*content, system), unit.FormatShare(spare))})
	}
	for count := 1; count <= 3; count++ {
		for i, b := range sizes {
			if float64(count)*b.content < feet*unit.CubicFoot {
				continue
			}
			if n := len(list); i == len(sizes)-1 && n > 0 {
				break // fewer of the largest did it already
			}
			row(count, b)
			break
		}
	}
	if largest := sizes[len(sizes)-1]; len(list) == 0 {
		row(int(math.Ceil(feet*unit.CubicFoot/largest.content)), largest)
	}
	return list
}

// grades compares what purities cost, the rest counted as air. Gas numbers such
// as 4.6 count nines and the digit after them; how pure balloon gas is differs
// from supplier to supplier (common practice, no source).
func (p *Parts) grades(s *Setting) []Grade {
	air := s.launchAir()
	gross := p.lift(p.Craft.GasMoles, air).gross
	var list []Grade
	for _, g := range []struct {
		name   string
		purity float64
		text   string
	}{
		{"4.6", 0.99996, "for welding and laboratories; dearer than a balloon needs"},
		{"balloon gas, good", 0.98, "what a balloon needs"},
		{"balloon gas, unstated", 0.95, "a careful guess where the supplier states nothing"},
		{"balloon gas, thinned", 0.90, "sold for toy balloons: ask before you buy"},
	} {
		q := *p
		q.Craft.Gas.Purity = g.purity
		moles := q.molesForGross(gross, s)
		list = append(list, Grade{g.name, g.purity, cubicFeetOf(&q, moles), q.lift(p.Craft.GasMoles, air).gross - gross, g.text})
	}
	return list
}

// molesForGross is the gas for a gross lift.
func (p *Parts) molesForGross(gross float64, s *Setting) float64 {
	return p.molesForFree(gross-p.Craft.EnvelopeMass-p.Craft.TrainMass, s.launchAir())
}

func fitting(kind liftgas.Kind) string {
	if kind == liftgas.Hydrogen {
		return "The outlet for burning gases has a left-hand thread (in the United States CGA 350; elsewhere it differs by country; from memory). A helium regulator does not fit, and must not be made to."
	}
	return "In the United States the outlet is most often CGA 580; elsewhere it differs by country (from memory). Borrow or rent a regulator or filling valve for that very outlet, with a gauge on the bottle's side, and a soft hose that fits the neck."
}

// hydrogen compares the gases. The duties follow WMO-No. 8, chapter on balloon
// techniques (from memory), and common practice.
func (p *Parts) hydrogen(s *Setting, o Options) HydrogenChoice {
	air := s.launchAir()
	gross := p.lift(p.Craft.GasMoles, air).gross
	q := *p
	q.Craft.Gas.Kind = liftgas.Hydrogen
	same := liftgas.MolesAtStandard(liftgas.Hydrogen, liftgas.StandardVolume(p.Craft.Gas.Kind, p.Craft.GasMoles))
	h := HydrogenChoice{Cubic: cubicFeetOf(&q, q.molesForGross(gross, s)), Gain: q.lift(same, air).gross - gross, Duties: hydrogenDuties()}
	if p.Craft.Gas.Kind == liftgas.Hydrogen {
		h.Text = "This fill is of hydrogen: each of the duties below is part of it."
		return h
	}
	h.Text = fmt.Sprintf("Hydrogen would lift %s more with as much gas, about 8 %%, and is mostly easier to get. It burns and explodes: flammable from 4 to 75 %% in air, lit by 0.02 mJ (a spark that nobody feels), with a flame that is hardly seen. It is a choice for people trained for it, with every duty below and the local rules for burning gas; never for a school yard or a first flight.",
		unit.FormatMass(h.Gain, o.System))
	return h
}

func hydrogenDuties() []string {
	return []string{
		"ask the landowner, the insurer and the fire service, and keep the local rules for burning gas: storage, transport and public places have their own",
		"fill outdoors or under an open roof, never where gas can gather above you; nobody near who is not needed",
		"no smoking, flame, phone, radio, motor or tool that sparks within the distance that the supplier names",
		"bottle, regulator, hose, nozzle and people bonded together and earthed; antistatic clothing and shoes, no plastic sheet under the balloon",
		"eyes and ears covered, arms in cotton or leather; fill slowly, from as far off as the hose lets you",
		"a burning jet is not seen by day: shut the bottle, do not walk into it; water and a fire blanket at hand",
		"a balloon that is charged is never emptied by hand; no filling and no release with a thunderstorm about",
		"the envelope goes up with the gas in it and may burn when it bursts: no cell or heater close below the neck",
	}
}
