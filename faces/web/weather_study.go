package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"sync"
	"time"

	"pappus/desk/hours"
	"pappus/flight"
	"pappus/flight/jobs"
	"pappus/measure/unit"
	"pappus/record"
)

// studyRequest asks for a comparison through forecasts: of launch hours, of
// cycles, or of past days.
type studyRequest struct {
	Weather []string   `json:"weather"`           // names of the forecasts to stand on
	From    *time.Time `json:"from,omitempty"`    // of hours: the first launch; what the forecasts cover unless told
	To      *time.Time `json:"to,omitempty"`      //
	EveryS  int        `json:"every_s,omitempty"` // 3600 unless told
	Sites   []string   `json:"sites,omitempty"`   // by name; all unless told
	Members int        `json:"members,omitempty"` // 300 unless told
	Seed    int64      `json:"seed,omitempty"`    // 1 unless told
	Units   string     `json:"units,omitempty"`   // "us" or "metric", of the words
}

// study is a request looked up.
type study struct {
	studyRequest
	kind, id, key string
	weather       choice
	land          flight.Land
	system        unit.System
	parsed        *record.Flight
}

// The kinds of study.
const (
	ofHours  = "hours"
	ofTrend  = "trend"
	ofSeason = "season"
)

const (
	usualStudyMembers = 300
	mostStudyMembers  = 5000
	usualEvery        = int(unit.Hour)
)

func (s *Server) study(r *http.Request, kind string) (*study, error) {
	w := &study{kind: kind, id: r.PathValue("id")}
	q := &w.studyRequest
	if err := readJSON(r, q); err != nil {
		return nil, err
	}
	document, system, err := s.asked(r, "", q.Units)
	if err != nil {
		return nil, err
	}
	w.system = system
	for _, usual := range []struct {
		value *int
		usual int
	}{{&q.Members, usualStudyMembers}, {&q.EveryS, usualEvery}} {
		if *usual.value == 0 {
			*usual.value = usual.usual
		}
	}
	if q.Seed == 0 {
		q.Seed = 1
	}
	if q.Members < 20 || q.Members > mostStudyMembers || q.Seed < 1 || q.EveryS < 60 || len(q.Sites) > 100 {
		return nil, badRequest("members must be 20 to %d, the seed a whole number from 1 up, every_s 60 or more, and sites at most 100", mostStudyMembers)
	}
	if w.parsed, err = record.Parse("flight", document); err != nil {
		return nil, unprocessable(err)
	}
	if w.weather, err = s.forecasts.choose(q.Weather); err != nil {
		return nil, err
	}
	if kind == ofHours {
		if err := s.window(w); err != nil {
			return nil, err
		}
	}
	var drawn string
	if w.land, _, drawn, err = s.land(w.id); err != nil {
		return nil, unprocessable(err)
	}
	sum := sha256.New()
	options, err := json.Marshal(q)
	if err != nil {
		return nil, err
	}
	fmt.Fprintln(sum, kind, w.id, w.weather.signature, drawn, string(options))
	sum.Write(document)
	w.key = hex.EncodeToString(sum.Sum(nil)[:16])
	return w, nil
}

// aroundLaunch is how far from the flight's own launch hours are compared unless
// told: a day before and a day after.
const aroundLaunch = 24 * time.Hour

// window settles the launch times: those that the forecasts cover, counted from
// the flight's own, so that it is one of them.
func (s *Server) window(w *study) error {
	launch, every := w.parsed.Launch.Time, time.Duration(w.EveryS)*time.Second
	if w.From == nil || w.To == nil {
		first, last := launch.Add(-aroundLaunch), launch.Add(aroundLaunch)
		var begin, end time.Time
		for _, id := range w.Weather {
			for _, c := range s.forecasts.headersOf(id).cycles {
				if c.To.Before(first) || c.From.After(last) {
					continue
				}
				if begin.IsZero() || c.From.Before(begin) {
					begin = c.From
				}
				if c.To.After(end) {
					end = c.To
				}
			}
		}
		if !begin.IsZero() {
			if begin.After(first) {
				first = begin
			}
			if end.Before(last) {
				last = end
			}
		}
		from := launch.Add(-launch.Sub(first) / every * every)
		to := launch.Add(last.Sub(launch) / every * every)
		if w.From == nil {
			w.From = &from
		}
		if w.To == nil {
			w.To = &to
		}
	}
	from, to := w.From.In(launch.Location()), w.To.In(launch.Location())
	w.From, w.To = &from, &to
	if _, err := hours.Window(from, to, every); err != nil {
		return badRequest("%v", err)
	}
	if _, err := hours.Choose(hours.Sites(w.parsed), w.Sites); err != nil {
		return badRequest("%v", err)
	}
	return nil
}

