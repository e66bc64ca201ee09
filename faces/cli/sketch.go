package cli

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"pappus/craft/liftgas"
	"pappus/desk/sizing"
	"pappus/flight"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/record"
)

var sketchCommand = command{
	name:    "sketch",
	summary: "from a goal to flights that meet it: envelope, fill and canopy, ranked, with what each trades",
	text: "Every wish but the box may be left out. Prices are your own: none is built in. A price is a word with an amount: an envelope's mass (\"1200 g=130\"), cylinder (each one named), gas (\"gas=340/291 ft3\"), canopy, rest. " +
		"Where nothing does, the answer says by how much, which single change would help, and what flight is left.",
	options: []option{
		{"box", isValue, "MASS", "the box with everything in it, such as \"1.2 kg\" (needed)"},
		{"above", isValue, "HEIGHT", "burst at least so high above the sea, such as \"30 km\""},
		{"aloft", isValue, "TIME", "from release to landing at least so long, such as \"2 h\""},
		{"landing", isValue, "SPEED", "land at most so fast (default \"5 m/s\")"},
		{"money", isValue, "AMOUNT", "spend at most so much, by your own prices"},
		{"price", isWords, "NAME=AMOUNT…", "your prices; may be repeated"},
		{"gas", isValue, "helium|hydrogen", "which gas (default helium)"},
		{"purity", isValue, "SHARE", "of the gas (default \"98 %\")"},
		{"cylinder", isWords, "VOLUME…", "gas at hand as the trade states it (70 F, 1 atm), one word for each cylinder, such as \"291 ft3\""},
		{"bottle", isWords, "VOLUME…", "gas at hand by the water volume of each bottle, such as \"49 L\"; needs --gauge"},
		{"gauge", isValue, "PRESSURE", "what the gauge of every cylinder or bottle shows now, such as \"1900 psi\""},
		{"full", isValue, "PRESSURE", "with --cylinder and --gauge: the gauge of a full one (default \"2400 psi\", common practice; it is stamped on the bottle)"},
		{"gauge-temperature", isValue, "TEMPERATURE", "of the bottle when the gauge was read (default 70 degF)"},
		{"elevation", isValue, "HEIGHT", "of the launch above the sea (default 0 m)"},
		{"lat", isValue, "D", "latitude of the launch for the file (default 40)"},
		{"lon", isValue, "D", "longitude of the launch for the file (default -99)"},
		{"time", isValue, "T", "time of the launch for the file (default 2027-04-17T08:00:00-05:00)"},
		{"rules", isValue, "US|ICAO", "rule text for the file (default US)"},
		{"currency", isValue, "WORD", "of every price (default USD)"},
		{"write", isValue, "FILE", "write one flight as a flight file; a file that is there is never overwritten"},
		{"rank", isValue, "N", "which flight to write (default 1)"},
	},
	example: "pappus sketch --box \"1.2 kg\" --above \"30 km\" --cylinder \"291 ft3\" --landing \"5 m/s\" --write lark.toml",
	run:     runSketch,
}

func runSketch(ctx context.Context, d *Desk, a *arguments) error {
	if len(a.operands) > 0 {
		return usage("sketch takes flags alone: %s stands beside them", strings.Join(a.operands, " "))
	}
	goal, err := a.goal()
	if err != nil {
		return err
	}
	fallback := unit.Metric
	if goal.Rules == "US" {
		fallback = unit.US
	}
	system, err := a.system(fallback)
	if err != nil {
		return err
	}
	rank, err := a.whole("rank", 1, 1, 99)
	if err != nil {
		return err
	}
	answer, err := flight.Sketch(ctx, goal, system)
	if err != nil {
		return err
	}
	if path := a.last("write", ""); path != "" {
		if err := writeSketch(path, answer, rank); err != nil {
			return err
		}
		fmt.Fprintf(d.Err, "Wrote %s: pappus plan %s\n", path, path)
	}
	if a.has("json") {
		return d.printJSON(answer)
	}
	return d.print(sketchPage(answer, system))
}

// writeSketch writes one of the flights found.
func writeSketch(path string, answer *sizing.Sketch, rank int) error {
	switch n := len(answer.Options); {
	case n == 0:
		return fmt.Errorf("no flight meets the goal, so none is written: %s", answer.Text)
	case rank > n:
		return fmt.Errorf("--rank %d: there are %d flights", rank, n)
	}
	return writeNew(path, answer.Options[rank-1].File().Encode())
}

// goal reads the flags into a goal.
func (a *arguments) goal() (*sizing.Goal, error) {
	g := &sizing.Goal{Rules: a.last("rules", "US"), Currency: a.last("currency", "USD")}
	if g.Rules != "US" && g.Rules != "ICAO" {
		return nil, usage("--rules: %q is neither US nor ICAO", g.Rules)
	}
	var purity, elevation record.Quantity
	box := record.Quantity{}
	for _, f := range []struct {
		name string
		kind unit.Kind
		into *record.Quantity
	}{
		{"box", unit.Mass, &box}, {"above", unit.Length, &g.Above}, {"aloft", unit.Time, &g.Aloft}, {"landing", unit.Speed, &g.Landing},
		{"purity", unit.Share, &purity}, {"elevation", unit.Length, &elevation},
	} {
		if err := a.quantity(f.name, f.kind, f.into); err != nil {
			return nil, err
		}
	}
	if !box.Given {
		return nil, usage("name the box: --box MASS, with everything in it")
	}
	g.Box, g.Elevation = box.Value, geo.AltMSL(elevation.Value)
	if !purity.Given {
		purity.Value = 0.98
	}
	kind, err := liftgas.ByName(a.last("gas", "helium"))
	if err != nil {
		return nil, usage("--gas: %v", err)
	}
	g.Gas = liftgas.Gas{Kind: kind, Purity: purity.Value}
	if a.has("money") {
		money, err := a.number("money", 0)
		if err != nil {
			return nil, err
		}
		g.Money = record.Given(money)
	}
	if g.Cylinders, err = a.cylinders(kind); err != nil {
		return nil, err
	}
	if g.Prices, err = a.prices(g.Cylinders); err != nil {
		return nil, err
	}
	return g, a.launchOf(g)
}

