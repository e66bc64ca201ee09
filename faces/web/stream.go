package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Stream tells open pages what happens, as server-sent events. It holds the last
// events, so that a page whose connection was cut gets what it missed; a page
// that missed more than is held, or that knew an earlier start of the program,
// gets a reset and must read anew.
type Stream struct {
	boot string
	held int

	mu     sync.Mutex
	first  int // number of the oldest event that is held
	events []event
	wake   chan struct{} // closed and made anew at each event
	closed bool
}

type event struct {
	kind, flight string
	data         []byte
}

const (
	retryAfter     = 500 * time.Millisecond
	keepAliveEvery = 15 * time.Second
)

// NewStream makes a stream that holds the given number of events. The boot word
// must differ from one start of the program to the next.
func NewStream(boot string, held int) *Stream {
	return &Stream{boot: boot, held: held, first: 1, wake: make(chan struct{})}
}

// Publish tells all pages of something that belongs to a flight, or to all when
// flight is empty. The value is written as JSON.
func (s *Stream) Publish(kind, flight string, value any) {
	data, err := json.Marshal(value)
	if err != nil {
		panic(fmt.Errorf("web: an event cannot be written as JSON: %w", err))
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return
	}
	s.events = append(s.events, event{kind, flight, data})
	if over := len(s.events) - s.held; over > 0 {
		s.events = append([]event(nil), s.events[over:]...)
		s.first += over
	}
	close(s.wake)
	s.wake = make(chan struct{})
}

// Close ends all connections; a closed stream takes no more events.
func (s *Stream) Close() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.closed {
		s.closed = true
		close(s.wake)
	}
}

// after gives the events after a number, and what to wait on for more. When some
// were lost, it gives none and says so.
func (s *Stream) after(number int) (list []event, last int, lost, closed bool, wake <-chan struct{}) {
	s.mu.Lock()
	defer s.mu.Unlock()
	last = s.first + len(s.events) - 1
	if number > last || number < s.first-1 {
		return nil, last, true, s.closed, s.wake
	}
	return s.events[number-s.first+1:], last, false, s.closed, s.wake
}

// position reads an event's id. One of another start of the program is known by
// its boot word.
func (s *Stream) position(id string) (number int, known bool) {
	boot, digits, _ := strings.Cut(id, "-")
	number, err := strconv.Atoi(digits)
	return number, err == nil && boot == s.boot && number >= 0
}

// serve writes events to one page until it goes away or the stream closes.
func (s *Stream) serve(w http.ResponseWriter, r *http.Request, wanted func(event) bool) {
	control := http.NewResponseController(w)
	control.SetWriteDeadline(time.Time{}) // fails only for a writer without deadlines, which has none to lift
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	fmt.Fprintf(w, "retry: %d\n\n", retryAfter.Milliseconds())

	seen := r.Header.Get("Last-Event-ID")
	if seen == "" {
		seen = r.URL.Query().Get("after")
	}
	number, known := s.position(seen)
	if !known {
		_, number, _, _, _ = s.after(-1) // from now on
		kind := "begin"
		if seen != "" {
			kind = "reset"
		}
		s.write(w, number, kind, []byte("{}"))
	}
	beat := time.NewTicker(keepAliveEvery)
	defer beat.Stop()
	for {
		list, last, lost, closed, wake := s.after(number)
		if lost {
			s.write(w, last, "reset", []byte("{}"))
		}
		for i, e := range list {
			if wanted(e) {
				s.write(w, number+i+1, e.kind, e.data)
			}
		}
		number = last
		if control.Flush() != nil || closed {
			return
		}
		select {
		case <-wake:
		case <-beat.C:
			fmt.Fprint(w, ": still here\n\n")
		case <-r.Context().Done():
			return
		}
	}
}

func (s *Stream) write(w http.ResponseWriter, number int, kind string, data []byte) {
	fmt.Fprintf(w, "id: %s-%d\nevent: %s\ndata: %s\n\n", s.boot, number, kind, data)
}

func (s *Server) streamEvents(w http.ResponseWriter, r *http.Request) {
	only := r.URL.Query().Get("flight")
	s.events.serve(w, r, func(e event) bool { return only == "" || e.flight == "" || e.flight == only })
}
