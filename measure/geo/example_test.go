package geo_test

import (
	"fmt"

	"pappus/measure/geo"
)

// From a field towards a town across the antimeridian, and a tenth of the way there.
func Example() {
	field, err := geo.NewPoint(-17.0, 179.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	town, err := geo.NewPoint(-17.0, 180.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	distance, azimuth, _ := geo.Inverse(field, town)
	on, _ := geo.Direct(field, azimuth, distance/10)
	fmt.Printf("%.0f km towards %.0f degrees, by way of %.1f\n", distance/1000, azimuth, on.LonDeg)
	// Output: 106 km towards 90 degrees, by way of 179.6
}
