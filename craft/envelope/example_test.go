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

func ExampleConvertRating() {
	const mass, rated = 1.2, 8.3
	air := envelope.RatingPressure(mass)
	fmt.Printf("%.1f m rated without the film, %.1f m with it\n", rated, envelope.ConvertRating(rated, mass, air))
	// Output: 8.3 m rated without the film, 7.3 m with it
}
