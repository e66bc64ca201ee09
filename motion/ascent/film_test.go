package ascent

import (
	"math"
	"testing"

	"pappus/craft/envelope"
)

// Where BurstAbove says that the balloon bursts it must have that size: the
// same air, thinned to that height at one temperature, blown up by In.
func TestFilmBurstIsWhereTheSizeIs(t *testing.T) {
	b := withFreeLift(1, envelope.Drag{})
	b.Film = true
	b.BurstDiameter = 7
	for _, z := range []float64{0, 10000, 25000} {
		air := standardAir(z)
		const gravity = 9.8
		above := b.BurstAbove(air, b.In(air), gravity)
		thin := air
		thin.Pressure *= math.Exp(-above * air.Density * gravity / air.Pressure)
		thin.Density *= thin.Pressure / air.Pressure
		// TautDiameter is good to nine digits, its logarithm here to seven.
		if got := b.In(thin).Diameter; math.Abs(got-7) > 1e-6 {
			t.Errorf("from %g m: %g m wide at the burst, want 7", z, got)
		}
	}
}

// The film's 2.4 hPa are 0.24 % of the pressure at the ground, so 0.08 % of the
// diameter there, and some 20 % of the 12 hPa at 30 km, so 6 % of the diameter.
func TestFilmHoldsTheBalloonSmaller(t *testing.T) {
	bare := withFreeLift(1, envelope.Drag{})
	taut := bare
	taut.Film = true
	for _, c := range []struct{ z, low, high float64 }{{0, 0.0003, 0.0015}, {30000, 0.03, 0.09}} {
		air := standardAir(c.z)
		smaller := 1 - taut.In(air).Diameter/bare.In(air).Diameter
		if smaller < c.low || smaller > c.high {
			t.Errorf("%g m: %.4f smaller, want %g to %g", c.z, smaller, c.low, c.high)
		}
	}
}

func TestFilmThatHoldsTheGasNeverBursts(t *testing.T) {
	b := withFreeLift(1, envelope.Drag{})
	b.Film = true
	b.BurstDiameter = 40
	air := standardAir(20000)
	if above := b.BurstAbove(air, b.In(air), 9.7); !math.IsInf(above, 1) {
		t.Errorf("bursts %g m higher, and the film holds all the gas below that size", above)
	}
}

func TestFilmDoesNotAllocate(t *testing.T) {
	b := withFreeLift(1, envelope.Drag{})
	b.Film, b.BurstDiameter = true, 7
	air := standardAir(20000)
	if n := testing.AllocsPerRun(100, func() {
		s := b.In(air)
		b.Rise(air, s, 9.7, 1, 5, 10)
		b.BurstAbove(air, s, 9.7)
	}); n != 0 {
		t.Errorf("%g allocations a step", n)
	}
}
