package landing

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"pappus/measure/geo"
)

// centres where a careless map breaks.
var centres = map[string]geo.Point{
	"antimeridian":             {LatDeg: -17, LonDeg: 179.98},
	"antimeridian, far north":  {LatDeg: 66, LonDeg: -180},
	"north pole":               {LatDeg: 90, LonDeg: 0},
	"beside the north pole":    {LatDeg: 89.93, LonDeg: 100},
	"south pole":               {LatDeg: -89.99, LonDeg: -30},
	"Greenwich on the equator": {LatDeg: 0, LonDeg: 0},
}

// The same cloud laid elsewhere must give the same areas. The ellipsoid curves
// differently there, by some 1e-3 of a 50 km cloud's (s/R)², so that 1 % is generous; it
// is the bound promised.
func TestAcrossTheAntimeridianAndThePoles(t *testing.T) {
	for _, s := range append(shapes[:len(shapes):len(shapes)], ring("ring 8:1", 20, 2.5)) {
		home, err := Summarise(s.points(inland, drawn, generator(3)), []float64{0.5, 0.9})
		if err != nil {
			t.Fatal(err)
		}
		for name, centre := range centres {
			away, err := Summarise(s.points(centre, drawn, generator(3)), []float64{0.5, 0.9})
			if err != nil {
				t.Fatal(err)
			}
			for k, r := range away.Regions {
				if ratio := r.AreaKm2 / home.Regions[k].AreaKm2; math.Abs(ratio-1) > 0.01 {
					t.Errorf("%s at the %s: region %d has %.4f of the area inland", s.name, name, k, ratio)
				}
				g := r.GeoJSON()
				checkGeometry(t, s.name+" at the "+name, g)
				// The area of the geometry itself, cut and all, by a formula of its own.
				if ratio := geometryArea(g) / r.AreaKm2; math.Abs(ratio-1) > 0.005 {
					t.Errorf("%s at the %s: the geometry of region %d encloses %.4f of its area", s.name, name, k, ratio)
				}
				checkSamePlaces(t, s, centre, r, g)
			}
		}
	}
}

// Small, uneven, heavily weighted clouds on the hardest places: whatever comes out must be
// a valid geometry that encloses the area stated. The edges' bend near a pole and the
// plane's own correction are each below half a per cent.
func TestAnyCloudGivesValidGeometry(t *testing.T) {
	r := generator(99)
	hardest := []geo.Point{{LatDeg: 90}, {LatDeg: -90, LonDeg: 33}, {LatDeg: 89.9, LonDeg: -180}, {LonDeg: -180}, {LatDeg: 60, LonDeg: 179.9}, {LatDeg: -89.5, LonDeg: 179}}
	for i := range 240 {
		plane := geo.NewPlane(hardest[i%len(hardest)])
		spread := math.Exp(12 * r.Float64()) // 1 m to 160 km
		var p Points
		for range 1 + r.IntN(120) {
			q := plane.From(spread*r.NormFloat64(), 0.3*spread*r.NormFloat64())
			p.LatDeg, p.LonDeg = append(p.LatDeg, q.LatDeg), append(p.LonDeg, q.LonDeg)
			p.Weight = append(p.Weight, math.Exp(3*r.NormFloat64()))
		}
		sum, err := Summarise(p, []float64{0.1, 0.5, 0.9, 0.99})
		if err != nil {
			t.Fatal(err)
		}
		for _, region := range sum.Regions {
			g := region.GeoJSON()
			checkGeometry(t, "cloud "+strconv.Itoa(i), g)
			if ratio := geometryArea(g) / region.AreaKm2; !(math.Abs(ratio-1) < 0.01) {
				t.Errorf("cloud %d: the geometry for %v encloses %v of its area", i, region.Probability, ratio)
			}
		}
	}
}

// checkGeometry holds a geometry against [RFC7946], sections 3.1.6 and 3.1.9.
func checkGeometry(t *testing.T, name string, g Geometry) {
	t.Helper()
	if g.Type != "MultiPolygon" || len(g.Coordinates) == 0 {
		t.Errorf("%s: a %s of %d polygons", name, g.Type, len(g.Coordinates))
	}
	for _, polygon := range g.Coordinates {
		for i, ring := range polygon {
			if len(ring) < 4 || ring[0] != ring[len(ring)-1] {
				t.Errorf("%s: a ring of %d positions is not closed", name, len(ring))
				continue
			}
			twice := 0.0
			for j, a := range ring[:len(ring)-1] {
				b := ring[j+1]
				if math.IsNaN(a[0]+a[1]) || math.Abs(a[0]) > 180 || math.Abs(a[1]) > 90 {
					t.Errorf("%s: position %v", name, a)
				}
				alongPole := math.Abs(a[1]) == 90 && a[1] == b[1]
				if math.Abs(a[0]-b[0]) > 180 && !alongPole {
					t.Errorf("%s: the edge from %v to %v crosses the antimeridian", name, a, b)
				}
				twice += a[0]*b[1] - b[0]*a[1]
			}
			if (twice > 0) != (i == 0) {
				t.Errorf("%s: ring %d turns the wrong way", name, i)
			}
		}
	}
}

