package sounding_test

import (
	"fmt"

	"pappus/air/sounding"
)

func ExampleRead() {
	p, err := sounding.Read("sky.csv", []byte("height_m,wind_from_deg,wind_speed_kt\n0,270,10\n11000,225,80\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range p.Levels(40) {
		fmt.Printf("%.0f m: %.0f Pa, %.1f K, %.1f m/s to the east, %.1f m/s to the north\n", float64(l.Height), l.Pressure, l.Temperature, l.WindEast, l.WindNorth)
	}
	// Output:
	// 0 m: 101325 Pa, 288.1 K, 5.1 m/s to the east, 0.0 m/s to the north
	// 11000 m: 22632 Pa, 216.6 K, 29.1 m/s to the east, 29.1 m/s to the north
}
