package forecast

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"
	"time"

	"pappus/measure/geo"
)

// File is one weather file in memory.
type File struct {
	Name string
	Data []byte
}

// Request says which part of the files a flight needs.
type Request struct {
	Place    geo.Point
	Launch   time.Time     // zero: the first step of the newest cycle
	Duration time.Duration // from the launch to the last landing; zero: 8 hours
	RadiusM  float64       // how far from the place the flight may go; zero: 1500 km, less where memory asks for it
	Also     []geo.Point   // further launch places: the area is widened until it reaches as far around each
	// Lagged takes the older cycles of the same centre as further members, if
	// they are at most this much older than the one that serves; zero: none.
	Lagged  time.Duration
	Workers int // how many fields are decoded at a time; zero: 2
}

// UsualDuration is the longest that flights last, floaters aside.
const UsualDuration = 8 * time.Hour

func (r Request) withDefaults() Request {
	r.Duration = cmp.Or(r.Duration, UsualDuration)
	r.Workers = cmp.Or(max(r.Workers, 0), 2)
	return r
}

// Load makes one cube from GRIB2 files (any number, steps and members mixed) or
// from one profile table (.csv). Files without any fault are wanted; what is
// wrong with them is answered as Faults, one line each.
//
// The newest cycle that covers the launch is used, else the one with a single
// step that is nearest to it. Only the fields and the area that the request
// needs are decoded. The answer does not depend on the number of workers.
func Load(files []File, want Request) (*Cube, error) {
	library, err := Open(files)
	if err != nil {
		return nil, err
	}
	return library.Load(want)
}

// Library is the cycles that files hold: their headers read, nothing decoded.
// It is for one goroutine at a time.
type Library struct {
	table  *File // a profile table alone
	gribs  []File
	cycles []*cycle // the newest first
}

// Open reads the headers of weather files, as Load does.
func Open(files []File) (*Library, error) {
	var tables, gribs []File
	for _, f := range files {
		switch {
		case isTable(f):
			tables = append(tables, f)
		case !sidecar(f.Name):
			gribs = append(gribs, f)
		}
	}
	switch {
	case len(tables)+len(gribs) == 0:
		return nil, &ChoiceError{"no weather file was given: give GRIB2 files or one profile table (.csv)"}
	case len(tables) > 0 && len(gribs) > 0:
		return nil, &ChoiceError{fmt.Sprintf("%s is a profile table and %s is not: give forecast files or one table, not both", tables[0].Name, gribs[0].Name)}
	case len(tables) > 1:
		return nil, &ChoiceError{fmt.Sprintf("%s and %s are both profile tables: give one", tables[0].Name, tables[1].Name)}
	case len(tables) == 1:
		return &Library{table: &tables[0]}, nil
	}
	cycles, err := collect(gribs)
	return &Library{gribs: gribs, cycles: cycles}, err
}

// Load makes the cube of a request, as the function of the same name.
func (l *Library) Load(want Request) (*Cube, error) {
	want = want.withDefaults()
	if l.table != nil {
		return loadTable(*l.table, want)
	}
	p, err := choose(l.cycles, want)
	if err != nil {
		return nil, err
	}
	if p.cycle == nil {
		return nil, l.nothing()
	}
	if want.Lagged > 0 {
		if p, err = l.lag(p, want); err != nil {
			return nil, err
		}
	}
	for _, f := range l.gribs {
		if !slices.ContainsFunc(l.cycles, func(c *cycle) bool { return slices.Contains(c.files, f.Name) }) {
			p.unused = append(p.unused, f.Name+", which gives no height, temperature or wind on pressure levels that another file does not give")
		}
	}
	return p.load(want)
}

func (l *Library) nothing() error {
	var names []string
	for _, f := range l.gribs {
		names = append(names, f.Name)
	}
	return &MissingError{Files: names, Lacks: nameAll(), Text: "the fields hold no height, temperature or wind on pressure levels: fetch gh, t, u and v on pressure levels"}
}

// isTable tells a table from a forecast by its name, unless the content says otherwise.
func isTable(f File) bool {
	return strings.EqualFold(path.Ext(f.Name), ".csv") && !bytes.HasPrefix(f.Data, []byte("GRIB"))
}

// choose picks the cycle: the newest that covers the launch with its steps; else
// the nearest single step within reach. A plan without a cycle means that there is none.
func choose(cycles []*cycle, want Request) (plan, error) {
	var best plan
	var failures []error
	reasons := map[*cycle]error{}
	for _, c := range cycles {
		p, err := planCycle(c, want)
		switch {
		case err != nil:
			failures = append(failures, err)
			reasons[c] = err
		case best.cycle == nil || p.better(best, want.Launch):
			best = p
		}
	}
	if best.cycle == nil {
		return best, fail(failures)
	}
	for _, c := range cycles {
		if c == best.cycle {
			continue
		}
		note := c.String()
		if reason := reasons[c]; reason != nil {
			note += ", which does not serve: " + reason.Error()
		}
		best.unused = append(best.unused, note)
	}
	return best, nil
}

// better tells whether a plan of a cycle that is not newer serves better.
func (p plan) better(than plan, launch time.Time) bool {
	if launch.IsZero() {
		return false
	}
	frozen, thanFrozen := p.frozen(), than.frozen()
	if !frozen || !thanFrozen {
		return thanFrozen && !frozen
	}
	away := func(q plan) time.Duration { return launch.Sub(time.Unix(q.steps[0], 0)).Abs() }
	return away(p) < away(than)
}

func (p plan) frozen() bool { return len(p.steps) == 1 }

// fail makes one error of why no cycle serves: what is wrong with the newest,
// unless only the launch lies outside; then what all of them cover.
func fail(failures []error) error {
	var all *CoverageError
	for _, err := range failures {
		var c *CoverageError
		if !errors.As(err, &c) {
			continue
		}
		if all == nil {
			all = c
			continue
		}
		if c.Time && !all.Time { // an area that holds the place tells more
			all = c
			continue
		}
		if c.Time == all.Time {
			all.Spans = append(all.Spans, c.Spans...)
			all.Areas = append(all.Areas, c.Areas...)
		}
	}
	if all != nil {
		all.Spans, all.Areas = mergeSpans(all.Spans), mergeAreas(all.Areas)
		return all
	}
	if len(failures) == 0 {
		return nil
	}
	return failures[0]
}

func mergeSpans(spans []Span) []Span {
	slices.SortFunc(spans, func(a, b Span) int { return cmp.Or(a.From.Compare(b.From), a.To.Compare(b.To)) })
	var merged []Span
	for _, s := range spans {
		last := len(merged) - 1
		// Single steps stay apart: the time between two of them is not covered.
		if last >= 0 && !s.From.After(merged[last].To) {
			if s.To.After(merged[last].To) {
				merged[last].To = s.To
			}
			continue
		}
		merged = append(merged, s)
	}
	return merged
}

func mergeAreas(areas []Area) []Area {
	var merged []Area
	for _, a := range areas {
		if !slices.Contains(merged, a) {
			merged = append(merged, a)
		}
	}
	return merged
}

func nameAll() []string {
	var names []string
	for _, v := range needed {
		names = append(names, v.String())
	}
	return names
}

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

func joinTimes(times []int64) string {
	var texts []string
	for _, t := range times {
		texts = append(texts, timeText(time.Unix(t, 0)))
	}
	return strings.Join(texts, ", ")
}