// geometryArea is the area on the ellipsoid, km²: under an edge lies the longitude it
// spans times the mean of the areas from the equator up to its ends,
// b²/2·(sinφ/(1-e²sin²φ) + atanh(e sinφ)/e) per radian [Rapp1991].
func geometryArea(g Geometry) float64 {
	const e2, b = 0.00669437999014132, 6356.7523142
	upTo := func(latDeg float64) float64 {
		s, e := math.Sin(latDeg*math.Pi/180), math.Sqrt(e2)
		return b * b / 2 * (s/(1-e2*s*s) + math.Atanh(e*s)/e)
	}
	sum := 0.0
	for _, polygon := range g.Coordinates {
		for _, ring := range polygon {
			for i, p := range ring[:len(ring)-1] {
				q := ring[i+1]
				sum -= (q[0] - p[0]) * math.Pi / 180 * (upTo(p[1]) + upTo(q[1])) / 2
			}
		}
	}
	return sum
}

// checkSamePlaces throws places over the region and asks both the region and its cut
// geometry. Edges are straight in different maps, so places within 300 m of a border may
// differ; they are few.
func checkSamePlaces(t *testing.T, s shape, centre geo.Point, r Region, g Geometry) {
	t.Helper()
	rnd := generator(11)
	plane := geo.NewPlane(centre)
	differ := 0
	for range 400 {
		q := plane.From(2000*s.box*(rnd.Float64()-0.5)/2, 2000*s.box*(rnd.Float64()-0.5)/2)
		inside := false
		for _, polygon := range g.Coordinates {
			for _, ring := range polygon {
				if within(ring, position{q.LonDeg, q.LatDeg}) {
					inside = !inside
				}
			}
		}
		if inside != r.Contains(q) {
			differ++
		}
	}
	if differ > 8 {
		t.Errorf("%s about %v: %d of 400 places are judged differently by the region and its geometry", s.name, centre, differ)
	}
}

// A ring around the pole, made by hand: the outer circle at 80 and the hole at 85
// degrees must become one polygon with no hole, cut along the antimeridian.
func TestHoleAroundThePole(t *testing.T) {
	var p Polygon
	var hole []geo.Point
	for lon := -180.0; lon < 180; lon += 10 {
		p.Outer = append(p.Outer, geo.Point{LatDeg: 80, LonDeg: lon + 5}) // east: the pole on the left
		hole = append(hole, geo.Point{LatDeg: 85, LonDeg: -lon - 5})
	}
	p.Holes = [][]geo.Point{hole}
	r := Region{Polygons: []Polygon{p}}
	g := r.GeoJSON()
	checkGeometry(t, "ring about the pole", g)
	if len(g.Coordinates) != 1 || len(g.Coordinates[0]) != 1 {
		t.Fatalf("%d polygons, expected one of one ring", len(g.Coordinates))
	}
	for place, want := range map[geo.Point]bool{
		{LatDeg: 82, LonDeg: 179.9}: true, {LatDeg: 82, LonDeg: -179.9}: true, {LatDeg: 83, LonDeg: 3}: true,
		{LatDeg: 88, LonDeg: 50}: false, {LatDeg: 79, LonDeg: -50}: false, {LatDeg: 90, LonDeg: 0}: false,
	} {
		if got := within(g.Coordinates[0][0], position{place.LonDeg, place.LatDeg}); got != want {
			t.Errorf("geometry: %v inside: %v", place, got)
		}
		if got := r.Contains(place); got != want {
			t.Errorf("region: %v inside: %v", place, got)
		}
	}
}

// A square across the antimeridian with a hole on its eastern side and one across it.
func TestHolesAcrossTheAntimeridian(t *testing.T) {
	square := func(west, south, side float64, turn bool) []geo.Point {
		at := func(x, y float64) geo.Point {
			return geo.Point{LatDeg: south + y*side, LonDeg: geo.WrapLonDeg(west + x*side)}
		}
		if turn {
			return []geo.Point{at(0, 0), at(0, 1), at(1, 1), at(1, 0)}
		}
		return []geo.Point{at(0, 0), at(1, 0), at(1, 1), at(0, 1)}
	}
	r := Region{Polygons: []Polygon{{
		Outer: square(177, 10, 6, false),
		Holes: [][]geo.Point{square(-179.5, 11, 1, true), square(179, 13, 2, true)},
	}}}
	g := r.GeoJSON()
	checkGeometry(t, "square", g)
	// The hole across the antimeridian leaves a notch in each half.
	if len(g.Coordinates) != 2 {
		t.Fatalf("%d polygons, expected an eastern and a western one", len(g.Coordinates))
	}
	holes := len(g.Coordinates[0]) + len(g.Coordinates[1]) - 2
	if holes != 1 {
		t.Errorf("%d holes, expected the one that is not cut", holes)
	}
	text, err := json.Marshal(g)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(string(text), `{"type":"MultiPolygon","coordinates":[[[[`) {
		t.Errorf("marshalled as %.60s", text)
	}
}

func TestGeoJSONOfNothing(t *testing.T) {
	text, err := json.Marshal(Region{}.GeoJSON())
	if want := `{"type":"MultiPolygon","coordinates":[]}`; err != nil || string(text) != want {
		t.Errorf("%s, %v; expected %s", text, err, want)
	}
	if (Region{}).Contains(inland) {
		t.Error("an empty region holds a place")
	}
}
