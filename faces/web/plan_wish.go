package web

import (
	"net/http"

	"pappus/flight"
)

type wishRequest struct {
	Wish     string `json:"wish"`
	Document string `json:"document,omitempty"` // absent: as the flight stands
	Units    string `json:"units,omitempty"`
}

type offersAnswer struct {
	Wish   string        `json:"wish"` // as it was understood, empty when it was not
	Text   string        `json:"text"`
	Offers []offerAnswer `json:"offers"`
}

type offerAnswer struct {
	Text   string            `json:"text"`
	Edits  []editRequest     `json:"edits"` // what to change to have it
	Flight *contractDocument `json:"flight"`
	Change *contractDocument `json:"change"` // less the flight as it stands
}

// wish offers changed flights; none is taken before the person says so.
func (s *Server) wish(r *http.Request) (any, error) {
	var q wishRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	if len(q.Wish) > 200 {
		return nil, badRequest("a wish has at most 200 bytes")
	}
	document, system, err := s.asked(r, q.Document, q.Units)
	if err != nil {
		return nil, err
	}
	found, err := flight.Wished(document, q.Wish, system)
	if err != nil {
		return nil, refusedUnlessGone(r, err)
	}
	answer := offersAnswer{Wish: found.Wish, Text: found.Text, Offers: []offerAnswer{}}
	for i := range found.Offers {
		o := &found.Offers[i]
		answer.Offers = append(answer.Offers, offerAnswer{o.Text, editRequestsOf(o.Edits), documentOf(&o.Flight), documentOf(&o.Change)})
	}
	return answer, nil
}
