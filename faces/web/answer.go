package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"

	"pappus/flight"
	"pappus/flight/jobs"
)

// problem is how every failed request is answered [RFC9457].
type problem struct {
	Title  string          `json:"title"`
	Status int             `json:"status"`
	Detail string          `json:"detail"`
	Base   *revisionAnswer `json:"base,omitempty"` // in a conflict: what the save was made from
	Head   *revisionAnswer `json:"head,omitempty"` // in a conflict: what stands in the book
}

// wrong is a request that the caller must change.
type wrong struct {
	status int
	detail string
}

func (w wrong) Error() string { return w.detail }

func badRequest(format string, args ...any) error {
	return wrong{http.StatusBadRequest, fmt.Sprintf(format, args...)}
}

func writeJSON(w http.ResponseWriter, status int, contentType string, value any) {
	text, err := json.Marshal(value)
	if err != nil {
		// Answers are our own types; one that cannot be written is our mistake.
		panic(fmt.Errorf("web: an answer cannot be written as JSON: %w", err))
	}
	w.Header().Set("Content-Type", contentType)
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	w.Write(append(text, '\n'))
}

func writeProblem(w http.ResponseWriter, status int, p problem) {
	p.Status = status
	writeJSON(w, status, "application/problem+json", p)
}

// fail answers an error. What is not a known refusal is a fault of ours or of the
// machine: it is logged, and the person is told in general words.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	var bad wrong
	var conflict *flight.Conflict
	var large *http.MaxBytesError
	detail := err.Error()
	switch {
	case errors.As(err, &conflict):
		base, head := revisionOf(conflict.Base), revisionOf(conflict.Head)
		writeProblem(w, http.StatusConflict, problem{Title: "conflict", Detail: detail, Base: &base, Head: &head})
	case errors.As(err, &bad):
		writeProblem(w, bad.status, problem{Title: http.StatusText(bad.status), Detail: detail})
	case errors.As(err, &large):
		writeProblem(w, http.StatusRequestEntityTooLarge, problem{Title: "too large", Detail: fmt.Sprintf("the request is larger than %d bytes", large.Limit)})
	case errors.Is(err, flight.ErrNotFound), errors.Is(err, jobs.ErrNotFound):
		writeProblem(w, http.StatusNotFound, problem{Title: "not found", Detail: detail})
	case errors.Is(err, flight.ErrDeleted):
		writeProblem(w, http.StatusGone, problem{Title: "deleted", Detail: detail})
	case errors.Is(err, flight.ErrNothingToUndo), errors.Is(err, flight.ErrNothingToRedo):
		writeProblem(w, http.StatusUnprocessableEntity, problem{Title: "nothing there", Detail: detail})
	case errors.Is(err, flight.ErrBookFull):
		s.log.Error("the book is full", "path", r.URL.Path, "error", err)
		writeProblem(w, http.StatusInsufficientStorage, problem{Title: "disk full", Detail: flight.ErrBookFull.Error()})
	case errors.Is(err, flight.ErrBookBusy), errors.Is(err, jobs.ErrFull):
		writeProblem(w, http.StatusServiceUnavailable, problem{Title: "busy", Detail: detail})
	case r.Context().Err() != nil:
		// The caller went away; there is nobody to answer.
	default:
		s.log.Error("a request failed", "method", r.Method, "path", r.URL.Path, "error", err)
		writeProblem(w, http.StatusInternalServerError, problem{Title: "fault", Detail: "a fault of the program or the machine: " + detail})
	}
}

// readJSON reads a request's body, which must be one JSON document with no keys
// but the known ones.
func readJSON(r *http.Request, into any) error {
	decoder := json.NewDecoder(r.Body)
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(into); err != nil {
		var large *http.MaxBytesError
		if errors.As(err, &large) {
			return err
		}
		return badRequest("the body is not the JSON that was expected: %v", err)
	}
	if _, err := decoder.Token(); !errors.Is(err, io.EOF) {
		return badRequest("the body has something after its JSON document")
	}
	return nil
}
