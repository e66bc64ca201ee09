package demo

import (
	"math"
	"testing"

	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/record"
)

// The embedded file, read like any forecast, must hold the formulas' values to
// the precision it was packed with.
func TestFileHoldsTheInventedSky(t *testing.T) {
	name, data := Forecast()
	_, text := Flight()
	f, err := record.Parse("flight.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	cube, err := forecast.Load([]forecast.File{{Name: name, Data: data}}, forecast.Request{Place: f.Launch.Point, Launch: f.Launch.Time})
	if err != nil {
		t.Fatal(err)
	}
	at := geo.Point{LatDeg: 41.5, LonDeg: -98.5}
	const hour = 15
	column := cube.Column(at, hour*3600-cube.Epoch().Sub(Cycle).Seconds(), 0)
	if len(column) != len(Levels) {
		t.Fatalf("%d levels, want %d", len(column), len(Levels))
	}
	for i, level := range column {
		want := Sky(at.LatDeg, at.LonDeg, Levels[i], hour*3600)
		height := float64(geo.Geometric(geo.Geopotential(want.Height), at.LatDeg))
		// Half a unit of the packing: 1 m, 0.1 K, 0.1 m/s; and the float32 grid.
		if math.Abs(float64(level.Alt)-height) > 0.51 || math.Abs(level.Temperature-want.Temperature) > 0.0501 ||
			math.Abs(level.WindEast-want.East) > 0.0501 || math.Abs(level.WindNorth-want.North) > 0.0501 {
			t.Errorf("%g hPa: %+v, want %+v at %.1f m", Levels[i], level, want, height)
		}
	}
}

// An invented sky must still hang together: heights rise, air is neither
// hotter nor colder than air is, winds stay below a strong jet's.
func TestInventedSkyIsPlausible(t *testing.T) {
	for lat := South; lat <= North; lat += 2.5 {
		for lon := West; lon <= East; lon += 4 {
			below := math.Inf(-1)
			for _, p := range Levels {
				n := Sky(lat, lon, p, 13*3600)
				if n.Height <= below || n.Temperature < 195 || n.Temperature > 305 || math.Hypot(n.East, n.North) > 75 {
					t.Errorf("%g N %g E %g hPa: %+v over %.0f m", lat, lon, p, n, below)
				}
				below = n.Height
			}
		}
	}
}
