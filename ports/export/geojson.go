package export

import (
	"bytes"
	"encoding/json"
	"fmt"

	"pappus/flight"
	"pappus/odds/ensemble"
)

// collection is the head of the file. Its members beside type and features are
// foreign ones in the sense of [RFC7946, section 6.1].
type collection struct {
	Type        string               `json:"type"`
	Name        string               `json:"name,omitempty"`
	Heights     string               `json:"heights"`
	Members     int                  `json:"members,omitempty"`
	Seed        uint64               `json:"seed,omitempty"`
	Chances     []ensemble.Chance    `json:"chances,omitempty"`
	NotLookedAt []string             `json:"not_looked_at"`
	Weather     ensemble.WeatherUsed `json:"weather"`
}

type feature struct {
	Type       string     `json:"type"`
	Geometry   any        `json:"geometry"`
	Properties properties `json:"properties"`
}

// properties are written in the order of their keys.
type properties map[string]any

type geometry struct {
	Type        string `json:"type"`
	Coordinates any    `json:"coordinates"`
}

func (p position) coordinates() []float64 { return []float64{p.lon, p.lat, p.alt} }

// GeoJSON writes launch, both ways, burst and landing of the central flight, the
// medians and the regions of the odds, and the landings of all members as one
// MultiPoint: some thirty octets a member, where a feature each would be ten
// times that. What else is known of each member stands in the CSV file.
func GeoJSON(o *flight.Odds, name string) ([]byte, error) {
	f, err := prepare(o, name)
	if err != nil {
		return nil, err
	}
	a := o.Answer
	head := collection{
		Type: "FeatureCollection", Name: f.name, Heights: "metres above mean sea level",
		Members: a.Members, Seed: a.Seed, Chances: a.Chances, NotLookedAt: a.NotLookedAt, Weather: a.Weather,
	}
	if head.NotLookedAt == nil {
		head.NotLookedAt = []string{}
	}
	features := append(flightFeatures(o, f), oddsFeatures(o)...)
	if landings, ok, err := memberLandings(o); err != nil {
		return nil, err
	} else if ok {
		features = append(features, landings)
	}
	return writeCollection(head, features)
}

func flightFeatures(o *flight.Odds, f *flown) []feature {
	features := []feature{spot("launch", f.launch(), nil)}
	for _, way := range []struct {
		kind string
		line []position
	}{{"way_up", f.up}, {"way_down", f.down}} {
		if pieces := cutLine(way.line); len(pieces) > 0 {
			features = append(features, wayFeature(way.kind, way.line, pieces))
		}
	}
	nominal := o.Answer.Nominal
	return append(features, spot("burst", f.burst(), nil), spot("landing", f.landing(), properties{
		"speed_mps": roundTo(nominal.Speed, 100), "drift_m": roundTo(nominal.Drift, 1), "bearing_deg": roundTo(nominal.Bearing, 10),
	}))
}

// spot is a point of the central flight.
func spot(kind string, p position, more properties) feature {
	all := properties{"kind": kind, "alt_m": p.alt, "time": stamp(p.at)}
	for key, value := range more {
		all[key] = value
	}
	return feature{"Feature", geometry{"Point", p.coordinates()}, all}
}

// wayFeature is a way as a line, or as lines where the antimeridian cuts it. Its
// times stand as its positions do.
func wayFeature(kind string, whole []position, pieces [][]position) feature {
	var lines [][][]float64
	var times [][]string
	for _, piece := range pieces {
		var line [][]float64
		var at []string
		for _, p := range piece {
			line, at = append(line, p.coordinates()), append(at, stamp(p.at))
		}
		lines, times = append(lines, line), append(times, at)
	}
	all := properties{"kind": kind, "begin": stamp(whole[0].at), "end": stamp(whole[len(whole)-1].at)}
	if len(lines) == 1 {
		all["times"] = times[0]
		return feature{"Feature", geometry{"LineString", lines[0]}, all}
	}
	all["times"] = times
	return feature{"Feature", geometry{"MultiLineString", lines}, all}
}

func oddsFeatures(o *flight.Odds) []feature {
	var features []feature
	if g := o.Answer.Landing; g != nil {
		for _, r := range g.Regions {
			features = append(features, feature{"Feature", r.Shape.GeoJSON(), properties{
				"kind": "region", "probability": r.Probability, "area_km2": r.Area, "merged_share": r.Merged,
			}})
		}
		all := properties{"kind": "landing_median", "radius_50_m": roundTo(g.Radius50, 1), "radius_90_m": roundTo(g.Radius90, 1)}
		addTimes(all, g.Time)
		addBand(all, "speed", "mps", g.Speed, 100)
		addBand(all, "drift", "m", g.Drift, 1)
		features = append(features, median(g.Median, all))
	}
	if b := o.Answer.Burst; b != nil {
		all := properties{"kind": "burst_median", "radius_50_m": roundTo(b.Radius50, 1), "radius_90_m": roundTo(b.Radius90, 1)}
		addTimes(all, b.Time)
		addBand(all, "alt", "m", b.Alt, 10)
		features = append(features, median(b.Median, all))
	}
	return features
}

func median(m ensemble.Middle, all properties) feature {
	at := []float64{roundTo(m.Lon, 1e7), roundTo(m.Lat, 1e7)}
	if m.Alt != nil {
		at = append(at, roundTo(*m.Alt, 10))
	}
	return feature{"Feature", geometry{"Point", at}, all}
}

func addTimes(all properties, t ensemble.TimeBand) {
	all["time_p10"], all["time_p50"], all["time_p90"] = t.P10, t.P50, t.P90
}

func addBand(all properties, what, unit string, b ensemble.Band, parts float64) {
	all[what+"_p10_"+unit] = roundTo(b.P10, parts)
	all[what+"_p50_"+unit] = roundTo(b.P50, parts)
	all[what+"_p90_"+unit] = roundTo(b.P90, parts)
}

// memberLandings are the landings of the members that came down, to 0.1 m.
func memberLandings(o *flight.Odds) (feature, bool, error) {
	if o.Result == nil {
		return feature{}, false, nil
	}
	var points [][]float64
	for i := range o.Result.Landings {
		l := &o.Result.Landings[i]
		if !l.Came() {
			continue
		}
		if err := checkPlace(l.Lat, l.Lon, l.Alt); err != nil {
			return feature{}, false, fmt.Errorf("the landing of member %d: %w", i+1, err)
		}
		points = append(points, []float64{roundTo(l.Lon, 1e6), roundTo(l.Lat, 1e6), roundTo(l.Alt, 1)})
	}
	if len(points) == 0 {
		return feature{}, false, nil
	}
	return feature{"Feature", geometry{"MultiPoint", points}, properties{
		"kind": "member_landings", "landed": len(points), "members": len(o.Result.Landings),
	}}, true, nil
}

// writeCollection writes one feature a line.
func writeCollection(head collection, features []feature) ([]byte, error) {
	top, err := marshal(head)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	b.Write(top[:len(top)-1])
	b.WriteString(`,"features":[`)
	for i, one := range features {
		text, err := marshal(one)
		if err != nil {
			return nil, err
		}
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteByte('\n')
		b.Write(text)
	}
	b.WriteString("\n]}\n")
	return b.Bytes(), nil
}

func marshal(value any) ([]byte, error) {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		return nil, fmt.Errorf("a number of the odds has no form in GeoJSON: %w", err)
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}
