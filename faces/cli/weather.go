package cli

import (
	"context"
	"fmt"
	"strings"
	"time"

	"pappus/air/forecast"
	"pappus/flight"
	"pappus/measure/geo"
	"pappus/measure/unit"
)

var weatherShowCommand = command{
	name: "weather show", operands: "PATH…",
	summary: "list and decode every field of weather files",
	example: "pappus weather show gfs.t00z.pgrb2.0p25.f012",
	run: func(_ context.Context, d *Desk, a *arguments) error {
		if len(a.operands) == 0 {
			return usage("name at least one file or folder")
		}
		files, err := readWeather(a.operands)
		if err != nil {
			return err
		}
		messages := []forecast.Message{}
		faults := forecast.Inventory(files, func(m forecast.Message) { messages = append(messages, m) })
		if a.has("json") {
			err = d.printJSON(map[string]any{"messages": messages})
		} else {
			err = d.print(inventoryPage(messages))
		}
		if err == nil && len(faults) > 0 {
			return faults
		}
		return err
	},
}

// inventoryPage is one line for each field.
func inventoryPage(messages []forecast.Message) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-10s %-22s %-20s %6s  %-34s %12s %12s  %s\n", "parameter", "level", "valid (UTC)", "step h", "grid", "lowest", "highest", "packing")
	for _, m := range messages {
		fmt.Fprintf(&b, "%-10s %-22s %-20s %6.4g  %-34s %12.6g %12.6g  %s\n",
			m.Parameter, m.Level, m.Time.UTC().Format("2006-01-02 15:04"), m.Step/3600, m.Grid, float64(m.Min), float64(m.Max), m.Packing)
	}
	fmt.Fprintf(&b, "%d fields, in the units of the files, which are SI\n", len(messages))
	return b.String()
}

var weatherAtCommand = command{
	name: "weather at", operands: "PATH…",
	summary: "the column of air over a place: one row for each pressure level of the files, lowest first",
	text:    "Bilinear in place, linear in time, nothing resampled in height. Without --time the first step.",
	options: []option{
		{"lat", isValue, "D", "latitude in degrees, south negative"},
		{"lon", isValue, "D", "longitude in degrees, -180 to 360, west negative"},
		{"time", isValue, "T", "an instant such as 2027-04-17T13:00:00Z"},
	},
	example: "pappus weather at forecasts/ --lat 40.1 --lon -99.2 --time 2027-04-17T13:00:00Z",
	run: func(_ context.Context, d *Desk, a *arguments) error {
		if len(a.operands) == 0 {
			return usage("name at least one file or folder")
		}
		place, when, err := a.placeAndTime()
		if err != nil {
			return err
		}
		system, err := a.system(unit.Metric)
		if err != nil {
			return err
		}
		files, err := readWeather(a.operands)
		if err != nil {
			return err
		}
		profile, err := flight.Air(flight.Sky{Files: files, Workers: d.Workers}, place, when)
		if err != nil {
			return err
		}
		if a.has("json") {
			return d.printJSON(profile)
		}
		return d.print(columnPage(profile, system))
	},
}

// placeAndTime reads the flags of a column; a zero time is the first step.
func (a *arguments) placeAndTime() (geo.Point, time.Time, error) {
	none := geo.Point{}
	if !a.has("lat") || !a.has("lon") {
		return none, time.Time{}, usage("name the place: --lat D --lon D")
	}
	lat, err := a.number("lat", 0)
	if err != nil {
		return none, time.Time{}, err
	}
	lon, err := a.number("lon", 0)
	if err != nil {
		return none, time.Time{}, err
	}
	place, err := geo.NewPoint(lat, lon)
	if err != nil {
		return none, time.Time{}, usage("%v", err)
	}
	text := a.last("time", "")
	if text == "" {
		return place, time.Time{}, nil
	}
	when, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return none, time.Time{}, usage("--time: %q is no instant such as 2027-04-17T13:00:00Z (the zone is needed)", text)
	}
	return place, when, nil
}

func columnPage(c *flight.Column, system unit.System) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s at %s\n%12s %10s %12s %10s %10s\n", c.Source, c.Time, "height", "pressure", "temperature", "from", "wind")
	for _, r := range c.Profile {
		from, speed := forecast.WindFrom(r.East, r.North)
		fmt.Fprintf(&b, "%12s %10s %12s %9.0f° %10s\n", unit.FormatHeight(r.Alt, system), fmt.Sprintf("%.4g hPa", r.Pressure/100),
			unit.FormatTemperature(r.Temperature, system), from, unit.FormatSpeed(speed, system))
	}
	return b.String()
}
