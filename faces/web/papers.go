package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"sync"
	"time"

	"pappus/desk/papers"
	"pappus/flight"
	"pappus/measure/unit"
	"pappus/ports/export"
	"pappus/record"
)

// papersRoutes are the rows for a flight's sheets and what is ticked on them.
func papersRoutes() []route {
	const missing, gone, unfit = 404, 410, 422
	return []route{
		{method: post, path: "/flights/{id}/papers", id: "papers", text: "The sheets of a flight as they were last made, with what has changed since; made now where there are none, or where again is true.", request: papersRequest{}, status: 200, answer: papersAnswer{}, refusals: []int{400, missing, unfit}, handle: (*Server).papers},
		{method: get, path: "/flights/{id}/papers/{sheet}/{kind}", id: "paper", text: "A sheet as last made, as a file: pdf, txt, html, or ics where it has dates.", query: []parameter{
			{"paper", "a4 or letter, a4 unless told", false}, {"units", "us or metric, as the sheets were made", false},
		}, status: 200, contentType: "application/octet-stream", refusals: []int{400, missing}, raw: (*Server).paper},
		{method: get, path: "/flights/{id}/ticks", id: "ticks", text: "What is ticked on a flight's checklists.", status: 200, answer: ticksAnswer{}, refusals: []int{missing}, handle: (*Server).ticks},
		{method: post, path: "/flights/{id}/ticks", id: "tick", text: "Tick a box of a checklist, or take the tick away.", request: tickRequest{}, status: 200, answer: ticksAnswer{}, refusals: []int{400, missing, gone}, handle: (*Server).tick},
	}
}

type papersRequest struct {
	Weather []string `json:"weather,omitempty"` // names of the forecasts to stand on; without, the sheets that need none
	Units   string   `json:"units,omitempty"`   // "us" or "metric"
	Again   bool     `json:"again,omitempty"`   // make them anew
}

type papersAnswer struct {
	Made   time.Time        `json:"made"`
	Stale  []string         `json:"stale"` // what has changed since they were made; empty: nothing
	Papers contractDocument `json:"papers"`
}

type tickRequest struct {
	ID     string `json:"id"` // of the box, as its sheet names it
	Ticked bool   `json:"ticked"`
}

type ticksAnswer struct {
	Ticks []tickAnswer `json:"ticks"`
}

type tickAnswer struct {
	ID string    `json:"id"`
	At time.Time `json:"at"`
}

// papersDesk keeps the sheets last made, so that what is printed is what was shown.
type papersDesk struct {
	mu   sync.Mutex // held while sheets are made: one set at a time
	made []madePapers
}

type madePapers struct {
	flight string
	system unit.System
	at     time.Time
	papers *flight.Papers
}

// mostPapers bounds how many flights' sheets are kept, and papersMembers is what
// the command line draws too.
const mostPapers, papersMembers = 8, 2000

func (d *papersDesk) find(id string, system unit.System) (madePapers, bool) {
	for _, m := range d.made {
		if m.flight == id && m.system == system {
			return m, true
		}
	}
	return madePapers{}, false
}

func (d *papersDesk) keep(m madePapers) {
	d.made = slices.DeleteFunc(d.made, func(k madePapers) bool { return k.flight == m.flight && k.system == m.system })
	if len(d.made) == mostPapers {
		d.made = slices.Delete(d.made, 0, 1)
	}
	d.made = append(d.made, m)
}

func (s *Server) papers(r *http.Request) (any, error) {
	var q papersRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	document, system, err := s.asked(r, "", q.Units)
	if err != nil {
		return nil, err
	}
	f, err := record.Parse("flight", document)
	if err != nil {
		return nil, unprocessable(err)
	}
	id := r.PathValue("id")
	land, areas, _, err := s.land(id)
	if err != nil {
		return nil, unprocessable(err)
	}
	sky := flight.Sky{Workers: s.forecasts.workers}
	if len(q.Weather) > 0 {
		chosen, err := s.forecasts.choose(q.Weather)
		if err != nil {
			return nil, err
		}
		// The stamp tells files apart by their bytes, which a decoded sky has no more.
		if sky.Files, err = chosen.read(); err != nil {
			return nil, err
		}
	}
	o := flight.PapersOptions{Members: papersMembers, Seed: 1, Workers: s.forecasts.workers, System: system, Land: land}
	if len(areas) > 0 {
		o.Beside = [][]byte{areas}
	}
	s.sheets.mu.Lock()
	defer s.sheets.mu.Unlock()
	made, kept := s.sheets.find(id, system)
	if !kept || q.Again {
		if made, err = s.makePapers(r.Context(), id, f, sky, o); err != nil {
			return nil, err
		}
	}
	now, err := flight.StampOf(f, sky, o.Beside)
	if err != nil {
		return nil, unprocessable(err)
	}
	return papersAnswer{made.at, staleness(made.papers.Stamp, now), contractDocument{made.papers}}, nil
}

