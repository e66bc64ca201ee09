package cli

import (
	"context"

	"pappus/desk/sizing"
	"pappus/flight"
	"pappus/measure/unit"
	"pappus/record"
)

var fillCommand = command{
	name: "fill", operands: "FILE",
	summary: "on the field: the lift to weigh, what scale and gauge say, and what the measured lift means",
	text: "Without measurements it says what to fill to. --weighed is what the scale at the neck shows, --hangs what hangs between balloon and scale (nozzle, hose, clamp) and is added to it; " +
		"--train is all that hangs below the neck, as weighed. Several bottles: give --bottle, --gauge-before and --gauge-after once for each. What is absent is read from the file's [flown] table (neck_lift, weighed, gauge_before, gauge_after, air_temperature, gas_temperature).",
	options: []option{
		{"weighed", isValue, "MASS", "what the scale at the neck shows, or the weight that just balances"},
		{"hangs", isValue, "MASS", "what hangs between balloon and scale"},
		{"train", isValue, "MASS", "all that hangs below the neck, as weighed"},
		{"bottle", isValue, "VOLUME", "water volume of a bottle, such as \"49 L\" (default: the file's first cylinder with one)"},
		{"gauge-before", isValue, "PRESSURE", "its gauge before the fill, such as \"2640 psi\""},
		{"gauge-after", isValue, "PRESSURE", "its gauge after the fill, ten minutes later"},
		{"air-temperature", isValue, "TEMPERATURE", "at the launch (default: the standard's or the forecast's)"},
		{"air-pressure", isValue, "PRESSURE", "at the launch, as it is there and not reduced to the sea"},
		{"gas-temperature", isValue, "TEMPERATURE", "of the gas in the balloon when it was weighed"},
		{"bottle-temperature", isValue, "TEMPERATURE", "of the bottles when the gauges were read (default: the air's)"},
		{"wind", isValue, "SPEED", "while it was weighed"},
		weatherOption, membersOption(500), seedOption, nominalOption,
	},
	example: "pappus fill flight.toml --weighed \"2.6 kg\" --bottle \"49 L\" --gauge-before \"2640 psi\" --gauge-after \"900 psi\" --wind \"2 m/s\"",
	run:     runFill,
}

func runFill(ctx context.Context, d *Desk, a *arguments) error {
	path, err := a.operand("flight file")
	if err != nil {
		return err
	}
	f, err := readFlight(path)
	if err != nil {
		return err
	}
	system, err := a.system(unitsOf(f))
	if err != nil {
		return err
	}
	members, seed, err := a.draw(500)
	if err != nil {
		return err
	}
	day, err := a.fillDay(f)
	if err != nil {
		return err
	}
	files, err := readWeather(a.flags["weather"])
	if err != nil {
		return err
	}
	answer, err := flight.FillDay(ctx, f, flight.Sky{Files: files, Workers: d.Workers}, day, flight.PlanOptions{
		Members: members, Seed: seed, Workers: d.Workers, System: system, Nominal: a.has("nominal-only"),
	})
	if err != nil {
		return err
	}
	if a.has("json") {
		return d.printJSON(answer)
	}
	return d.print(fillPage(answer, system))
}

// fillDay reads what was measured.
func (a *arguments) fillDay(f *record.Flight) (sizing.FillDay, error) {
	var day sizing.FillDay
	for _, q := range []struct {
		name string
		kind unit.Kind
		into *record.Quantity
	}{
		{"weighed", unit.Mass, &day.Weighed}, {"hangs", unit.Mass, &day.Hangs}, {"train", unit.Mass, &day.Train},
		{"air-temperature", unit.Temperature, &day.Air}, {"gas-temperature", unit.Temperature, &day.Gas}, {"bottle-temperature", unit.Temperature, &day.Bottle},
		{"air-pressure", unit.Pressure, &day.Pressure}, {"wind", unit.Speed, &day.Wind},
	} {
		if err := a.quantity(q.name, q.kind, q.into); err != nil {
			return day, err
		}
		warm := q.kind == unit.Temperature && (q.into.Value < 200 || q.into.Value > 340)
		thin := q.kind == unit.Pressure && (q.into.Value < 3e4 || q.into.Value > 1.1e5)
		if q.into.Given && (q.into.Value < 0 || warm || thin) {
			return day, usage("--%s: %q cannot be on a field", q.name, a.last(q.name, ""))
		}
	}
	var err error
	day.Gauges, err = a.gaugePairs(f)
	return day, err
}

// gaugePairs reads the bottles' gauges, in the order they were given.
func (a *arguments) gaugePairs(f *record.Flight) ([]sizing.GaugePair, error) {
	before, after, bottles := a.flags["gauge-before"], a.flags["gauge-after"], a.flags["bottle"]
	if len(before) != len(after) {
		return nil, usage("--gauge-before and --gauge-after belong together: %d and %d are given", len(before), len(after))
	}
	if len(bottles) > 1 && len(bottles) != len(before) {
		return nil, usage("%d bottles and %d pairs of gauges are given: one bottle for all, or one for each", len(bottles), len(before))
	}
	var pairs []sizing.GaugePair
	for i := range before {
		pair := sizing.GaugePair{}
		water, known := sizing.WaterVolume(f)
		if len(bottles) > 0 {
			var err error
			if water, err = unit.Parse(bottles[min(i, len(bottles)-1)], unit.Volume); err != nil {
				return nil, usage("--bottle: %v", err)
			}
			known = water > 0 && water <= 10
		}
		if !known {
			return nil, usage("gauges need the water volume of the bottle: --bottle \"49 L\", as stamped on its shoulder")
		}
		pair.Water = water
		for _, q := range []struct {
			name, text string
			into       *float64
		}{{"gauge-before", before[i], &pair.Before}, {"gauge-after", after[i], &pair.After}} {
			value, err := unit.Parse(q.text, unit.Pressure)
			if err != nil || value < 0 || value > 1000*unit.Bar {
				return nil, usage("--%s: %q is no gauge reading such as \"2640 psi\"", q.name, q.text)
			}
			*q.into = value
		}
		if pair.After > pair.Before {
			return nil, usage("--gauge-after %s is above --gauge-before %s: are they swapped?", after[i], before[i])
		}
		pairs = append(pairs, pair)
	}
	return pairs, nil
}
