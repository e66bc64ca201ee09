package envelope_test

import (
	"fmt"

	"pappus/craft/envelope"
)

func ExampleTypicalBurstDiameter() {
	fmt.Printf("%.1f m\n", envelope.TypicalBurstDiameter(1.2))
	// Output: 8.3 m
}

func ExampleBurstLaw() {
	law := envelope.NewBurstLaw(8.3, 0.06, envelope.EarlyShare(true, 0.5))
	for _, u := range []float64{0.02, 0.1, 0.5, 0.9} {
		fmt.Printf("%.2f m\n", law.Quantile(u, 1.9))
	}
	// Output:
	// 3.70 m
	// 7.34 m
	// 8.27 m
	// 8.79 m
}

func ExampleDragCoefficient() {
	fmt.Printf("%.2f near the ground, %.2f in thin air\n", envelope.DragCoefficient(6e5), envelope.DragCoefficient(6e4))
	// Output: 0.29 near the ground, 0.84 in thin air
}
