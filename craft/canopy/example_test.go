package canopy_test

import (
	"fmt"

	"pappus/craft/canopy"
)

func ExampleTerminalSpeed() {
	c := canopy.FromDiameter(canopy.FlatCircular(), 1.5, 0.75)
	fmt.Printf("%.1f m/s\n", canopy.TerminalSpeed(1.5, c.DragArea(), canopy.SeaLevelDensity, 9.80665))
	// Output: 4.3 m/s
}

func ExampleByName() {
	k, _ := canopy.ByName("cross")
	fmt.Printf("%.2f to %.2f\n", k.DragLow, k.DragHigh)
	// Output: 0.60 to 0.85
}
