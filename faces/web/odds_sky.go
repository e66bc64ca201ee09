package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"pappus/air/forecast"
	"pappus/demo"
	"pappus/flight"
	"pappus/measure/geo"
	"pappus/record"
)

// Weather says where the app finds forecasts, and where it keeps what is dropped
// into it.
type Weather struct {
	Paths  []string // files and folders that are read and never changed
	Folder string   // the book's: what is dropped in is kept below it; empty: nothing is taken
	Demo   bool     // offer the invented forecast
}

// forecasts is the weather that can be chosen. A choice is named by the words
// that the person's page sends back: "demo", "given/0" for the first of the
// paths, "kept/NAME" for a dropped file, "cycle/NAME" for a fetched cycle.
type forecasts struct {
	Weather
	workers int

	mu      sync.Mutex
	decoded []decodedSky // the latest used last
	headers map[string]headers
}

type decodedSky struct {
	signature string
	launch    time.Time
	place     geo.Point
	sky       flight.Sky
}

const (
	mostDecoded = 2
	// skyServes is how far from the place it was decoded for a sky serves another
	// launch: it reaches some 1500 km around.
	skyServes = 200e3
	// largestWeather bounds what one choice of files may hold in memory.
	largestWeather = 4 << 30
)

func newForecasts(w Weather, workers int) *forecasts {
	return &forecasts{Weather: w, workers: workers, headers: map[string]headers{}}
}

func (f *forecasts) kept() string { return filepath.Join(f.Folder, "weather") }

// weatherName tells whether a file is weather by its name: the usual endings, and
// the steps of archives, such as pgrb2.0p25.f012.
func weatherName(name string) bool {
	name = strings.ToLower(name)
	ending := filepath.Ext(name)
	step := len(ending) > 2 && ending[1] == 'f' && strings.Trim(ending[2:], "0123456789") == "" && strings.Contains(name, "grb2")
	return step || slices.Contains([]string{".grib2", ".grb2", ".grib", ".grb", ".gb2", ".csv"}, ending)
}

// filesOf lists the files behind the name of a choice.
func (f *forecasts) filesOf(id string) ([]string, error) {
	kind, rest, _ := strings.Cut(id, "/")
	switch {
	case id == "demo" && f.Demo:
		return nil, nil
	case kind == "given":
		for i, path := range f.Paths {
			if fmt.Sprint(i) == rest {
				return filesAt(path)
			}
		}
	case kind == "cycle":
		if names := f.groupFiles(rest, ""); len(names) > 0 {
			for i, name := range names {
				names[i] = filepath.Join(f.kept(), name)
			}
			return names, nil
		}
	case kind == "kept" && f.Folder != "" && keptName(rest):
		path := filepath.Join(f.kept(), rest)
		if _, err := os.Stat(path); err == nil {
			return []string{path}, nil
		}
	}
	return nil, badRequest("the forecast %q is not here any more: choose another", id)
}

func filesAt(path string) ([]string, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, badRequest("%s: there is no such file or folder any more", path)
	} else if err != nil {
		return nil, err
	}
	if !info.IsDir() {
		return []string{path}, nil
	}
	entries, err := os.ReadDir(path)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, e := range entries {
		if !e.IsDir() && weatherName(e.Name()) {
			names = append(names, filepath.Join(path, e.Name()))
		}
	}
	if len(names) == 0 {
		return nil, badRequest("%s: no weather file is in this folder", path)
	}
	return names, nil
}

// choice is the files of one or more names, and a word that changes whenever any
// of them does.
type choice struct {
	files     []string
	demo      bool
	signature string
}

func (f *forecasts) choose(ids []string) (choice, error) {
	if len(ids) == 0 {
		return choice{}, badRequest("no forecast is chosen: drop a file in, or choose one")
	}
	const most = 1000
	if len(ids) > most {
		return choice{}, badRequest("%d forecasts are chosen: at most %d are read", len(ids), most)
	}
	c, sum, size := choice{}, sha256.New(), int64(0)
	for _, id := range ids {
		files, err := f.filesOf(id)
		if err != nil {
			return choice{}, err
		}
		c.demo = c.demo || id == "demo"
		for _, name := range files {
			info, err := os.Stat(name)
			if err != nil {
				return choice{}, badRequest("%s cannot be read: %v", filepath.Base(name), err)
			}
			size += info.Size()
			fmt.Fprintln(sum, name, info.Size(), info.ModTime().UnixNano())
			if !slices.Contains(c.files, name) {
				c.files = append(c.files, name)
			}
		}
	}
	if size > largestWeather {
		return choice{}, badRequest("the chosen files hold %d MB, more than can be read at once: choose fewer, or cut them to the area and steps of the flight", size>>20)
	}
	fmt.Fprintln(sum, c.demo)
	c.signature = hex.EncodeToString(sum.Sum(nil)[:12])
	return c, nil
}

func (c choice) read() ([]forecast.File, error) {
	var files []forecast.File
	if c.demo {
		name, data := demo.Forecast()
		files = append(files, forecast.File{Name: name, Data: data})
	}
	for _, name := range c.files {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		files = append(files, forecast.File{Name: filepath.Base(name), Data: data})
	}
	return files, nil
}

// sky decodes what a flight needs of a choice, or finds it decoded: many answers
// about launches near each other stand under one sky.
func (f *forecasts) sky(c choice, r *record.Flight) (flight.Sky, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for i, d := range f.decoded {
		if d.signature != c.signature || !d.launch.Equal(r.Launch.Time) || !d.sky.Covers(r.Launch.Point) {
			continue
		}
		if away, _, _ := geo.Inverse(d.place, r.Launch.Point); away <= skyServes {
			f.decoded = append(slices.Delete(f.decoded, i, i+1), d)
			return d.sky, nil
		}
	}
	files, err := c.read()
	if err != nil {
		return flight.Sky{}, err
	}
	sky, err := flight.Sky{Files: files, Workers: f.workers}.Decoded(r)
	if err != nil {
		return flight.Sky{}, unprocessable(err)
	}
	if len(f.decoded) == mostDecoded {
		f.decoded = slices.Delete(f.decoded, 0, 1)
	}
	f.decoded = append(f.decoded, decodedSky{c.signature, r.Launch.Time, r.Launch.Point, sky})
	return sky, nil
}
