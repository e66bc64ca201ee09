package cli

import (
	"context"
	"fmt"

	"pappus/desk/sizing"
	"pappus/flight"
	"pappus/measure/unit"
	"pappus/record"
)

var gasCommand = command{
	name: "gas", operands: "FILE",
	summary: "how much gas to get, in which bottles and grades, what to say to a supplier, and what hydrogen asks",
	options: []option{weatherOption},
	example: "pappus gas flight.toml --units us",
	run: func(ctx context.Context, d *Desk, a *arguments) error {
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
		files, err := readWeather(a.flags["weather"])
		if err != nil {
			return err
		}
		plan, err := flight.Plan(ctx, f, flight.Sky{Files: files, Workers: d.Workers}, flight.PlanOptions{System: system, Nominal: true})
		if err != nil {
			return err
		}
		if a.has("json") {
			return d.printJSON(map[string]any{"name": plan.Name, "gas": plan.Gas, "gas_to_buy": plan.GasToBuy})
		}
		return d.print(gasPage(f, plan, system))
	},
}

func gasPage(f *record.Flight, a *sizing.Answer, s unit.System) string {
	p := &page{}
	g := a.GasToBuy
	p.title(f.Name, "the gas to get")
	p.row("for the fill", "%.0f ft³ of %s (%.2f m³ at 70 F, 1 atm)", g.Need, a.Gas.Kind, g.Need*unit.CubicFoot)
	p.row("with reserve", "%.0f ft³: %s more for what does not flow out, the doubt of the weighing, and what blows off", g.Want, unit.FormatShare(g.Reserve))
	p.row("at hand", "%.0f ft³", g.AtHand)
	p.row("to get", "%.0f ft³", g.Missing)
	if len(g.Bottles) > 0 {
		p.head("The smallest usual bottles that do it")
		for _, b := range g.Bottles {
			p.item("-", b.Text)
		}
	}
	p.head("Grades: what a purity costs, the rest counted as air")
	for _, grade := range g.Grades {
		p.row(fmt.Sprintf("%.4g %%", grade.Purity/unit.Percent), "%s: %.0f ft³ for this fill; as much gas as planned lifts %s %s; %s", grade.Name, grade.Cubic,
			unit.FormatMass(max(grade.Lost, -grade.Lost), s), map[bool]string{true: "less", false: "more"}[grade.Lost < 0], grade.Text)
	}
	p.head("Say to the supplier")
	p.lines("  ", "\""+g.Say+"\"")
	p.head("Ask")
	for _, q := range g.Ask {
		p.item("-", q)
	}
	p.head("Fitting and return")
	p.lines("  ", g.Fitting)
	p.lines("  ", g.Return)
	p.head("Hydrogen")
	p.lines("  ", g.Hydrogen.Text)
	p.row("for this fill", "%.0f ft³ of hydrogen", g.Hydrogen.Cubic)
	for _, duty := range g.Hydrogen.Duties {
		p.item("!", duty)
	}
	p.head("Always")
	p.item("!", "a bottle is dangerous by itself: chained upright, cap on when moved, opened slowly, never in a closed car with people; the supplier's and local rules come first")
	return p.String()
}
