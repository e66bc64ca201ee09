package atmosphere_test

import (
	"fmt"

	"pappus/air/atmosphere"
)

func ExampleAt() {
	air := atmosphere.At(30000)
	fmt.Printf("%.1f K, %.0f Pa, %.4f kg/m³\n", air.Temperature, air.Pressure, air.Density)
	// Output: 226.5 K, 1197 Pa, 0.0184 kg/m³
}

func ExamplePressureAltitude() {
	fmt.Printf("%.0f m\n", float64(atmosphere.PressureAltitude(50000)))
	// Output: 5579 m
}
