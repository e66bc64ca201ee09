// Package odds compares the landing ensemble with a plain C loop of the same
// steps, events and layout.
package odds

import (
	"context"
	"testing"

	"pappus/air/forecast"
	"pappus/demo"
	"pappus/flight"
	"pappus/record"
)

// BenchmarkTenThousandMembers flies 10,000 members through two steps of a
// GRIB2 forecast to the ground, all spreads on, file reading included.
func BenchmarkTenThousandMembers(b *testing.B) {
	name, text := demo.Flight()
	f, err := record.Parse(name, text)
	if err != nil {
		b.Fatal(err)
	}
	skyName, data := demo.Forecast()
	sky := flight.Sky{Files: []forecast.File{{Name: skyName, Data: data}}, Workers: 2}
	for b.Loop() {
		if _, err := flight.Where(context.Background(), f, sky, flight.OddsOptions{Members: 10000, Seed: 1, Workers: 2}); err != nil {
			b.Fatal(err)
		}
	}
}
