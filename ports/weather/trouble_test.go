package weather

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// TestTroubles lets the archive misbehave once, and the fetch must come to the
// same octets all the same.
func TestTroubles(t *testing.T) {
	clean := realArchive(t)
	s := settingsFor(t, clean.URL, "")
	want := fetchOK(t, clientFor(s, nil), jobFor(t, s, t.TempDir()))
	var first atomic.Bool
	once := func(f func(w http.ResponseWriter, r *http.Request, a *archive)) func(a *archive) func(http.ResponseWriter, *http.Request, int) bool {
		return func(a *archive) func(http.ResponseWriter, *http.Request, int) bool {
			return func(w http.ResponseWriter, r *http.Request, n int) bool {
				if r.Header.Get("Range") == "" || !first.CompareAndSwap(false, true) {
					return false
				}
				f(w, r, a)
				return true
			}
		}
	}
	part := func(w http.ResponseWriter, r *http.Request, a *archive, change func([]byte) []byte) {
		var from, to int
		if n, _ := fmt.Sscanf(r.Header.Get("Range"), "bytes=%d-%d", &from, &to); n != 2 {
			to = len(a.data) - 1
		}
		w.Header().Set("Content-Range", fmt.Sprintf("bytes %d-%d/%d", from, to, len(a.data)))
		body := change(bytes.Clone(a.data[from : to+1]))
		w.WriteHeader(http.StatusPartialContent)
		w.Write(body)
	}
	for name, trouble := range map[string]func(w http.ResponseWriter, r *http.Request, a *archive){
		"cut in the middle": func(w http.ResponseWriter, r *http.Request, a *archive) {
			w.Header().Set("Content-Length", "5000")
			w.Header().Set("Content-Range", "bytes 0-4999/10000")
			part(w, r, a, func(b []byte) []byte { return b[:len(b)/2] })
		},
		"short body": func(w http.ResponseWriter, r *http.Request, a *archive) {
			part(w, r, a, func(b []byte) []byte { return b[:len(b)-7] })
		},
		"damaged mark": func(w http.ResponseWriter, r *http.Request, a *archive) {
			part(w, r, a, func(b []byte) []byte { b[len(b)-1] = '8'; return b })
		},
		"another message": func(w http.ResponseWriter, r *http.Request, a *archive) {
			part(w, r, a, func(b []byte) []byte { b[16+12]++; return b }) // the year's low octet's neighbour: another cycle
		},
		"server error": func(w http.ResponseWriter, r *http.Request, a *archive) { w.WriteHeader(http.StatusBadGateway) },
		"busy": func(w http.ResponseWriter, r *http.Request, a *archive) {
			w.Header().Set("Retry-After", "7")
			w.WriteHeader(http.StatusTooManyRequests)
		},
	} {
		t.Run(name, func(t *testing.T) {
			first.Store(false)
			a := realArchive(t)
			a.trouble = once(trouble)(a)
			var slept []time.Duration
			s := settingsFor(t, a.URL, "")
			got := fetchOK(t, clientFor(s, &slept), jobFor(t, s, t.TempDir()))
			if !first.Load() {
				t.Fatal("the trouble never happened")
			}
			if !bytes.Equal(got, want) {
				t.Error("the file differs from one fetched without trouble")
			}
			if name == "busy" && (len(slept) == 0 || slices.Max(slept) < 7*time.Second) {
				t.Errorf("slept %v although the server asked for 7 s", slept)
			}
		})
	}
}

// TestLastingTroubles lets the archive misbehave for good: each gives its own
// clear error within bounded tries, and the folder stays empty.
func TestLastingTroubles(t *testing.T) {
	html := func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/octet-stream")
		fmt.Fprint(w, "<!DOCTYPE html><title>Please log in</title>")
	}
	for _, c := range []struct {
		name    string
		index   bool // the trouble is with the index
		trouble func(w http.ResponseWriter, r *http.Request)
		want    error
		says    string
	}{
		{"page for an index", true, html, &PageError{}, "web page"},
		{"page for octets", false, html, &PageError{}, "Please log in"},
		{"no parts", false, func(w http.ResponseWriter, r *http.Request) { w.Write(make([]byte, 5000)) }, &RangeError{}, "whole files"},
		{"page as a part", false, func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Content-Type", "text/html")
			w.WriteHeader(http.StatusPartialContent)
			fmt.Fprint(w, "<html>Please log in</html>")
		}, &PageError{}, "Please log in"},
		{"not there", false, func(w http.ResponseWriter, r *http.Request) { http.NotFound(w, r) }, &NotThereError{}, "does not hold"},
		{"busy for long", false, func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Date", "Sat, 08 Oct 2011 09:00:00 GMT")
			w.Header().Set("Retry-After", "Sat, 08 Oct 2011 10:30:00 GMT")
			w.WriteHeader(http.StatusServiceUnavailable)
		}, &BusyError{}, "1h30m"},
		{"broken for good", false, func(w http.ResponseWriter, r *http.Request) { w.WriteHeader(500) }, &StatusError{}, "status 500"},
		{"wrong part", false, func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Content-Range", "bytes 1-20/30")
			w.WriteHeader(http.StatusPartialContent)
			w.Write(make([]byte, 20))
		}, &RangeError{}, "asked for"},
		{"shorter file", false, func(w http.ResponseWriter, r *http.Request) { w.WriteHeader(http.StatusRequestedRangeNotSatisfiable) }, &RangeError{}, "shorter than its index"},
		{"redirects without end", false, func(w http.ResponseWriter, r *http.Request) {
			http.Redirect(w, r, r.URL.Path+"x", http.StatusFound)
		}, &RedirectError{}, "more than 5 times"},
		{"redirect to a file", false, func(w http.ResponseWriter, r *http.Request) {
			http.Redirect(w, r, "file:///etc/hostname", http.StatusFound)
		}, &RedirectError{}, "no web address"},
		{"empty index", true, func(w http.ResponseWriter, r *http.Request) {}, &DamageError{}, "empty"},
		{"index of another cycle", true, func(w http.ResponseWriter, r *http.Request) {
			fmt.Fprint(w, "1:0:d=2011100806:HGT:500 mb:72 hour fcst:\n")
		}, &DamageError{}, "2011-10-08 06:00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := realArchive(t)
			a.trouble = func(w http.ResponseWriter, r *http.Request, n int) bool {
				if strings.HasSuffix(r.URL.Path, ".idx") != c.index {
					return false
				}
				c.trouble(w, r)
				return true
			}
			s := settingsFor(t, a.URL, "connections = 1\n")
			job := jobFor(t, s, t.TempDir())
			job.Cycle = realCycle
			_, err := clientFor(s, nil).Get(t.Context(), job)
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Fatalf("the error is %v, and should say %q", err, c.says)
			}
			if !sameKind(err, c.want) {
				t.Errorf("the error is a %T, not a %T", err, c.want)
			}
			if n := len(a.asks()); n > 2*s.Tries+mostRedirects {
				t.Errorf("%d requests", n)
			}
			if files, _ := forecastsIn(job.Into); len(files) > 0 {
				t.Errorf("the folder holds %v", files)
			}
		})
	}
}

