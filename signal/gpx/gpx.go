// Package gpx reads the points of GPX files, versions 1.0 and 1.1 [GPX11].
package gpx

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"pappus/measure/geo"
	"pappus/signal/fix"
)

// Kind is what a point stands in.
type Kind int

// The kinds of points.
const (
	Waypoint Kind = iota
	RoutePoint
	TrackPoint
)

// Point is a point of the file; Segment counts the parts of tracks from 0.
type Point struct {
	fix.Report
	Kind    Kind
	Segment int
}

// What is read at most.
const (
	Longest     = 64 << 20 // bytes
	MostPoints  = 1 << 20
	deepest     = 64
	longestText = 4096
	mostFaults  = 20
)

var kinds = map[string]Kind{"wpt": Waypoint, "rtept": RoutePoint, "trkpt": TrackPoint}

// Read answers the points in the order of the file. Faults name what could not be
// read; a file that is cut short gives the points before the cut and a fault.
func Read(text []byte, source string) (points []Point, faults []error) {
	text, err := Unicode(text)
	if err != nil {
		return nil, []error{fmt.Errorf("GPX: %w", err)}
	}
	r := reader{text: text, source: source, segment: -1, decoder: xml.NewDecoder(bytes.NewReader(text))}
	r.decoder.CharsetReader = AsItIs
	for {
		before := r.decoder.InputOffset()
		token, err := r.decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err == nil {
			err = r.take(token, before)
		}
		if err != nil {
			return r.points, append(r.faults, fmt.Errorf("GPX: read up to point %d: %w", len(r.points), err))
		}
	}
	if !r.isGPX {
		r.fault(errors.New("the file holds no gpx element"))
	}
	return r.points, r.faults
}

type reader struct {
	text    []byte
	source  string
	decoder *xml.Decoder
	points  []Point
	faults  []error
	isGPX   bool
	segment int

	names []string // of the elements that are open
	point *Point
	began int64
	depth int // of the point's element
	words []byte
}

func (r *reader) fault(err error) {
	if len(r.faults) < mostFaults {
		r.faults = append(r.faults, fmt.Errorf("GPX: %w", err))
	}
}

func (r *reader) take(token xml.Token, before int64) error {
	switch t := token.(type) {
	case xml.StartElement:
		if len(r.names) == deepest {
			return fmt.Errorf("elements lie %d deep in one another", deepest)
		}
		r.names = append(r.names, t.Name.Local)
		r.words = r.words[:0]
		r.isGPX = r.isGPX || t.Name.Local == "gpx"
		if t.Name.Local == "trkseg" {
			r.segment++
		}
		if kind, ok := kinds[t.Name.Local]; ok && r.point == nil {
			if len(r.points) == MostPoints {
				return fmt.Errorf("more than %d points", MostPoints)
			}
			r.begin(t, kind, before)
		}
	case xml.CharData:
		if r.point != nil && len(r.words) < longestText {
			r.words = append(r.words, t[:min(len(t), longestText)]...)
		}
	case xml.EndElement:
		if r.point != nil {
			r.end(t.Name.Local)
		}
		r.names = r.names[:len(r.names)-1]
	}
	return nil
}

func (r *reader) begin(t xml.StartElement, kind Kind, before int64) {
	r.point = &Point{Kind: kind, Segment: max(r.segment, 0)}
	r.began, r.depth = before, len(r.names)
	p := r.point
	p.Source = r.source
	p.Expected = fix.Expected{Across: fix.AcrossUsual, Up: fix.UpUsual, Time: 0.5}
	var lat, lon string
	for _, a := range t.Attr {
		switch a.Name.Local {
		case "lat":
			lat = a.Value
		case "lon":
			lon = a.Value
		}
	}
	latDeg, err := strconv.ParseFloat(strings.TrimSpace(lat), 64)
	lonDeg, err2 := strconv.ParseFloat(strings.TrimSpace(lon), 64)
	if err != nil || err2 != nil {
		r.fault(fmt.Errorf("point %d: lat %.20q, lon %.20q: expected degrees", len(r.points)+1, lat, lon))
		return
	}
	if p.Place, err = geo.NewPoint(latDeg, lonDeg); err != nil {
		r.fault(fmt.Errorf("point %d: %w", len(r.points)+1, err))
		return
	}
	p.HasPlace = true
}

