// Package kml reads the tracks, timed places and paths of KML files [KML22].
package kml

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"pappus/measure/geo"
	"pappus/signal/fix"
	"pappus/signal/gpx"
)

// Kind is what a point stands in.
type Kind int

// The kinds of points.
const (
	Place Kind = iota // a placemark, with a time where it has one
	Track             // a track with a time for each point
	Path              // a line without times
)

// Point is a point of the file; Part counts the tracks and lines from 0.
type Point struct {
	fix.Report
	Kind Kind
	Part int
}

// What is read at most.
const (
	mostPoints = 1 << 20
	deepest    = 64
	mostFaults = 20
)

// Read answers the points in the order of the file. Faults name what could not be
// read; a file that is cut short gives the points before the cut and a fault. Polygons,
// views and overlays are passed over.
func Read(text []byte, source string) (points []Point, faults []error) {
	text, err := gpx.Unicode(text)
	if err != nil {
		return nil, []error{fmt.Errorf("KML: %w", err)}
	}
	r := reader{source: source, part: -1}
	decoder := xml.NewDecoder(bytes.NewReader(text))
	decoder.CharsetReader = gpx.AsItIs
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err == nil {
			err = r.take(token)
		}
		if err != nil {
			return r.points, append(r.faults, fmt.Errorf("KML: read up to point %d: %w", len(r.points), err))
		}
	}
	if !r.isKML {
		r.fault(errors.New("the file holds no kml element"))
	}
	return r.points, r.faults
}

type reader struct {
	source string
	points []Point
	faults []error
	isKML  bool
	part   int

	names     []string
	words     []byte
	reads     bool     // the open element is one whose words are wanted
	when      string   // of a placemark
	placed    int      // points before the open placemark
	whens     []string // of a track
	coords    []string
	mode      string // of heights
	placeName string
}

func (r *reader) fault(err error) {
	if len(r.faults) < mostFaults {
		r.faults = append(r.faults, fmt.Errorf("KML: %w", err))
	}
}

var wanted = []string{"when", "coord", "coordinates", "altitudeMode", "name"}

func (r *reader) take(token xml.Token) error {
	switch t := token.(type) {
	case xml.StartElement:
		if len(r.names) == deepest {
			return fmt.Errorf("elements lie %d deep in one another", deepest)
		}
		name := t.Name.Local
		r.names = append(r.names, name)
		r.words, r.reads = r.words[:0], slices.Contains(wanted, name)
		switch name {
		case "kml":
			r.isKML = true
		case "Placemark":
			r.when, r.placeName, r.placed = "", "", len(r.points)
		case "Track":
			r.whens, r.coords, r.mode = nil, nil, ""
		case "Point", "LineString", "LinearRing":
			r.mode = ""
		}
	case xml.CharData:
		if r.reads {
			r.words = append(r.words, t...)
		}
	case xml.EndElement:
		err := r.end(t.Name.Local)
		r.names, r.reads = r.names[:len(r.names)-1], false
		return err
	}
	return nil
}

func (r *reader) parent() string {
	if len(r.names) < 2 {
		return ""
	}
	return r.names[len(r.names)-2]
}

func (r *reader) end(name string) error {
	said := strings.TrimSpace(string(r.words))
	switch name {
	case "name":
		if r.parent() == "Placemark" {
			r.placeName = said[:min(len(said), 200)]
		}
	case "altitudeMode":
		r.mode = said
	case "when":
		switch r.parent() {
		case "TimeStamp":
			r.when = said
		case "Track":
			r.whens = append(r.whens, said)
		}
	case "coord":
		if r.parent() == "Track" {
			r.coords = append(r.coords, said)
		}
	case "coordinates":
		return r.coordinates(said)
	case "Track":
		return r.track()
	case "Placemark":
		r.timed()
	}
	if len(r.whens) > mostPoints || len(r.coords) > mostPoints {
		return fmt.Errorf("a track of more than %d points", mostPoints)
	}
	return nil
}

