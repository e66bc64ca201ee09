package cli

import (
	"fmt"

	"pappus/desk/sizing"
	"pappus/measure/unit"
)

// fillPage is fill day on one page.
func fillPage(a *sizing.FillAnswer, s unit.System) string {
	p := &page{}
	t := &a.Target
	p.title(a.Name, "fill day")
	p.head("Fill until the scale shows")
	p.lines("    ", fmt.Sprintf("%s   (%s)", bothMasses(t.Scale), "± "+bothMasses(t.Tolerance)))
	p.row("as a weight", "or until it just holds up %s: water, a litre to the kilogram, in a bag", bothMasses(t.Scale))
	if t.Hangs > 0 {
		p.row("on the scale", "%s of it hang between balloon and scale and do not show; the neck lifts %s", bothMasses(t.Hangs), bothMasses(t.Now))
	}
	if off := t.Neck - t.Now; off > 0.0005 || off < -0.0005 {
		p.row("warm or cold", "with the gas as it is; once it is as warm as the air the neck lifts %s", bothMasses(t.Neck))
	}
	p.row("of that", "%s hold up the train, %s are free lift", bothMasses(t.Train), bothMasses(t.Free))
	p.row("size", "%s wide, %s round with a tape, %s", unit.FormatLength(t.Diameter, s), unit.FormatLength(t.Girth, s), unit.FormatVolume(t.Volume, s))
	for i, g := range t.GaugeShares {
		text := fmt.Sprintf("from %s down to about %s", unit.FormatPressure(g.Before, s), unit.FormatPressure(g.After, s))
		if g.Empty {
			text = fmt.Sprintf("from %s: it does not hold enough alone", unit.FormatPressure(g.Before, s))
		}
		p.row(fmt.Sprintf("bottle %d", i+1), "%s", text)
	}
	measured(p, a, s)
	p.head("Before you let go")
	for _, n := range a.Notes {
		p.item("-", n)
	}
	return p.String()
}

func measured(p *page, a *sizing.FillAnswer, s unit.System) {
	if a.Together == nil {
		p.head("The flight as planned")
		p.lines("  ", flightWords(a.Planned, s))
		return
	}
	p.head("What was measured")
	if a.Scale != nil {
		p.row("scale", "%s", a.Scale.Text)
	}
	if a.Gauge != nil {
		p.row("gauge", "%s", a.Gauge.Text)
	}
	p.row("together", "%s ± %s at the neck. %s", bothMasses(a.Together.Neck), unit.FormatMass(a.Together.Error, s), a.Together.Text)
	for _, c := range a.Together.Causes {
		p.item("?", c)
	}
	p.row("so", "%s", a.Verdict.Text)
	p.head("What it means")
	m := a.Measured
	p.lines("  ", m.Text)
	if m.Rate != nil && m.Burst != nil && m.Landing != nil {
		p.lines("  ", fmt.Sprintf("Four flights in five: rise %s to %s, burst %s to %s, landing %s to %s.",
			unit.FormatRate(m.Rate.P10, s), unit.FormatRate(m.Rate.P90, s), unit.FormatHeight(m.Burst.P10, s), unit.FormatHeight(m.Burst.P90, s),
			unit.FormatSpeed(m.Landing.P10, s), unit.FormatSpeed(m.Landing.P90, s)))
	}
	p.row("planned", "%s", flightWords(a.Planned, s))
}

// bothMasses writes a mass for every scale.
func bothMasses(kilograms float64) string {
	return fmt.Sprintf("%.3f kg / %.2f lb", kilograms, kilograms/unit.Pound)
}
