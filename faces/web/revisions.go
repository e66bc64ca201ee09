package web

import (
	"context"
	"net/http"
	"strings"

	"pappus/flight"
)

type saveRequest struct {
	From     int64  `json:"from"` // the revision the document was made from
	Document string `json:"document"`
	What     string `json:"what"` // what changed, in a few words
}

type moveRequest struct {
	From int64 `json:"from"` // the revision the page shows
}

type returnRequest struct {
	From int64 `json:"from"`
	To   int64 `json:"to"`
}

func (s *Server) history(r *http.Request) (any, error) {
	before, err := whole("before", r.URL.Query().Get("before"), 0)
	if err != nil {
		return nil, err
	}
	limit, err := whole("limit", r.URL.Query().Get("limit"), 100)
	if err != nil {
		return nil, err
	}
	list, err := s.book.History(r.Context(), r.PathValue("id"), before, int(min(limit, 1000)))
	answer := historyAnswer{Revisions: []revisionAnswer{}}
	for _, revision := range list {
		answer.Revisions = append(answer.Revisions, revisionOf(revision))
	}
	return answer, err
}

func (s *Server) revision(r *http.Request) (any, error) {
	number, err := whole("the revision", r.PathValue("number"), 0)
	if err != nil {
		return nil, err
	}
	revision, err := s.book.Revision(r.Context(), r.PathValue("id"), number)
	return revisionOf(revision), err
}

func (s *Server) save(r *http.Request) (any, error) {
	var q saveRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	id := r.PathValue("id")
	e, err := s.book.Entry(r.Context(), id)
	if err != nil {
		return nil, err
	}
	d := flight.Draft{Name: nameOr([]byte(q.Document), e.Name), What: strings.TrimSpace(q.What), Document: []byte(q.Document), Made: s.now()}
	if err := d.Check(); err != nil {
		return nil, badRequest("%v", err)
	}
	_, err = s.book.Save(r.Context(), id, q.From, d)
	return s.moved(r, id, err)
}

func (s *Server) undo(r *http.Request) (any, error) { return s.move(r, s.book.Undo) }

func (s *Server) redo(r *http.Request) (any, error) { return s.move(r, s.book.Redo) }

func (s *Server) move(r *http.Request, step func(ctx context.Context, id string, from int64) (flight.Revision, error)) (any, error) {
	var q moveRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	id := r.PathValue("id")
	_, err := step(r.Context(), id, q.From)
	return s.moved(r, id, err)
}

func (s *Server) returnTo(r *http.Request) (any, error) {
	var q returnRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	id := r.PathValue("id")
	_, err := s.book.Return(r.Context(), id, q.From, q.To)
	return s.moved(r, id, err)
}

// moved answers with the flight where it stands now, and tells the other pages.
func (s *Server) moved(r *http.Request, id string, err error) (any, error) {
	if err != nil {
		return nil, err
	}
	answer, err := s.open(r.Context(), id)
	if err != nil {
		return nil, err
	}
	s.events.Publish("flight", id, answer.Flight)
	return answer, nil
}
