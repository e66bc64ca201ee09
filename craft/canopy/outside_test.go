package canopy

import (
	"math"
	"testing"

	"pappus/air/atmosphere"
	"pappus/measure/geo"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, expected %g ± %g", what, got, want, tolerance)
	}
}

// halfDigit is half a unit of the third significant digit, which the tables
// below are printed to, with a percent of it for the rounding of their inputs.
func halfDigit(value float64) float64 {
	return 0.505 * math.Pow(10, math.Floor(math.Log10(value))-2)
}

// TestOutsideTerminalSpeed holds terminal speeds against a table worked out
// elsewhere: 1.5 kg under a coefficient of 0.75 in [USSA76] air, with standard
// gravity at every height.
func TestOutsideTerminalSpeed(t *testing.T) {
	heights := []geo.AltMSL{0, 1500, 5000, 10000, 20000, 25000, 30000, 35000}
	for diameter, speeds := range map[float64][]float64{
		1.2: {5.32, 5.73, 6.86, 9.16, 19.75, 29.4, 43.4, 64.0},
		0.9: {7.09, 7.63, 9.15, 12.2, 26.3, 39.2, 57.9, 85.4},
		1.5: {4.26, 4.58, 5.49, 7.33, 15.8, 23.5, 34.7, 51.2},
	} {
		c := FromDiameter(FlatCircular(), diameter, 0.75)
		for i, want := range speeds {
			got := TerminalSpeed(1.5, c.DragArea(), atmosphere.At(heights[i]).Density, 9.80665)
			near(t, "speed", got, want, halfDigit(want))
		}
	}
	// Without a parachute, a drag area of 0.04 m² and 1.5 kg: 24.5 m/s at the ground.
	near(t, "no parachute", TerminalSpeed(1.5, 0.04, 1.2250, 9.80665), 24.5, 0.05)
}

// TestOutsideDiameterFor: nominal diameters for 5 m/s at sea level with 0.75,
// worked out elsewhere to the millimetre.
func TestOutsideDiameterFor(t *testing.T) {
	for _, c := range [][2]float64{{0.5, 0.737}, {1, 1.043}, {1.5, 1.277}, {2, 1.475}, {2.7, 1.713}} {
		near(t, "diameter", DiameterFor(c[0], 5, 0.75), c[1], 0.0005)
	}
}

// TestOutsideKinds holds the table against [Knacke1991] 5-1 and 5-2 (from
// memory): drag from, to, opening force.
func TestOutsideKinds(t *testing.T) {
	want := map[string][3]float64{
		"flat circular": {0.75, 0.80, 1.7}, "conical": {0.75, 0.90, 1.8}, "bi-conical": {0.75, 0.92, 1.8},
		"tri-conical": {0.80, 0.96, 1.8}, "extended skirt flat": {0.78, 0.87, 1.4}, "extended skirt full": {0.75, 0.90, 1.4},
		"hemispherical": {0.62, 0.77, 1.6}, "annular": {0.85, 0.95, 1.4}, "cross": {0.60, 0.85, 1.2},
		"flat ribbon": {0.45, 0.50, 1.05}, "ringslot": {0.56, 0.65, 1.05}, "ringsail": {0.75, 0.90, 1.1},
		"disk-gap-band": {0.52, 0.58, 1.3},
	}
	if len(Kinds()) != len(want) {
		t.Errorf("%d kinds, expected %d", len(Kinds()), len(want))
	}
	for name, w := range want {
		k, err := ByName(name)
		if err != nil || k.DragLow != w[0] || k.DragHigh != w[1] || k.OpeningForce != w[2] {
			t.Errorf("%s: %+v, %v", name, k, err)
		}
		near(t, name, k.Drag(), (w[0]+w[1])/2, 1e-15)
	}
}

// TestOutsideEnergy: 1.5 kg at 5 m/s is 19 J (18.75).
func TestOutsideEnergy(t *testing.T) { near(t, "energy", FallingEnergy(1.5, 5), 18.75, 0) }
