package cli

import (
	"context"

	"pappus/air/forecast"
	"pappus/demo"
	"pappus/flight"
	"pappus/record"
)

var demoCommand = command{
	name:    "demo",
	summary: "an invented flight: the app opens on it; with --once its plan and odds are printed; nothing else is needed",
	text:    "The app prints its address and runs until it is interrupted. Its book is a new one with the invented flight in it, and is gone when it ends.",
	options: []option{{"once", isSwitch, "", "print plan and odds to the terminal and end"}, listenOption, openOption},
	example: "pappus demo --once",
	run: func(ctx context.Context, d *Desk, a *arguments) error {
		if len(a.operands) > 0 {
			return usage("demo takes no file")
		}
		if !a.has("once") {
			_, document := demo.Flight()
			return d.openApp(ctx, a, App{Demo: true, First: &Flight{Name: flight.Describe(document).Name, What: "the invented flight", Document: document}},
				"The flight is invented, and its book is gone when this ends.")
		}
		f, sky, err := demoFlight(d.Workers)
		if err != nil {
			return fault{err}
		}
		system, err := a.system(unitsOf(f))
		if err != nil {
			return err
		}
		plan, err := flight.Plan(ctx, f, sky, flight.PlanOptions{Members: 500, Seed: 1, Workers: d.Workers, System: system})
		if err != nil {
			return fault{err}
		}
		odds, err := flight.Where(ctx, f, sky, flight.OddsOptions{Members: usualMembers, Seed: 1, Workers: d.Workers, System: system})
		if err != nil {
			return err
		}
		if a.has("json") {
			return d.printJSON(map[string]any{"plan": plan, "odds": odds.Answer})
		}
		return d.print(planPage(f, plan, system) + "\n" + oddsPage(f, odds, system) +
			"\nThis flight and its sky are invented. Start your own with: pappus new flight.toml\n")
	},
}

// demoFlight answers the invented flight and its sky.
func demoFlight(workers int) (*record.Flight, flight.Sky, error) {
	name, text := demo.Flight()
	f, err := record.Parse(name, text)
	if err != nil {
		return nil, flight.Sky{}, err
	}
	skyName, data := demo.Forecast()
	return f, flight.Sky{Files: []forecast.File{{Name: skyName, Data: data}}, Workers: workers}, nil
}
