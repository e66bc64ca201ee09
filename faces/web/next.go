package web

import (
	"crypto/sha256"
	"net/http"

	"pappus/flight"
)

// next answers what to do next for a flight as it stands.
func (s *Server) next(r *http.Request) (any, error) {
	document, system, err := s.asked(r, "", r.URL.Query().Get("units"))
	if err != nil {
		return nil, err
	}
	listed, err := s.listed()
	if err != nil {
		return nil, err
	}
	beside := flight.Beside{Looked: s.odds.seen(r.PathValue("id"), document)}
	for _, f := range listed.Forecasts {
		if f.Table && f.Trouble == "" {
			beside.Forecasts = append(beside.Forecasts, flight.Covers{})
		}
		for _, c := range f.Cycles {
			beside.Forecasts = append(beside.Forecasts, flight.Covers{From: c.From, To: c.To, Cycle: c.Cycle})
		}
	}
	return flight.Next(r.Context(), document, beside, s.now(), system)
}

// mostFlown bounds what is remembered of what was looked at.
const mostFlown = 1000

func flownKey(id string, document []byte) [sha256.Size]byte {
	return sha256.Sum256(append([]byte(id+"\n"), document...))
}

// looked notes that the odds of a flight were flown as it stands.
func (d *oddsDesk) looked(w *wanted) {
	if w.to != nil {
		return // a launch that is only tried
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.flown) >= mostFlown {
		clear(d.flown)
	}
	d.flown[flownKey(w.id, w.document)] = true
}

func (d *oddsDesk) seen(id string, document []byte) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.flown[flownKey(id, document)]
}
