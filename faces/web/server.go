// Package web is the app: the contract's JSON under /api/v1, live events, and the
// embedded pages, for this machine alone unless told otherwise.
package web

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"pappus/flight"
	"pappus/flight/jobs"
)

// DefaultListen is where the app listens unless told otherwise.
const DefaultListen = "127.0.0.1:8765"

// Book is what the app needs of the book of flights.
type Book interface {
	List(ctx context.Context) ([]flight.Entry, error)
	Entry(ctx context.Context, id string) (flight.Entry, error)
	Create(ctx context.Context, d flight.Draft) (flight.Entry, error)
	SetArchived(ctx context.Context, id string, at time.Time) (flight.Entry, error)
	SetDeleted(ctx context.Context, id string, at time.Time) (flight.Entry, error)
	Revision(ctx context.Context, id string, number int64) (flight.Revision, error)
	History(ctx context.Context, id string, before int64, limit int) ([]flight.Revision, error)
	Save(ctx context.Context, id string, base int64, d flight.Draft) (flight.Revision, error)
	Undo(ctx context.Context, id string, from int64) (flight.Revision, error)
	Redo(ctx context.Context, id string, from int64) (flight.Revision, error)
	Return(ctx context.Context, id string, from, to int64) (flight.Revision, error)
	Ticks(ctx context.Context, id string) (map[string]time.Time, error)
	SetTick(ctx context.Context, id, box string, at time.Time) error
}

// Config is what the app is built from.
type Config struct {
	Book    Book
	Now     func() time.Time
	Version string       // of the program
	Hosts   []string     // names, beside the loopback ones, that requests may be addressed to
	Log     *slog.Logger // where faults of the program go
	Weather Weather      // where forecasts are
	Archive Archives     // where they are fetched from
}

// Server is the app. It is an http.Handler; Serve runs it on a listener.
type Server struct {
	book    Book
	now     func() time.Time
	version string
	hosts   []string
	log     *slog.Logger
	events  *Stream
	jobs    *jobs.Desk
	handler http.Handler

	forecasts *forecasts
	odds      oddsDesk
	archives  Archives
	studies   studyDesk
	sheets    papersDesk
}

// New builds the app.
func New(c Config) (*Server, error) {
	if c.Book == nil || c.Now == nil || c.Log == nil {
		panic("web: a book, a clock and a log are needed")
	}
	boot := fmt.Sprintf("%x", c.Now().UnixMilli())
	s := &Server{book: c.Book, now: c.Now, version: c.Version, hosts: c.Hosts, log: c.Log, events: NewStream(boot, 512)}
	s.jobs = jobs.New(boot, c.Now, jobs.Limits{Running: 4, Kept: 32}, func(status jobs.Status) {
		s.events.Publish("job", status.Flight, jobAnswer(status))
	})
	s.forecasts, s.odds.jobs = newForecasts(c.Weather, workers()), map[string]string{}
	s.odds.flown = map[[32]byte]bool{}
	s.archives, s.studies.jobs = c.Archive, map[string]string{}
	s.forecasts.sweep()
	pages, err := loadPages()
	if err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	for _, r := range routes() {
		mux.Handle(r.method+" "+apiPrefix+r.path, s.serve(r))
	}
	mux.Handle("/api/", s.serveUnknown())
	pages.register(mux)
	s.handler = s.guard(mux)
	return s, nil
}

// Jobs is where handlers start long work.
func (s *Server) Jobs() *jobs.Desk { return s.jobs }

// Events is where handlers tell open pages what happened.
func (s *Server) Events() *Stream { return s.events }

func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Serve answers requests until ctx is cancelled, then lets those under way end.
func (s *Server) Serve(ctx context.Context, listener net.Listener) error {
	server := &http.Server{
		Handler:           s,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       30 * time.Second,
		WriteTimeout:      60 * time.Second, // event streams lift it for themselves
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    32 << 10,
		ErrorLog:          slog.NewLogLogger(s.log.Handler(), slog.LevelWarn),
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err := <-ended:
		s.Close()
		return err
	case <-ctx.Done():
	}
	s.Close()
	deadline, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	err := server.Shutdown(deadline)
	if errors.Is(err, context.DeadlineExceeded) {
		err = server.Close()
	}
	return err
}

// Close ends the event streams and cancels the jobs.
func (s *Server) Close() {
	s.events.Close()
	s.jobs.Close()
}
