package unit_test

import (
	"fmt"

	"pappus/measure/unit"
)

func ExampleParse() {
	mass, err := unit.Parse("4 lb 8 oz", unit.Mass)
	fmt.Printf("%.4f %v\n", mass, err)
	_, err = unit.Parse("8,3 m", unit.Length)
	fmt.Println(err)
	_, err = unit.Parse("1200", unit.Mass)
	fmt.Println(err)
	// Output:
	// 2.0412 <nil>
	// "8,3 m" has a comma: write a point before decimals and nothing between thousands, such as 8.3 or 1200
	// "1200" has no unit: expected g, kg, oz or lb, such as "1200 g"
}

func ExampleFormatHeight() {
	fmt.Println(unit.FormatHeight(30000, unit.US), unit.FormatHeight(30000, unit.Metric))
	// Output: 98,400 ft 30.0 km
}
