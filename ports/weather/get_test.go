package weather

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"pappus/air/grib2"
)

func realArchive(t *testing.T) *archive {
	data := realFile(t)
	index := derivedIndex(t, data)
	// One message more that nobody wants, so that the wanted ones have an end.
	index = fmt.Appendf(index, "105:%d:d=2011100800:ABSV:10 mb:72 hour fcst:\n", len(data))
	fields, _ := grib2.Scan(data)
	return newArchive(t, append(data, data[:fields[0].Length]...), index)
}

func TestGetCutsToTheArea(t *testing.T) {
	a := realArchive(t)
	s := settingsFor(t, a.URL, "")
	job := jobFor(t, s, t.TempDir())
	got := fetchOK(t, clientFor(s, nil), job)
	checkCut(t, got, a.data)
	w := WindowAround(job.Place, job.RadiusM, 2.5)
	fields, _ := grib2.Scan(got)
	for _, f := range fields {
		if !w.holds(f.Grid) {
			t.Fatalf("%s stands on %+v, not on %s", f.Parameter(), f.Grid, w)
		}
	}
	// 33 km lies above 10 hPa, the top of the file, so that all levels are wanted.
	if len(fields) != 104 {
		t.Errorf("%d fields, not 4 of each of 26 levels", len(fields))
	}
	a.forget()
	report, err := clientFor(s, nil).Get(t.Context(), job)
	if err != nil || !report.Files[0].Kept || len(a.asks()) != 0 {
		t.Errorf("fetched again although it was there: %v, %v", a.asks(), err)
	}
}

func TestLevelsEndAboveTheFlight(t *testing.T) {
	a := realArchive(t)
	s := settingsFor(t, a.URL, "")
	job := jobFor(t, s, t.TempDir())
	job.TopAlt = 20000 // 54.7 hPa in the standard atmosphere [USSA76]: the level above is 50 hPa
	report, err := clientFor(s, nil).Get(t.Context(), job)
	if err != nil {
		t.Fatal(err)
	}
	if top := report.Levels[len(report.Levels)-1]; top != 5000 {
		t.Errorf("the top level is %g Pa, not 5000", top)
	}
}

// TestFieldsSharingAMessage fetches a derived file whose winds lie two by two in
// one message, and must get the same as from the file with one each.
func TestFieldsSharingAMessage(t *testing.T) {
	whole := realFile(t)
	plain := realArchive(t)
	joined := merged(t, whole)
	pairs := newArchive(t, joined, derivedIndex(t, joined))
	if !strings.Contains(string(pairs.index), ".2:") {
		t.Fatal("the derived index has no line such as 3.2")
	}
	var results [][]string
	for _, a := range []*archive{plain, pairs} {
		s := settingsFor(t, a.URL, "")
		got := fetchOK(t, clientFor(s, nil), jobFor(t, s, t.TempDir()))
		fields, _ := grib2.Scan(got)
		var messages []string
		for _, f := range fields {
			messages = append(messages, string(got[f.Offset:f.Offset+f.Length]))
		}
		slices.Sort(messages)
		results = append(results, messages)
	}
	if !slices.Equal(results[0], results[1]) {
		t.Error("the two files gave different fields")
	}
}

// TestGoesOnAfterACut breaks the first run off in the middle of a piece, and
// looks at what the second run asks for.
func TestGoesOnAfterACut(t *testing.T) {
	a := realArchive(t)
	var broken atomic.Bool
	broken.Store(true)
	var cut string
	a.trouble = func(w http.ResponseWriter, r *http.Request, n int) bool {
		if r.Header.Get("Range") == "" || !broken.Load() || len(a.asks()) < 3 {
			return false
		}
		var from, to int
		fmt.Sscanf(r.Header.Get("Range"), "bytes=%d-%d", &from, &to)
		w.Header().Set("Content-Range", fmt.Sprintf("bytes %d-%d/%d", from, to, len(a.data)))
		w.Header().Set("Content-Length", fmt.Sprint(to-from+1))
		w.WriteHeader(http.StatusPartialContent)
		w.Write(a.data[from : from+1000])
		cut = fmt.Sprintf("bytes=%d-%d", from+1000, to)
		return true
	}
	// Three levels that are not offered leave gaps, so that there are four pieces.
	for _, level := range []string{":500 mb:", ":300 mb:", ":100 mb:"} {
		a.index = []byte(strings.ReplaceAll(string(a.index), level, strings.ReplaceAll(level, " mb", " K isentropic")))
	}
	s := settingsFor(t, a.URL, "connections = 1\n")
	s.Tries = 1
	job := jobFor(t, s, t.TempDir())
	if _, err := clientFor(s, nil).Get(t.Context(), job); err == nil {
		t.Fatal("the cut went unnoticed")
	}
	done := a.asks()
	broken.Store(false)
	a.forget()
	got := fetchOK(t, clientFor(s, nil), job)
	again := a.asks()
	if len(again) == 0 || again[0] != cut {
		t.Errorf("the second run began with %v, not with %s", again, cut)
	}
	for _, r := range done[:2] {
		if slices.Contains(again, r) {
			t.Errorf("%s was fetched twice", r)
		}
	}
	fields, faults := grib2.Scan(got)
	if len(faults) > 0 || len(fields) != 4*23 {
		t.Errorf("%d fields, %v", len(fields), faults)
	}
}

