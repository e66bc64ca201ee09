package export

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pappus/flight"
)

// node is an element with what is in it.
type node struct {
	name, text string
	attributes map[string]string
	children   []*node
}

func readXML(t *testing.T, data []byte) *node {
	t.Helper()
	decoder := xml.NewDecoder(bytes.NewReader(data))
	top := &node{}
	path := []*node{top}
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		at := path[len(path)-1]
		switch token := token.(type) {
		case xml.StartElement:
			child := &node{name: token.Name.Local, attributes: map[string]string{}}
			for _, a := range token.Attr {
				child.attributes[a.Name.Local] = a.Value
			}
			at.children = append(at.children, child)
			path = append(path, child)
		case xml.EndElement:
			path = path[:len(path)-1]
		case xml.CharData:
			at.text += string(token)
		}
	}
	if len(top.children) != 1 {
		t.Fatalf("%d roots", len(top.children))
	}
	return top.children[0]
}

func (n *node) all(name string) []*node {
	var found []*node
	for _, c := range n.children {
		if c.name == name {
			found = append(found, c)
		}
		found = append(found, c.all(name)...)
	}
	return found
}

// value is the text of the first such element, empty without one.
func (n *node) value(name string) string {
	if found := n.all(name); len(found) > 0 {
		return strings.TrimSpace(found[0].text)
	}
	return ""
}

// checkOrder holds an element and all in it against the sequences of a schema.
func checkOrder(t *testing.T, n *node, sequences map[string][]string) {
	t.Helper()
	allowed, known := sequences[n.name]
	if !known && len(n.children) > 0 {
		t.Fatalf("<%s> has children", n.name)
	}
	last := 0
	for _, c := range n.children {
		place := slices.Index(allowed, c.name)
		if place < last {
			t.Fatalf("<%s> stands at a wrong place in <%s>", c.name, n.name)
		}
		last = place
		checkOrder(t, c, sequences)
	}
}

// gpxSequences are those of the elements that are written [GPX11].
var gpxSequences = map[string][]string{
	"gpx":      {"metadata", "wpt", "rte", "trk", "extensions"},
	"metadata": {"name", "desc", "author", "copyright", "link", "time", "keywords", "bounds", "extensions"},
	"wpt":      {"ele", "time", "magvar", "geoidheight", "name", "cmt", "desc", "src", "link", "sym", "type"},
	"trkpt":    {"ele", "time", "magvar", "geoidheight", "name", "cmt", "desc", "src", "link", "sym", "type"},
	"trk":      {"name", "cmt", "desc", "src", "link", "number", "type", "extensions", "trkseg"},
	"trkseg":   {"trkpt", "extensions"},
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	value, err := strconv.ParseFloat(text, 64)
	if err != nil || strings.ContainsAny(text, "eEnN") {
		t.Fatalf("%q is no decimal", text)
	}
	return value
}

func TestGPX(t *testing.T) {
	eachScene(t, func(t *testing.T, s scene, o *flight.Odds) {
		root := readXML(t, write(t, GPX, o, s.name))
		checkOrder(t, root, gpxSequences)
		if root.attributes["version"] != "1.1" || root.attributes["creator"] == "" || root.attributes["xmlns"] != "http://www.topografix.com/GPX/1/1" {
			t.Errorf("root %v", root.attributes)
		}
		var names []string
		for _, mark := range root.all("wpt") {
			names = append(names, mark.value("name"))
		}
		if want := []string{"launch", "burst, central flight", "landing, central flight", "landing, median"}; !slices.Equal(names, want) {
			t.Errorf("waypoints %q", names)
		}
		points, want := root.all("trkpt"), rows(o)
		if len(points) != len(want) {
			t.Fatalf("%d points, want %d", len(points), len(want))
		}
		last := epoch
		for i, p := range points {
			lat, lon, alt, at := number(t, p.attributes["lat"]), number(t, p.attributes["lon"]), number(t, p.value("ele")), instantOf(t, p.value("time"))
			if !(lon >= -180 && lon < 180) || math.Abs(lat-want[i].LatDeg) > 0.6e-7 || math.Abs(alt-want[i].Alt) > 0.051 || !near(at, trueInstant(want[i].Seconds)) {
				t.Fatalf("point %d: %v %v %v %v, want %v", i, lat, lon, alt, at, want[i].Place)
			}
			if !at.After(last) {
				t.Errorf("point %d: time does not go on", i)
			}
			last = at
		}
	})
}

// kmlSequences are those of the elements that are written, with their nearest
// neighbours ([KML22], from memory).
var kmlSequences = map[string][]string{
	"kml":             {"NetworkLinkControl", "Document"},
	"Document":        {"name", "visibility", "open", "description", "TimeStamp", "styleUrl", "Style", "Region", "ExtendedData", "Schema", "Folder", "Placemark"},
	"Folder":          {"name", "visibility", "open", "description", "TimeStamp", "styleUrl", "Style", "Region", "ExtendedData", "Folder", "Placemark"},
	"Placemark":       {"name", "visibility", "open", "description", "TimeStamp", "TimeSpan", "styleUrl", "Style", "Region", "ExtendedData", "Point", "LineString", "Polygon", "MultiGeometry"},
	"Style":           {"IconStyle", "LabelStyle", "LineStyle", "PolyStyle", "BalloonStyle", "ListStyle"},
	"IconStyle":       {"color", "colorMode", "scale", "heading", "Icon", "hotSpot"},
	"LabelStyle":      {"color", "colorMode", "scale"},
	"LineStyle":       {"color", "colorMode", "width"},
	"PolyStyle":       {"color", "colorMode", "fill", "outline"},
	"TimeStamp":       {"when"},
	"TimeSpan":        {"begin", "end"},
	"ExtendedData":    {"Data", "SchemaData"},
	"Data":            {"displayName", "value"},
	"Point":           {"extrude", "altitudeMode", "coordinates"},
	"LineString":      {"extrude", "tessellate", "altitudeMode", "coordinates"},
	"Polygon":         {"extrude", "tessellate", "altitudeMode", "outerBoundaryIs", "innerBoundaryIs"},
	"outerBoundaryIs": {"LinearRing"},
	"innerBoundaryIs": {"LinearRing"},
	"LinearRing":      {"extrude", "tessellate", "altitudeMode", "coordinates"},
	// Geometries may follow in any order; here each holds one kind.
	"MultiGeometry": {"Point", "LineString", "LinearRing", "Polygon", "MultiGeometry"},
}

