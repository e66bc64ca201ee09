package sizing

import (
	"math"
	"strings"
	"testing"

	"pappus/air/atmosphere"
	"pappus/craft/envelope"
	"pappus/measure/geo"
)

const strongFill = `{ free_lift = "1400 g" }`

// With the film the burst is where air and film together hold the gas at the
// converted size: (p + film) d³ π/6 = n R T, at the height that was flown.
func TestFilmBurstHoldsTheGas(t *testing.T) {
	a := planned(t, parsed(t, usualFill, strongFill), Options{Film: true})
	air := atmosphere.At(geo.AltMSL(a.Burst.Nominal))
	gives := envelope.ConvertRating(8.3, 1.2, envelope.RatingPressure(1.2))
	held := (air.Pressure + envelope.RubberPressure(1.2, gives)) * envelope.Volume(gives)
	if gas := a.Gas.Moles * 8.31432 * air.Temperature; math.Abs(held/gas-1) > 2e-3 {
		t.Errorf("air and film hold %g J, the gas has %g", held, gas)
	}
	if !a.Film.Counted || a.Film.BurstShift == nil {
		t.Errorf("%+v", a.Film)
	}
}

// What the plan without the film says of it must be what the plan with it flies.
func TestFilmEffectIsThatOfARealFlight(t *testing.T) {
	f := parsed(t, usualFill, strongFill)
	bare, taut := planned(t, f, Options{}), planned(t, f, Options{Film: true})
	if math.Abs(taut.Burst.Nominal-bare.Burst.Nominal-*bare.Film.BurstShift) > 1 || math.Abs(*bare.Film.BurstShift-*taut.Film.BurstShift) > 1 {
		t.Errorf("burst %.0f and %.0f m, said %+.0f and %+.0f", bare.Burst.Nominal, taut.Burst.Nominal, *bare.Film.BurstShift, *taut.Film.BurstShift)
	}
	if bare.Film.Counted || bare.Film.Pressure < 150 || bare.Film.Pressure > 300 { // about 2.4 hPa
		t.Errorf("%+v", bare.Film)
	}
}

func TestTextbookFlightKnowsNoFilm(t *testing.T) {
	f := parsed(t, `"varying"`, "0.30")
	if _, err := worked(f, Options{Film: true}); err == nil || !strings.Contains(err.Error(), "varying") {
		t.Errorf("%v", err)
	}
	if a := planned(t, f, Options{}); a.Film.BurstShift != nil {
		t.Errorf("%+v", a.Film)
	}
}

// A fill whose free lift is less than what the film takes away high up floats.
func TestFilmThatFloatsIsSaid(t *testing.T) {
	f := parsed(t, usualFill, `{ free_lift = "700 g" }`)
	if a := planned(t, f, Options{}); !a.Film.Floats || a.Film.BurstShift != nil {
		t.Errorf("%+v", a.Film)
	}
	if _, err := worked(f, Options{Film: true}); err == nil || !strings.Contains(err.Error(), "film") {
		t.Errorf("%v", err)
	}
}