func TestChangedIndexForgetsParts(t *testing.T) {
	a := realArchive(t)
	s := settingsFor(t, a.URL, "connections = 1\n")
	job := jobFor(t, s, t.TempDir())
	folder := filepath.Join(job.Into, partFolder, "real_20111008T00Z")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	stem := filepath.Join(folder, "real_20111008T00Z_f072.0.")
	for name, text := range map[string]string{"idx": "an older index", "0-9999.piece": "octets of another file"} {
		if err := os.WriteFile(stem+name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	checkCut(t, fetchOK(t, clientFor(s, nil), job), a.data)
}

func TestRedirectIsFollowed(t *testing.T) {
	there := realArchive(t)
	here := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, there.URL+r.URL.Path, http.StatusTemporaryRedirect)
	}))
	defer here.Close()
	s := settingsFor(t, here.URL, "")
	checkCut(t, fetchOK(t, clientFor(s, nil), jobFor(t, s, t.TempDir())), there.data)
}

// TestFolderAsArchive reads a copy on disk through the same checks.
func TestFolderAsArchive(t *testing.T) {
	data := realFile(t)
	root := t.TempDir()
	folder := filepath.Join(root, "a copy", "gfs.20111008", "00", "atmos")
	os.MkdirAll(folder, 0o755)
	name := filepath.Join(folder, "gfs.t00z.pgrb2.2p50.f072")
	if err := errors.Join(os.WriteFile(name, data, 0o644), os.WriteFile(name+".idx", derivedIndex(t, data), 0o644)); err != nil {
		t.Fatal(err)
	}
	s := settingsFor(t, filepath.Join(root, "a copy"), "")
	job := jobFor(t, s, t.TempDir())
	job.Cycle = realCycle
	checkCut(t, fetchOK(t, clientFor(s, nil), job), data)
}

func TestStopsWhenTold(t *testing.T) {
	a := realArchive(t)
	ctx, stop := context.WithCancel(t.Context())
	a.trouble = func(w http.ResponseWriter, r *http.Request, n int) bool {
		if r.Header.Get("Range") != "" {
			stop()
		}
		return false
	}
	s := settingsFor(t, a.URL, "")
	job := jobFor(t, s, t.TempDir())
	if _, err := clientFor(s, nil).Get(ctx, job); !errors.Is(err, context.Canceled) {
		t.Errorf("the error is %v", err)
	}
	if files, _ := forecastsIn(job.Into); len(files) > 0 {
		t.Errorf("the folder holds %v", files)
	}
}

// TestServerWithoutParts: a simple server on this machine sends the whole file
// whatever part is asked for.
func TestServerWithoutParts(t *testing.T) {
	a := realArchive(t)
	a.trouble = func(w http.ResponseWriter, r *http.Request, n int) bool {
		r.Header.Del("Range")
		return false
	}
	for _, level := range []string{":500 mb:", ":300 mb:"} {
		a.index = []byte(strings.ReplaceAll(string(a.index), level, strings.ReplaceAll(level, " mb", " K isentropic")))
	}
	s := settingsFor(t, a.URL, "")
	got := fetchOK(t, clientFor(s, nil), jobFor(t, s, t.TempDir()))
	if fields, faults := grib2.Scan(got); len(fields) != 4*24 || len(faults) > 0 {
		t.Errorf("%d fields, %v", len(fields), faults)
	}
}

func TestOneFetchAtATime(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("this system has no such lock")
	}
	a := realArchive(t)
	s := settingsFor(t, a.URL, "")
	job := jobFor(t, s, t.TempDir())
	folder := filepath.Join(job.Into, partFolder, "real_20111008T00Z")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	unlock, err := lockFolder(folder)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := clientFor(s, nil).Get(t.Context(), job); err == nil || !strings.Contains(err.Error(), "another run") {
		t.Errorf("the error is %v", err)
	}
	unlock()
	fetchOK(t, clientFor(s, nil), job)
}
