package web

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"pappus/flight"
)

type flightAnswer struct {
	ID       string     `json:"id"`
	Name     string     `json:"name"`
	Head     int64      `json:"head"`
	Newest   int64      `json:"newest"`
	Created  time.Time  `json:"created"`
	Changed  time.Time  `json:"changed"`
	Archived *time.Time `json:"archived,omitempty"`
	Deleted  *time.Time `json:"deleted,omitempty"`
	CanUndo  bool       `json:"can_undo"`
	CanRedo  bool       `json:"can_redo"`

	Summary *summaryAnswer `json:"summary,omitempty"` // in the list of flights
}

type flightsAnswer struct {
	Flights []flightAnswer `json:"flights"`
}

type revisionAnswer struct {
	Number   int64     `json:"number"`
	Parent   int64     `json:"parent"` // 0 for the first
	Made     time.Time `json:"made"`
	Name     string    `json:"name"`
	What     string    `json:"what"`
	Hash     string    `json:"hash"`
	Document string    `json:"document,omitempty"`
}

type historyAnswer struct {
	Revisions []revisionAnswer `json:"revisions"`
}

// openAnswer is a flight as a page opens it.
type openAnswer struct {
	Flight   flightAnswer   `json:"flight"`
	Revision revisionAnswer `json:"revision"`
	Summary  summaryAnswer  `json:"summary"`
}

type summaryAnswer struct {
	Name    string          `json:"name"`
	Place   string          `json:"place,omitempty"`
	Launch  *time.Time      `json:"launch,omitempty"`
	LatDeg  *float64        `json:"lat_deg,omitempty"`
	LonDeg  *float64        `json:"lon_deg,omitempty"`
	AltM    *float64        `json:"elevation_m,omitempty"`
	Missing []missingAnswer `json:"missing"`
}

type missingAnswer struct {
	Line int    `json:"line"`
	Key  string `json:"key"`
	Text string `json:"text"`
}

type startsAnswer struct {
	Starts []startAnswer `json:"starts"`
}

type startAnswer struct {
	Kind string `json:"kind"`
	Name string `json:"name"`
	Text string `json:"text"`
}

type createRequest struct {
	Start    string `json:"start,omitempty"`
	Copy     string `json:"copy,omitempty"`
	Document string `json:"document,omitempty"`
	Name     string `json:"name,omitempty"`
}

func entryOf(e flight.Entry) flightAnswer {
	a := flightAnswer{ID: e.ID, Name: e.Name, Head: e.Head, Newest: e.Newest, Created: e.Created, Changed: e.Changed, CanUndo: e.CanUndo, CanRedo: e.CanRedo}
	if !e.Archived.IsZero() {
		a.Archived = &e.Archived
	}
	if !e.Deleted.IsZero() {
		a.Deleted = &e.Deleted
	}
	return a
}

func revisionOf(r flight.Revision) revisionAnswer {
	return revisionAnswer{Number: r.Number, Parent: r.Parent, Made: r.Made, Name: r.Name, What: r.What, Hash: r.Hash, Document: string(r.Document)}
}

func summaryOf(s flight.Summary) summaryAnswer {
	a := summaryAnswer{Name: s.Name, Missing: []missingAnswer{}}
	if l := s.Launch; l != nil {
		elevation := float64(l.Elevation)
		a.Place, a.Launch, a.LatDeg, a.LonDeg, a.AltM = l.Place, &l.Time, &l.Point.LatDeg, &l.Point.LonDeg, &elevation
	}
	for _, m := range s.Missing {
		a.Missing = append(a.Missing, missingAnswer(m))
	}
	return a
}

func (s *Server) starts(*http.Request) (any, error) {
	starts, err := flight.Starts()
	answer := startsAnswer{Starts: []startAnswer{}}
	for _, start := range starts {
		answer.Starts = append(answer.Starts, startAnswer{start.Kind, flight.Describe(start.Document).Name, start.Text})
	}
	return answer, err
}

func (s *Server) flights(r *http.Request) (any, error) {
	list, err := s.book.List(r.Context())
	if err != nil {
		return nil, err
	}
	answer := flightsAnswer{Flights: []flightAnswer{}}
	for _, e := range list {
		revision, err := s.book.Revision(r.Context(), e.ID, e.Head)
		if err != nil {
			return nil, err
		}
		a, summary := entryOf(e), summaryOf(flight.Describe(revision.Document))
		a.Summary = &summary
		answer.Flights = append(answer.Flights, a)
	}
	return answer, nil
}

