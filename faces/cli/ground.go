package cli

import (
	"context"
	"time"

	"pappus/desk/papers"
	"pappus/flight"
	"pappus/measure/geo"
	"pappus/measure/unit"
)

var groundCommand = command{
	name: "ground", operands: "[FILE]",
	summary: "what lies around a launch place, or any place: land, towns, airfields, light, magnetic north",
	text:    "Give a flight file, or --lat and --lon with --time.",
	options: append([]option{
		{"lat", isValue, "D", "latitude in degrees, south negative"},
		{"lon", isValue, "D", "longitude in degrees, west negative"},
		{"time", isValue, "T", "an instant such as 2027-04-17T13:00:00Z"},
	}, landOptions...),
	example: "pappus ground flight.toml",
	run: func(_ context.Context, d *Desk, a *arguments) error {
		place, when, system, err := a.somewhere()
		if err != nil {
			return err
		}
		land, err := a.land()
		if err != nil {
			return err
		}
		answer, err := flight.Around(place, when, land)
		if err != nil {
			return err
		}
		if a.has("json") {
			return d.printJSON(answer)
		}
		return d.print(groundPage(answer, when.Location(), system))
	},
}

// somewhere answers the place, instant and units of a flight file or of flags.
func (a *arguments) somewhere() (place geo.Point, when time.Time, system unit.System, err error) {
	if len(a.operands) == 0 {
		if place, when, err = a.placeAndTime(); err == nil && when.IsZero() {
			err = usage("--time is needed for the Sun and magnetic north")
		}
		if err == nil {
			system, err = a.system(unit.Metric)
		}
		return place, when, system, err
	}
	path, err := a.operand("flight file")
	if err != nil {
		return place, when, system, err
	}
	if a.has("lat") || a.has("lon") || a.has("time") {
		return place, when, system, usage("give a flight file, or a place and a time, not both")
	}
	f, err := readFlight(path)
	if err != nil {
		return place, when, system, err
	}
	system, err = a.system(unitsOf(f))
	return f.Launch.Point, f.Launch.Time, system, err
}

func groundPage(s *papers.Surroundings, zone *time.Location, u unit.System) string {
	p := &page{}
	p.title("", "around "+coordinates(s.Lat, s.Lon))
	p.head("Here")
	where := s.Ground
	for _, name := range []string{s.State, s.Country} {
		if name != "" {
			where += ", " + name
		}
	}
	p.row("ground", "%s", where)
	p.row("height", "%s, give or take %s (%s)", unit.FormatHeight(s.Elevation.Alt, u), unit.FormatHeight(s.Elevation.Error, u), s.Elevation.Source)
	for _, o := range s.Own {
		p.row("your area", "%s (%s)", o.Name, o.Kind)
	}
	p.head("Towns")
	for _, t := range s.Towns {
		p.row("", "%s of %s, %s (%d people)", unit.FormatDistance(t.Distance, u)+" "+bearing(t.FromTown), t.Name, t.State, t.Population)
	}
	p.head("Airfields: where this place lies from them")
	for _, f := range s.Airfields {
		p.row(f.Ident, "%s (%s): %.1f NM on bearing %03.0f° magnetic, %03.0f° true", f.Name, f.Kind, f.NM, f.Magnetic, f.True)
	}
	p.lines("  ", s.TowerNotes)
	p.head("Light and north")
	p.row("sun", "rises %s, sets %s; civil twilight %s to %s%s", clock(s.Sun.Rise, zone), clock(s.Sun.Set, zone), clock(s.Sun.Dawn, zone), clock(s.Sun.Dusk, zone), s.Sun.Note)
	p.row("compass", "magnetic north is %.1f° east of true, give or take %.1f° (%s, valid %s to %s) %s",
		s.Magnetic.East, s.Magnetic.Error, s.Magnetic.Model, s.Magnetic.From, s.Magnetic.Until, s.Magnetic.Caution)
	p.head("Not looked at")
	for _, n := range s.NotLooked {
		p.item("-", n)
	}
	return p.String()
}
