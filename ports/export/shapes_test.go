package export

import (
	"math"
	"testing"

	"pappus/flight"
)

// xy is longitude and latitude.
type xy = [2]float64

// checkLine says whether a line stays on the globe and never jumps over the antimeridian.
func checkLine(t *testing.T, line []xy) {
	t.Helper()
	if len(line) < 2 {
		t.Errorf("a line of %d points", len(line))
	}
	for i, at := range line {
		if !(math.Abs(at[0]) <= 180 && math.Abs(at[1]) <= 90) {
			t.Errorf("%v is off the globe", at)
		}
		if i == 0 {
			continue
		}
		atPole := math.Abs(at[1]) == 90 && at[1] == line[i-1][1]
		if math.Abs(at[0]-line[i-1][0]) > 180 && !atPole {
			t.Errorf("jumps from %v to %v", line[i-1], at)
		}
	}
}

// turning is the signed area in the plane of degrees: above zero for counterclockwise.
func turning(ring []xy) float64 {
	sum := 0.0
	for i := 1; i < len(ring); i++ {
		sum += ring[i-1][0]*ring[i][1] - ring[i][0]*ring[i-1][1]
	}
	return sum / 2
}

// checkPolygon holds rings against [RFC7946], section 3.1.6.
func checkPolygon(t *testing.T, rings [][]xy) {
	t.Helper()
	for i, ring := range rings {
		checkLine(t, ring)
		if len(ring) < 4 || ring[0] != ring[len(ring)-1] {
			t.Errorf("ring %d has %d points or is not closed", i, len(ring))
		}
		if hole := i > 0; (turning(ring) < 0) != hole {
			t.Errorf("ring %d turns the wrong way", i)
		}
	}
}

// inside counts crossings of a ray over all rings of all polygons.
func inside(polygons [][][]xy, lon, lat float64) bool {
	in := false
	for _, rings := range polygons {
		for _, ring := range rings {
			for i := 1; i < len(ring); i++ {
				a, b := ring[i-1], ring[i]
				if (a[1] > lat) != (b[1] > lat) && lon < a[0]+(b[0]-a[0])*(lat-a[1])/(b[1]-a[1]) {
					in = !in
				}
			}
		}
	}
	return in
}

// checkRegion holds the polygons of a region against its scene and its landings.
func checkRegion(t *testing.T, s scene, o *flight.Odds, probability float64, polygons [][][]xy) {
	t.Helper()
	west, east, holes := false, false, 0
	for _, rings := range polygons {
		checkPolygon(t, rings)
		holes += len(rings) - 1
		for _, at := range rings[0] {
			west, east = west || at[0] == -180, east || at[0] == 180
		}
	}
	// Half of the landings on a ring lie in arcs, anywhere.
	arcs := s.ringed && probability < 0.9
	if !arcs && (west != s.crosses || east != s.crosses) {
		t.Errorf("reaches the antimeridian from west %v, from east %v, want %v", west, east, s.crosses)
	}
	if in := inside(polygons, 12.3, 89.99999); s.pole && !in || s.name == "ring round the pole" && in {
		t.Errorf("pole inside: %v", in)
	}
	// A ring cut by the antimeridian has its hole open to the cut.
	if s.ringed && !arcs && !s.crosses && holes == 0 {
		t.Error("the ring has no hole")
	}
	if s.ringed && inside(polygons, s.around.LonDeg, s.around.LatDeg) {
		t.Error("the middle of the ring is inside")
	}
	n := 0
	for i := range o.Result.Landings {
		if l := &o.Result.Landings[i]; inside(polygons, l.Lon, l.Lat) {
			n++
		}
	}
	// Of 400 landings a share of one half strays by 2.5 % (one standard deviation), and
	// three of these are ample. A region is drawn for landings still to come, so one
	// with a long edge, as a ring has, holds more of those that it was drawn from.
	share := float64(n) / float64(len(o.Result.Landings))
	if share < probability-0.075 || !s.ringed && share > probability+0.075 {
		t.Errorf("the region of %v holds %v of the landings", probability, share)
	}
}
