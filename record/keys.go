package record

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"pappus/craft/canopy"
	"pappus/craft/liftgas"
	"pappus/measure/unit"
)

// Bounds of what can be. They refuse slips of the pen (1200 kg for 1200 g), not
// unusual flights.
var (
	massHung     = between(0, 1000, "a mass from 0 to 1000 kg")
	lengthHung   = between(0, 1000, "a length from 0 to 1000 m")
	temperature  = above(0, 1000, "a temperature above absolute zero, at most 1000 K")
	pressureHeld = between(0, 1000*unit.Bar, "a gauge pressure from 0 to 1000 bar")
	timeTaken    = between(0, 1000*unit.Day, "a time from 0 to 1000 days")
	windSpeed    = between(0, 200, "a speed from 0 to 200 m/s")
	someShare    = between(0, 1, "a share from 0 % to 100 %")
	notNegative  = between(0, math.MaxFloat64, "0 or more")
)

func (f *Flight) fields() []field {
	return []field{
		whole("format", &f.Format, Format, Format, 0, "version of this kind of file"),
		text("name", &f.Name, ""),
		choice("rules", &f.Rules, []string{"US", "ICAO"}, `rule text to hold it against: "US" or "ICAO"`),
		text("currency", &f.Currency, "of every price below"),
		note(&f.Note),
	}
}

func (l *Launch) fields() []field {
	fields := append([]field{text("place", &l.Place, "")}, place(&l.Point, "degrees, east positive")...)
	return append(fields,
		elevation(&l.Elevation, "of the ground above the sea"),
		moment("time", &l.Time, "with the offset from UTC").must("the time of launch with its offset from UTC, such as 2027-04-17T08:00:00-05:00"),
		note(&l.Note))
}

func (e *Envelope) fields() []field {
	return []field{
		text("name", &e.Name, ""),
		plainQuantity("mass", unit.Mass, &e.Mass, above(0, 20, "the mass of a latex envelope, above 0 and at most 20 kg"), "of the empty envelope").must(`the mass of the empty envelope, such as "1200 g"`),
		quantity("burst_diameter", unit.Length, &e.BurstDiameter, above(0, 50, "a diameter above 0, at most 50 m"), "the data sheet's; typical for the mass when left out"),
		quantity("burst_spread", unit.Share, &e.BurstSpread, between(0, 0.5, `one standard deviation from 0 % to 50 %, such as "6 %"`), "one standard deviation"),
		dragField(&e.Drag),
		madeField(&e.Made),
		money("price", &e.Price, ""),
		note(&e.Note),
	}
}

func dragField(at *Drag) field {
	return field{key: "drag", remark: `"varying", or one coefficient for a textbook flight`,
		read: func(v *value) error {
			if v.kind == isText && v.text == "varying" {
				*at = Drag{Varying: true, Given: true}
				return nil
			}
			number, err := v.number()
			if err != nil || number <= 0 || number > 3 {
				return fmt.Errorf(`expected "varying" or a drag coefficient above 0, at most 3, such as 0.30`)
			}
			*at = Drag{Coefficient: number, Given: true}
			return nil
		},
		write: func() string {
			switch {
			case !at.Given:
				return ""
			case at.Varying:
				return `"varying"`
			}
			return numeral(at.Coefficient)
		}}
}

func madeField(at *YearMonth) field {
	return field{key: "made", remark: "year and month on the box",
		read: func(v *value) error {
			year, month, _, ok := v.calendar()
			if !ok || year < 1900 || year > 2200 {
				return fmt.Errorf(`expected a year and month, such as "2026-09"`)
			}
			*at = YearMonth{year, time.Month(month)}
			return nil
		},
		write: func() string {
			if !at.Known() {
				return ""
			}
			return fmt.Sprintf(`"%04d-%02d"`, at.Year, int(at.Month))
		}}
}

func dateField(at *Date) field {
	return field{key: "date",
		read: func(v *value) error {
			year, month, day, ok := v.calendar()
			if !ok || day == 0 {
				return fmt.Errorf(`expected a day, such as "2027-03-02"`)
			}
			*at = Date{year, time.Month(month), day}
			return nil
		},
		write: func() string { return fmt.Sprintf(`"%04d-%02d-%02d"`, at.Year, int(at.Month), at.Day) }}
}

func (g *Gas) fields() []field {
	kind := g.Kind.String()
	word := choice("kind", &kind, []string{liftgas.Helium.String(), liftgas.Hydrogen.String()}, `"helium" or "hydrogen"`)
	read := word.read
	word.read = func(v *value) error {
		err := read(v)
		if err == nil {
			g.Kind, err = liftgas.ByName(kind)
		}
		return err
	}
	return []field{
		word.must(`"helium" or "hydrogen"`),
		quantity("purity", unit.Share, &g.Purity, above(0, 1, `a share above 0 %, at most 100 %, such as "98 %"`), "share of the gas itself; the rest counts as air"),
		fillField(&g.Fill),
		note(&g.Note),
	}
}

