package cli

import (
	"context"
	"fmt"

	"pappus/desk/ready"
	"pappus/flight"
)

var readyCommand = command{
	name: "ready", operands: "FILE",
	summary: "the ground tests: how each is done in a kitchen or a yard, what passes, what was done, what it replaces",
	text: "Tests stand in the file as [[test]] rows: what, date, result, and what was measured. A drop test and a scale check that passed narrow the odds; " +
		"what is not tested stays as doubtful as is typical. --effects flies the odds through --weather with and without each.",
	options: append([]option{
		{"effects", isSwitch, "", "how much surer each open test would make the landing"},
		{"how", isSwitch, "", "say how every test is done, those that are passed too"},
		weatherOption, membersOption(500), seedOption}, landOptions...),
	example: "pappus ready flight.toml --effects --weather forecasts/",
	run:     runReady,
}

func runReady(ctx context.Context, d *Desk, a *arguments) error {
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
	land, err := a.land()
	if err != nil {
		return err
	}
	files, err := readWeather(a.flags["weather"])
	if err != nil {
		return err
	}
	if a.has("effects") && len(files) == 0 {
		return usage("--effects needs --weather: in still air every flight lands where it starts")
	}
	ledger, err := flight.Ready(ctx, f, flight.Sky{Files: files, Workers: d.Workers}, flight.ReadyOptions{
		Effects: a.has("effects"), Members: members, Seed: seed, Workers: d.Workers, System: system, Land: land,
	})
	if err != nil {
		return err
	}
	if a.has("json") {
		return d.printJSON(ledger)
	}
	return d.print(readyPage(ledger, a.has("how")))
}

func readyPage(l *ready.Ledger, all bool) string {
	p := &page{}
	p.title(l.Name, "tested on the ground")
	p.lines("", l.Text)
	p.head("Where it stands")
	for i := range l.Tests {
		r := &l.Tests[i]
		name := r.Name
		if r.Part != "" {
			name += " (" + r.Part + ")"
		}
		mark := map[ready.State]string{ready.Passed: "x", ready.Failed: "!", ready.Stale: "~", ready.Missing: "o"}[r.State]
		line := fmt.Sprintf("%s: %s", name, r.State)
		if r.Date != "" {
			line += " on " + r.Date
		}
		if r.Finding != "" {
			line += "; " + r.Finding
		}
		p.item(mark, line)
		if r.Edit != nil {
			p.lines("      ", fmt.Sprintf("in the file: %s = \"%s\"", r.Edit.Path, r.Edit.Text))
		}
	}
	if len(l.Used) > 0 {
		p.head("What the tests put into the odds")
		for _, m := range l.Used {
			p.item(map[bool]string{true: "-", false: "!"}[m.Used], m.What+": "+m.Text)
		}
	}
	if len(l.Effects) > 0 {
		p.head("What open tests would do to the landing")
		for _, e := range l.Effects {
			p.item("-", e.ID+": "+e.Text)
		}
	}
	for _, u := range l.Unknown {
		p.item("?", u)
	}
	told := map[string]bool{}
	for i := range l.Tests {
		r := &l.Tests[i]
		if told[r.ID] || r.State == ready.Passed && !all {
			continue
		}
		told[r.ID] = true
		p.head(sentenceCase(r.Name))
		for _, step := range r.How {
			p.item("-", step)
		}
		p.row("passes", "%s", r.Pass)
		p.row("replaces", "%s", r.Replaces)
		p.row("in the file", "[[test]] what = \"%s\", date, result; and %s", r.ID, r.Write)
		if r.Danger != "" {
			p.item("!", r.Danger)
		}
	}
	return p.String()
}
