package landing_test

import (
	"fmt"

	"pappus/measure/geo"
	"pappus/odds/landing"
)

// Four landings about a farm: the middle of them, and the chance to come down east of
// the road.
func Example() {
	p := landing.Points{
		LatDeg: []float64{40.0, 40.2, 40.1, 40.1},
		LonDeg: []float64{-99.1, -99.1, -99.2, -99.0},
	}
	s, err := landing.Summarise(p, []float64{0.5, 0.9})
	if err != nil {
		fmt.Println(err)
		return
	}
	east, err := landing.ChanceOf(p, func(q geo.Point) bool { return q.LonDeg > -99.05 })
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("middle %.2f, %.2f; regions %d; east of the road %.0f %%\n",
		s.Median.LatDeg, s.Median.LonDeg, len(s.Regions), 100*east.Probability)
	// Output: middle 40.10, -99.10; regions 2; east of the road 25 %
}
