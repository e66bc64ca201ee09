package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"runtime"
	"slices"
	"strings"
	"sync"

	"pappus/flight"
	"pappus/flight/jobs"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/ports/export"
	"pappus/record"
)

type oddsRequest struct {
	Weather []string `json:"weather"`           // names of the forecasts to stand on
	Members int      `json:"members,omitempty"` // 2,000 unless told
	Seed    int64    `json:"seed,omitempty"`    // 1 unless told
	LatDeg  *float64 `json:"lat_deg,omitempty"` // a launch place to try; nothing is saved
	LonDeg  *float64 `json:"lon_deg,omitempty"` //
	Units   string   `json:"units,omitempty"`   // "us" or "metric", of the words
}

type moveLaunchRequest struct {
	From    int64    `json:"from"` // the revision the page shows
	LatDeg  float64  `json:"lat_deg"`
	LonDeg  float64  `json:"lon_deg"`
	Place   string   `json:"place,omitempty"` // its new name
	Weather []string `json:"weather"`         // whose ground gives the elevation
}

const (
	usualMembers = 2000
	mostMembers  = 20000
	quickMembers = 300 // under the finger
)

// wanted is a request for odds, looked up.
type wanted struct {
	id, key  string
	document []byte
	launch   geo.Point // of the file
	weather  choice
	land     flight.Land
	to       *geo.Point // where the launch is tried
	members  int
	seed     uint64
	system   unit.System
	parsed   *record.Flight
}

func (s *Server) wanted(r *http.Request, usual, most int) (*wanted, error) {
	var q oddsRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	document, system, err := s.asked(r, "", q.Units)
	if err != nil {
		return nil, err
	}
	w := &wanted{id: r.PathValue("id"), document: document, system: system, members: q.Members, seed: uint64(q.Seed)}
	if w.members == 0 {
		w.members = usual
	}
	if w.seed == 0 {
		w.seed = 1
	}
	if w.members < 20 || w.members > most || q.Seed < 0 {
		return nil, badRequest("members must be 20 to %d, and the seed a whole number from 1 up", most)
	}
	if (q.LatDeg == nil) != (q.LonDeg == nil) {
		return nil, badRequest("give both lat_deg and lon_deg, or neither")
	}
	if q.LatDeg != nil {
		to, err := geo.NewPoint(*q.LatDeg, *q.LonDeg)
		if err != nil {
			return nil, badRequest("%v", err)
		}
		w.to = &to
	}
	if w.parsed, err = record.Parse("flight", w.document); err != nil {
		return nil, unprocessable(err)
	}
	w.launch = w.parsed.Launch.Point
	if w.weather, err = s.forecasts.choose(q.Weather); err != nil {
		return nil, err
	}
	var drawn string
	if w.land, _, drawn, err = s.land(w.id); err != nil {
		return nil, unprocessable(err)
	}
	sum := sha256.New()
	fmt.Fprintln(sum, w.id, w.weather.signature, drawn, w.members, w.seed)
	if w.to != nil {
		fmt.Fprintf(sum, "%.7f %.7f\n", w.to.LatDeg, w.to.LonDeg)
	}
	sum.Write(w.document)
	w.key = hex.EncodeToString(sum.Sum(nil)[:16])
	return w, nil
}

// unprocessable is what the person must change in the flight or its files.
func unprocessable(err error) error {
	var bad wrong
	if errors.As(err, &bad) {
		return err
	}
	return wrong{http.StatusUnprocessableEntity, oneLine(err)}
}

// fly works the odds out.
func (w *wanted) fly(ctx context.Context, f *forecasts, progress func(done int)) (*flight.Odds, error) {
	sky, err := f.sky(w.weather, w.parsed)
	if err != nil {
		return nil, err
	}
	r := w.parsed
	if w.to != nil {
		if _, r, err = flight.Moved(w.document, sky, *w.to, ""); err == nil {
			sky, err = f.sky(w.weather, r) // the new place may be out of the sky's reach
		}
		if err != nil {
			return nil, err
		}
	}
	return flight.Where(ctx, r, sky, flight.OddsOptions{
		Members: w.members, Seed: w.seed, Workers: f.workers, System: w.system, Land: w.land, Progress: progress,
	})
}

// oddsDesk keeps the latest odds, for what is asked of them later, and knows
// which job works out which.
type oddsDesk struct {
	mu    sync.Mutex
	known []knownOdds // the latest used last
	jobs  map[string]string
	flown map[[sha256.Size]byte]bool // flights, with their documents, whose odds were flown
}

type knownOdds struct {
	key   string
	odds  *flight.Odds
	shown *oddsAnswer
}

// mostOdds bounds the memory that kept odds take, with the skies they hold.
const mostOdds = 4

func (d *oddsDesk) find(key string) (knownOdds, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for i, k := range d.known {
		if k.key == key {
			d.known = append(slices.Delete(d.known, i, i+1), k)
			return k, nil
		}
	}
	return knownOdds{}, wrong{http.StatusNotFound, "these odds are not kept any more: ask for them anew"}
}

func (d *oddsDesk) keep(k knownOdds) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.known) == mostOdds {
		d.known = slices.Delete(d.known, 0, 1)
	}
	d.known = append(d.known, k)
}

type oddsReply struct {
	Key string    `json:"key"`
	Job *jobReply `json:"job,omitempty"` // absent when the odds are ready
}

