package hours

import (
	"testing"

	"pappus/ground/landcover"
	"pappus/measure/geo"
)

// Places that any atlas gives: Lake Superior's middle, the Atlantic, Denver,
// a prairie county in Nebraska, and Manitoba beyond the border.
func TestLookAtKnownGround(t *testing.T) {
	land, err := landcover.World()
	if err != nil {
		t.Fatal(err)
	}
	look := LookAt(land, []string{"wires"})
	points := []geo.Point{{LatDeg: 47.6, LonDeg: -87.6}, {LatDeg: 40, LonDeg: -60}, {LatDeg: 39.74, LonDeg: -104.99}, {LatDeg: 41.5, LonDeg: -99.9}, {LatDeg: 50.5, LonDeg: -99.5}}
	known := map[string]float64{}
	for _, c := range look.Chances(geo.Point{LatDeg: 40.1, LonDeg: -99.2}, points, 10) {
		key := c.ID
		if key == "" {
			key = c.What
		}
		known[key] = c.Probability
	}
	for key, want := range map[string]float64{water: 0.2, town: 0.1, border: 0.1, "lands in the sea": 0.1, "lands in a lake": 0.1} {
		near(t, key, known[key], want, 1e-12)
	}
	if len(look.NotLookedAt) != 1 {
		t.Errorf("not looked at: %v", look.NotLookedAt)
	}
}
