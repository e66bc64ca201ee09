package train_test

import (
	"fmt"

	"pappus/craft/train"
)

func ExampleTrain() {
	t := train.Train{
		{Role: train.Line, Name: "weak link", Mass: 0.004, BreakingLoad: 150, BreakingLoadKnown: true},
		{Role: train.Parachute, Mass: 0.180},
		{Role: train.Line, Name: "cord", Mass: 0.012, BreakingLoad: 450, BreakingLoadKnown: true},
		{Role: train.Box, Name: "camera box", Mass: 1.350},
	}
	fmt.Printf("%.3f kg, parts at the %s, above the canopy: %v\n", t.Mass(), t[t.WeakestLine()].Name, t.WeakLinkAboveCanopy())
	// Output: 1.546 kg, parts at the weak link, above the canopy: true
}
