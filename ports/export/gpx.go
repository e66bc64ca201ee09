package export

import (
	"encoding/xml"
	"fmt"

	"pappus/flight"
	"pappus/measure/geo"
)

// The elements of [GPX11] that are written, in the order of its schema.
type (
	gpxFile struct {
		XMLName  xml.Name   `xml:"gpx"`
		Space    string     `xml:"xmlns,attr"`
		Version  string     `xml:"version,attr"`
		Creator  string     `xml:"creator,attr"`
		Metadata gpxAbout   `xml:"metadata"`
		Marks    []gpxPoint `xml:"wpt"`
		Track    gpxTrack   `xml:"trk"`
	}
	gpxAbout struct {
		Name string `xml:"name"`
		Text string `xml:"desc"`
	}
	gpxPoint struct {
		Lat  string `xml:"lat,attr"`
		Lon  string `xml:"lon,attr"`
		Ele  string `xml:"ele,omitempty"`
		Time string `xml:"time,omitempty"`
		Name string `xml:"name,omitempty"`
		Text string `xml:"desc,omitempty"`
	}
	gpxTrack struct {
		Name   string     `xml:"name"`
		Text   string     `xml:"desc"`
		Points []gpxPoint `xml:"trkseg>trkpt"`
	}
)

// GPX writes the central flight as one track and launch, burst, landing and the
// median landing as waypoints. The format has no areas: the regions are left to
// the others.
func GPX(o *flight.Odds, name string) ([]byte, error) {
	f, err := prepare(o, name)
	if err != nil {
		return nil, err
	}
	file := gpxFile{
		Space: "http://www.topografix.com/GPX/1/1", Version: "1.1", Creator: "pappus",
		Metadata: gpxAbout{Name: f.titled(), Text: caution(o)},
		Marks: []gpxPoint{
			mark(f.launch(), "launch", ""),
			mark(f.burst(), "burst, central flight", ""),
			mark(f.landing(), "landing, central flight", ""),
		},
		Track: gpxTrack{Name: f.titled(), Text: "central flight: every doubt at its centre"},
	}
	if g := o.Answer.Landing; g != nil {
		at := position{lon: roundTo(g.Median.Lon, 1e7), lat: roundTo(g.Median.Lat, 1e7)}
		m := mark(at, "landing, median", fmt.Sprintf("half of the landings within %.0f m, nine in ten within %.0f m", g.Radius50, g.Radius90))
		m.Ele, m.Time = "", g.Time.P50
		file.Marks = append(file.Marks, m)
	}
	for _, p := range append(f.up, f.down[1:]...) {
		file.Track.Points = append(file.Track.Points, mark(p, "", ""))
	}
	return document(file)
}

// mark is a point of the file. Its longitudes end before 180 (longitudeType of
// the schema).
func mark(p position, name, text string) gpxPoint {
	return gpxPoint{Lat: digits(p.lat), Lon: digits(geo.WrapLonDeg(p.lon)), Ele: digits(p.alt), Time: stamp(p.at), Name: name, Text: text}
}

// document writes a whole XML file.
func document(root any) ([]byte, error) {
	text, err := xml.MarshalIndent(root, "", " ")
	if err != nil {
		return nil, fmt.Errorf("the flight has no XML form: %w", err)
	}
	return append(append([]byte(xml.Header), text...), '\n'), nil
}

// caution says what the file stands on, without a word that comes from outside.
func caution(o *flight.Odds) string {
	text := "A forecast of one flight, not a promise: obey local rules, and look at what lies where it may land."
	if o.Answer.Members > 0 {
		text += fmt.Sprintf(" From %d flights drawn (seed %d).", o.Answer.Members, o.Answer.Seed)
	}
	if cycle := o.Answer.Weather.Cycle; cycle != nil {
		text += " Forecast cycle " + *cycle + "."
	}
	return text
}
