package record

import (
	"fmt"
	"math"

	"pappus/measure/geo"
	"pappus/measure/unit"
)

func ratedField(at *Rated) field {
	const expected = `a mass and the speed it comes down at, such as { mass = "2 kg", speed = "5 m/s" }`
	return field{key: "rated", remark: "what the maker says it carries, and how fast that falls at sea level",
		nested: func(d *document, v *value) {
			if v.kind != isTable {
				d.fault(v.line, v.path, "expected %s", expected)
				return
			}
			told := len(d.faults)
			d.table(v.table, []field{
				plainQuantity("mass", unit.Mass, &at.Mass, above(0, 1000, "a mass above 0, at most 1000 kg"), "").must(expected),
				plainQuantity("speed", unit.Speed, &at.Speed, above(0, 100, "a speed above 0, at most 100 m/s"), "").must(expected),
			})
			at.Given = len(d.faults) == told
		},
		write: func() string {
			if !at.Given {
				return ""
			}
			return fmt.Sprintf("{ mass = %s, speed = %s }", amountText(at.Mass, unit.Mass), amountText(at.Speed, unit.Speed))
		}}
}

func (p *Part) boxFields() []field {
	return []field{
		sizeField(&p.Size),
		text("foam", &p.Wall.Foam, "what the walls are of, such as XPS"),
		quantity("wall", unit.Length, &p.Wall.Thickness, between(0, 1, "a thickness from 0 to 1 m"), "thickness of the foam"),
		quantity("conductivity", unit.Conductivity, &p.Wall.Conductivity, above(0, 400, "a conductivity above 0, at most 400 W/mK"), "of the foam; typical for it when left out"),
		choice("finish", &p.Wall.Finish, []string{"white", "foil", "black", "bare"}, "of the outside"),
	}
}

func sizeField(at *Size) field {
	possible := above(0, 10, "an edge above 0, at most 10 m")
	return field{key: "size", remark: "outside: length, width, height as it hangs",
		nested: func(d *document, v *value) {
			if v.kind != isList || len(v.items) != len(at.Edges) {
				d.fault(v.line, v.path, `expected three edges, such as ["20 cm", "20 cm", "25 cm"]`)
				return
			}
			told := len(d.faults)
			for i, item := range v.items {
				edge, err := item.amount(unit.Length)
				if err == nil {
					err = possible(edge)
				}
				if err != nil {
					d.fault(item.line, item.path, "%s", err.Error())
				}
				at.Edges[i] = edge
			}
			at.Given = len(d.faults) == told
		},
		write: func() string {
			if !at.Given {
				return ""
			}
			e := at.Edges
			return fmt.Sprintf("[%s, %s, %s]", amountText(e[0], unit.Length), amountText(e[1], unit.Length), amountText(e[2], unit.Length))
		}}
}

func (i *Item) fields() []field {
	dataSize := above(0, 1e18, "an amount of data above 0")
	electric := between(0, 1e9, "0 or more, at most a billion")
	return []field{
		text("name", &i.Name, ""),
		choice("kind", &i.Kind, ItemKinds(), ""),
		plainQuantity("mass", unit.Mass, &i.Mass, massHung, "of one").must(`the mass of one, such as "95 g"; "0 g" when it is part of another item`),
		whole("count", &i.Count, 0, 1000, 1, ""),
		money("price", &i.Price, "of one"),
		quantity("power", unit.Power, &i.Power, electric, "taken on average while on"),
		text("supply", &i.Supply, "the name of the item that feeds it"),
		quantity("coldest", unit.Temperature, &i.Coldest, temperature, "rated"),
		quantity("warmest", unit.Temperature, &i.Warmest, temperature, "rated"),
		quantity("capacity", unit.Charge, &i.Capacity, electric, "of one cell, at room temperature"),
		quantity("voltage", unit.Voltage, &i.Voltage, electric, "of one cell, on average"),
		quantity("energy", unit.Energy, &i.Energy, electric, "of one"),
		choice("chemistry", &i.Chemistry, Chemistries(), ""),
		quantity("field_of_view", unit.Angle, &i.FieldOfView, above(0, 2*math.Pi, "an angle above 0, at most 360 deg"), "across the picture"),
		choice("lens", &i.Lens, []string{"rectilinear", "fisheye"}, ""),
		whole("image_width", &i.ImageWidth, 1, 1000000, 0, "pixels"),
		quantity("bit_rate", unit.DataRate, &i.BitRate, dataSize, "while recording"),
		quantity("every", unit.Time, &i.Every, above(0, unit.Day, "a time above 0, at most a day"), "between still pictures"),
		quantity("picture_size", unit.DataSize, &i.PictureSize, dataSize, "of one still picture"),
		quantity("storage", unit.DataSize, &i.Storage, dataSize, "of the card"),
		quantity("heat", unit.Power, &i.Heat, electric, "of a heat pack at sea level"),
		quantity("lasts", unit.Time, &i.Lasts, timeTaken, ""),
		note(&i.Note),
	}
}

