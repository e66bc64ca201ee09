package web

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"time"

	"pappus/flight"
	"pappus/flight/jobs"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/ports/weather"
	"pappus/record"
)

// Archives are where forecasts are fetched from, when the person asks for it.
type Archives struct {
	Sources []weather.Source
	Client  Fetcher
}

// Fetcher brings a forecast into a folder, whole or not at all.
type Fetcher interface {
	Get(ctx context.Context, job weather.Job) (*weather.Report, error)
}

type sourcesAnswer struct {
	Sources []sourceAnswer `json:"sources"`       // none: nothing can be fetched here
	Job     *jobReply      `json:"job,omitempty"` // the fetch that is under way
}

type sourceAnswer struct {
	Name    string  `json:"name"`
	Title   string  `json:"title"`
	GridDeg float64 `json:"grid_deg"`
	Members int     `json:"members"` // 0: no ensemble
}

type fetchRequest struct {
	Source  string     `json:"source"`
	Members int        `json:"members,omitempty"`  // of an ensemble: the first so many; all unless told
	RadiusM float64    `json:"radius_m,omitempty"` // 1,500 km unless told
	Cycle   *time.Time `json:"cycle,omitempty"`    // the newest that is complete unless told
	From    *time.Time `json:"from,omitempty"`     // first launch; the flight's own unless told
	To      *time.Time `json:"to,omitempty"`       // last launch
}

// sources lists what can be fetched from. Nothing is asked of anybody.
func (s *Server) sources(*http.Request) (any, error) {
	answer := sourcesAnswer{Sources: []sourceAnswer{}}
	if s.forecasts.Folder != "" && s.archives.Client != nil {
		for _, source := range s.archives.Sources {
			answer.Sources = append(answer.Sources, sourceAnswer{source.Name, source.Title, source.GridDeg, source.Members})
		}
	}
	slices.SortFunc(answer.Sources, func(a, b sourceAnswer) int {
		return cmp.Or(cmp.Compare(min(a.Members, 1), min(b.Members, 1)), cmp.Compare(a.GridDeg, b.GridDeg), cmp.Compare(a.Name, b.Name))
	})
	s.studies.mu.Lock()
	defer s.studies.mu.Unlock()
	if status, err := s.jobs.Get(s.studies.fetching); err == nil && status.State == jobs.Running {
		reply := jobAnswer(status)
		answer.Job = &reply
	}
	return answer, nil
}

// Room around what the plan of a flight says: for starts drawn early or late,
// for a delay on the field, and for days on which the air is warmer and its
// levels stand higher than in the standard atmosphere (judgement).
const (
	beforeLaunch = 30 * time.Minute
	afterLanding = 70 * time.Minute
	aboveBurst   = geo.AltMSL(3000)

	usualRadius  = 1500 * unit.Kilometre
	leastRadius  = 50 * unit.Kilometre
	mostRadius   = 21000 * unit.Kilometre
	longestFetch = 17 * 24 * time.Hour // longer than any forecast reaches
)

// parsed is the flight as it stands.
func (s *Server) parsed(r *http.Request) ([]byte, *record.Flight, error) {
	document, _, err := s.asked(r, "", "")
	if err != nil {
		return nil, nil, err
	}
	f, err := record.Parse("flight", document)
	if err != nil {
		return nil, nil, unprocessable(err)
	}
	return document, f, nil
}

// fetchJob settles what of a forecast a flight needs.
func (s *Server) fetchJob(r *http.Request) (weather.Job, error) {
	var q fetchRequest
	job := weather.Job{Into: s.forecasts.kept(), Method: weather.Auto, Ground: true}
	if err := readJSON(r, &q); err != nil {
		return job, err
	}
	_, f, err := s.parsed(r)
	if err != nil {
		return job, err
	}
	at := slices.IndexFunc(s.archives.Sources, func(x weather.Source) bool { return x.Name == q.Source })
	if s.forecasts.Folder == "" || s.archives.Client == nil || at < 0 {
		return job, badRequest("there is no source %q to fetch from: see %s/weather-sources", q.Source, apiPrefix)
	}
	job.Source = s.archives.Sources[at]
	if job.RadiusM = q.RadiusM; q.RadiusM == 0 {
		job.RadiusM = usualRadius
	}
	if !(job.RadiusM >= leastRadius && job.RadiusM <= mostRadius) {
		return job, badRequest("radius_m must be 50 to 21000 km, not %g m", q.RadiusM)
	}
	if q.Members < 0 || q.Members > job.Source.Members {
		return job, badRequest("%s has %d members, not %d", job.Source.Name, job.Source.Members, q.Members)
	}
	for m := range q.Members {
		job.Members = append(job.Members, m)
	}
	if q.Cycle != nil {
		job.Cycle = q.Cycle.UTC()
	}
	reach, err := flight.ReachOf(r.Context(), f, s.forecasts.workers)
	if err != nil {
		return job, unprocessable(err)
	}
	first, last := reach.Launch, reach.Launch
	if q.From != nil {
		first = *q.From
	}
	if q.To != nil {
		last = *q.To
	}
	if last.Before(first) || last.Sub(first) > longestFetch {
		return job, badRequest("the last launch must come after the first, and at most 17 days after")
	}
	job.Place, job.TopAlt = reach.Place, reach.Burst+aboveBurst
	job.From, job.To = first.Add(-beforeLaunch), last.Add(reach.Up+reach.Down+afterLanding)
	return job, nil
}

