package cli

import (
	"context"
	"fmt"

	"pappus/air/forecast"
	"pappus/demo"
	"pappus/flight"
	"pappus/record"
)

var demoCommand = command{
	name:    "demo",
	summary: "plan and odds of an invented flight under an invented sky; nothing else is needed",
	options: []option{{"once", isSwitch, "", "print to the terminal and end"}},
	example: "pappus demo --once",
	run: func(ctx context.Context, d *Desk, a *arguments) error {
		if len(a.operands) > 0 {
			return usage("demo takes no file")
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
			fmt.Sprintf("\nThis flight and its sky are invented. Start your own with: pappus new flight.toml\n"))
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