func (r *Reporter) fields() []field {
	return []field{
		text("name", &r.Name, ""),
		choice("kind", &r.Kind, []string{"satellite", "radio", "cellular", "other"}, "").must(`"satellite", "radio", "cellular" or "other"`),
		quantity("every", unit.Time, &r.Every, above(0, 1000*unit.Day, "a time above 0"), "between positions"),
		quantity("delay", unit.Time, &r.Delay, timeTaken, "until a position is heard"),
		flag("height_reported", &r.HeightReported, ""),
		ceilingField(&r.Ceiling),
		quantity("frequency", unit.Frequency, &r.Frequency, above(0, 1e12, "a frequency above 0, at most 1000 GHz"), ""),
		text("call_sign", &r.CallSign, ""),
		money("price", &r.Price, ""),
		note(&r.Note),
	}
}

func ceilingField(at *Ceiling) field {
	return field{key: "ceiling", remark: `height above which it is silent, or "none"`,
		read: func(v *value) error {
			if v.kind == isText && v.text == "none" {
				*at = Ceiling{Given: true}
				return nil
			}
			height, err := v.amount(unit.Length)
			if err != nil {
				return fmt.Errorf(`expected "none" or a height with its unit, such as "18 km"`)
			}
			if height < 0 || height > 1e6 {
				return fmt.Errorf("impossible: expected a height from 0 to 1000 km")
			}
			*at = Ceiling{Limited: true, Height: geo.AltMSL(height), Given: true}
			return nil
		},
		write: func() string {
			switch {
			case !at.Given:
				return ""
			case !at.Limited:
				return `"none"`
			}
			return amountText(float64(at.Height), unit.Length)
		}}
}

func (s *Site) fields() []field {
	fields := append([]field{text("name", &s.Name, "").must("a name to tell the place by")}, place(&s.Point, "")...)
	return append(fields,
		elevation(&s.Elevation, ""),
		quantity("drive", unit.Time, &s.Drive, timeTaken, "to get there"),
		note(&s.Note))
}

func (l *Limits) fields() []field {
	return []field{
		quantity("launch_wind", unit.Speed, &l.LaunchWind, windSpeed, "mean, at the surface"),
		quantity("launch_gust", unit.Speed, &l.LaunchGust, windSpeed, ""),
		quantity("landing_wind", unit.Speed, &l.LandingWind, windSpeed, "at the surface"),
		quantity("landing_speed", unit.Speed, &l.LandingSpeed, windSpeed, "downwards"),
		quantity("landing_energy", unit.Energy, &l.LandingEnergy, notNegative, "of the heaviest box"),
		quantity("rise", unit.Speed, &l.Rise, windSpeed, "the slowest accepted"),
		quantity("water", unit.Share, &l.Water, someShare, "of the landings"),
		quantity("town", unit.Share, &l.Town, someShare, "of the landings"),
		quantity("airfield", unit.Share, &l.Airfield, someShare, "of the landings"),
		quantity("border", unit.Share, &l.Border, someShare, "of the landings"),
		quantity("cloud", unit.Share, &l.Cloud, someShare, "of the sky"),
		quantity("drift", unit.Length, &l.Drift, notNegative, "from launch to landing"),
		quantity("drive", unit.Time, &l.Drive, timeTaken, "to the landing place"),
		quantity("daylight", unit.Time, &l.Daylight, between(0, unit.Day, "a time from 0 to 24 h"), "left after the landing"),
		quantity("forecast_age", unit.Time, &l.ForecastAge, timeTaken, "at launch"),
		money("budget", &l.Budget, "for everything"),
		note(&l.Note),
	}
}

func (c *Contact) fields() []field {
	return []field{
		text("name", &c.Name, "").must("the name of a person or an office"),
		text("role", &c.Role, ""),
		text("phone", &c.Phone, ""),
		text("email", &c.Email, ""),
		note(&c.Note),
	}
}

func (r *Remains) fields() []field {
	return []field{
		{key: "share", remark: "of the envelope's mass left on the cord after the burst; a range or one share",
			read: func(v *value) error {
				low, high, err := v.share()
				if err != nil {
					return err
				}
				*r = Remains{low, quarterWay(low, high), high, true, r.Note}
				return nil
			},
			write: r.shareText},
		note(&r.Note),
	}
}

// quarterWay is the centre of remains between two bounds.
func quarterWay(low, high float64) float64 { return low + (high-low)/4 }

