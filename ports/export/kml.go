package export

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"pappus/flight"
	"pappus/measure/geo"
	"pappus/odds/ensemble"
	"pappus/odds/landing"
)

// The styles of the file: one indigo (red 4b, green 3f, blue a8), weaker where
// an area is filled. KML writes opacity, blue, green, red.
var kmlStyles = []kmlStyle{
	newStyle("area", "1", "e6a83f4b", "2", "3da83f4b"),
	newStyle("way", "0", "ffa83f4b", "3", "00a83f4b"),
	newStyle("mark", "1", "ffa83f4b", "4", "00a83f4b"),
}

func newStyle(id, label, line, width, fill string) kmlStyle {
	return kmlStyle{
		ID: id, Icon: kmlIconStyle{"0"}, Label: kmlLabel{"ffffffff", label}, Line: kmlLine{line, width}, Poly: kmlPoly{fill},
	}
}

// KML writes the regions, the central flight as two ways and as stretches of a
// minute with their times, and the marks of launch, burst and landing. It names
// no picture and no address: a reader fetches nothing.
func KML(o *flight.Odds, name string) ([]byte, error) {
	f, err := prepare(o, name)
	if err != nil {
		return nil, err
	}
	d := kmlDocument{Name: f.titled(), Open: 1, Text: caution(o) + " Heights are metres above mean sea level, times are UTC.", Styles: kmlStyles}
	if g := o.Answer.Landing; g != nil {
		d.Folders = append(d.Folders, regionFolder(g))
	}
	d.Folders = append(d.Folders, wayFolder(f), minuteFolder(f), markFolder(o, f))
	return document(kmlFile{Space: "http://www.opengis.net/kml/2.2", Document: d})
}

// regionFolder holds the wide regions first, so that the narrow ones lie on top.
func regionFolder(g *ensemble.Ground) kmlFolder {
	folder := kmlFolder{Name: "where it may land", Visibility: 1, Open: 1}
	for _, r := range slices.Backward(g.Regions) {
		shapes := polygons(r.Shape.GeoJSON())
		if len(shapes) == 0 {
			continue
		}
		share := digits(roundTo(100*r.Probability, 10))
		folder.Placemarks = append(folder.Placemarks, kmlPlacemark{
			Name: share + " % of landings", Visibility: 1, Style: "#area",
			Text: fmt.Sprintf("%s %% of the landings fall on these %s km².", share, digits(roundTo(r.Area, 10))),
			Data: []kmlData{
				{"probability", digits(r.Probability)}, {"area_km2", digits(roundTo(r.Area, 1e3))}, {"merged_share", digits(roundTo(r.Merged, 1e4))},
			},
			Shape: together(shapes),
		})
	}
	return folder
}

// polygons are the pieces of a region, already cut at the antimeridian.
func polygons(region landing.Geometry) []any {
	var shapes []any
	for _, rings := range region.Coordinates {
		shape := kmlPolygon{Tessellate: 1, AltitudeMode: onGround, Outer: kmlRing{ringText(rings[0])}}
		for _, hole := range rings[1:] {
			shape.Holes = append(shape.Holes, kmlRing{ringText(hole)})
		}
		shapes = append(shapes, shape)
	}
	return shapes
}

func ringText(ring [][2]float64) string {
	words := make([]string, len(ring))
	for i, at := range ring {
		words[i] = digits(at[0]) + "," + digits(at[1])
	}
	return strings.Join(words, " ")
}

func wayFolder(f *flown) kmlFolder {
	folder := kmlFolder{Name: "central flight", Visibility: 1, Open: 1}
	for _, way := range []struct {
		name string
		line []position
	}{{"way up", f.up}, {"way down", f.down}} {
		if mark, ok := stretch(way.name, way.line, 1); ok {
			folder.Placemarks = append(folder.Placemarks, mark)
		}
	}
	return folder
}

