package cli

import (
	"context"
	"errors"

	"pappus/desk/sizing"
	"pappus/flight"
)

var planCommand = command{
	name: "plan", operands: "FILE",
	summary: "what the parts of a flight make together: lift, gas, rise, burst, fall, each with its spread",
	text:    "Without --weather the flight stands in the US Standard Atmosphere 1976, and takes off and lands at the launch elevation.",
	options: []option{weatherOption, membersOption(1000), seedOption, nominalOption,
		{"film", isSwitch, "", "count the pressure of the envelope's own film, in the flight and in its rating"},
		{"why", isWords, "KEY…", "say where figures come from: keys of the JSON document such as lift.neck_kg, a group such as burst, or all"},
	},
	example: "pappus plan flight.toml --units us",
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
		members, seed, err := a.draw(1000)
		if err != nil {
			return err
		}
		files, err := readWeather(a.flags["weather"])
		if err != nil {
			return err
		}
		answer, err := flight.Plan(ctx, f, flight.Sky{Files: files, Workers: d.Workers}, flight.PlanOptions{
			Members: members, Seed: seed, Workers: d.Workers, System: system, Nominal: a.has("nominal-only"),
			Film: a.has("film"), Why: a.flags["why"],
		})
		var unknown *sizing.UnknownReason
		if errors.As(err, &unknown) {
			return usage("--why: %v", err)
		}
		if err != nil {
			return err
		}
		if answer.Weather != nil {
			d.warnOf(answer.Weather)
		}
		if a.has("json") {
			return d.printJSON(answer)
		}
		return d.print(planPage(f, answer, system))
	},
}

// Options that several commands share.
var (
	weatherOption = option{"weather", isWords, "PATH…", "GRIB2 files, folders of them, or one profile table (.csv); may be repeated"}
	seedOption    = option{"seed", isValue, "S", "seed of the draws (default 1): the same seed gives the same answer"}
	nominalOption = option{"nominal-only", isSwitch, "", "the central flight alone, without spreads"}
)

func membersOption(usual int) option {
	return option{"members", isValue, "N", "how many flights are drawn (default " + itoa(usual) + ")"}
}

const mostMembers = 1_000_000

// draw answers how many flights and from which seed.
func (a *arguments) draw(usual int) (members int, seed uint64, err error) {
	if members, err = a.whole("members", usual, 10, mostMembers); err != nil {
		return 0, 0, err
	}
	whole, err := a.whole("seed", 1, 0, 1<<53)
	return members, uint64(whole), err
}
