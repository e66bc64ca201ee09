package cli

import (
	"context"
	"strings"

	"pappus/desk/sizing"
	"pappus/flight"
)

var reportersCommand = command{
	name: "reporters", operands: "FILE",
	summary: "choose early what says where the box is: what each kind needs, cannot do, and fails with",
	text:    "No prices are built in, and the lead times are judgements. Licences and airborne use are for the authority of your country to settle.",
	example: "pappus reporters flight.toml",
	run: func(_ context.Context, d *Desk, a *arguments) error {
		path, err := a.operand("flight file")
		if err != nil {
			return err
		}
		f, err := readFlight(path)
		if err != nil {
			return err
		}
		if _, err := a.system(unitsOf(f)); err != nil {
			return err
		}
		choice := flight.Reporters(f)
		if a.has("json") {
			return d.printJSON(choice)
		}
		return d.print(reportersPage(choice))
	},
}

func reportersPage(c *sizing.ReporterChoice) string {
	p := &page{}
	p.title(c.Name, "who says where it is")
	p.lines("", c.Text)
	if len(c.Chosen) > 0 {
		p.head("In the file")
		for _, r := range c.Chosen {
			p.item("-", r.Text)
		}
		for _, s := range c.Shared {
			p.item("!", s.Text)
		}
	}
	p.head("What to do")
	for _, a := range c.Advice {
		p.item("-", a)
	}
	for _, k := range c.Kinds {
		p.head(strings.ToUpper(k.Name[:1]) + k.Name[1:])
		p.row("time before", "%s", k.Lead)
		p.row("needs", "%s", strings.Join(k.Needs, "; "))
		p.row("sky", "%s", k.Sky)
		p.row("reach", "%s", k.Coverage)
		p.row("effort", "%s", k.Effort)
		p.row("costs", "%s", k.Cost)
		p.row("cannot", "%s", strings.Join(k.Cannot, "; "))
	}
	return p.String()
}
