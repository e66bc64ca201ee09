package cli

import (
	"context"
	"fmt"

	"pappus/desk/money"
	"pappus/flight"
	"pappus/measure/unit"
	"pappus/record"
)

var costCommand = command{
	name: "cost", operands: "FILE",
	summary: "what the flight costs by your own prices, what is at stake, and how likely the box comes back",
	text: "Prices stand with the parts, in [[spare]] and in [cost]; what has none is named and never guessed. " +
		"The chance of getting it back is an estimate of named factors: flags go before [recovery] in the file, and that before judgements. With --weather the odds say how often it lands in water.",
	options: append([]option{
		{"water", isValue, "SHARE", "of the landings in water"},
		{"water-found", isValue, "SHARE", "of those in water that come back"},
		{"out-of-reach", isValue, "SHARE", "lies where nobody can or may go"},
		{"silent", isValue, "SHARE", "all reporters silent after the landing"},
		{"found", isValue, "SHARE", "comes back once its place is heard"},
		{"label", isValue, "SHARE", "a finder answers the label when nothing is heard"},
		weatherOption, membersOption(500), seedOption}, landOptions...),
	example: "pappus cost flight.toml --out-of-reach \"10 %\"",
	run:     runCost,
}

func runCost(ctx context.Context, d *Desk, a *arguments) error {
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
	chances, err := a.chances()
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
	answer, err := flight.Cost(ctx, f, flight.Sky{Files: files, Workers: d.Workers}, chances, flight.OddsOptions{
		Members: members, Seed: seed, Workers: d.Workers, System: system, Land: land,
	})
	if err != nil {
		return err
	}
	if a.has("json") {
		return d.printJSON(answer)
	}
	return d.print(costPage(answer))
}

// chances reads the factors that were asked.
func (a *arguments) chances() (money.Chances, error) {
	var c money.Chances
	for name, into := range map[string]*record.Quantity{
		"water": &c.Water, "water-found": &c.WaterFound, "out-of-reach": &c.OutOfReach, "silent": &c.Silent, "found": &c.Found, "label": &c.Label,
	} {
		if err := a.quantity(name, unit.Share, into); err != nil {
			return c, err
		}
		if into.Given && (into.Value < 0 || into.Value > 1) {
			return c, usage("--%s: %q is no share from 0 %% to 100 %%", name, a.last(name, ""))
		}
	}
	return c, nil
}

func costPage(a *money.Answer) string {
	p := &page{}
	amount := func(v float64) string { return money.Amount(v, a.Currency) }
	p.title(a.Name, "what it costs")
	for _, g := range a.Groups {
		p.head(sentenceCase(g.Name))
		for _, line := range g.Lines {
			text := amount(line.Sum)
			if line.Count > 1 {
				text = fmt.Sprintf("%s (%d of %s)", text, line.Count, amount(line.Each))
			}
			p.item("-", line.Name+": "+text)
		}
		p.row("together", "%s", amount(g.Sum))
	}
	p.head("In all")
	p.row("costs", "%s", amount(a.Total))
	if a.Deposits > 0 {
		p.row("to lay out", "%s, of which %s are deposits that come back", amount(a.Out), amount(a.Returned))
	}
	if a.Left != nil && *a.Left >= 0 {
		p.row("budget", "%s, %s of it left", amount(*a.Budget), amount(*a.Left))
	} else if a.Left != nil {
		p.row("budget", "%s: %s too little", amount(*a.Budget), amount(-*a.Left))
	}
	for _, m := range a.Missing {
		p.item("?", "no price: "+m)
	}
	p.head("At stake")
	p.lines("  ", a.Stake.Text)
	p.head("Getting it back: an estimate")
	p.lines("  ", fmt.Sprintf("%s: %s.", unit.FormatShare(a.Back.Chance), inTen(a.Back.Chance)))
	for _, x := range a.Back.Factors {
		p.row(x.ID, "%s %s (%s: %s)", unit.FormatShare(x.Value), x.Name, x.From, x.Why)
	}
	p.lines("  ", a.Back.Formula)
	p.head("What would help, and by how much at the most")
	for _, h := range a.Back.Helps {
		p.item("-", fmt.Sprintf("%s: +%.1f points, %s", h.ID, h.Gain/unit.Percent, h.Text))
	}
	p.head("To know")
	for _, n := range a.Notes {
		p.item("-", n)
	}
	p.item("-", "nobody has counted how many boxes come back: every factor is a judgement unless it says otherwise; put your own into [recovery]")
	return p.String()
}
