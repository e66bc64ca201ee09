package ascent

import (
	"math"
	"testing"

	"pappus/air/atmosphere"
	"pappus/air/forecast"
	"pappus/craft/envelope"
	"pappus/measure/geo"
)

// fine integrates dw/dt = a - b w|w| in many small Runge-Kutta steps.
func fine(a, b, w, dt float64) (speed, way float64) {
	const n = 20000
	h := dt / n
	f := func(w float64) float64 { return a - b*w*math.Abs(w) }
	z := 0.0
	for range n {
		k1 := f(w)
		k2 := f(w + h/2*k1)
		k3 := f(w + h/2*k2)
		k4 := f(w + h*k3)
		z += h * (w + h/6*(k1+k2+k3))
		w += h / 6 * (k1 + 2*k2 + 2*k3 + k4)
	}
	return w, z
}

func TestRelaxSolvesTheEquation(t *testing.T) {
	for _, c := range []struct{ a, b, w, dt float64 }{
		{1.4, 0.056, 0, 0.5}, {1.4, 0.056, 0, 15}, {1.4, 0.056, 9, 3}, {1.4, 0.056, 5, 60},
		{9.8, 0.005, -5, 0.3}, {9.8, 0.005, -5, 4}, {9.8, 0.5, -40, 2}, {-9.8, 0.01, 5, 3},
		{0, 0.1, 5, 10}, {0, 0.1, -5, 10}, {9.8, 0, 2, 3},
	} {
		speed, way := Relax(c.a, c.b, c.w, c.dt)
		wantSpeed, wantWay := fine(c.a, c.b, c.w, c.dt)
		// The fine integration itself is good to about 1e-9 of its terms.
		if math.Abs(speed-wantSpeed) > 1e-6 || math.Abs(way-wantWay) > 1e-5 {
			t.Errorf("%+v: got %.9f m/s %.9f m, want %.9f m/s %.9f m", c, speed, way, wantSpeed, wantWay)
		}
	}
}

func TestRelaxIsStableForAnyStep(t *testing.T) {
	for _, dt := range []float64{1, 1e2, 1e4, 1e6} {
		speed, way := Relax(9.8, 0.3, 50, dt)
		if terminal := math.Sqrt(9.8 / 0.3); math.Abs(speed-terminal) > 50*math.Exp(-dt)+1e-12 || math.IsNaN(way) || way <= 0 {
			t.Errorf("step of %g s: %g m/s, %g m", dt, speed, way)
		}
	}
}

func standardAir(z float64) forecast.Air {
	s := atmosphere.At(geo.AltMSL(z))
	return forecast.Air{Pressure: s.Pressure, Temperature: s.Temperature, Density: s.Density}
}

// withFreeLift answers a textbook balloon with a free lift in the standard atmosphere.
func withFreeLift(free float64, drag envelope.Drag) Balloon {
	const helium = 0.0040026
	return Balloon{
		GasMoles: (2.8 + free) / (atmosphere.MolarMassAir - helium), GasMolarMass: helium,
		EnvelopeMass: 1.2, TrainMass: 1.6, Drag: drag, DragFactor: 1, BurstDiameter: 8.3,
	}
}

func settled(b Balloon, z float64) float64 {
	air := standardAir(z)
	speed, _ := b.Rise(air, b.In(air), 9.80665, 1, 5, 600)
	return speed
}

// With a constant coefficient the steady rate is sqrt(2 F g / (Cd rho A)), and
// grows with (rho0/rho)^(1/6): the factors at 10, 20 and 30 km are worked out
// by hand from the densities of the US Standard Atmosphere 1976 table.
func TestTextbookRate(t *testing.T) {
	b := withFreeLift(1.1, envelope.Drag{Constant: 0.3})
	d := b.In(standardAir(0)).Diameter
	want := math.Sqrt(2 * 1.1 * 9.80665 / (0.3 * 1.225 * math.Pi / 4 * d * d))
	ground := settled(b, 0)
	if math.Abs(ground/want-1) > 1e-4 { // the masses are given to five digits
		t.Errorf("rate %.4f m/s, want %.4f", ground, want)
	}
	for z, factor := range map[float64]float64{10000: 1.198, 20000: 1.548, 30000: 2.013} {
		if got := settled(b, z) / ground; math.Abs(got-factor) > 0.0006 { // three printed digits
			t.Errorf("at %.0f m the rate is %.4f times that at the ground, want %.3f", z, got, factor)
		}
	}
}

// Real balloons keep about 5 m/s all the way; the fitted drag must not double it.
func TestVaryingDragKeepsTheRate(t *testing.T) {
	b := withFreeLift(1.1, envelope.Drag{})
	if ratio := settled(b, 30000) / settled(b, 0); ratio < 1 || ratio > 1.35 {
		t.Errorf("rate at 30 km is %.2f times that at the ground", ratio)
	}
}

func TestNoFreeLiftNoRise(t *testing.T) {
	b := withFreeLift(0, envelope.Drag{Constant: 0.3})
	air := standardAir(0)
	speed, way := b.Rise(air, b.In(air), 9.80665, 1, 0, 3600)
	// The gas amount is exact to the last bits only.
	if math.Abs(speed) > 1e-5 || math.Abs(way) > 0.1 {
		t.Errorf("rises by %g m at %g m/s without free lift", way, speed)
	}
}

func TestRiseDoesNotAllocate(t *testing.T) {
	b := withFreeLift(1.1, envelope.Drag{})
	air := standardAir(5000)
	if n := testing.AllocsPerRun(100, func() { b.Rise(air, b.In(air), 9.8, 1, 5, 10) }); n != 0 {
		t.Errorf("%v allocations per step", n)
	}
}