// fly works a study out. The answer goes out as it is; whole, when given, is
// what is asked of it later.
func (w *study) fly(ctx context.Context, workers int, progress func(done, all int)) (any, error) {
	files, err := w.weather.read()
	if err != nil {
		return nil, err
	}
	sky := flight.Sky{Files: files, Workers: workers}
	if w.kind == ofHours {
		return flight.Hours(ctx, w.parsed, sky, flight.HoursOptions{
			From: *w.From, To: *w.To, Every: time.Duration(w.EveryS) * time.Second, Sites: w.Sites, Regions: true,
			Members: w.Members, Seed: uint64(w.Seed), Workers: workers, System: w.system, Land: w.land, Progress: progress,
		})
	}
	o := flight.TrendOptions{Members: w.Members, Seed: uint64(w.Seed), Workers: workers, System: w.system, Land: w.land, Regions: w.kind == ofTrend, Progress: progress}
	if w.kind == ofTrend {
		return flight.Trend(ctx, w.parsed, sky, o)
	}
	return flight.Season(ctx, w.parsed, sky, o)
}

// studyDesk keeps the latest studies, and knows which job works out which.
type studyDesk struct {
	mu       sync.Mutex
	known    []knownStudy // the latest used last
	jobs     map[string]string
	fetching string // the job that fetches a forecast
}

type knownStudy struct {
	key, kind string
	invented  bool
	whole     any // *hours.Answer, *hours.Trend or *hours.Season
}

// mostStudies bounds the memory that kept studies take.
const mostStudies = 12

func (d *studyDesk) find(key string) (knownStudy, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for i, k := range d.known {
		if k.key == key {
			d.known = append(slices.Delete(d.known, i, i+1), k)
			return k, nil
		}
	}
	return knownStudy{}, wrong{http.StatusNotFound, "this answer is not kept any more: ask for it anew"}
}

func (d *studyDesk) keep(k knownStudy) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.known) == mostStudies {
		d.known = slices.Delete(d.known, 0, 1)
	}
	d.known = append(d.known, k)
}

type studyReply struct {
	Key string    `json:"key"`
	Job *jobReply `json:"job,omitempty"` // absent when the answer is ready
}

// startStudy answers where a ready study is, or the job that works it out.
func startStudy(kind string) func(s *Server, r *http.Request) (any, error) {
	return func(s *Server, r *http.Request) (any, error) {
		w, err := s.study(r, kind)
		if err != nil {
			return nil, err
		}
		if _, err := s.studies.find(w.key); err == nil {
			return studyReply{Key: w.key}, nil
		}
		s.studies.mu.Lock()
		defer s.studies.mu.Unlock()
		if status, err := s.jobs.Get(s.studies.jobs[w.key]); err == nil && status.State == jobs.Running {
			reply := jobAnswer(status)
			return studyReply{w.key, &reply}, nil
		}
		status, err := s.jobs.Start(kind, w.id, func(ctx context.Context, progress jobs.Progress) (any, error) { return s.work(ctx, w, progress) })
		if err != nil {
			return nil, err
		}
		for key, id := range s.studies.jobs {
			if known, err := s.jobs.Get(id); err != nil || known.State != jobs.Running {
				delete(s.studies.jobs, key)
			}
		}
		s.studies.jobs[w.key] = status.ID
		reply := jobAnswer(status)
		return studyReply{w.key, &reply}, nil
	}
}

// work is what the job of a study does.
func (s *Server) work(ctx context.Context, w *study, progress jobs.Progress) (any, error) {
	progress(0, "reading the forecasts")
	what := map[string]string{ofHours: "launches", ofTrend: "cycles", ofSeason: "days"}[w.kind]
	began := s.now()
	whole, err := w.fly(ctx, s.forecasts.workers, func(done, all int) {
		text := fmt.Sprintf("%d of %d %s flown", done, all, what)
		if left := timeLeft(s.now().Sub(began), float64(done), float64(all)); left != "" {
			text += ", " + left
		}
		progress(float64(done)/float64(max(all, 1)), text)
	})
	if err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, errors.New(oneLine(err))
	}
	s.studies.keep(knownStudy{w.key, w.kind, w.weather.demo, whole})
	return map[string]any{"key": w.key}, nil
}

// timeLeft says how long work will go on at the pace it had; nothing while that
// cannot be told.
func timeLeft(taken time.Duration, done, all float64) string {
	const tellable = 2 * time.Second
	if done <= 0 || taken < tellable {
		return ""
	}
	left := time.Duration(float64(taken) * (all - done) / done).Round(time.Second)
	if left <= 0 {
		return ""
	}
	return "some " + unit.FormatDuration(left.Seconds()) + " left"
}
