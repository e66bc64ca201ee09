package landcover

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
)

// What a file of own areas may hold at most.
const (
	maxOwnBytes    = 32 << 20
	maxOwnAreas    = 10000
	maxOwnVertices = 1 << 20
	maxFaults      = 20
)

// ParseAreas reads own areas from GeoJSON [RFC7946]: a Polygon, a MultiPolygon, a Feature or a FeatureCollection. A feature's
// properties "kind" and "name" are taken; a bare polygon has neither and counts as "keep out". Rings that cross the
// antimeridian may be cut there, as the standard wants, or not. All faults of a file are told together, each with the number of
// its feature.
func ParseAreas(file string, data []byte) ([]OwnArea, error) {
	if len(data) > maxOwnBytes {
		return nil, fmt.Errorf("%s: %d bytes of areas, expected at most %d", file, len(data), maxOwnBytes)
	}
	r := &areaReader{file: file}
	var doc feature
	if err := json.Unmarshal(data, &doc); err != nil {
		return nil, fmt.Errorf(`%s: %s: expected an object such as {"type": "FeatureCollection", "features": […]}`, file, notGeoJSON(err))
	}
	switch doc.Type {
	case "FeatureCollection":
		if len(doc.Features) > maxOwnAreas {
			return nil, fmt.Errorf("%s: %d features, expected at most %d", file, len(doc.Features), maxOwnAreas)
		}
		for i := range doc.Features {
			r.where = fmt.Sprintf("feature %d", i+1)
			r.feature(&doc.Features[i])
		}
	case "Feature":
		r.where = "the feature"
		r.feature(&doc)
	case "Polygon", "MultiPolygon":
		r.where = "the polygon"
		r.area("", "keep out", &geometry{Type: doc.Type, Coordinates: doc.Coordinates})
	default:
		r.fault("its type is %q, expected FeatureCollection, Feature, Polygon or MultiPolygon", doc.Type)
	}
	if len(r.faults) > 0 {
		return nil, errors.Join(r.faults...)
	}
	if len(r.areas) == 0 {
		return nil, fmt.Errorf("%s: there is no area in it", file)
	}
	return r.areas, nil
}

// notGeoJSON says why a text is none, without the words of the decoder on its own types.
func notGeoJSON(err error) string {
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		return fmt.Sprintf("not JSON (%v, near octet %d)", syntax, syntax.Offset)
	}
	var shape *json.UnmarshalTypeError
	if errors.As(err, &shape) {
		return fmt.Sprintf("not GeoJSON: %s stands near octet %d", shape.Value, shape.Offset)
	}
	return "not GeoJSON"
}

type geometry struct {
	Type        string          `json:"type"`
	Coordinates json.RawMessage `json:"coordinates"`
}

type feature struct {
	Type        string          `json:"type"`
	Features    []feature       `json:"features"`
	Geometry    *geometry       `json:"geometry"`
	Coordinates json.RawMessage `json:"coordinates"`
	Properties  json.RawMessage `json:"properties"`
}

type areaReader struct {
	file, where string
	vertices    int
	areas       []OwnArea
	faults      []error
}

func (r *areaReader) fault(format string, args ...any) {
	if len(r.faults) >= maxFaults {
		return
	}
	where := r.file
	if r.where != "" {
		where += ": " + r.where
	}
	r.faults = append(r.faults, fmt.Errorf("%s: "+format, append([]any{where}, args...)...))
}

func (r *areaReader) feature(f *feature) {
	if f.Type != "Feature" {
		r.fault("its type is %q, expected Feature", f.Type)
		return
	}
	var words struct {
		Kind *string `json:"kind"`
		Name string  `json:"name"`
	}
	if len(f.Properties) > 0 {
		if err := json.Unmarshal(f.Properties, &words); err != nil {
			r.fault("its properties: %v; expected \"kind\" and \"name\" as text", err)
			return
		}
	}
	if words.Kind == nil || *words.Kind == "" {
		r.fault("the property \"kind\" is missing: say \"keep out\", \"permission\", \"airspace\", \"forest\" or a word of your own")
		return
	}
	if f.Geometry == nil {
		r.fault("it has no geometry, expected a Polygon or MultiPolygon")
		return
	}
	r.area(words.Name, *words.Kind, f.Geometry)
}

