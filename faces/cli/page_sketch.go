package cli

import (
	"fmt"
	"strings"

	"pappus/desk/sizing"
	"pappus/measure/unit"
)

// sketchPage is the answer to a goal as a tired person can read it.
func sketchPage(a *sizing.Sketch, s unit.System) string {
	p := &page{}
	p.title("", "Sketch: "+a.Goal)
	p.lines("", a.Text)
	if a.Possible {
		p.head("Flights that do it, best first")
		fmt.Fprintf(p, "  %-3s%-10s%-12s%-10s%-11s%-13s%-11s%s\n", "", "envelope", "free lift", "canopy", "gas", "rise", "burst", "aloft")
		for _, o := range a.Options {
			fmt.Fprintf(p, "  %-3d%-10s%-12s%-10s%-11s%-13s%-11s%s\n", o.Rank, fmt.Sprintf("%.0f g", o.Envelope/unit.Gram), unit.FormatMass(o.Flight.Free, s),
				unit.FormatLength(o.Canopy, s), unit.FormatVolume(o.Flight.Cubic*unit.CubicFoot, s), unit.FormatRate(o.Flight.MeanRate, s),
				unit.FormatHeight(o.Flight.BurstAlt, s), unit.FormatDuration(o.Flight.Aloft))
		}
		p.head("What each trades")
		for _, o := range a.Options {
			text := strings.Join(o.Trades, "; ")
			if o.Cost.Known > 0 {
				text += fmt.Sprintf("; costs %.0f by your prices", o.Cost.Known)
				if len(o.Cost.Missing) > 0 {
					text += " without " + strings.Join(o.Cost.Missing, ", ")
				}
			}
			p.item(itoa(o.Rank), text+".")
		}
	} else {
		if len(a.Helps) > 0 {
			p.head("What would make it possible, each alone")
			for _, h := range a.Helps {
				p.item("-", h.Text+" ("+flightWords(h.Flight, s)+")")
			}
		}
		p.head("What is left")
		p.lines("  ", a.Left.Text)
	}
	if len(a.Refused) > 0 {
		p.head("Envelopes that do not do it")
		for _, r := range a.Refused {
			p.row(fmt.Sprintf("%.0f g", r.Envelope/unit.Gram), "%s", r.Text)
		}
	}
	p.head("Good to know")
	for _, n := range a.Notes {
		p.item("-", n)
	}
	if a.Possible {
		p.item("-", "--write FILE --rank N makes a flight file of one of them, for pappus plan")
	}
	return p.String()
}