// minuteFolder has the same ways in short stretches, each with its own time, for
// readers that play time. It is off at first, for it lies on the ways.
func minuteFolder(f *flown) kmlFolder {
	folder := kmlFolder{Name: "central flight, minute by minute", Text: "Turn this on in place of the central flight to follow it in time."}
	for _, way := range [][]position{f.up, f.down} {
		for _, line := range byTime(way, time.Minute) {
			if mark, ok := stretch(line[0].at.Format("15:04:05")+" UTC", line, 0); ok {
				folder.Placemarks = append(folder.Placemarks, mark)
			}
		}
	}
	return folder
}

func stretch(name string, line []position, visibility int) (kmlPlacemark, bool) {
	shapes := lines(line, absolute)
	if len(shapes) == 0 {
		return kmlPlacemark{}, false
	}
	first, last := line[0], line[len(line)-1]
	return kmlPlacemark{
		Name: name, Visibility: visibility, Style: "#way", Span: &kmlSpan{stamp(first.at), stamp(last.at)},
		Data:  []kmlData{{"begin_alt_m", digits(first.alt)}, {"end_alt_m", digits(last.alt)}},
		Shape: together(shapes),
	}, true
}

// lines are the pieces of a line cut at the antimeridian.
func lines(line []position, mode string) []any {
	var shapes []any
	for _, piece := range cutLine(line) {
		words := make([]string, len(piece))
		for i, p := range piece {
			words[i] = p.text()
		}
		one := kmlLineString{AltitudeMode: mode, Coordinates: strings.Join(words, " ")}
		if mode == onGround {
			one.Tessellate = 1
		}
		shapes = append(shapes, one)
	}
	return shapes
}

func (p position) text() string { return digits(p.lon) + "," + digits(p.lat) + "," + digits(p.alt) }

func markFolder(o *flight.Odds, f *flown) kmlFolder {
	folder := kmlFolder{Name: "marks", Visibility: 1, Open: 1}
	add := func(name, when, mode string, p position, data ...kmlData) {
		extrude := 0
		if mode == absolute {
			extrude = 1
		}
		point := kmlPlacemark{
			Name: name, Visibility: 1, Style: "#mark", When: &kmlWhen{when}, Data: data,
			Shape: kmlPoint{Extrude: extrude, AltitudeMode: mode, Coordinates: p.text()},
		}
		ring := point
		ring.Name, ring.Data = name+", circle", []kmlData{{"radius_m", digits(markRadius)}}
		ring.Shape = together(lines(circle(p), mode))
		folder.Placemarks = append(folder.Placemarks, point, ring)
	}
	height := func(p position) kmlData { return kmlData{"alt_m", digits(p.alt)} }
	add("launch", stamp(f.launch().at), onGround, f.launch(), height(f.launch()))
	add("burst, central flight", stamp(f.burst().at), absolute, f.burst(), height(f.burst()))
	add("landing, central flight", stamp(f.landing().at), onGround, f.landing(), height(f.landing()),
		kmlData{"speed_mps", digits(roundTo(o.Answer.Nominal.Speed, 100))})
	if g := o.Answer.Landing; g != nil {
		add("landing, median", g.Time.P50, onGround, position{lon: roundTo(g.Median.Lon, 1e7), lat: roundTo(g.Median.Lat, 1e7)},
			kmlData{"radius_50_m", digits(math.Round(g.Radius50))}, kmlData{"radius_90_m", digits(math.Round(g.Radius90))})
	}
	return folder
}

// A point without a picture shows its name alone, so each has a small circle
// about it: seen from afar it is a dot as wide as its line.
const (
	markRadius  = 60.0 // m
	markCorners = 24
)

func circle(centre position) []position {
	ring := make([]position, 0, markCorners+1)
	for i := range markCorners {
		at, _ := geo.Direct(centre.point(), 360*float64(i)/markCorners, markRadius)
		ring = append(ring, position{lon: roundTo(at.LonDeg, 1e7), lat: roundTo(at.LatDeg, 1e7), alt: centre.alt, at: centre.at})
	}
	return append(ring, ring[0])
}