// fillKeys are the five ways to state the fill.
var fillKeys = [...]struct {
	key      string
	kind     unit.Kind
	possible check
}{
	FreeLift:      {"free_lift", unit.Mass, massHung},
	NeckLift:      {"neck_lift", unit.Mass, massHung},
	Volume:        {"volume", unit.Volume, above(0, 1e4, "a volume above 0, at most 10,000 m3")},
	AscentRate:    {"ascent_rate", unit.Speed, above(0, 100, "a rate above 0, at most 100 m/s")},
	BurstAltitude: {"burst_altitude", unit.Length, above(0, 1e5, "a height above 0, at most 100 km")},
}

func fillField(at *Fill) field {
	const expected = `exactly one of free_lift, neck_lift, volume, ascent_rate and burst_altitude, such as { free_lift = "1100 g" }`
	f := field{key: "fill",
		remark: "exactly one of free_lift, neck_lift, volume, ascent_rate, burst_altitude",
		nested: func(d *document, v *value) { d.readFill(at, v) },
		write: func() string {
			way := fillKeys[at.Kind]
			return fmt.Sprintf("{ %s = %s }", way.key, amountText(at.Value, way.kind))
		}}
	return f.must(expected)
}

func (d *document) readFill(at *Fill, v *value) {
	if v.kind != isTable {
		d.fault(v.line, v.path, `expected exactly one of free_lift, neck_lift, volume, ascent_rate and burst_altitude, such as { free_lift = "1100 g" }`)
		return
	}
	var read [len(fillKeys)]Quantity
	fields := make([]field, len(fillKeys))
	for i, way := range fillKeys {
		fields[i] = quantity(way.key, way.kind, &read[i], way.possible, "")
	}
	d.table(v.table, fields)
	var stated []string
	for i, way := range fillKeys {
		if _, there := v.table.values[way.key]; there {
			stated = append(stated, way.key)
			*at = Fill{FillKind(i), read[i].Value}
		}
	}
	switch {
	case len(stated) > 1:
		d.fault(v.line, v.path, "%s are all given: expected exactly one way to state the fill", strings.Join(stated, ", "))
	case len(v.table.keys) == 0:
		d.fault(v.line, v.path, "empty: expected exactly one of free_lift, neck_lift, volume, ascent_rate and burst_altitude")
	}
}

func (c *Cylinder) fields() []field {
	return []field{
		text("name", &c.Name, ""),
		quantity("content", unit.Volume, &c.Content, above(0, 1000, "a volume above 0, at most 1000 m3"), "as the trade states it, at 70 F and 1 atm"),
		quantity("water_volume", unit.Volume, &c.WaterVolume, above(0, 10, "a volume above 0, at most 10 m3"), "what the empty bottle would hold of water"),
		quantity("pressure", unit.Pressure, &c.Pressure, pressureHeld, "as the gauge shows it"),
		quantity("temperature", unit.Temperature, &c.Temperature, temperature, "of the bottle when the gauge was read; 70 F when left out"),
		whole("count", &c.Count, 0, 1000, 1, ""),
		money("price", &c.Price, "of one"),
		money("deposit", &c.Deposit, "of one, given back"),
		note(&c.Note),
	}
}

// fields of a part are those of its kind.
func (p *Part) fields() []field {
	fields := []field{partField(&p.Kind), text("name", &p.Name, "")}
	if p.Kind == Parachute {
		fields = append(fields, p.Canopy.fields()...)
	}
	if p.Kind != Box {
		fields = append(fields, quantity("length", unit.Length, &p.Length, lengthHung, ""))
	}
	fields = append(fields, p.massField())
	switch p.Kind {
	case Line, Other:
		fields = append(fields, quantity("breaking_load", unit.Force, &p.BreakingLoad, above(0, 1e6, "a load above 0, at most 1000 kN"), "what it holds before it parts"))
	case Box:
		fields = append(fields, p.boxFields()...)
	}
	return append(fields, money("price", &p.Price, ""), note(&p.Note))
}

func (p *Part) massField() field {
	remark := ""
	switch {
	case p.Kind == Box && len(p.Items) > 0:
		remark = "the bare box; the items below are added"
	case p.Kind == Box:
		remark = "with everything in it"
	}
	return quantity("mass", unit.Mass, &p.Mass, massHung, remark)
}

func partField(at *PartKind) field {
	word := at.String()
	f := choice("part", &word, partKinds[:], "")
	read := f.read
	f.read = func(v *value) error {
		err := read(v)
		if err == nil {
			*at = PartKind(slices.Index(partKinds[:], word))
		}
		return err
	}
	return f.must(`"line", "parachute", "reflector", "box" or "other"`)
}

func (c *Canopy) fields() []field {
	var names []string
	for _, k := range canopy.Kinds() {
		names = append(names, k.Name)
	}
	kind := ""
	if c.KindGiven {
		kind = c.Kind
	}
	word := choice("canopy", &kind, names, "")
	read := word.read
	word.read = func(v *value) error {
		err := read(v)
		if err == nil {
			c.Kind, c.KindGiven = kind, true
		}
		return err
	}
	return []field{
		word,
		quantity("diameter", unit.Length, &c.Diameter, above(0, 100, "a diameter above 0, at most 100 m"), "nominal, laid flat"),
		coefficient("drag", &c.Drag, 3, "on the area laid flat; typical for the canopy when left out"),
		ratedField(&c.Rated),
	}
}
