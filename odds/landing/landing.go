// Package landing turns many weighted landing points into what a person can use: a
// middle, radii, regions that honestly hold the share they state, a density to draw,
// and chances of coming down on something.
//
// Everything is counted in a plane about the middle of the cloud, so that neither the
// antimeridian nor a pole is a special case. Sums run in the order of the points: the
// same points give the same bytes.
package landing

import (
	"errors"
	"fmt"
	"math"

	"pappus/measure/geo"
)

// Points are landing places with their weights; nil weights mean equal ones. Weights
// need not add up to one.
type Points struct {
	LatDeg, LonDeg []float64
	Weight         []float64
}

// Region is a highest-density region: the smallest area that holds a share of the
// landings still to come.
type Region struct {
	Probability float64
	AreaKm2     float64
	Polygons    []Polygon
	// MergedShare is the share of landings in islands of under 1 % that are not drawn.
	// The drawn polygons were widened by as much, so that they hold Probability alone.
	MergedShare float64

	plane geo.Plane
	flat  [][]vector // all rings in the plane, m; empty when built by hand
}

// Polygon is one island of a region. Rings are closed by joining the last point to the
// first; the outer one runs counterclockwise, holes run clockwise.
type Polygon struct {
	Outer []geo.Point
	Holes [][]geo.Point
}

// Summary is what a cloud of landings says in a few numbers.
type Summary struct {
	Median geo.Point // geometric median
	// Radius50 and Radius90 are the distances from the median that hold the share, m.
	Radius50, Radius90 float64
	Regions            []Region // in the order of the probabilities asked for
	// EffectiveNumber is how many equally weighted points would know as much.
	EffectiveNumber float64
}

// ErrNoPoints means that there is nothing to summarise.
var ErrNoPoints = errors.New("there are no landing points: give at least one with a weight above zero")

// Summarise gives the median, the radii and a region for each probability.
func Summarise(p Points, probabilities []float64) (Summary, error) {
	for _, probability := range probabilities {
		if err := checkProbability(probability); err != nil {
			return Summary{}, err
		}
	}
	c, err := newCloud(p)
	if err != nil {
		return Summary{}, err
	}
	radii := c.radii(0.5, 0.9)
	s := Summary{
		Median:          c.plane.Centre(),
		Radius50:        radii[0],
		Radius90:        radii[1],
		EffectiveNumber: c.effective,
	}
	if len(probabilities) == 0 {
		return s, nil // the density is most of the work
	}
	e := c.suggested()
	for _, probability := range probabilities {
		s.Regions = append(s.Regions, e.region(probability))
	}
	return s, nil
}

func checkProbability(probability float64) error {
	if !(probability > 0 && probability < 1) {
		return fmt.Errorf("a region for the probability %v cannot be drawn: give a number above 0 and below 1, such as 0.5", probability)
	}
	return nil
}

// vector is a place in a plane.
type vector struct{ x, y float64 }

// cloud is the points in the plane about their median, weights adding up to one.
type cloud struct {
	plane     geo.Plane
	at        []vector // m east and north of the median
	weight    []float64
	effective float64 // (Σw)²/Σw²
}

func newCloud(p Points) (cloud, error) {
	places, weight, err := p.check()
	if err != nil {
		return cloud{}, err
	}
	c := cloud{weight: weight}
	squares := 0.0
	for _, w := range weight {
		squares += float64(w * w)
	}
	c.effective = 1 / squares
	c.plane, c.at = median(places, weight)
	return c, nil
}

// check answers the places whose weight is above zero, and the weights as shares.
func (p Points) check() ([]geo.Point, []float64, error) {
	n := len(p.LatDeg)
	if len(p.LonDeg) != n || p.Weight != nil && len(p.Weight) != n {
		return nil, nil, fmt.Errorf("landing points have %d latitudes, %d longitudes and %d weights: give as many of each, or no weights", n, len(p.LonDeg), len(p.Weight))
	}
	places, weight := make([]geo.Point, 0, n), make([]float64, 0, n)
	largest := 0.0
	for i := range n {
		at, err := geo.NewPoint(p.LatDeg[i], p.LonDeg[i])
		if err != nil {
			return nil, nil, fmt.Errorf("landing point %d: %w", i, err)
		}
		w := 1.0
		if p.Weight != nil {
			w = p.Weight[i]
		}
		if !(w >= 0 && w <= math.MaxFloat64) {
			return nil, nil, fmt.Errorf("landing point %d weighs %v: give a number of zero or more", i, w)
		}
		if w > 0 {
			places, weight = append(places, at), append(weight, w)
			largest = math.Max(largest, w)
		}
	}
	if len(places) == 0 {
		return nil, nil, ErrNoPoints
	}
	total := 0.0
	for i := range weight {
		weight[i] /= largest // keeps the sum finite whatever the weights
		total += weight[i]
	}
	for i := range weight {
		weight[i] /= total
	}
	return places, weight, nil
}