// end takes what an element within a point said, or finishes the point.
func (r *reader) end(name string) {
	p := r.point
	if len(r.names) == r.depth {
		if p.HasPlace {
			raw := r.text[r.began:r.decoder.InputOffset()]
			p.Raw = string(raw[:min(len(raw), longestText)])
			if p.Quality.Mode == fix.ModeUnsaid && p.Height.Kind != fix.NoHeight {
				p.Quality.Mode = fix.Full
			}
			r.points = append(r.points, *p)
		}
		r.point = nil
		return
	}
	said := strings.TrimSpace(string(r.words))
	r.words = r.words[:0]
	if said == "" {
		return
	}
	direct := len(r.names) == r.depth+1
	switch {
	case name == "time" && direct:
		r.time(said)
	case name == "name" && direct, name == "cmt" && direct:
		p.Comment = strings.TrimSpace(p.Comment + " " + said)
	case name == "fix" && direct:
		p.Quality.Mode = map[string]fix.Mode{"none": fix.NoFix, "2d": fix.Flat, "3d": fix.Full, "dgps": fix.Full, "pps": fix.Full}[said]
	case name == "ele" && direct, name == "geoidheight" && direct, name == "hdop" && direct, name == "sat" && direct, name == "speed", name == "course":
		r.number(name, said)
	}
}

func (r *reader) time(said string) {
	t, zoned, err := Time(said)
	if err != nil {
		r.fault(fmt.Errorf("point %d: %w", len(r.points)+1, err))
		return
	}
	r.point.Time, r.point.TimeKind = t, fix.Told
	if !zoned {
		r.point.Assumed = append(r.point.Assumed, "its time names no zone: UTC was taken")
	}
}

// Time reads the date and time of XML; one without zone is taken for UTC.
func Time(said string) (t time.Time, zoned bool, err error) {
	if t, err := time.Parse(time.RFC3339Nano, said); err == nil {
		return t.UTC(), true, nil
	}
	if t, err := time.Parse("2006-01-02T15:04:05", said); err == nil {
		return t, false, nil
	}
	return time.Time{}, false, fmt.Errorf("time %.40q: expected the form 2027-04-17T13:00:00Z", said)
}

// number takes one of the numbers of a point. Heights are metres; the format does not
// say from where, but receivers write those above sea.
func (r *reader) number(name, said string) {
	v, err := strconv.ParseFloat(said, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		r.fault(fmt.Errorf("point %d: %s is %.20q, expected a number", len(r.points)+1, name, said))
		return
	}
	p := r.point
	switch name {
	case "ele":
		p.Height.Metres, p.Height.Kind = v, fix.Unsaid
	case "geoidheight":
		p.Height.Separation = fix.Known(v)
	case "hdop":
		p.Quality.HDOP = fix.Known(v)
		if v > 0 {
			p.Expected.Across = math.Max(1, fix.AcrossPerHDOP*v)
			p.Expected.Up = fix.UpUsual / fix.AcrossUsual * p.Expected.Across
		}
	case "sat":
		p.Quality.Satellites = fix.Known(v)
	case "speed":
		p.Speed = fix.Known(v)
	case "course":
		p.CourseDeg = fix.Known(v)
	}
}

// Unicode turns the text of an XML file into UTF-8 by what its first line declares:
// UTF-8, ASCII or ISO 8859-1. Other encodings are refused, as are files beyond Longest.
func Unicode(text []byte) ([]byte, error) {
	if len(text) > Longest {
		return nil, fmt.Errorf("the file has %d bytes, at most %d are read", len(text), Longest)
	}
	text = bytes.TrimPrefix(text, []byte("\xEF\xBB\xBF"))
	head := text[:min(len(text), 200)]
	if end := bytes.Index(head, []byte("?>")); bytes.HasPrefix(head, []byte("<?xml")) && end > 0 {
		_, after, found := strings.Cut(string(head[:end]), "encoding=")
		if found && len(after) > 1 {
			name, _, _ := strings.Cut(after[1:], after[:1])
			switch strings.ToLower(name) {
			case "utf-8", "us-ascii", "ascii":
			case "iso-8859-1", "latin1":
				wide := make([]byte, 0, len(text)+len(text)/8)
				for _, b := range text {
					wide = utf8.AppendRune(wide, rune(b))
				}
				return wide, nil
			default:
				return nil, fmt.Errorf("the file is encoded as %.20q: save it as UTF-8", name)
			}
		}
	}
	if !utf8.Valid(text) {
		return nil, errors.New("the file is neither UTF-8 nor declares another encoding: save it as UTF-8")
	}
	return text, nil
}

// AsItIs keeps a decoder of XML from turning a text again that Unicode has turned.
func AsItIs(_ string, input io.Reader) (io.Reader, error) { return input, nil }
