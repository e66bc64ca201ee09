package papers

import (
	"fmt"
	"math"
	"strings"

	"pappus/air/atmosphere"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/record"
)

// notice is the sheet to read from on the telephone, in the order in which an
// authority asks.
func (f *Facts) notice() Sheet {
	parts := []Part{
		{Heading: "Who", Rows: f.who()},
		{Heading: "What", Rows: f.what()},
		{Heading: "Where", Rows: f.where()},
		{Heading: "When", Rows: f.when()},
		f.way(),
		{Heading: "Rise and duration", Rows: f.rise()},
		{Heading: "Expected landing", Rows: f.landing()},
		{Heading: "Position reporters on board", Rows: f.reporterRows()},
		{Heading: "During the flight", Rows: []Row{f.phoneRow("reach us at", "operator", "launch", "notice"),
			{Label: "not known here", Text: "airspace, notices in force, and whether an airfield has a tower: ask"}}},
		{Heading: "Number given: a notice, not a permit", Rows: []Row{
			{Label: "number", Blank: true}, {Label: "given by", Text: "facility and name", Blank: true},
			{Label: "at", Text: "date and time, UTC", Blank: true}, {Label: "they also asked for", Blank: true}}},
	}
	parts = append(parts, f.calls()...)
	return Sheet{Title: "Notice sheet: unmanned free balloon", For: "whoever rings the authority", Parts: parts}
}

func (f *Facts) who() []Row {
	rows := []Row{{Label: "flight", Text: named(f.File.Name, "no name in the file")}}
	c, ok := f.contact("operator", "notice", "launch")
	if !ok {
		return append(rows, Row{Label: "operator", Text: "name", Blank: true}, Row{Label: "telephone", Blank: true})
	}
	rows = append(rows, Row{Label: "operator", Text: comma(named(c.Name, "name not in the file"), c.Role)})
	if c.Phone == "" {
		return append(rows, Row{Label: "telephone", Blank: true})
	}
	return append(rows, Row{Label: "telephone", Text: comma(c.Phone, c.Email)})
}

func (f *Facts) what() []Row {
	p := f.Plan
	rows := []Row{
		{Label: "balloon", Text: fmt.Sprintf("1 unmanned free balloon of latex, %s, %s, nothing steers or stops it; it rises until it bursts", f.mass(f.File.Envelope.Mass), f.File.Gas.Kind)},
		{Label: "size", Text: fmt.Sprintf("%s wide at release, %s at burst", both(p.Gas.Diameter, unit.FormatLength, f.System), both(p.Burst.Diameter, unit.FormatLength, f.System))},
		{Label: "colour", Text: "of balloon and parachute", Blank: true},
	}
	if f.File.Envelope.Note != "" {
		rows = append(rows, Row{Label: "note in the file", Text: f.File.Envelope.Note})
	}
	var boxes []string
	sum := 0.0
	for _, b := range f.boxes() {
		sum += b.Total()
		text := named(b.Name, "box") + " " + both(b.Total(), unit.FormatMass, f.System)
		if b.Size.Given {
			text += ", " + edges(b.Size, f.System)
		}
		boxes = append(boxes, text)
	}
	rows = append(rows,
		Row{Label: "payload weight", Text: fmt.Sprintf("%s in %s: %s", both(sum, unit.FormatMass, f.System), few(len(boxes), "box", "boxes"), strings.Join(boxes, "; "))},
		Row{Label: "all that hangs", Text: both(p.Budget.TrainMass, unit.FormatMass, f.System) + " with parachute, lines and reflector"},
		Row{Label: "line length", Text: fmt.Sprintf("%s from the neck to the lowest box, all lines of the file added up", both(p.Budget.TrainLength, unit.FormatLength, f.System))},
		Row{Label: "parachute", Text: fmt.Sprintf("yes; comes down at %s near the ground", both(p.Descent.Landing, unit.FormatSpeed, f.System))},
		Row{Label: "radar reflector", Text: f.reflector()},
		Row{Label: "trailing antenna", Text: "length, or none", Blank: true})
	return rows
}

func (f *Facts) reflector() string {
	for i := range f.File.Train {
		if f.File.Train[i].Kind == record.Reflector {
			return "yes, in the train"
		}
	}
	return "none in the file"
}

// edges writes the outside of a box.
func edges(s record.Size, system unit.System) string {
	var words []string
	for _, e := range s.Edges {
		words = append(words, unit.FormatLength(e, system))
	}
	return strings.Join(words, " x ")
}

func (f *Facts) where() []Row {
	l := f.File.Launch
	rows := []Row{
		{Label: "launch place", Text: comma(named(l.Place, "no name in the file"), f.Around.State, f.Around.Country)},
		{Label: "deg min sec", Text: DMS(l.Point)},
		{Label: "decimal degrees", Text: Decimal(l.Point)},
		{Label: "ground", Text: both(float64(l.Elevation), unit.FormatHeight, f.System) + " above the sea"},
	}
	for _, a := range f.majorFirst(f.Around.Airfields) {
		rows = append(rows, Row{Label: "from " + a.Ident, Text: fmt.Sprintf("%s magnetic (%s true), %s from %s (%s)", bearing(a.Magnetic), bearing(a.True), nautical(a.Distance), a.Name, a.Kind)})
	}
	return append(rows, Row{Label: "magnetic north", Text: fmt.Sprintf("%.1f° %s of true (%s)", math.Abs(f.Around.Magnetic.East), side(f.Around.Magnetic.East), f.Around.Magnetic.Model)})
}

