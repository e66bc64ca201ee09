package ensemble

import (
	"math"
	"strings"
	"testing"
	"time"

	"pappus/air/forecast"
	"pappus/ground/landcover"
	"pappus/motion/trajectory"
)

// Landings at places that any atlas knows must be counted as what they are.
func TestLieOfTheLandCountsKnownPlaces(t *testing.T) {
	world, err := landcover.World()
	if err != nil {
		t.Fatal(err)
	}
	areas, err := landcover.ParseAreas("own.geojson", []byte(`{"type":"Feature","properties":{"kind":"keep out","name":"north field"},
		"geometry":{"type":"Polygon","coordinates":[[[-98.01,40.99],[-97.99,40.99],[-97.99,41.01],[-98.01,41.01],[-98.01,40.99]]]}}`))
	if err != nil {
		t.Fatal(err)
	}
	noon := time.Date(2027, 6, 1, 18, 0, 0, 0, time.UTC) // midday at 100 W
	sky := forecast.Invent(forecast.Shape{South: 30, West: -110, LatStep: 5, LonStep: 5, Rows: 3, Cols: 3, Times: []time.Time{noon}, Pressures: []float64{100000, 50000}},
		func(_, _, p, _ float64, _ int) forecast.Node {
			return forecast.Node{Height: 1000, Temperature: 280, East: p * 0}
		})
	q := &Request{Sky: sky, Start: trajectory.Place{LatDeg: 40.1, LonDeg: -99.2}} // Nebraska
	r := &Result{Landings: []Landing{
		{Lat: 43.5, Lon: -87.2},                         // Lake Michigan
		{Lat: 30, Lon: -60},                             // the Atlantic
		{Lat: 41.26, Lon: -95.94},                       // Omaha, Nebraska: a town, and an airfield near
		{Lat: 41, Lon: -98},                             // the area drawn
		{Lat: 39.5, Lon: -98.5},                         // Kansas
		{Lat: 50.5, Lon: -104.6, Seconds: 12 * 3600},    // Canada, in the night
		{Lat: 41.3, Lon: -99, Status: trajectory.Aloft}, // did not come down
		{Lat: 41.5, Lon: -99.5},
	}}
	got := map[string]float64{}
	for _, c := range r.LieOfTheLand(q, world.With(areas...)) {
		got[c.What] = c.Probability
	}
	for what, want := range map[string]float64{
		"lands in the sea": 1, "lands in a lake": 1, "lands in another country": 1,
		"lands where you have drawn keep out": 1, `lands in your area "north field" (keep out)`: 1,
		"lands after sunset or before sunrise": 1,
	} {
		if math.Abs(got[what]-want/8) > 1e-12 {
			t.Errorf("%s: %v, want %v of 8", what, got[what], want)
		}
	}
	if got["lands in a town"] < 1.0/8 {
		t.Errorf("the middle of Omaha is no town")
	}
	// Kansas is another state; the lake belongs to one too.
	if n := got["lands in another state or province"]; n < 1.0/8 {
		t.Errorf("another state: %v", n)
	}
	near := 0.0
	for what, p := range got {
		if strings.HasPrefix(what, "lands within 5 km of an airfield") {
			near += p
		}
	}
	if near == 0 {
		t.Error("no airfield near Omaha's middle")
	}
}