// coordinates takes the one of a point, or those of a line.
func (r *reader) coordinates(said string) error {
	kind := Place
	switch r.parent() {
	case "Point":
	case "LineString":
		kind = Path
		r.part++
	default:
		return nil
	}
	for tuple := range strings.FieldsSeq(said) {
		if err := r.add(kind, tuple, strings.Split(tuple, ",")); err != nil {
			return err
		}
	}
	return nil
}

// timed gives a placemark's time to its points, wherever it stood in the placemark.
func (r *reader) timed() {
	for i := r.placed; i < len(r.points); i++ {
		if p := &r.points[i]; p.Kind == Place && r.when != "" {
			r.time(p, r.when)
		}
	}
}

// track pairs times and places, of which there must be as many.
func (r *reader) track() error {
	r.part++
	if len(r.whens) != len(r.coords) {
		r.fault(fmt.Errorf("a track has %d times and %d places: paired as far as both go", len(r.whens), len(r.coords)))
	}
	for i := range min(len(r.whens), len(r.coords)) {
		if r.coords[i] == "" {
			continue // a time at which the place was not known
		}
		before := len(r.points)
		if err := r.add(Track, r.whens[i]+" "+r.coords[i], strings.Fields(r.coords[i])); err != nil {
			return err
		}
		if len(r.points) > before {
			r.time(&r.points[before], r.whens[i])
		}
	}
	r.whens, r.coords = nil, nil
	return nil
}

func (r *reader) time(p *Point, said string) {
	t, zoned, err := gpx.Time(said)
	if err != nil {
		r.fault(err)
		return
	}
	p.Time, p.TimeKind = t, fix.Told
	if !zoned {
		p.Assumed = append(p.Assumed, "its time names no zone: UTC was taken")
	}
}

// add makes a point of longitude, latitude and perhaps a height.
func (r *reader) add(kind Kind, raw string, numbers []string) error {
	if len(r.points) == mostPoints {
		return fmt.Errorf("more than %d points", mostPoints)
	}
	var v [3]float64
	if len(numbers) < 2 || len(numbers) > 3 {
		r.fault(fmt.Errorf("place %.60q: expected longitude, latitude and perhaps a height", raw))
		return nil
	}
	for i, n := range numbers {
		var err error
		if v[i], err = strconv.ParseFloat(n, 64); err != nil {
			r.fault(fmt.Errorf("place %.60q: %.20q is no number", raw, n))
			return nil
		}
	}
	place, err := geo.NewPoint(v[1], v[0])
	if err != nil {
		r.fault(fmt.Errorf("place %.60q: %w", raw, err))
		return nil
	}
	p := Point{Kind: kind, Part: max(r.part, 0)}
	p.Source, p.Raw, p.Comment = r.source, raw[:min(len(raw), 400)], r.placeName
	p.Place, p.HasPlace = place, true
	p.Expected = fix.Expected{Across: fix.AcrossUsual, Up: fix.UpUsual, Time: 0.5}
	if len(numbers) == 3 && fix.Known(v[2]).Known {
		p.height(v[2], r.mode)
	}
	r.points = append(r.points, p)
	return nil
}

// height takes a height by its mode. Where the file says that places lie on the ground,
// a height that is not zero is more likely meant than not.
func (p *Point) height(metres float64, mode string) {
	switch mode {
	case "absolute":
		p.Height = fix.Height{Metres: metres, Kind: fix.AboveSea}
	case "relativeToGround":
		p.Height = fix.Height{Metres: metres, Kind: fix.AboveGround}
	default:
		if metres != 0 {
			p.Height = fix.Height{Metres: metres, Kind: fix.Unsaid}
			p.Assumed = append(p.Assumed, "the file draws its places on the ground and gives heights all the same: they were taken as above sea")
		}
	}
}
