package flight

import (
	"time"

	"pappus/air/forecast"
	"pappus/measure/geo"
)

// Column is the air over a place.
type Column struct {
	Source  string      `json:"source"`
	Lat     float64     `json:"lat_deg"`
	Lon     float64     `json:"lon_deg"`
	Time    string      `json:"time"`
	Profile []ColumnRow `json:"profile"`
}

// ColumnRow is one pressure level.
type ColumnRow struct {
	Alt         float64 `json:"alt_m"`
	Pressure    float64 `json:"pressure_pa"`
	Temperature float64 `json:"temperature_k"`
	East        float64 `json:"wind_east_mps"`
	North       float64 `json:"wind_north_mps"`
}

// Air answers the column over a place; a zero time is the files' first step.
func Air(sky Sky, place geo.Point, when time.Time) (*Column, error) {
	cube, err := forecast.Load(sky.Files, forecast.Request{Place: place, Launch: when, Workers: sky.Workers})
	if err != nil {
		return nil, err
	}
	if when.IsZero() {
		when = cube.Epoch()
	}
	c := &Column{Source: cube.Info().Source, Lat: place.LatDeg, Lon: place.LonDeg, Time: when.UTC().Format(time.RFC3339)}
	for _, l := range cube.Column(place, cube.Seconds(when), 0) {
		c.Profile = append(c.Profile, ColumnRow{float64(l.Alt), l.Pressure, l.Temperature, l.WindEast, l.WindNorth})
	}
	return c, nil
}
