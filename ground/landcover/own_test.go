package landcover

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"pappus/measure/geo"
)

func square(kind string, west, south, east, north float64) string {
	return fmt.Sprintf(`{"type":"Feature","properties":{"kind":%q,"name":"the %s"},"geometry":{"type":"Polygon","coordinates":[[[%g,%g],[%g,%g],[%g,%g],[%g,%g],[%g,%g]]]}}`,
		kind, kind, west, south, east, south, east, north, west, north, west, south)
}

func collection(features ...string) []byte {
	return []byte(`{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`)
}

func TestOwnAreasJoinAndOverride(t *testing.T) {
	m := world(t)
	own, err := ParseAreas("own.geojson", collection(
		square("keep out", -100, 39, -98, 41),
		square("permission", -99.5, 39.5, -98.5, 40.5),
		square("Keep-Out", -99.1, 39.9, -98.9, 40.1),
		square("forest", -99.3, 40.0, -99.2, 40.2),
		square("airspace", -101, 38, -97, 42)))
	if err != nil {
		t.Fatal(err)
	}
	over := m.With(own[:2]...).With(own[2:]...)
	if len(m.Own()) != 0 || len(over.Own()) != 5 {
		t.Fatalf("%d and %d areas", len(m.Own()), len(over.Own()))
	}
	for _, c := range []struct {
		lat, lon float64
		leave    Leave
		ground   Ground
		numbers  string
	}{
		{40.8, -99.8, KeepOut, Land, "[0 4]"}, {40.4, -98.7, Permission, Land, "[0 1 4]"}, {40.05, -99.05, KeepOut, Land, "[0 1 2 4]"},
		{40.1, -99.25, Permission, Forest, "[0 1 3 4]"}, {38.5, -100.5, NothingSaid, Land, "[4]"}, {30, -90.5, NothingSaid, Land, "[]"},
	} {
		p := geo.Point{LatDeg: c.lat, LonDeg: c.lon}
		h := over.At(p)
		if h.Leave != c.leave || h.Ground != c.ground || h.Drawn != (c.ground == Forest) {
			t.Errorf("%v: %+v", c, h)
		}
		if got := fmt.Sprint(over.OwnAt(p, []int{})); got != c.numbers {
			t.Errorf("%v: in %s", c, got)
		}
		if plain := m.At(p); plain.Leave != NothingSaid || plain.Drawn {
			t.Errorf("%v: the map below has changed: %+v", c, plain)
		}
	}
	// A pond that the data do not know, and land where they see the sea.
	drawn, err := ParseAreas("own", collection(square("water", -99.21, 40.09, -99.2, 40.1), square("land", -41, 29, -39, 31)))
	if err != nil {
		t.Fatal(err)
	}
	over = m.With(drawn...)
	if h := over.At(geo.Point{LatDeg: 40.095, LonDeg: -99.205}); h.Ground != Lake || !h.Drawn || h.Region == 0 {
		t.Errorf("the pond: %+v", h)
	}
	if h := over.At(geo.Point{LatDeg: 30, LonDeg: -40}); h.Ground != Land || !h.Drawn {
		t.Errorf("the island: %+v", h)
	}
}

func TestOwnAreasAcrossTheAntimeridian(t *testing.T) {
	cut := `{"type":"Feature","properties":{"kind":"x"},"geometry":{"type":"MultiPolygon","coordinates":[[[[178,-18],[180,-18],[180,-16],[178,-16],[178,-18]]],[[[-180,-18],[-178,-18],[-178,-16],[-180,-16],[-180,-18]]]]}}`
	over := `{"type":"Feature","properties":{"kind":"x"},"geometry":{"type":"Polygon","coordinates":[[[178,-18],[-178,-18],[-178,-16],[178,-16],[178,-18]],[[179.5,-17.5],[179.5,-16.5],[-179.5,-16.5],[-179.5,-17.5],[179.5,-17.5]]]}}`
	beyond := square("x", 178, -18, 182, -16)
	hole := geo.Point{LatDeg: -17, LonDeg: -180}
	for name, text := range map[string]string{"cut": cut, "across": over, "beyond 180": beyond} {
		areas, err := ParseAreas(name, []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		a := &areas[0]
		for _, c := range []struct {
			lon  float64
			want bool
		}{{177.9, false}, {178.1, true}, {179.4, true}, {-179.4, true}, {-178.1, true}, {-177.9, false}, {0, false}} {
			if got := a.Contains(geo.Point{LatDeg: -16.9, LonDeg: c.lon}); got != c.want {
				t.Errorf("%s, longitude %g: %v", name, c.lon, got)
			}
		}
		if got := a.Contains(hole); got != (name != "across") {
			t.Errorf("%s: its middle: %v", name, got)
		}
	}
	cap, err := ParseAreas("cap", []byte(`{"type":"Polygon","coordinates":[[[-180,-90],[180,-90],[180,-70],[90,-71],[0,-70],[-90,-71],[-180,-70],[-180,-90]]]}`))
	if err != nil {
		t.Fatal(err)
	}
	if cap[0].Kind != "keep out" || !cap[0].Contains(geo.Point{LatDeg: -89.9, LonDeg: 123}) || cap[0].Contains(geo.Point{LatDeg: -60, LonDeg: 123}) {
		t.Errorf("the polar cap: %+v", cap[0].Kind)
	}
}

// Bands must not change the answer.
func TestOwnAreaAgainstBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	var ring []string
	first := ""
	for i := range 400 {
		lat, lon := 45+float64(i%20)*0.05+r.Float64()*0.04, 8+float64(i)*0.01
		s := fmt.Sprintf("[%.6f,%.6f]", lon, lat)
		if i == 0 {
			first = s
		}
		ring = append(ring, s)
	}
	areas, err := ParseAreas("zigzag", []byte(`{"type":"Polygon","coordinates":[[`+strings.Join(append(ring, "[10,44]", first), ",")+`]]}`))
	if err != nil {
		t.Fatal(err)
	}
	a, inside := &areas[0], 0
	for range 20000 {
		p := geo.Point{LatDeg: 44 + 2.2*r.Float64(), LonDeg: 7.8 + 4.4*r.Float64()}
		odd := false
		for _, e := range a.edges {
			if (e.y1 > p.LatDeg) != (e.y2 > p.LatDeg) && p.LonDeg < e.x1+(p.LatDeg-e.y1)/(e.y2-e.y1)*(e.x2-e.x1) {
				odd = !odd
			}
		}
		if a.Contains(p) != odd {
			t.Fatalf("%v: %v", p, !odd)
		}
		if odd {
			inside++
		}
	}
	if inside < 1000 {
		t.Errorf("only %d inside", inside)
	}
}

