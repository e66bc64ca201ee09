package web

import (
	"encoding/json"
	"net/http"
	"runtime"

	"pappus/flight"
	"pappus/measure/unit"
	"pappus/record"
)

// contractDocument is a document whose keys the contract fixes and the desks
// write: it is described as an object and no further.
type contractDocument struct{ value any }

func (d contractDocument) MarshalJSON() ([]byte, error) { return json.Marshal(d.value) }

func documentOf[T any](value *T) *contractDocument {
	if value == nil {
		return nil
	}
	return &contractDocument{value}
}

type answersRequest struct {
	Document string        `json:"document,omitempty"` // absent: as the flight stands
	Edits    []editRequest `json:"edits,omitempty"`
	Units    string        `json:"units,omitempty"` // "us" or "metric", of the words
	Box      bool          `json:"box,omitempty"`   // the boxes too; for a second question, once typing rests
}

// editRequest is one change of the document, by key.
type editRequest struct {
	Kind string           `json:"kind"` // "set", "add", "remove" or "move"
	Path string           `json:"path"` // as faults name it, such as train[2].length
	Text string           `json:"text,omitempty"`
	Row  []keyTextRequest `json:"row,omitempty"`
	To   int              `json:"to,omitempty"`
}

type keyTextRequest struct {
	Key  string `json:"key"`
	Text string `json:"text"`
}

type answersAnswer struct {
	Document string            `json:"document"` // with the edits made
	Written  []writtenAnswer   `json:"written"`
	Faults   []missingAnswer   `json:"faults"`
	Trouble  string            `json:"trouble,omitempty"` // why there is no plan
	Plan     *contractDocument `json:"plan,omitempty"`
	Course   *contractDocument `json:"course,omitempty"`
	Rules    *contractDocument `json:"rules,omitempty"`
}

type writtenAnswer struct {
	Path string `json:"path"`
	Text string `json:"text"`
	Line int    `json:"line"`
}

// drawnForAnswers is how many flights the spreads are drawn from while a person
// types: tenths are good to a twentieth of the spread, and stay put, since every
// answer is drawn from the same seed.
const drawnForAnswers = 250

func (s *Server) answers(r *http.Request) (any, error) {
	var q answersRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	document, system, err := s.asked(r, q.Document, q.Units)
	if err != nil {
		return nil, err
	}
	edits, err := editsOf(q.Edits)
	if err != nil {
		return nil, err
	}
	a, err := flight.Answer(r.Context(), document, edits, flight.AnswersOptions{Members: drawnForAnswers, Workers: runtime.GOMAXPROCS(0), System: system, Box: q.Box})
	if err != nil {
		return nil, refusedUnlessGone(r, err)
	}
	answer := answersAnswer{
		Document: string(a.Document), Written: []writtenAnswer{}, Faults: []missingAnswer{}, Trouble: a.Trouble,
		Plan: documentOf(a.Plan), Course: documentOf(a.Course), Rules: documentOf(a.Rules),
	}
	for _, w := range a.Written {
		answer.Written = append(answer.Written, writtenAnswer(w))
	}
	for _, f := range a.Faults {
		answer.Faults = append(answer.Faults, missingAnswer{f.Line, f.Key, f.Message})
	}
	return answer, nil
}

// asked gives the document that a request is about, and the units of its answer.
func (s *Server) asked(r *http.Request, document, units string) ([]byte, unit.System, error) {
	e, err := s.book.Entry(r.Context(), r.PathValue("id"))
	if err != nil {
		return nil, 0, err
	}
	system := unit.Metric
	switch units {
	case "us":
		system = unit.US
	case "", "metric":
	default:
		return nil, 0, badRequest("units must be us or metric, not %q", units)
	}
	switch {
	case len(document) > flight.MaxDocument:
		return nil, 0, badRequest("the flight file has %d bytes: at most %d fit", len(document), flight.MaxDocument)
	case document != "":
		return []byte(document), system, nil
	}
	revision, err := s.book.Revision(r.Context(), e.ID, e.Head)
	return revision.Document, system, err
}

func editsOf(list []editRequest) ([]record.Edit, error) {
	var edits []record.Edit
	for _, e := range list {
		edit := record.Edit{Kind: record.EditKind(e.Kind), Path: e.Path, Text: e.Text, To: e.To}
		if len(e.Row) > 50 {
			return nil, badRequest("a row has %d keys: at most 50 are taken", len(e.Row))
		}
		for _, k := range e.Row {
			edit.Row = append(edit.Row, record.KeyText(k))
		}
		edits = append(edits, edit)
	}
	return edits, nil
}

func editRequestsOf(edits []record.Edit) []editRequest {
	list := []editRequest{}
	for _, e := range edits {
		list = append(list, editRequest{Kind: string(e.Kind), Path: e.Path, Text: e.Text, To: e.To})
	}
	return list
}

// refusedUnlessGone tells the caller's mistake from a caller who went away.
func refusedUnlessGone(r *http.Request, err error) error {
	if r.Context().Err() != nil {
		return err
	}
	return badRequest("%v", err)
}