// startOdds answers where ready odds are, or the job that works them out; one
// that is under way already is not started twice.
func (s *Server) startOdds(r *http.Request) (any, error) {
	w, err := s.wanted(r, usualMembers, mostMembers)
	if err != nil {
		return nil, err
	}
	if _, err := s.odds.find(w.key); err == nil {
		s.odds.looked(w)
		return oddsReply{Key: w.key}, nil
	}
	s.odds.mu.Lock()
	defer s.odds.mu.Unlock()
	if status, err := s.jobs.Get(s.odds.jobs[w.key]); err == nil && status.State == jobs.Running {
		reply := jobAnswer(status)
		return oddsReply{w.key, &reply}, nil
	}
	status, err := s.jobs.Start("odds", w.id, func(ctx context.Context, progress jobs.Progress) (any, error) {
		progress(0, "reading the forecast")
		odds, err := w.fly(ctx, s.forecasts, func(done int) {
			progress(float64(done)/float64(w.members), fmt.Sprintf("%d of %d flights flown", done, w.members))
		})
		if err != nil {
			return nil, errors.New(oneLine(err))
		}
		shown, err := w.show(odds)
		if err != nil {
			return nil, err
		}
		s.odds.keep(knownOdds{w.key, odds, shown})
		s.odds.looked(w)
		return map[string]any{"key": w.key}, nil
	})
	if err != nil {
		return nil, err
	}
	for key, id := range s.odds.jobs {
		if known, err := s.jobs.Get(id); err != nil || known.State != jobs.Running {
			delete(s.odds.jobs, key)
		}
	}
	s.odds.jobs[w.key] = status.ID
	reply := jobAnswer(status)
	return oddsReply{w.key, &reply}, nil
}

// quickOdds answers at once with few flights, for a launch that is being dragged.
func (s *Server) quickOdds(r *http.Request) (any, error) {
	w, err := s.wanted(r, quickMembers, quickMembers)
	if err != nil {
		return nil, err
	}
	odds, err := w.fly(r.Context(), s.forecasts, nil)
	if err != nil {
		if r.Context().Err() != nil {
			return nil, err
		}
		return nil, unprocessable(err)
	}
	return w.show(odds)
}

func (s *Server) shownOdds(r *http.Request) (any, error) {
	k, err := s.odds.find(r.PathValue("key"))
	return k.shown, err
}

type waysAnswer struct {
	Ways []wayAnswer `json:"ways"`
}

// ways gives the first members' ways, thinned for drawing.
func (s *Server) ways(r *http.Request) (any, error) {
	k, err := s.odds.find(r.PathValue("key"))
	if err != nil {
		return nil, err
	}
	members, err := whole("members", r.URL.Query().Get("members"), 60)
	if err != nil {
		return nil, err
	}
	const most, points = 200, 60
	answer := waysAnswer{Ways: []wayAnswer{}}
	for _, track := range k.odds.Ways(int(min(members, most))) {
		answer.Ways = append(answer.Ways, wayOf(k.odds, append(slices.Clip(track.Up), track.Down...), points))
	}
	return answer, nil
}

var exportKinds = map[string]struct {
	mime  string
	write func(o *flight.Odds, name string) ([]byte, error)
}{
	"geojson": {"application/geo+json", export.GeoJSON},
	"kml":     {"application/vnd.google-earth.kml+xml", export.KML},
	"gpx":     {"application/gpx+xml", export.GPX},
	"csv":     {"text/csv; charset=utf-8", export.CSV},
}

// exportOdds writes a file that other programs open.
func (s *Server) exportOdds(w http.ResponseWriter, r *http.Request) {
	k, err := s.odds.find(r.PathValue("key"))
	kind, known := exportKinds[r.PathValue("kind")]
	if err == nil && !known {
		err = wrong{http.StatusNotFound, "odds are written as geojson, kml, gpx or csv"}
	}
	var data []byte
	if err == nil {
		data, err = kind.write(k.odds, k.odds.Answer.Name)
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", kind.mime)
	w.Header().Set("Content-Disposition", `attachment; filename="`+fileName(k.odds.Answer.Name)+"."+r.PathValue("kind")+`"`)
	w.Header().Set("Cache-Control", "no-store")
	w.Write(data)
}

// fileName makes a name that every file system takes.
func fileName(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	const longest = 60
	joined := strings.Join(words, "-")
	if joined == "" {
		return "flight"
	}
	return joined[:min(longest, len(joined))]
}

// moveLaunch saves a flight with another launch place, as a revision.
func (s *Server) moveLaunch(r *http.Request) (any, error) {
	var q moveLaunchRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	id := r.PathValue("id")
	to, err := geo.NewPoint(q.LatDeg, q.LonDeg)
	if err != nil {
		return nil, badRequest("%v", err)
	}
	base, err := s.book.Revision(r.Context(), id, q.From)
	if err != nil {
		return nil, err
	}
	before, err := record.Parse("flight", base.Document)
	if err != nil {
		return nil, unprocessable(err)
	}
	c, err := s.forecasts.choose(q.Weather)
	if err != nil {
		return nil, err
	}
	sky, err := s.forecasts.sky(c, before)
	if err != nil {
		return nil, err
	}
	document, after, err := flight.Moved(base.Document, sky, to, strings.TrimSpace(q.Place))
	if err != nil {
		return nil, unprocessable(err)
	}
	d := flight.Draft{Name: after.Name, What: "moved the launch to " + flight.PlaceWords(to), Document: document, Made: s.now()}
	if err := d.Check(); err != nil {
		return nil, badRequest("%v", err)
	}
	_, err = s.book.Save(r.Context(), id, q.From, d)
	return s.moved(r, id, err)
}

func workers() int { return runtime.GOMAXPROCS(0) }
