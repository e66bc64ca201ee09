package web

import (
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"pappus/air/forecast"
	"pappus/demo"
)

// headers is what a file says of itself without being decoded.
type headers struct {
	cycles  []cycleAnswer
	table   bool
	trouble string
}

type cycleAnswer struct {
	Cycle  time.Time `json:"cycle"`
	Source string    `json:"source"`
	From   time.Time `json:"from"` // of the steps
	To     time.Time `json:"to"`
	Steps  int       `json:"steps"`
}

type weatherAnswer struct {
	Takes     bool             `json:"takes"` // whether files can be dropped in
	Forecasts []forecastAnswer `json:"forecasts"`
}

type forecastAnswer struct {
	ID      string        `json:"id"` // to choose it by
	Name    string        `json:"name"`
	Kind    string        `json:"kind"` // "invented", "given" or "kept"
	Files   int           `json:"files"`
	Bytes   int64         `json:"bytes"`
	Table   bool          `json:"table"` // one profile, which serves any time and place
	Cycles  []cycleAnswer `json:"cycles"`
	Trouble string        `json:"trouble,omitempty"`
}

// listWeather says which forecasts there are and what they cover.
func (s *Server) listWeather(*http.Request) (any, error) { return s.listed() }

func (s *Server) listed() (weatherAnswer, error) {
	f := s.forecasts
	answer := weatherAnswer{Takes: f.Folder != "", Forecasts: []forecastAnswer{}}
	if f.Demo {
		answer.Forecasts = append(answer.Forecasts, f.describe("demo", "The demo's invented forecast", "invented"))
	}
	for i, path := range f.Paths {
		answer.Forecasts = append(answer.Forecasts, f.describe(fmt.Sprintf("given/%d", i), path, "given"))
	}
	if f.Folder == "" {
		return answer, nil
	}
	groups, err := f.groups()
	if err != nil {
		return answer, err
	}
	for _, group := range groups {
		answer.Forecasts = append(answer.Forecasts, f.describe(groupKind+group, group, "kept"))
	}
	entries, err := os.ReadDir(f.kept())
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return answer, err
	}
	for _, e := range entries {
		if _, _, grouped := groupIn(e.Name()); !grouped && !e.IsDir() && keptName(e.Name()) {
			answer.Forecasts = append(answer.Forecasts, f.describe("kept/"+e.Name(), e.Name(), "kept"))
		}
	}
	return answer, nil
}

func (f *forecasts) describe(id, name, kind string) forecastAnswer {
	a := forecastAnswer{ID: id, Name: name, Kind: kind, Cycles: []cycleAnswer{}}
	files, err := f.filesOf(id)
	if err != nil {
		a.Trouble = err.Error()
		return a
	}
	a.Files = len(files)
	if kind == "invented" {
		_, data := demo.Forecast()
		a.Files, a.Bytes = 1, int64(len(data))
	}
	for _, name := range files {
		if info, err := os.Stat(name); err == nil {
			a.Bytes += info.Size()
		}
	}
	h := f.headersOf(id)
	a.Table, a.Trouble, a.Cycles = h.table, h.trouble, append(a.Cycles, h.cycles...)
	return a
}

