package export

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pappus/flight"
)

type readFeature struct {
	Type     string
	Geometry struct {
		Type        string
		Coordinates json.RawMessage
	}
	Properties map[string]any
}

func readGeoJSON(t *testing.T, data []byte) (top map[string]any, features []readFeature) {
	t.Helper()
	var all struct {
		Type     string
		Features []readFeature
	}
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &top); err != nil {
		t.Fatal(err)
	}
	if all.Type != "FeatureCollection" {
		t.Fatalf("type %q", all.Type)
	}
	for _, member := range []string{"coordinates", "geometries", "geometry", "properties"} {
		if _, ok := top[member]; ok {
			t.Errorf("a collection must not have %q", member)
		}
	}
	return top, all.Features
}

func decode[T any](t *testing.T, data json.RawMessage) (value T) {
	t.Helper()
	if err := json.Unmarshal(data, &value); err != nil {
		t.Fatal(err)
	}
	return value
}

func kinds(features []readFeature) []string {
	var list []string
	for _, f := range features {
		list = append(list, fmt.Sprint(f.Properties["kind"]))
	}
	return list
}

func TestGeoJSON(t *testing.T) {
	eachScene(t, func(t *testing.T, s scene, o *flight.Odds) {
		_, features := readGeoJSON(t, write(t, GeoJSON, o, s.name))
		want := []string{"launch", "way_up", "way_down", "burst", "landing", "region", "region", "landing_median", "burst_median", "member_landings"}
		if got := kinds(features); !slices.Equal(got, want) {
			t.Fatalf("features %v", got)
		}
		for _, f := range features {
			switch f.Geometry.Type {
			case "LineString", "MultiLineString":
				checkWay(t, o, f)
			case "MultiPolygon":
				checkRegion(t, s, o, f.Properties["probability"].(float64), decode[[][][]xy](t, f.Geometry.Coordinates))
			case "MultiPoint":
				checkLandings(t, o, f)
			case "Point":
				at := decode[[]float64](t, f.Geometry.Coordinates)
				if len(at) < 2 || len(at) > 3 || math.Abs(at[0]) > 180 || math.Abs(at[1]) > 90 {
					t.Errorf("%v at %v", f.Properties["kind"], at)
				}
			default:
				t.Errorf("geometry %q", f.Geometry.Type)
			}
		}
	})
}

// checkWay finds every row of the flight on the line, with its height and time.
func checkWay(t *testing.T, o *flight.Odds, f readFeature) {
	t.Helper()
	lines, times := [][][3]float64{}, [][]string{}
	text, err := json.Marshal(f.Properties["times"])
	if err != nil {
		t.Fatal(err)
	}
	if f.Geometry.Type == "LineString" {
		lines = append(lines, decode[[][3]float64](t, f.Geometry.Coordinates))
		times = append(times, decode[[]string](t, text))
	} else {
		lines = decode[[][][3]float64](t, f.Geometry.Coordinates)
		times = decode[[][]string](t, text)
	}
	want := o.Nominal.Up
	if f.Properties["kind"] == "way_down" {
		want = append(o.Nominal.Up[len(o.Nominal.Up)-1:len(o.Nominal.Up):len(o.Nominal.Up)], o.Nominal.Down...)
	}
	if len(times) != len(lines) {
		t.Fatalf("%d lines, %d lists of times", len(lines), len(times))
	}
	last, found := epoch, 0
	for i, line := range lines {
		if len(times[i]) != len(line) {
			t.Fatalf("%d points, %d times", len(line), len(times[i]))
		}
		var flat []xy
		for j, p := range line {
			flat = append(flat, xy{p[0], p[1]})
			at := instantOf(t, times[i][j])
			if at.Before(last) {
				t.Errorf("time goes back to %v", at)
			}
			last = at
			// Rounding moves by half a unit of the last place.
			if r := want[min(found, len(want)-1)]; near(at, trueInstant(r.Seconds)) && math.Abs(p[2]-r.Alt) < 0.051 && math.Abs(p[1]-r.LatDeg) < 0.6e-7 {
				found++
			} else if math.Abs(p[0]) != 180 {
				t.Errorf("%v at %v is no row of the flight", p, at)
			}
		}
		checkLine(t, flat)
	}
	if found != len(want) {
		t.Errorf("%d of %d rows are on the %v", found, len(want), f.Properties["kind"])
	}
	if f.Properties["begin"] != times[0][0] || !last.Equal(instantOf(t, f.Properties["end"].(string))) {
		t.Error("begin or end is not that of the line")
	}
}

func checkLandings(t *testing.T, o *flight.Odds, f readFeature) {
	t.Helper()
	points := decode[[][3]float64](t, f.Geometry.Coordinates)
	if len(points) != len(o.Result.Landings) {
		t.Fatalf("%d landings, want %d", len(points), len(o.Result.Landings))
	}
	for i, p := range points {
		l := &o.Result.Landings[i]
		if math.Abs(p[0]-l.Lon) > 0.6e-6 || math.Abs(p[1]-l.Lat) > 0.6e-6 || math.Abs(p[2]-l.Alt) > 0.51 {
			t.Fatalf("landing %d is at %v, want %v", i, p, *l)
		}
	}
}

func TestGeoJSONWithoutSpreads(t *testing.T) {
	data := write(t, GeoJSON, nominalOnly(scenes[0].odds(t)), "")
	top, features := readGeoJSON(t, data)
	if got := kinds(features); !slices.Equal(got, []string{"launch", "way_up", "way_down", "burst", "landing"}) {
		t.Errorf("features %v", got)
	}
	for _, absent := range []string{"name", "members", "seed", "chances"} {
		if _, ok := top[absent]; ok {
			t.Errorf("%q is there", absent)
		}
	}
	if strings.Contains(string(data), "null") && !strings.Contains(string(data), `"levels_top_m":null`) {
		t.Error("something is null")
	}
}