func side(east float64) string {
	if east < 0 {
		return "west"
	}
	return "east"
}

// majorFirst lists the large and medium fields before the others.
func (f *Facts) majorFirst(fields []Airfield) []Airfield {
	var major, rest []Airfield
	for _, a := range fields {
		if strings.HasPrefix(a.Kind, "large") || strings.HasPrefix(a.Kind, "medium") {
			major = append(major, a)
		} else {
			rest = append(rest, a)
		}
	}
	return append(major, rest...)
}

func (f *Facts) when() []Row {
	t := f.File.Launch.Time
	return []Row{
		{Label: "launch, local", Text: t.Format("Mon 2 Jan 2006, 15:04") + " (UTC" + f.offset() + ")"},
		{Label: "launch, UTC", Text: t.UTC().Format("Mon 2 Jan 2006, 15:04") + " UTC"},
		{Label: "window", Text: "earliest to latest, UTC", Blank: true},
	}
}

// way is direction, heights and times of the central flight.
func (f *Facts) way() Part {
	part := Part{Heading: "Direction, heights and times"}
	if f.Odds == nil {
		part.Text = []string{"Direction: " + needsForecast + ". The times below are those of still, standard air."}
	} else {
		n := f.Odds.Nominal
		part.Rows = []Row{{Label: "drifts towards", Text: fmt.Sprintf("%s: %s true, %s magnetic, %s from launch to landing", point(n.Bearing), bearing(n.Bearing), bearing(n.Bearing-f.Around.Magnetic.East), nautical(n.Drift))}}
	}
	part.Table = &Table{Columns: []string{"passing", "after launch", "local", "UTC", "from the launch"}}
	add := func(what string, s Spot) {
		since := s.Time.Sub(f.File.Launch.Time).Seconds()
		part.Table.Rows = append(part.Table.Rows, []string{what, after(since), f.local(s.Time), universal(s.Time), f.fromLaunch(s.Point)})
	}
	for _, height := range []float64{10000, 18000, 30000, 45000} {
		alt := height * unit.Foot
		if s, ok := crossing(f.Up, func(s Spot) float64 { return s.Alt }, alt); ok {
			add(f.heightBoth(alt), s)
		}
	}
	level := func(s Spot) float64 { return float64(atmosphere.Geopotential(atmosphere.PressureAltitude(s.Pressure))) }
	ceilings := []struct {
		alt  float64
		name string
	}{{18000, "18 000 m pressure altitude"}, {60000 * unit.Foot, "60,000 ft pressure altitude (FL600)"}}
	through := false
	for _, c := range ceilings {
		if s, ok := crossing(f.Up, level, c.alt); ok {
			add(c.name, s)
			through = true
		}
	}
	burst := f.Up[len(f.Up)-1]
	add("burst, "+f.heightBoth(burst.Alt), burst)
	for i := len(ceilings) - 1; i >= 0; i-- {
		if s, ok := crossing(f.Down, level, ceilings[i].alt); ok {
			add("down through "+ceilings[i].name, s)
		}
	}
	if s, ok := crossing(f.Down, func(s Spot) float64 { return s.Alt }, 18000*unit.Foot); ok {
		add("down through "+f.heightBoth(18000*unit.Foot), s)
	}
	add("landing", f.Down[len(f.Down)-1])
	note := "Heights are above the sea, bearings magnetic at the launch, of the central flight. Pressure altitude is what an altimeter set to 1013.25 hPa shows."
	if !through {
		note += " As planned it bursts below 18 000 m (60,000 ft)."
	}
	part.Text = append(part.Text, note)
	return part
}

// crossing finds where a height is passed on one way, between its rows.
func crossing(way []Spot, height func(Spot) float64, alt float64) (Spot, bool) {
	for i := 1; i < len(way); i++ {
		a, b := height(way[i-1]), height(way[i])
		if (a-alt)*(b-alt) > 0 || a == b {
			continue
		}
		share := (alt - a) / (b - a)
		from, to := way[i-1], way[i]
		distance, azimuth, _ := geo.Inverse(from.Point, to.Point)
		between := from
		between.Point, _ = geo.Direct(from.Point, azimuth, share*distance)
		between.Time = from.Time.Add(secondsOf(share * to.Time.Sub(from.Time).Seconds()))
		between.Alt = from.Alt + share*(to.Alt-from.Alt)
		return between, true
	}
	return Spot{}, false
}

// fromLaunch is a place as bearing and distance from the launch.
func (f *Facts) fromLaunch(at geo.Point) string {
	way, azimuth, _ := geo.Inverse(f.File.Launch.Point, at)
	if f.Odds == nil || way < 50 {
		return "at the launch"
	}
	return fmt.Sprintf("%s, %s", bearing(azimuth-f.Around.Magnetic.East), nautical(way))
}