func TestParseAreasRefuses(t *testing.T) {
	ring := func(s string) string {
		return `{"type":"Feature","properties":{"kind":"x"},"geometry":{"type":"Polygon","coordinates":[[` + s + `]]}}`
	}
	for name, c := range map[string]struct{ text, says string }{
		"no JSON":         {`{`, "not JSON (unexpected end of JSON input, near octet 1): expected an object"},
		"a list":          {`[]`, "not GeoJSON: array stands near octet 1: expected an object"},
		"a wrong type":    {`{"type":"Topology"}`, `"Topology", expected FeatureCollection`},
		"an empty file":   {string(collection()), "no area"},
		"a point":         {`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"kind":"x"},"geometry":{"type":"Point","coordinates":[1,2]}}]}`, `feature 1: its geometry is a "Point"`},
		"no geometry":     {`{"type":"Feature","properties":{"kind":"x"},"geometry":null}`, "no geometry"},
		"no kind":         {`{"type":"Feature","properties":{},"geometry":{"type":"Polygon","coordinates":[]}}`, `"kind" is missing`},
		"a numeric kind":  {`{"type":"Feature","properties":{"kind":3},"geometry":{"type":"Polygon","coordinates":[]}}`, "as text"},
		"too few":         {ring(`[0,0],[1,1],[0,0]`), "at least 4"},
		"open":            {ring(`[0,0],[1,0],[1,1],[0,1]`), "not closed"},
		"swapped":         {ring(`[0,0],[10,100],[1,1],[0,0]`), "position 2 is [10, 100]"},
		"one number":      {ring(`[0,0],[10],[1,1],[0,0]`), "has 1 numbers"},
		"round the pole":  {ring(`[0,80],[120,80],[-120,80],[0,80]`), "runs round a pole"},
		"no numbers":      {ring(`["a","b"]`), "coordinates"},
		"a bare feature":  {`{"type":"FeatureCollection","features":[{"type":"Polygon"}]}`, "expected Feature"},
		"a huge count":    {`{"type":"FeatureCollection","features":[` + strings.Repeat(`{},`, maxOwnAreas) + `{}]}`, "at most 10000"},
		"no ring":         {`{"type":"Polygon","coordinates":[]}`, "no ring"},
		"several at once": {string(collection(square("x", 0, 0, 1, 1), ring(`[0,0]`), ring(`[0,0],[1,0],[1,1],[0,1]`))), "feature 3"},
	} {
		areas, err := ParseAreas("own.geojson", []byte(c.text))
		if err == nil || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), "own.geojson") || areas != nil {
			t.Errorf("%s: %v, want it to say %q", name, err, c.says)
		}
	}
}

func FuzzParseAreas(f *testing.F) {
	f.Add([]byte(square("x", 0, 0, 1, 1)))
	f.Add(collection(square("forest", 179, -1, 181, 1)))
	f.Add([]byte(`{"type":"MultiPolygon","coordinates":[[[[0,0],[1e300,0],[1,1],[0,0]]]]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		areas, err := ParseAreas("f", data)
		if err != nil {
			return
		}
		for i := range areas {
			areas[i].Contains(geo.Point{LatDeg: 0.5, LonDeg: 0.5})
		}
	})
}

func TestNotLookedAt(t *testing.T) {
	all, some := NotLookedAt(), NotLookedAt("Forest", "airspace")
	if len(all) < 10 || len(some) != len(all) {
		t.Fatalf("%d and %d", len(all), len(some))
	}
	has := func(list []string, word string) (line string) {
		for _, s := range list {
			if strings.Contains(s, word) {
				line = s
			}
		}
		return line
	}
	for _, word := range []string{"power lines", "forest", "temporary", "whose land", "fine relief", "tower"} {
		if has(all, word) == "" {
			t.Errorf("nothing about %q", word)
		}
	}
	if !strings.Contains(has(some, "forest"), "outside") || strings.Contains(has(all, "forest"), "outside") {
		t.Errorf("%q, %q", has(some, "forest"), has(all, "forest"))
	}
}