// fetch brings a forecast in as a job. One is under way at a time: a second
// press finds the first.
func (s *Server) fetch(r *http.Request) (any, error) {
	job, err := s.fetchJob(r)
	if err != nil {
		return nil, err
	}
	s.studies.mu.Lock()
	defer s.studies.mu.Unlock()
	if status, err := s.jobs.Get(s.studies.fetching); err == nil && status.State == jobs.Running {
		return jobAnswer(status), nil
	}
	status, err := s.jobs.Start("fetch", r.PathValue("id"), func(ctx context.Context, progress jobs.Progress) (any, error) {
		progress(0, "asking which cycle is the newest")
		job.Tell = func(p weather.Progress) { progress(fetchShare(p), fetchWords(p)) }
		report, err := s.archives.Client.Get(ctx, job)
		if err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			s.log.Warn("a fetch failed", "error", err)
			return nil, errors.New(fetchFault(err))
		}
		name := weather.Name{Source: job.Source.Name, Cycle: report.Cycle, Member: -1}
		return map[string]any{"id": groupKind + groupOf(name), "bytes": report.Fetched, "lacks": append([]string{}, report.Lacks...)}, nil
	})
	if err != nil {
		return nil, err
	}
	s.studies.fetching = status.ID
	return jobAnswer(status), nil
}

func fetchShare(p weather.Progress) float64 {
	switch {
	case p.WholeOctets > 0:
		return min(float64(p.Octets)/float64(p.WholeOctets), 1)
	case p.WholeFiles > 0:
		return float64(p.Files) / float64(p.WholeFiles)
	}
	return 0
}

func fetchWords(p weather.Progress) string {
	text := sizeWords(p.Octets)
	if p.WholeOctets > 0 {
		text += " of " + sizeWords(p.WholeOctets)
	}
	text += fmt.Sprintf(", %d of %d files", p.Files, p.WholeFiles)
	if p.Left > 0 {
		text += ", some " + unit.FormatDuration(p.Left.Round(time.Second).Seconds()) + " left"
	}
	return text
}

func sizeWords(octets int64) string {
	const kilo, mega = 1e3, 1e6
	if octets < mega {
		return fmt.Sprintf("%.0f kB", float64(octets)/kilo)
	}
	return fmt.Sprintf("%.1f MB", float64(octets)/mega)
}

// fetchFault says in the app's words why nothing came.
func fetchFault(err error) string {
	var away *weather.AwayError
	var full *weather.FullError
	var out *weather.NotOutError
	var busy *weather.BusyError
	var page *weather.PageError
	var grid *weather.OtherGridError
	switch {
	case errors.As(err, &away):
		return "No network, or the archive is away: " + hostOf(away.Address) + " cannot be reached. Nothing was changed, and what has come is kept; fetch again when there is a network."
	case errors.As(err, &full):
		return "The disk is full. Make room, by pruning older cycles for instance, and fetch again; what has come is kept."
	case errors.As(err, &out) && out.Cycle.IsZero():
		return "The archive holds no cycle yet with all that this flight needs. A forecast reaches some 10 to 16 days ahead: fetch again nearer to the launch."
	case errors.As(err, &out):
		return "That cycle is not out yet in full. Fetch again in some minutes, or leave the cycle out to take the newest that is complete."
	case errors.As(err, &busy):
		return fmt.Sprintf("The archive asks to be left alone for %s. Fetch again then; what has come is kept.", unit.FormatDuration(busy.Wait.Seconds()))
	case errors.As(err, &page):
		return "A web page came instead of data from " + hostOf(page.Address) + ": the network may want you to log in first."
	case errors.As(err, &grid):
		return "This cycle is kept already on another area. Remove it first, then fetch again."
	}
	return "Nothing was changed: " + oneLine(err)
}

func hostOf(address string) string {
	u, err := url.Parse(address)
	if err != nil || u.Host == "" {
		return filepath.Base(address)
	}
	return u.Host
}
