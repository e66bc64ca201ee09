package canopy

import (
	"math"
	"strings"
	"testing"
)

func TestByName(t *testing.T) {
	if k, err := ByName(" Flat Circular "); err != nil || k != FlatCircular() {
		t.Errorf("%+v, %v", k, err)
	}
	_, err := ByName("umbrella")
	if err == nil || !strings.Contains(err.Error(), `"umbrella"`) {
		t.Fatalf("%v, expected the name that is not known", err)
	}
	for _, k := range Kinds() {
		if !strings.Contains(err.Error(), k.Name) {
			t.Errorf("the message does not offer %q: %v", k.Name, err)
		}
	}
	list := Kinds()
	list[0].DragLow = 99
	if FlatCircular().DragLow == 99 {
		t.Error("the caller's list is the table itself")
	}
}

func TestFromDiameter(t *testing.T) {
	typical := FromDiameter(FlatCircular(), 1.5, 0)
	near(t, "typical", typical.Drag, 0.775, 1e-15)
	near(t, "diameter back", typical.Diameter(), 1.5, 1e-15)
	near(t, "given", FromDiameter(FlatCircular(), 2, 0.6).DragArea(), 0.6*math.Pi, 1e-15)
}

// A rated canopy must fall as rated.
func TestFromRating(t *testing.T) {
	c := FromRating(2, 5)
	near(t, "rated", TerminalSpeed(2, c.DragArea(), 1.2250, 9.80665), 5, 1e-14)
	near(t, "size for the rating", DiameterFor(2, 5, c.Drag), c.Diameter(), 1e-14)
	// Twice the mass falls √2 as fast.
	near(t, "overloaded", TerminalSpeed(4, c.DragArea(), 1.2250, 9.80665), 5*math.Sqrt2, 1e-14)
}

func TestOpening(t *testing.T) {
	c := FromDiameter(FlatCircular(), 1.5, 0.75)
	// At its terminal speed the steady drag is the weight, so that a heavy load
	// would feel 1.7 times its weight.
	speed := TerminalSpeed(1.5, c.DragArea(), 1, 9.80665)
	near(t, "heavy load", c.OpeningForce(FlatCircular(), 1, speed, HeavyLoadReduction), 1.7*1.5*9.80665, 1e-12)
	near(t, "light load", c.OpeningForce(FlatCircular(), 1, speed, LightLoadReduction), 0.3*1.7*1.5*9.80665, 1e-12)
	if VeryLightLoadReduction >= LightLoadReduction {
		t.Error("a very light load is reduced more")
	}
	near(t, "filling distance", c.FillingDistance(), 12, 1e-14)
	near(t, "filling time", c.FillingTime(24), 0.5, 1e-15)
}

func TestNoAllocation(t *testing.T) {
	c, sum := FromRating(2, 5), 0.0
	allocations := testing.AllocsPerRun(100, func() {
		sum += TerminalSpeed(1.5, c.DragArea(), 1, 9.8) + c.FillingTime(20)
	})
	if allocations != 0 || sum == 0 {
		t.Errorf("%v allocations per call, expected none", allocations)
	}
}
