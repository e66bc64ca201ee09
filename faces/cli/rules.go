package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"pappus/desk/rules"
	"pappus/flight"
)

var rulesCommand = command{
	name: "rules", operands: "FILE",
	summary: "what the rule text asks of this flight, paragraph by paragraph; never a verdict",
	text:    "Without --text the file's own `rules` are read.",
	options: []option{{"text", isValue, "US|ICAO", "which rule text to hold the flight against"}},
	example: "pappus rules flight.toml",
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
		text := a.last("text", f.Rules)
		if a.has("text") && !slices.Contains(rules.Texts(), text) {
			return usage("--text: %q is none of %s", text, strings.Join(rules.Texts(), ", "))
		}
		answer, err := flight.Rules(f, text)
		if err != nil {
			return err
		}
		if a.has("json") {
			return d.printJSON(answer)
		}
		return d.print(rulesPage(f.Name, answer))
	},
}

func rulesPage(name string, a *rules.Answer) string {
	p := &page{}
	p.title(name, a.Title)
	p.lines("", a.Summary)
	p.head("What the text compares")
	for _, f := range a.Findings {
		mark := "-"
		switch {
		case !f.Known:
			mark = "?"
		case f.Exceeded:
			mark = "!"
		case f.Near:
			mark = "~"
		}
		p.item(mark, f.Paragraph+": "+f.Text)
	}
	for _, n := range a.NotKnown {
		p.item("?", n)
	}
	if len(a.Changes) > 0 {
		p.head("What would change that")
		for _, c := range a.Changes {
			p.item("-", c.Text)
		}
	}
	duties(p, "Duties that follow", a.Duties)
	duties(p, "What holds always", a.Always)
	if c := a.Customary; c != nil {
		p.head("The customary call")
		p.lines("  ", c.Text)
		for _, g := range c.Give {
			p.item("-", g)
		}
	}
	if len(a.Cautions) > 0 {
		p.head("What to watch")
		for _, c := range a.Cautions {
			p.item("!", fmt.Sprintf("%s (%s)", c.Text, c.Why))
		}
	}
	p.head("How far this goes")
	p.lines("  ", a.Counted)
	p.lines("  ", fmt.Sprintf("Text read on %s: %s", a.ReadOn, a.ReadHow))
	p.lines("  ", a.Authority)
	return p.String()
}

func duties(p *page, title string, list []rules.Duty) {
	if len(list) == 0 {
		return
	}
	p.head(title)
	for _, d := range list {
		p.item("-", d.Paragraph+": "+d.Text)
	}
}