func (r *areaReader) area(name, kind string, g *geometry) {
	var polygons [][][][]float64
	var err error
	switch g.Type {
	case "Polygon":
		polygons = make([][][][]float64, 1)
		err = json.Unmarshal(g.Coordinates, &polygons[0])
	case "MultiPolygon":
		err = json.Unmarshal(g.Coordinates, &polygons)
	default:
		r.fault("its geometry is a %q, expected a Polygon or MultiPolygon: only those enclose an area", g.Type)
		return
	}
	if err != nil {
		r.fault("its coordinates: %v", err)
		return
	}
	a := OwnArea{Name: name, Kind: kind}
	for p, polygon := range polygons {
		if len(polygon) == 0 {
			r.fault("polygon %d has no ring", p+1)
			return
		}
		// The rings of one polygon must lie on the same side of the antimeridian, holes inside their shell.
		var shell float64
		for k, ring := range polygon {
			edges, ok := r.ring(ring, fmt.Sprintf("polygon %d, ring %d", p+1, k+1))
			if !ok {
				return
			}
			if k == 0 {
				shell = middle(edges)
			}
			turn := 360 * math.Round((shell-middle(edges))/360)
			for _, e := range edges {
				e.x1, e.x2 = e.x1+turn, e.x2+turn
				a.edges = append(a.edges, e)
			}
		}
	}
	if len(a.edges) == 0 {
		r.fault("it encloses nothing")
		return
	}
	a.meaning()
	a.index()
	r.areas = append(r.areas, a)
}

func middle(edges []ownEdge) float64 {
	west, east := math.Inf(1), math.Inf(-1)
	for _, e := range edges {
		west, east = min(west, e.x1), max(east, e.x1)
	}
	return (west + east) / 2
}

// ring turns positions into edges whose longitudes run on.
func (r *areaReader) ring(positions [][]float64, what string) ([]ownEdge, bool) {
	if len(positions) < 4 {
		r.fault("%s has %d positions, expected at least 4, the last equal to the first", what, len(positions))
		return nil, false
	}
	if r.vertices += len(positions); r.vertices > maxOwnVertices {
		r.fault("with it the file has more than %d vertices: draw it coarser", maxOwnVertices)
		return nil, false
	}
	for i, p := range positions {
		if len(p) < 2 {
			r.fault("%s, position %d has %d numbers, expected longitude and latitude", what, i+1, len(p))
			return nil, false
		}
		if !(p[1] >= -90 && p[1] <= 90) || !(p[0] >= -180 && p[0] <= 360) {
			r.fault("%s, position %d is [%g, %g], expected a longitude of -180 to 360, then a latitude of -90 to 90", what, i+1, p[0], p[1])
			return nil, false
		}
	}
	first, last := positions[0], positions[len(positions)-1]
	if first[1] != last[1] || math.Mod(math.Abs(first[0]-last[0]), 360) != 0 {
		r.fault("%s is not closed: it begins at [%g, %g] and ends at [%g, %g]", what, first[0], first[1], last[0], last[1])
		return nil, false
	}
	edges := make([]ownEdge, 0, len(positions)-1)
	x := first[0]
	for i := 1; i < len(positions); i++ {
		a, b := positions[i-1], positions[i]
		step := b[0] - a[0]
		// More than half way round means the short way, across the antimeridian; but not along a pole.
		if math.Abs(step) > 180 && !(math.Abs(a[1]) == 90 && a[1] == b[1]) {
			step -= 360 * math.Round(step/360)
		}
		edges = append(edges, ownEdge{x, a[1], x + step, b[1]})
		x += step
	}
	if math.Abs(x-first[0]) > 1e-9 {
		r.fault("%s runs round a pole: close it along the antimeridian and the latitude of 90 or -90 degrees", what)
		return nil, false
	}
	return edges, true
}