// createFlight begins a flight from one of three sources.
func (s *Server) createFlight(r *http.Request) (any, error) {
	var q createRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	d, err := s.firstDraft(r.Context(), q)
	if err != nil {
		return nil, err
	}
	if q.Name != "" {
		if d.Document, err = flight.Rename(d.Document, q.Name); err != nil {
			return nil, badRequest("%v", err)
		}
		d.Name = q.Name
	}
	d.Made = s.now()
	if err := d.Check(); err != nil {
		return nil, badRequest("%v", err)
	}
	e, err := s.book.Create(r.Context(), d)
	if err != nil {
		return nil, err
	}
	s.events.Publish("flight", e.ID, entryOf(e))
	return entryOf(e), nil
}

func (s *Server) firstDraft(ctx context.Context, q createRequest) (flight.Draft, error) {
	switch {
	case q.Start != "" && q.Copy == "" && q.Document == "":
		starts, err := flight.Starts()
		for _, start := range starts {
			if start.Kind == q.Start {
				return flight.Draft{Name: flight.Describe(start.Document).Name, What: "begun from the starting file " + start.Kind, Document: start.Document}, nil
			}
		}
		if err == nil {
			err = badRequest("there is no start named %q: see %s/starts", q.Start, apiPrefix)
		}
		return flight.Draft{}, err
	case q.Copy != "" && q.Start == "" && q.Document == "":
		e, err := s.book.Entry(ctx, q.Copy)
		if err != nil {
			return flight.Draft{}, err
		}
		r, err := s.book.Revision(ctx, e.ID, e.Head)
		return flight.Draft{Name: e.Name, What: fmt.Sprintf("copied from %s, revision %d", e.Name, e.Head), Document: r.Document}, err
	case q.Document != "" && q.Start == "" && q.Copy == "":
		return flight.Draft{Name: nameOr([]byte(q.Document), "Unnamed flight"), What: "brought in from a file", Document: []byte(q.Document)}, nil
	}
	return flight.Draft{}, badRequest("give exactly one of start, copy and document")
}

// nameOr reads a document's name; one that cannot be read keeps the name it had.
func nameOr(document []byte, before string) string {
	if name := strings.TrimSpace(flight.Describe(document).Name); name != "" {
		return name
	}
	return before
}

// open gives a flight as it stands.
func (s *Server) open(ctx context.Context, id string) (openAnswer, error) {
	e, err := s.book.Entry(ctx, id)
	if err != nil {
		return openAnswer{}, err
	}
	r, err := s.book.Revision(ctx, id, e.Head)
	return openAnswer{entryOf(e), revisionOf(r), summaryOf(flight.Describe(r.Document))}, err
}

func (s *Server) flight(r *http.Request) (any, error) { return s.open(r.Context(), r.PathValue("id")) }

func (s *Server) deleteFlight(r *http.Request) (any, error) {
	return s.marked(s.book.SetDeleted(r.Context(), r.PathValue("id"), s.now()))
}

func (s *Server) restoreFlight(r *http.Request) (any, error) {
	return s.marked(s.book.SetDeleted(r.Context(), r.PathValue("id"), time.Time{}))
}

func (s *Server) archiveFlight(r *http.Request) (any, error) {
	return s.marked(s.book.SetArchived(r.Context(), r.PathValue("id"), s.now()))
}

func (s *Server) unarchiveFlight(r *http.Request) (any, error) {
	return s.marked(s.book.SetArchived(r.Context(), r.PathValue("id"), time.Time{}))
}

func (s *Server) marked(e flight.Entry, err error) (any, error) {
	if err != nil {
		return nil, err
	}
	s.events.Publish("flight", e.ID, entryOf(e))
	return entryOf(e), nil
}

// whole reads a whole number of a query or path, or gives the fallback for none.
func whole(name, text string, fallback int64) (int64, error) {
	if text == "" {
		return fallback, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 {
		return 0, badRequest("%s must be a whole number, not %q", name, text)
	}
	return n, nil
}
