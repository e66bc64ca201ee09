package landing

import (
	"math"

	"pappus/measure/geo"
)

// Chance is how likely a landing is to meet a condition, with the range that the number
// of landings leaves open.
type Chance struct {
	Probability float64
	Low, High   float64 // holds the true one in nine of ten such cases
}

// ninety is the normal quantile for a two-sided range of 90 %.
const ninety = 1.6448536269514722

// ChanceOf counts the landings that meet a condition, such as coming down on water. The
// range is Wilson's score interval [Wilson1927] for the effective number of landings; it
// stays honest where none or all of them do.
func ChanceOf(p Points, condition func(geo.Point) bool) (Chance, error) {
	places, weight, err := p.check()
	if err != nil {
		return Chance{}, err
	}
	share, squares := 0.0, 0.0
	for i, q := range places {
		squares += float64(weight[i] * weight[i])
		if condition(q) {
			share += weight[i]
		}
	}
	share = math.Min(share, 1)
	n := 1 / squares
	const z2 = ninety * ninety
	middle := (share + z2/(2*n)) / (1 + z2/n)
	half := ninety / (1 + z2/n) * math.Sqrt(share*(1-share)/n+z2/(4*n*n))
	return Chance{
		Probability: share,
		Low:         math.Min(share, math.Max(0, middle-half)),
		High:        math.Max(share, math.Min(1, middle+half)),
	}, nil
}