// launchOf reads where and when the sketched flight starts.
func (a *arguments) launchOf(g *sizing.Goal) error {
	lat, err := a.number("lat", 40)
	if err != nil {
		return err
	}
	lon, err := a.number("lon", -99)
	if err != nil {
		return err
	}
	if g.Point, err = geo.NewPoint(lat, lon); err != nil {
		return usage("%v", err)
	}
	if g.Time, err = time.Parse(time.RFC3339, a.last("time", "2027-04-17T08:00:00-05:00")); err != nil {
		return usage("--time: expected an instant such as 2027-04-17T08:00:00-05:00")
	}
	return nil
}

// quantity reads a flag with a unit; an absent flag leaves the place as it is.
func (a *arguments) quantity(name string, kind unit.Kind, into *record.Quantity) error {
	if !a.has(name) {
		return nil
	}
	value, err := unit.Parse(a.last(name, ""), kind)
	if err != nil {
		return usage("--%s: %v", name, err)
	}
	*into = record.Given(value)
	return nil
}

// usualFullGauge is the gauge of a full steel bottle in the United States;
// common practice, no source: 2000 to 2640 psi are met.
const usualFullGauge = 2400 * unit.PSI

// cylinders reads the gas at hand.
func (a *arguments) cylinders(kind liftgas.Kind) ([]record.Cylinder, error) {
	gauge, temperature := record.Quantity{}, record.Quantity{}
	full := record.Quantity{Value: usualFullGauge}
	for name, into := range map[string]*record.Quantity{"gauge": &gauge, "full": &full} {
		if err := a.quantity(name, unit.Pressure, into); err != nil {
			return nil, err
		}
	}
	if err := a.quantity("gauge-temperature", unit.Temperature, &temperature); err != nil {
		return nil, err
	}
	switch {
	case a.has("bottle") && !gauge.Given:
		return nil, usage("--bottle needs --gauge: what does its gauge show?")
	case a.has("full") && !(gauge.Given && a.has("cylinder")):
		return nil, usage("--full belongs to --cylinder with --gauge")
	case full.Value <= 0 || gauge.Value < 0:
		return nil, usage("--gauge and --full: expected a pressure above 0")
	}
	var list []record.Cylinder
	for _, name := range []string{"cylinder", "bottle"} {
		for _, word := range a.flags[name] {
			volume, err := unit.Parse(word, unit.Volume)
			if err != nil || volume <= 0 || volume > 1000 {
				return nil, usage("--%s: %q is no volume above 0, such as \"291 ft3\" or \"49 L\"", name, word)
			}
			c := record.Cylinder{Count: 1, Content: record.Given(volume)}
			if gauge.Given {
				if name == "cylinder" {
					volume = liftgas.WaterVolumeFor(kind, volume, full.Value)
				}
				c = record.Cylinder{Count: 1, WaterVolume: record.Given(volume), Pressure: gauge, Temperature: temperature}
			}
			list = append(list, c)
		}
	}
	return list, nil
}

// prices reads the person's own prices.
func (a *arguments) prices(cylinders []record.Cylinder) (sizing.Prices, error) {
	var p sizing.Prices
	for _, word := range a.flags["price"] {
		name, amount, found := strings.Cut(word, "=")
		amount, per, divided := strings.Cut(amount, "/")
		price, err := strconv.ParseFloat(strings.TrimSpace(amount), 64)
		name = strings.TrimSpace(name)
		if !found || err != nil || !(price >= 0 && price < 1e12) || divided && name != "gas" {
			return p, usage("--price: expected a name with an amount, such as \"1200 g=130\", cylinder=340, \"gas=340/291 ft3\", canopy=45 or rest=200, not %q", word)
		}
		switch name {
		case "cylinder":
			p.Cylinder = record.Given(price)
			for i := range cylinders {
				cylinders[i].Price = p.Cylinder
			}
		case "canopy":
			p.Canopy = record.Given(price)
		case "rest":
			p.Rest = record.Given(price)
		case "gas":
			volume, err := unit.Parse(per, unit.Volume)
			if err != nil || volume <= 0 {
				return p, usage("--price gas: expected an amount for a volume, such as \"gas=340/291 ft3\", not %q", word)
			}
			p.Gas = record.Given(price / volume)
		default:
			mass, err := unit.Parse(name, unit.Mass)
			if err != nil || mass <= 0 || mass > 20 {
				return p, usage("--price: %q is neither an envelope's mass such as \"1200 g\" nor cylinder, gas, canopy or rest", name)
			}
			p.Envelopes = append(p.Envelopes, sizing.EnvelopePrice{Mass: mass, Price: price})
		}
	}
	return p, nil
}
