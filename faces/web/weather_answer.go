package web

import (
	"net/http"
	"strconv"
	"time"

	"pappus/desk/hours"
	"pappus/flight"
	"pappus/measure/geo"
)

// studyAnswer is what was found, in the contract's own document: regions of
// hours are asked one at a time, for there are many.
type studyAnswer struct {
	Key      string            `json:"key"`
	Kind     string            `json:"kind"` // "hours", "trend" or "season"
	Invented bool              `json:"invented"`
	Document *contractDocument `json:"document"`
}

func (s *Server) shownStudy(r *http.Request) (any, error) {
	k, err := s.studies.find(r.PathValue("key"))
	if err != nil {
		return nil, err
	}
	a := studyAnswer{Key: k.key, Kind: k.kind, Invented: k.invented}
	switch whole := k.whole.(type) {
	case *hours.Answer:
		a.Document = documentOf(withoutRegions(whole))
	case *hours.Trend:
		a.Document = documentOf(whole)
	case *hours.Season:
		a.Document = documentOf(whole)
	}
	return a, nil
}

// withoutRegions is the answer with the regions of the hours left out; the kept
// one stays as it is.
func withoutRegions(whole *hours.Answer) *hours.Answer {
	short := *whole
	short.Hours = make([]hours.Hour, len(whole.Hours))
	for i, h := range whole.Hours {
		if h.Landing != nil {
			landing := *h.Landing
			landing.Regions = nil
			h.Landing = &landing
		}
		short.Hours[i] = h
	}
	return &short
}

type hourAnswer struct {
	Time    string            `json:"time"`
	Site    string            `json:"site"`
	LatDeg  float64           `json:"lat_deg"` // of the site
	LonDeg  float64           `json:"lon_deg"`
	Landing *contractDocument `json:"landing"`          // with its regions
	Middle  *besideAnswer     `json:"middle,omitempty"` // the town that the middle of the landings is told by
}

// hour answers where one hour comes down.
func (s *Server) hour(r *http.Request) (any, error) {
	k, err := s.studies.find(r.PathValue("key"))
	if err != nil {
		return nil, err
	}
	none := wrong{http.StatusNotFound, "this answer has no such hour, or it could not be flown"}
	whole, is := k.whole.(*hours.Answer)
	number, err := strconv.Atoi(r.PathValue("number"))
	if err != nil || !is || number < 0 || number >= len(whole.Hours) || !whole.Hours[number].Answered() {
		return nil, none
	}
	h := &whole.Hours[number]
	a := hourAnswer{Time: h.Time, Site: h.Site, Landing: documentOf(h.Landing), Middle: besideOf(geo.Point{LatDeg: h.Landing.Median.Lat, LonDeg: h.Landing.Median.Lon})}
	for _, site := range whole.Sites {
		if site.Name == h.Site {
			a.LatDeg, a.LonDeg = site.Lat, site.Lon
		}
	}
	return a, nil
}

type windsRequest struct {
	Weather []string   `json:"weather"`        // names of the forecasts to stand on
	Time    *time.Time `json:"time,omitempty"` // the flight's launch unless told
	Site    string     `json:"site,omitempty"` // a site of the file, by name; the launch place unless told
}

// winds answers the wind by height over a launch.
func (s *Server) winds(r *http.Request) (any, error) {
	var q windsRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	_, parsed, err := s.parsed(r)
	if err != nil {
		return nil, err
	}
	c, err := s.forecasts.choose(q.Weather)
	if err != nil {
		return nil, err
	}
	at := *parsed
	if q.Time != nil {
		at.Launch.Time = *q.Time
	}
	if q.Site != "" {
		chosen, err := hours.Choose(hours.Sites(parsed), []string{q.Site})
		if err != nil {
			return nil, badRequest("%v", err)
		}
		at.Launch.Point, at.Launch.Elevation = chosen[0].Point, chosen[0].Elevation
	}
	sky, err := s.forecasts.sky(c, &at)
	if err != nil {
		return nil, unprocessable(err)
	}
	winds, err := flight.WindsOver(sky, at.Launch.Point, at.Launch.Elevation, at.Launch.Time)
	if err != nil {
		return nil, err
	}
	return documentOf(winds), nil
}