func (s *Server) makePapers(ctx context.Context, id string, f *record.Flight, sky flight.Sky, o flight.PapersOptions) (madePapers, error) {
	sheets, err := flight.PapersOf(ctx, f, sky, o)
	if err != nil {
		if ctx.Err() != nil {
			return madePapers{}, err
		}
		return madePapers{}, unprocessable(err)
	}
	made := madePapers{id, o.System, s.now(), sheets}
	s.sheets.keep(made)
	return made, nil
}

// staleness says what has changed between two stamps, never null.
func staleness(before, now papers.Stamp) []string {
	written, ours := papers.FindStamp([]byte(before.String()))
	if !ours {
		panic(fmt.Sprintf("web: the stamp %q cannot be read back", before))
	}
	if why := written.Against(now); why != nil {
		return why
	}
	return []string{}
}

// paper writes one of the sheets that were last made.
func (s *Server) paper(w http.ResponseWriter, r *http.Request) {
	data, mime, err := s.paperFile(r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", mime)
	w.Header().Set("Content-Disposition", `attachment; filename="`+fileName(r.PathValue("sheet"))+"."+r.PathValue("kind")+`"`)
	w.Header().Set("Cache-Control", "no-store")
	w.Write(data)
}

func (s *Server) paperFile(r *http.Request) (data []byte, mime string, err error) {
	_, system, err := s.asked(r, "", r.URL.Query().Get("units"))
	if err != nil {
		return nil, "", err
	}
	paper := export.Paper(r.URL.Query().Get("paper"))
	if paper == "" {
		paper = export.A4
	}
	if paper != export.A4 && paper != export.Letter {
		return nil, "", badRequest("paper must be a4 or letter, not %q", paper)
	}
	s.sheets.mu.Lock()
	made, kept := s.sheets.find(r.PathValue("id"), system)
	s.sheets.mu.Unlock()
	if !kept {
		return nil, "", wrong{http.StatusNotFound, "the sheets are not kept any more: open Papers to make them anew"}
	}
	i := slices.IndexFunc(made.papers.Sheets, func(sheet papers.Sheet) bool { return sheet.Name == r.PathValue("sheet") })
	if i < 0 {
		return nil, "", wrong{http.StatusNotFound, "no sheet of that name was made"}
	}
	sheet, kind := &made.papers.Sheets[i], r.PathValue("kind")
	switch {
	case kind == "pdf":
		data, err = export.SheetPDF(sheet, paper)
		mime = "application/pdf"
	case kind == "txt":
		data, err = export.SheetText(sheet)
		mime = "text/plain; charset=utf-8"
	case kind == "html":
		data, err = export.SheetHTML(sheet, paper)
		mime = "text/html; charset=utf-8"
	case kind == "ics" && len(sheet.Events) > 0:
		data, err = export.Calendar(sheet)
		mime = "text/calendar; charset=utf-8"
	default:
		err = wrong{http.StatusNotFound, "a sheet is written as pdf, txt or html, and as ics where it has dates"}
	}
	var glyph *export.NoGlyph
	if errors.As(err, &glyph) {
		err = unprocessable(err)
	}
	return data, mime, err
}

func (s *Server) ticks(r *http.Request) (any, error) {
	found, err := s.book.Ticks(r.Context(), r.PathValue("id"))
	answer := ticksAnswer{Ticks: []tickAnswer{}}
	for id, at := range found {
		answer.Ticks = append(answer.Ticks, tickAnswer{id, at})
	}
	slices.SortFunc(answer.Ticks, func(a, b tickAnswer) int { return a.At.Compare(b.At) })
	return answer, err
}

func (s *Server) tick(r *http.Request) (any, error) {
	var q tickRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	const longest = 200
	if q.ID == "" || len(q.ID) > longest {
		return nil, badRequest("the id of a box has 1 to %d octets, not %d", longest, len(q.ID))
	}
	at := s.now()
	if !q.Ticked {
		at = time.Time{}
	}
	if err := s.book.SetTick(r.Context(), r.PathValue("id"), q.ID, at); err != nil {
		return nil, err
	}
	return s.ticks(r)
}