// places reads coordinates.
func places(t *testing.T, text string) (flat []xy, alt []float64) {
	t.Helper()
	for _, word := range strings.Fields(text) {
		parts := strings.Split(word, ",")
		if len(parts) != 2 && len(parts) != 3 {
			t.Fatalf("%q is no place", word)
		}
		flat = append(flat, xy{number(t, parts[0]), number(t, parts[1])})
		if len(parts) == 3 {
			alt = append(alt, number(t, parts[2]))
		}
	}
	return flat, alt
}

func polygonsOf(t *testing.T, mark *node) [][][]xy {
	t.Helper()
	var all [][][]xy
	for _, polygon := range mark.all("Polygon") {
		var rings [][]xy
		for _, ring := range polygon.all("LinearRing") {
			flat, _ := places(t, ring.value("coordinates"))
			rings = append(rings, flat)
		}
		all = append(all, rings)
	}
	return all
}

func TestKML(t *testing.T) {
	eachScene(t, func(t *testing.T, s scene, o *flight.Odds) {
		data := write(t, KML, o, s.name)
		root := readXML(t, data)
		folders := root.all("Folder")
		if len(folders) != 4 {
			t.Fatalf("%d folders", len(folders))
		}
		checkOrder(t, root, kmlSequences)
		if n := strings.Count(string(data), "http"); n != 1 {
			t.Errorf("%d addresses, want the name space alone", n)
		}
		styles := map[string]bool{}
		for _, style := range root.all("Style") {
			styles["#"+style.attributes["id"]] = true
		}
		for _, mark := range root.all("Placemark") {
			if !styles[mark.value("styleUrl")] {
				t.Errorf("style %q is not there", mark.value("styleUrl"))
			}
		}
		regions := folders[0].all("Placemark")
		if len(regions) != 2 {
			t.Fatalf("%d regions", len(regions))
		}
		for i, probability := range []float64{0.9, 0.5} {
			if got := number(t, regions[i].value("value")); got != probability {
				t.Errorf("region %d is of %v", i, got)
			}
			checkRegion(t, s, o, probability, polygonsOf(t, regions[i]))
		}
		checkStretches(t, o, folders[1], 2)
		checkStretches(t, o, folders[2], 100)
		checkMarks(t, folders[3], 8)
	})
}

// checkStretches finds the whole flight in the lines of a folder, without a gap
// in place or time.
func checkStretches(t *testing.T, o *flight.Odds, folder *node, least int) {
	t.Helper()
	marks := folder.all("Placemark")
	if len(marks) < least {
		t.Errorf("%d stretches, want %d at least", len(marks), least)
	}
	want, found := rows(o), 0
	last := trueInstant(want[0].Seconds)
	for _, mark := range marks {
		begin, end := instantOf(t, mark.value("begin")), instantOf(t, mark.value("end"))
		if !near(begin, last) || !end.After(begin) {
			t.Errorf("from %v to %v after %v", begin, end, last)
		}
		last = end
		for _, line := range mark.all("LineString") {
			if line.value("altitudeMode") != "absolute" {
				t.Error("heights are not above the sea")
			}
			flat, alt := places(t, line.value("coordinates"))
			checkLine(t, flat)
			for i, at := range flat {
				if r := want[min(found, len(want)-1)]; math.Abs(alt[i]-r.Alt) < 0.051 && math.Abs(at[1]-r.LatDeg) < 0.6e-7 {
					found++
				}
			}
		}
	}
	if found != len(want) || !near(last, trueInstant(want[len(want)-1].Seconds)) {
		t.Errorf("%d of %d rows, the last at %v", found, len(want), last)
	}
}

func checkMarks(t *testing.T, folder *node, count int) {
	t.Helper()
	marks := folder.all("Placemark")
	if len(marks) != count {
		t.Fatalf("%d marks, want %d", len(marks), count)
	}
	for _, mark := range marks {
		instantOf(t, mark.value("when"))
		for _, line := range mark.all("LineString") {
			flat, _ := places(t, line.value("coordinates"))
			checkLine(t, flat)
		}
	}
}

func TestKMLWithoutSpreads(t *testing.T) {
	root := readXML(t, write(t, KML, nominalOnly(scenes[0].odds(t)), ""))
	checkOrder(t, root, kmlSequences)
	if folders := root.all("Folder"); len(folders) != 3 {
		t.Errorf("%d folders", len(folders))
	}
	if root.value("name") != "flight" {
		t.Errorf("named %q", root.value("name"))
	}
}