func sameKind(err, want error) bool {
	for ; err != nil; err = errors.Unwrap(err) {
		if fmt.Sprintf("%T", err) == fmt.Sprintf("%T", want) {
			return true
		}
	}
	return false
}

// TestSlowDrip gives up a connection that brings too little, a bounded number
// of times, and gets the file once the drip is over.
func TestSlowDrip(t *testing.T) {
	a := realArchive(t)
	var dripping atomic.Bool
	dripping.Store(true)
	a.trouble = func(w http.ResponseWriter, r *http.Request, n int) bool {
		if r.Header.Get("Range") == "" || !dripping.Load() {
			return false
		}
		w.Header().Set("Content-Range", fmt.Sprintf("%s/%d", strings.Replace(r.Header.Get("Range"), "bytes=", "bytes ", 1), len(a.data)))
		w.WriteHeader(http.StatusPartialContent)
		for r.Context().Err() == nil {
			w.(http.Flusher).Flush()
			time.Sleep(5 * time.Millisecond)
		}
		return true
	}
	s := settingsFor(t, a.URL, "")
	s.Idle, s.Slowest, s.Connections, s.Tries = 50*time.Millisecond, 1000, 1, 3
	job := jobFor(t, s, t.TempDir())
	_, err := clientFor(s, nil).Get(t.Context(), job)
	var away *AwayError
	if !errors.As(err, &away) || !strings.Contains(err.Error(), "too little") || len(a.asks()) != 3 {
		t.Fatalf("%d requests, %v", len(a.asks()), err)
	}
	dripping.Store(false)
	s.Idle = 5 * time.Second
	fetchOK(t, clientFor(s, nil), job)
}

func TestNetworkAway(t *testing.T) {
	server := httptest.NewServer(http.NotFoundHandler())
	server.Close()
	s := settingsFor(t, server.URL, "")
	var slept []time.Duration
	_, err := clientFor(s, &slept).Get(t.Context(), jobFor(t, s, t.TempDir()))
	var away *AwayError
	if !errors.As(err, &away) || !strings.Contains(err.Error(), "cannot be reached") {
		t.Errorf("the error is %v", err)
	}
	if len(slept) != s.Tries-1 {
		t.Errorf("%d pauses for %d tries", len(slept), s.Tries)
	}
	for i, pause := range slept { // half a second doubled each time, scattered over its upper half
		whole := firstPause << i
		if pause < whole/2 || pause > whole {
			t.Errorf("pause %d was %v", i, pause)
		}
	}
}

func TestSecuredToOpenIsRefused(t *testing.T) {
	open := realArchive(t)
	secured := httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, open.URL+r.URL.Path, http.StatusFound)
	}))
	defer secured.Close()
	s := settingsFor(t, secured.URL, "")
	c := clientFor(s, nil)
	c.begin()
	c.http.Transport = secured.Client().Transport
	_, err := c.Get(t.Context(), jobFor(t, s, t.TempDir()))
	var redirect *RedirectError
	if !errors.As(err, &redirect) || !strings.Contains(err.Error(), "secured connection to an open one") {
		t.Errorf("the error is %v", err)
	}
}

func TestFullDisk(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("this system has no /dev/full")
	}
	a := realArchive(t)
	s := settingsFor(t, a.URL, "connections = 1\n")
	job := jobFor(t, s, t.TempDir())
	x, err := ParseIndex(a.index)
	if err != nil {
		t.Fatal(err)
	}
	folder := filepath.Join(job.Into, partFolder, "real_20111008T00Z")
	os.MkdirAll(folder, 0o755)
	stem := filepath.Join(folder, "real_20111008T00Z_f072.0.")
	if err := os.WriteFile(stem+"idx", a.index, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, p := range Pieces(x.Messages()[:104]) {
		if err := os.Symlink("/dev/full", fmt.Sprintf("%s%d-%d.piece", stem, p.From, p.To)); err != nil {
			t.Fatal(err)
		}
	}
	_, err = clientFor(s, nil).Get(t.Context(), job)
	var full *FullError
	if !errors.As(err, &full) || !strings.Contains(err.Error(), "the disk is full") {
		t.Errorf("the error is %v", err)
	}
	if files, _ := forecastsIn(job.Into); len(files) > 0 {
		t.Errorf("the folder holds %v", files)
	}
}