// headersOf reads the headers of a choice, once for each state of its files.
func (f *forecasts) headersOf(id string) headers {
	c, err := f.choose([]string{id})
	if err != nil {
		return headers{trouble: err.Error()}
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if known, ok := f.headers[c.signature]; ok {
		return known
	}
	files, err := c.read()
	if err != nil {
		return headers{trouble: err.Error()}
	}
	const most = 200 // a folder that changes often must not fill the memory
	if len(f.headers) >= most {
		clear(f.headers)
	}
	h := headersIn(files)
	f.headers[c.signature] = h
	return h
}

func headersIn(files []forecast.File) headers {
	library, err := forecast.Open(files)
	if err != nil {
		return headers{trouble: oneLine(err)}
	}
	h := headers{table: library.Table()}
	if h.table {
		if _, err := library.Load(forecast.Request{}); err != nil { // a table serves any place and time
			return headers{trouble: oneLine(err)}
		}
	}
	for _, run := range library.Runs() {
		if n := len(run.Steps); n > 0 {
			h.cycles = append(h.cycles, cycleAnswer{run.Cycle, run.Source, run.Steps[0], run.Steps[n-1], n})
		}
	}
	return h
}

// oneLine is the first of an error's lines.
func oneLine(err error) string {
	line, _, _ := strings.Cut(err.Error(), "\n")
	return line
}

// keptName tells whether a name is one that a dropped file may be kept under: no
// path, nothing hidden, nothing that a file system takes amiss.
func keptName(name string) bool {
	const longest = 120
	if name == "" || len(name) > longest || strings.HasPrefix(name, ".") || strings.HasSuffix(name, ".") || !weatherName(name) {
		return false
	}
	return strings.IndexFunc(name, func(r rune) bool {
		return r < ' ' || r > '~' || strings.ContainsRune(`/\:*?"<>|`, r)
	}) < 0
}

const (
	largestUpload = 1 << 30
	largestAreas  = 32 << 20
)

// takeWeather keeps a dropped file: whole and readable, or not at all.
func (s *Server) takeWeather(w http.ResponseWriter, r *http.Request) {
	f, name := s.forecasts, r.PathValue("name")
	switch {
	case f.Folder == "":
		s.fail(w, r, badRequest("this app keeps no files: start it on a book with pappus serve"))
	case !keptName(name):
		s.fail(w, r, badRequest("%q is no name of a weather file: the ending must be .grib2, .grb2, .grib, .grb, .gb2 or .csv", name))
	default:
		err := keep(f.kept(), name, http.MaxBytesReader(w, r.Body, largestUpload), func(data []byte) error {
			if h := headersIn([]forecast.File{{Name: name, Data: data}}); h.trouble != "" {
				return badRequest("%s", h.trouble)
			} else if !h.table && len(h.cycles) == 0 {
				return badRequest("%s: there are no levels of wind, height and temperature in it", name)
			}
			return nil
		})
		if err != nil {
			s.fail(w, r, err)
			return
		}
		writeJSON(w, http.StatusCreated, "application/json", f.describe("kept/"+name, name, "kept"))
	}
}

// keep writes a file beside its place, checks what stands on the disk, and moves
// it there. What is broken changes nothing.
func keep(folder, name string, body io.Reader, check func(data []byte) error) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	file, err := os.CreateTemp(folder, ".taking-*")
	if err != nil {
		return err
	}
	defer os.Remove(file.Name())
	_, err = io.Copy(file, body)
	if err == nil {
		err = file.Sync()
	}
	if closing := file.Close(); err == nil {
		err = closing
	}
	if err != nil {
		switch {
		case errors.Is(err, io.ErrUnexpectedEOF):
			return badRequest("%s did not arrive whole: drop it in again", name)
		case errors.Is(err, syscall.ENOSPC):
			return wrong{http.StatusInsufficientStorage, "the disk is full, so " + name + " was not kept: make room and drop it in again"}
		}
		return err
	}
	data, err := os.ReadFile(file.Name())
	if err != nil {
		return err
	}
	if err := check(data); err != nil {
		return err
	}
	return os.Rename(file.Name(), filepath.Join(folder, name))
}

// dropWeather puts a dropped file aside; restoreWeather brings it back.
func (s *Server) dropWeather(r *http.Request) (any, error) {
	return s.moveWeather(r, "", asideWord)
}

func (s *Server) restoreWeather(r *http.Request) (any, error) {
	return s.moveWeather(r, asideWord, "")
}

// asideWord begins the names of files that were removed; they go for good when the
// app starts the next time.
const asideWord = ".removed-"

func (s *Server) moveWeather(r *http.Request, from, to string) (any, error) {
	f, name := s.forecasts, r.PathValue("name")
	names := f.groupFiles(name, from)
	if len(names) == 0 {
		names = []string{name}
	}
	for _, name := range names {
		if f.Folder == "" || !keptName(name) {
			return nil, wrong{http.StatusNotFound, "no file of that name is kept"}
		}
		err := os.Rename(filepath.Join(f.kept(), from+name), filepath.Join(f.kept(), to+name))
		if errors.Is(err, fs.ErrNotExist) {
			return nil, wrong{http.StatusNotFound, "no file of that name is kept"}
		} else if err != nil {
			return nil, err
		}
	}
	return s.listWeather(r)
}

// sweep removes what was put aside or left half-taken before this start.
func (f *forecasts) sweep() {
	if f.Folder == "" {
		return
	}
	for _, pattern := range []string{asideWord + "*", ".taking-*"} {
		names, _ := filepath.Glob(filepath.Join(f.kept(), pattern)) // the pattern is well formed
		for _, name := range names {
			os.Remove(name)
		}
	}
}

// areasPath is where the person's own areas for a flight are kept. A flight's
// name in the book is letters, digits and hyphens, but that is not ours to rely on.
func (f *forecasts) areasPath(id string) string {
	return filepath.Join(f.Folder, "areas", hex.EncodeToString([]byte(id))+".geojson")
}
