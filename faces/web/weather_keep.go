package web

import (
	"errors"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"pappus/ports/weather"
)

// What is fetched comes as a file for each step and member. One cycle of a
// source is one forecast to the person: it is chosen, removed and brought back
// as one, by its group's name, such as gfs025_20270417T06Z.

// groupKind begins the name by which a group is chosen.
const groupKind = "cycle/"

func groupOf(n weather.Name) string {
	text := n.String()
	end := strings.Index(text, "Z_")
	return text[:end+1]
}

// groupIn is the group that a kept file belongs to, by its name.
func groupIn(name string) (weather.Name, string, bool) {
	n, ours := weather.ParseName(name)
	if !ours {
		return n, "", false
	}
	return n, groupOf(n), true
}

// groupFiles lists the kept files of a group whose names begin with a prefix:
// none for those in use, or the word for those that are put aside.
func (f *forecasts) groupFiles(group, prefix string) []string {
	if f.Folder == "" || group == "" {
		return nil
	}
	entries, err := os.ReadDir(f.kept())
	if err != nil {
		return nil // no folder, no files
	}
	var names []string
	for _, e := range entries {
		name, is := strings.CutPrefix(e.Name(), prefix)
		if !is || e.IsDir() {
			continue
		}
		if _, of, ours := groupIn(name); ours && of == group {
			names = append(names, name)
		}
	}
	return names
}

// groups lists the groups that are kept, by name.
func (f *forecasts) groups() ([]string, error) {
	entries, err := os.ReadDir(f.kept())
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	var list []string
	for _, e := range entries {
		if _, group, ours := groupIn(e.Name()); ours && !e.IsDir() && !slices.Contains(list, group) {
			list = append(list, group)
		}
	}
	return list, nil
}

type pruneRequest struct {
	Keep int `json:"keep"` // how many of the newest cycles of each source stay
}

type prunedAnswer struct {
	Removed   []string       `json:"removed"` // names; restore brings each back
	Bytes     int64          `json:"bytes"`
	LeftAlone []string       `json:"left_alone"` // files of older cycles that were dropped in under names of their own
	Weather   *weatherAnswer `json:"weather"`
}

// pruneWeather puts the fetched cycles aside that are older than the newest few
// of their source. Files that the person dropped in stay.
func (s *Server) pruneWeather(r *http.Request) (any, error) {
	var q pruneRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	if q.Keep < 0 || q.Keep > 1000 {
		return nil, badRequest("keep must be 0 to 1000, not %d", q.Keep)
	}
	f := s.forecasts
	if f.Folder == "" {
		return nil, badRequest("this app keeps no files: start it on a book with pappus serve")
	}
	list, err := s.listed()
	if err != nil {
		return nil, err
	}
	answer := prunedAnswer{Removed: []string{}, LeftAlone: []string{}}
	newest := map[string][]time.Time{}
	for _, x := range list.Forecasts {
		if n, of := groupName(x.ID); of {
			newest[n.Source] = append(newest[n.Source], n.Cycle)
		}
	}
	old := func(n weather.Name) bool {
		times := newest[n.Source]
		slices.SortFunc(times, func(a, b time.Time) int { return b.Compare(a) })
		return slices.Index(times, n.Cycle) >= q.Keep
	}
	for _, x := range list.Forecasts {
		n, of := groupName(x.ID)
		switch {
		case of && old(n):
			if err := f.aside(x.Name); err != nil {
				return nil, err
			}
			answer.Removed = append(answer.Removed, x.Name)
			answer.Bytes += x.Bytes
		case x.Kind == "kept" && !of:
			answer.LeftAlone = append(answer.LeftAlone, x.Name)
		}
	}
	left, err := s.listed()
	answer.Weather = &left
	return answer, err
}

// groupName reads a group's name as that of its files.
func groupName(id string) (weather.Name, bool) {
	group, is := strings.CutPrefix(id, groupKind)
	if !is {
		return weather.Name{}, false
	}
	return weather.ParseName(group + "_f000.grib2")
}

func (f *forecasts) aside(group string) error {
	for _, name := range f.groupFiles(group, "") {
		if err := os.Rename(filepath.Join(f.kept(), name), filepath.Join(f.kept(), asideWord+name)); err != nil {
			return err
		}
	}
	return nil
}
