package cli

import (
	"fmt"
	"strings"
	"time"

	"pappus/flight"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/odds/landing"
	"pappus/record"
)

// oddsPage is the landing distribution as a tired person can read it.
func oddsPage(f *record.Flight, o *flight.Odds, s unit.System) string {
	p := &page{}
	a := o.Answer
	zone := f.Launch.Time.Location()
	p.title(a.Name, "where it comes down")
	p.lines("", fmt.Sprintf("launch %s (%s UTC) from %s", f.Launch.Time.Format("Mon 2 Jan 2006 15:04 -07:00"),
		f.Launch.Time.UTC().Format("15:04"), coordinates(f.Launch.Point.LatDeg, f.Launch.Point.LonDeg)))
	p.head("Where and when")
	nominal := a.Nominal
	if g := a.Landing; g != nil {
		p.lines("  ", fmt.Sprintf("Lands between %s and %s (4 in 5). One chance in two within %s of %s, nine in ten within %s.",
			clock(g.Time.P10, zone), clock(g.Time.P90, zone), unit.FormatDistance(g.Radius50, s),
			coordinates(g.Median.Lat, g.Median.Lon), unit.FormatDistance(g.Radius90, s)))
		way, towards, _ := geo.Inverse(f.Launch.Point, geo.Point{LatDeg: g.Median.Lat, LonDeg: g.Median.Lon})
		p.WriteByte('\n')
		p.row("middle", "%s from the launch towards %s%s", unit.FormatDistance(way, s), bearing(towards), spread(&g.Drift, unit.FormatDistance, s))
		for _, r := range g.Regions {
			p.row("region", "%s of landings on %s%s", percent(r.Probability), unit.FormatArea(r.Area*1e6, s), merged(r.Merged))
		}
		p.row("burst", "%s%s near %s, one in two within %s", unit.FormatHeight(a.Burst.Alt.P50, s), spread(&a.Burst.Alt, unit.FormatHeight, s),
			coordinates(a.Burst.Median.Lat, a.Burst.Median.Lon), unit.FormatDistance(a.Burst.Radius50, s))
		p.row("landing", "%s%s", unit.FormatSpeed(g.Speed.P50, s), spread(&g.Speed, unit.FormatSpeed, s))
	}
	p.row("central way", "bursts at %s at %s, lands %s at %s, %s towards %s", unit.FormatHeight(nominal.Burst.Alt, s), clock(nominal.Burst.Time, zone),
		coordinates(nominal.Landing.Lat, nominal.Landing.Lon), clock(nominal.Landing.Time, zone), unit.FormatDistance(nominal.Drift, s), bearing(nominal.Bearing))
	p.head("Height against time, the central flight")
	profileChart(p, o.Nominal, s)
	if g := a.Landing; g != nil {
		p.head("Map, north up")
		var regions []landing.Region
		for _, r := range g.Regions {
			regions = append(regions, r.Shape)
		}
		landingMap(p, f.Launch.Point, o.Nominal, regions, geo.Point{LatDeg: g.Median.Lat, LonDeg: g.Median.Lon}, s)
		p.head("Chances")
		for _, c := range a.Chances {
			p.item("-", fmt.Sprintf("%s: %s (%s)", c.What, percent(c.Probability), inTen(c.Probability)))
		}
	}
	weatherPart(p, &o.Answer.Weather, s)
	p.head("Not looked at")
	for _, what := range a.NotLookedAt {
		p.item("-", what)
	}
	if a.Members > 0 {
		p.head("How sure this is")
		p.lines("  ", fmt.Sprintf("%d flights drawn (seed %d) from judged doubts of wind, lift, drag, burst, canopy and start. The regions hold their share if those doubts are right.", a.Members, a.Seed))
	}
	return p.String()
}

func merged(share float64) string {
	if share == 0 {
		return ""
	}
	return fmt.Sprintf(" (%s of it in scattered places too small to draw)", percent(share))
}

// weatherPart says what sky the answer stands on.
func weatherPart(p *page, w *ensemble.WeatherUsed, s unit.System) {
	p.head("Weather used")
	line := w.Source
	if w.Cycle != nil {
		line += fmt.Sprintf(", cycle %s, %s old at launch", *w.Cycle, unit.FormatDuration(*w.Age))
	}
	if w.LevelsTop != nil {
		line += ", levels up to " + unit.FormatHeight(*w.LevelsTop, s)
	}
	if w.Members > 1 {
		line += fmt.Sprintf(", %d members", w.Members)
	}
	p.item("-", line)
	for _, h := range w.Held {
		p.item("!", fmt.Sprintf("%s from %s, in %s of the flights", h.What, h.From, percent(h.Share)))
	}
	for _, n := range w.Notes {
		p.item("-", n)
	}
	for _, u := range w.Unused {
		p.item("-", "not used: "+u)
	}
}

// clock writes an answer's instant in the launch's own zone.
func clock(text string, zone *time.Location) string {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return strings.TrimSpace(text)
	}
	return t.In(zone).Format("15:04")
}
