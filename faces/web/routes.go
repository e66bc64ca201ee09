package web

import (
	"fmt"
	"net/http"
	"slices"

	"pappus/flight"
)

const apiPrefix = "/api/v1"

// route is one row of the table that both the server and its description are
// made from. A handler returns what to answer; one that writes by itself has raw
// instead.
type route struct {
	method, path string
	id           string // the operation's name in the description
	text         string // what it does, in a sentence
	query        []parameter
	request      any  // zero value of what the body holds, nil for none
	file         bool // the body is a file's bytes
	status       int
	answer       any // zero value of what is answered, nil for none
	refusals     []int
	handle       func(s *Server, r *http.Request) (any, error)
	raw          func(s *Server, w http.ResponseWriter, r *http.Request)
	contentType  string // of a raw answer
}

type parameter struct {
	name, text string
	number     bool
}

const (
	get  = http.MethodGet
	post = http.MethodPost
	drop = http.MethodDelete
)

// routes is the table. Keys of the JSON are the contract's: they are added to,
// never renamed.
func routes() []route {
	const missing, conflict, gone, nothing = http.StatusNotFound, http.StatusConflict, http.StatusGone, http.StatusUnprocessableEntity
	return slices.Concat(oddsRoutes(), weatherRoutes(), papersRoutes(), []route{
		{method: get, path: "/about", id: "about", text: "The program, and what others made that is in it.", status: 200, answer: aboutAnswer{}, handle: (*Server).about},
		{method: get, path: "/openapi.json", id: "description", text: "This description.", status: 200, answer: map[string]any{}, handle: (*Server).description},
		{method: get, path: "/starts", id: "starts", text: "The files that a new flight can begin from.", status: 200, answer: startsAnswer{}, handle: (*Server).starts},
		{method: get, path: "/flights", id: "flights", text: "Every flight, archived and deleted ones too, the last changed first.", status: 200, answer: flightsAnswer{}, handle: (*Server).flights},
		{method: post, path: "/flights", id: "createFlight", text: "Begin a flight: from a start, as a copy of another, or from a document.", request: createRequest{}, status: 201, answer: flightAnswer{}, refusals: []int{400, missing}, handle: (*Server).createFlight},
		{method: get, path: "/flights/{id}", id: "flight", text: "One flight with the document it stands at.", status: 200, answer: openAnswer{}, refusals: []int{missing}, handle: (*Server).flight},
		{method: drop, path: "/flights/{id}", id: "deleteFlight", text: "Delete a flight; restore brings it back whole.", status: 200, answer: flightAnswer{}, refusals: []int{missing}, handle: (*Server).deleteFlight},
		{method: post, path: "/flights/{id}/restore", id: "restoreFlight", text: "Bring a deleted flight back.", status: 200, answer: flightAnswer{}, refusals: []int{missing}, handle: (*Server).restoreFlight},
		{method: post, path: "/flights/{id}/archive", id: "archiveFlight", text: "Put a flight away among the old ones.", status: 200, answer: flightAnswer{}, refusals: []int{missing, gone}, handle: (*Server).archiveFlight},
		{method: post, path: "/flights/{id}/unarchive", id: "unarchiveFlight", text: "Take a flight out of the archive.", status: 200, answer: flightAnswer{}, refusals: []int{missing, gone}, handle: (*Server).unarchiveFlight},
		{method: get, path: "/flights/{id}/revisions", id: "history", text: "A flight's revisions, newest first, without their documents.", query: []parameter{
			{"before", "only revisions with a lower number", true}, {"limit", "at most so many, 100 unless told", true},
		}, status: 200, answer: historyAnswer{}, refusals: []int{400, missing}, handle: (*Server).history},
		{method: get, path: "/flights/{id}/revisions/{number}", id: "revision", text: "One revision with its document.", status: 200, answer: revisionAnswer{}, refusals: []int{400, missing}, handle: (*Server).revision},
		{method: post, path: "/flights/{id}/revisions", id: "save", text: "Save a document made from the revision in from. When another came between, the answer is a conflict that holds both.", request: saveRequest{}, status: 201, answer: openAnswer{}, refusals: []int{400, missing, conflict, gone}, handle: (*Server).save},
		{method: post, path: "/flights/{id}/undo", id: "undo", text: "Go back to the revision before.", request: moveRequest{}, status: 200, answer: openAnswer{}, refusals: []int{400, missing, conflict, gone, nothing}, handle: (*Server).undo},
		{method: post, path: "/flights/{id}/redo", id: "redo", text: "Go on to the newest revision made from this one.", request: moveRequest{}, status: 200, answer: openAnswer{}, refusals: []int{400, missing, conflict, gone, nothing}, handle: (*Server).redo},
		{method: post, path: "/flights/{id}/return", id: "return", text: "Go to any other revision.", request: returnRequest{}, status: 200, answer: openAnswer{}, refusals: []int{400, missing, conflict, gone}, handle: (*Server).returnTo},
		{method: post, path: "/flights/{id}/answers", id: "answers", text: "Make edits to a flight's document, key by key, and answer the flight that it then is. Nothing is saved.", request: answersRequest{}, status: 200, answer: answersAnswer{}, refusals: []int{400, missing}, handle: (*Server).answers},
		{method: get, path: "/flights/{id}/next", id: "next", text: "What stands between a flight and its launch, in the order to take it: the first is the next thing to do.", query: []parameter{{"units", "us or metric, of the words", false}}, status: 200, answer: flight.Steps{}, refusals: []int{400, missing}, handle: (*Server).next},
		{method: post, path: "/flights/{id}/wishes", id: "wish", text: "Offer changed flights for a wish such as higher, cheaper, gentler, with one cylinder. Nothing is saved.", request: wishRequest{}, status: 200, answer: offersAnswer{}, refusals: []int{400, missing}, handle: (*Server).wish},
		{method: post, path: "/flights/{id}/fill", id: "fill", text: "What to weigh on the field, and what the measured lift means. Nothing is saved.", request: fillRequest{}, status: 200, answer: fillAnswer{}, refusals: []int{400, missing}, handle: (*Server).fill},
		{method: get, path: "/jobs", id: "jobs", text: "The long work that is under way or was done, newest first.", status: 200, answer: jobsAnswer{}, handle: (*Server).listJobs},
		{method: get, path: "/jobs/{id}", id: "job", text: "How a job stands.", status: 200, answer: jobReply{}, refusals: []int{missing}, handle: (*Server).job},
		{method: get, path: "/jobs/{id}/result", id: "jobResult", text: "What a job that is done has found.", status: 200, answer: map[string]any{}, refusals: []int{missing, conflict}, handle: (*Server).jobResult},
		{method: post, path: "/jobs/{id}/cancel", id: "cancelJob", text: "Ask a job to stop.", status: 200, answer: jobReply{}, refusals: []int{missing}, handle: (*Server).cancelJob},
		{method: get, path: "/events", id: "events", text: "What happens, as it happens: server-sent events named flight, job and reset. After reset the page must read anew.", query: []parameter{
			{"after", "the id of the last event that was seen, where no Last-Event-ID header can be sent", false},
			{"flight", "only what belongs to this flight", false},
		}, status: 200, contentType: "text/event-stream", raw: (*Server).streamEvents},
	})
}

// serve makes the http handler of a row.
func (s *Server) serve(row route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			if fault := recover(); fault != nil && fault != http.ErrAbortHandler {
				s.fail(w, r, fmt.Errorf("the handler of %s failed: %v", row.id, fault))
			}
		}()
		if row.raw != nil {
			row.raw(s, w, r)
			return
		}
		value, err := row.handle(s, r)
		if err != nil {
			s.fail(w, r, err)
			return
		}
		writeJSON(w, row.status, "application/json", value)
	})
}

func (s *Server) serveUnknown() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		writeProblem(w, http.StatusNotFound, problem{Title: "not found", Detail: "there is no " + r.Method + " " + r.URL.Path + ": see " + apiPrefix + "/openapi.json for what there is"})
	})
}