func (v *value) share() (low, high float64, err error) {
	switch {
	case v.kind == isText:
		low, high, err = unit.ParseRange(v.text, unit.Share)
	case v.kind == isList && len(v.items) == 2:
		if low, err = v.items[0].amount(unit.Share); err == nil {
			high, err = v.items[1].amount(unit.Share)
		}
	default:
		low, err = v.number()
		high = low
	}
	switch {
	case err != nil:
		return 0, 0, fmt.Errorf(`expected a share such as "30 %%", or a range such as "10 %% to 90 %%"`)
	case low < 0 || high > 1 || low > high:
		return 0, 0, fmt.Errorf("impossible: expected shares from 0 %% to 100 %%, the smaller first")
	}
	return low, high, nil
}

func (r *Remains) shareText() string {
	if !r.Given {
		return ""
	}
	low, lowOK := unit.Text(r.Low, unit.Share)
	high, highOK := unit.Text(r.High, unit.Share)
	switch {
	case r.Low == r.High:
		return amountText(r.Low, unit.Share)
	case lowOK && highOK:
		return quoted(low + " to " + high)
	}
	return fmt.Sprintf("[%s, %s]", numeral(r.Low), numeral(r.High))
}

func (t *Test) fields() []field {
	return []field{
		text("what", &t.What, "").must(`what was tested, such as "drop"`),
		dateField(&t.Date).must(`the day, such as "2027-03-02"`),
		choice("result", &t.Result, []string{"pass", "fail"}, "").must(`"pass" or "fail"`),
		text("part", &t.Part, "the name of the part, item or reporter"),
		text("by", &t.By, ""),
		quantity("mass", unit.Mass, &t.Mass, massHung, "measured"),
		quantity("speed", unit.Speed, &t.Speed, windSpeed, "measured"),
		quantity("load", unit.Force, &t.Load, between(0, 1e6, "a load from 0 to 1000 kN"), "measured"),
		quantity("time", unit.Time, &t.Time, timeTaken, "measured"),
		quantity("temperature", unit.Temperature, &t.Temperature, temperature, "measured; of a soak the inside at its end"),
		quantity("start", unit.Temperature, &t.Start, temperature, "inside when the soak began"),
		quantity("outside", unit.Temperature, &t.Outside, temperature, "around the box or the cells"),
		quantity("power", unit.Power, &t.Power, between(0, 1e4, "0 to 10 kW"), "burnt inside"),
		quantity("reference", unit.Mass, &t.Reference, massHung, "a mass known from elsewhere"),
		quantity("distance", unit.Length, &t.Distance, between(0, 2e6, "a distance from 0 to 2000 km"), "to the receiver"),
		quantity("error", unit.Share, &t.Error, above(0, 0.5, `one standard deviation above 0 %, at most 50 %, such as "3 %"`), "one standard deviation of what was measured"),
		note(&t.Note),
	}
}

func (s *Spare) fields() []field {
	return []field{
		text("name", &s.Name, "").must("what it is"),
		whole("count", &s.Count, 0, 1000, 1, ""),
		money("price", &s.Price, "of one"),
		note(&s.Note),
	}
}

func (c *Cost) fields() []field {
	return []field{
		money("travel", &c.Travel, "fuel, nights, tolls of launch and recovery"),
		money("fees", &c.Fees, "subscriptions, licences, insurance"),
		money("other", &c.Other, ""),
		quantity("returned", unit.Share, &c.Returned, someShare, "of the deposits; all of them when left out"),
		note(&c.Note),
	}
}

func (r *Recovery) fields() []field {
	return []field{
		quantity("water", unit.Share, &r.Water, someShare, "of the landings, when no forecast says it"),
		quantity("water_found", unit.Share, &r.WaterFound, someShare, "of those in water that come back"),
		quantity("out_of_reach", unit.Share, &r.OutOfReach, someShare, "cliffs, crops, refusals, forest"),
		quantity("silent", unit.Share, &r.Silent, someShare, "all reporters silent after the landing"),
		quantity("found", unit.Share, &r.Found, someShare, "come back when a place is known"),
		quantity("label", unit.Share, &r.Label, someShare, "a finder answers the label"),
		note(&r.Note),
	}
}

func (f *Flown) fields() []field {
	return []field{
		moment("time", &f.Time, "of release"),
		quantity("neck_lift", unit.Mass, &f.NeckLift, massHung, "as weighed on the neck"),
		quantity("gauge_before", unit.Pressure, &f.GaugeBefore, pressureHeld, ""),
		quantity("gauge_after", unit.Pressure, &f.GaugeAfter, pressureHeld, ""),
		quantity("air_temperature", unit.Temperature, &f.AirTemperature, temperature, ""),
		quantity("gas_temperature", unit.Temperature, &f.GasTemperature, temperature, ""),
		quantity("weighed", unit.Mass, &f.Weighed, massHung, "all that hung below the neck"),
		notes("notes", &f.Notes, ""),
		note(&f.Note),
	}
}
