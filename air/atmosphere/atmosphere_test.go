package atmosphere

import (
	"math"
	"testing"

	"pappus/measure/geo"
)

// The pressure must not step where layers meet, or a flight would be kicked.
func TestNoStepBetweenLayers(t *testing.T) {
	for _, base := range []geo.Geopotential{11000, 20000, 32000, 47000, 51000, 71000, Geopotential(Top)} {
		below, above := AtGeopotential(base-1e-6), AtGeopotential(base+1e-6)
		// 2 µm of height change pressure by some 3e-10 of itself.
		if math.Abs(below.Pressure/above.Pressure-1) > 1e-9 || math.Abs(below.Temperature-above.Temperature) > 1e-7 {
			t.Errorf("at %v: %+v below, %+v above", base, below, above)
		}
	}
}

// The gradient of pressure must hold up the air: dp/dz = -ρ g with the
// standard's own gravity, whatever the layer.
func TestHydrostatic(t *testing.T) {
	for z := geo.AltMSL(-400); z < 84000; z += 1237 {
		const step = 5
		slope := (At(z+step).Pressure - At(z-step).Pressure) / (2 * step)
		weight := At(z).Density * Gravity(z)
		// A central difference over 10 m errs by (10 m/scale height)²/24, or by
		// the lapse's jump where it straddles a layer: below 1e-4 in all.
		if math.Abs(slope/-weight-1) > 1e-4 {
			t.Errorf("%v m: slope %g, weight %g", z, slope, weight)
		}
	}
}

func TestPressureAltitudeInverts(t *testing.T) {
	for z := geo.AltMSL(-4000); z < 90000; z += 731 {
		// A bit of pressure is 1e-16 of it, or 1e-12 m; powers lose some digits.
		if back := PressureAltitude(At(z).Pressure); math.Abs(float64(back-z)) > 1e-6 {
			t.Errorf("%v m comes back as %v", z, back)
		}
	}
}

func TestGeometricInverts(t *testing.T) {
	for _, z := range []geo.AltMSL{-400, 0, 12000, 86000} {
		if back := Geometric(Geopotential(z)); math.Abs(float64(back-z)) > 1e-7 {
			t.Errorf("%v comes back as %v", z, back)
		}
	}
}

func TestBeyondTheTop(t *testing.T) {
	air := At(150000)
	if air.Temperature != At(Top).Temperature || !(air.Pressure > 0 && air.Pressure < At(Top).Pressure) {
		t.Errorf("150 km: %+v, expected the temperature of the top and less pressure", air)
	}
	if low := At(-5000); math.Abs(low.Temperature-320.676) > 0.001 { // [USSA76] table I at -5 km, from memory
		t.Errorf("-5 km: %+v", low)
	}
}

func TestVirtualTemperature(t *testing.T) {
	if got := VirtualTemperature(288.15, 90000, 0); got != 288.15 {
		t.Errorf("dry air: %v", got)
	}
	// Saturated air of 30 °C at one atmosphere: with the classic 42.43 hPa and
	// an enhancement of 1.004 (both from memory), the ratio of densities is
	// 1 - 0.378 x 42.6/1013.25 = 0.98411.
	got := 303.15 / VirtualTemperature(303.15, 101325, 1)
	if math.Abs(got-0.98411) > 0.0001 { // 0.3 % of the deficit, what the vapour formulas differ by
		t.Errorf("density ratio %v, expected 0.98411", got)
	}
	// Where saturation exceeds the pressure, the air is all vapour at most.
	if got := VirtualTemperature(290, 50, 1); math.Abs(got-290/0.62198) > 0.01 {
		t.Errorf("thin air: %v, expected that of pure vapour", got)
	}
	if got := VirtualTemperature(200, 5000, 1); !(got >= 200 && got < 200.01) {
		t.Errorf("cold air carries next to no vapour: %v", got)
	}
}

func TestNoAllocation(t *testing.T) {
	sum := 0.0
	allocations := testing.AllocsPerRun(100, func() {
		air := At(23456)
		sum += air.Density + Viscosity(air.Temperature) + SoundSpeed(air.Temperature) + float64(PressureAltitude(air.Pressure)) +
			VirtualTemperature(air.Temperature, air.Pressure, 0.1) + Temperature(100) + Conductivity(220)
	})
	if allocations != 0 || sum == 0 {
		t.Errorf("%v allocations per call, expected none", allocations)
	}
}

func BenchmarkAt(b *testing.B) {
	sum := 0.0
	for i := range b.N {
		sum += At(geo.AltMSL(i % 40000)).Density
	}
	_ = sum
}
