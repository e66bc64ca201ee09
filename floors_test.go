// The floors of the house: which package may import which, and why.
package pappus

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// floor is one row of the house: a wing, its rooms in order, and how high it stands.
// A room may import strictly lower floors, and the rooms before it in its own row.
type floor struct {
	height int
	wing   string
	rooms  []string // nil: the wing is itself the package
	reason string
}

var house = []floor{
	{9, "cmd/pappus", nil, "main only builds the adapters and starts the command line"},
	{8, "faces", []string{"cli", "web"}, "faces parse, call one use case and print"},
	{7, "ports", []string{"sqlite", "weather", "receiver", "export", "osm"}, "ports touch disk, network and foreign formats"},
	{7, "demo", nil, "the invented flight and sky stand with the ports, for they replace them"},
	{6, "flight", []string{"jobs", "watch", ""}, "use cases as people speak of them; no arithmetic on quantities"},
	{5, "desk", []string{"sizing", "box", "ready", "money", "rules", "hours", "papers", "chase", "search", "review", "rehearse"}, "a room per task of the person"},
	{4, "odds", []string{"landing", "ensemble", "track"}, "many flights, and what they say together"},
	{3, "motion", []string{"ascent", "descent", "trajectory"}, "one flight through the air"},
	{2, "record", nil, "the flight file knows the parts, not what they do in the air"},
	{1, "air", []string{"atmosphere", "grib2", "sounding", "forecast"}, "what the air is"},
	{1, "craft", []string{"liftgas", "envelope", "canopy", "inflation", "train"}, "what flies"},
	{1, "ground", []string{"terrain", "landcover", "roads", "sun", "magnetic"}, "what lies below and shines above"},
	{1, "signal", []string{"fix", "notation", "ax25", "kiss", "nmea", "gpsd", "aprs", "gpx", "kml", "logfile", "message"}, "what is heard; notation reads angles and times as written, aprs may carry an nmea sentence, and a message any of them, pasted"},
	{0, "measure", []string{"unit", "geo", "logtable"}, "numbers and places, nothing else; logtable is the quick exponential of the steps"},
	{0, ".", nil, "the root holds only tests about the whole"},
}

// outside stands beside the table: tools, benches and tests may import anything.
var outside = []string{"tools", "bench"}

type ban struct {
	path    string // what is imported (a prefix ending in / bans all below)
	allowed func(pkg string) bool
	reason  string
}

func under(prefixes ...string) func(string) bool {
	return func(pkg string) bool {
		return slices.ContainsFunc(prefixes, func(p string) bool { return pkg == p || strings.HasPrefix(pkg, p+"/") })
	}
}

func fromFloor(height int) func(string) bool {
	return func(pkg string) bool {
		h, _, _, ok := place(pkg)
		return !ok || h >= height
	}
}

var bans = []ban{
	{"database/sql", under("ports/sqlite", "tools", "bench"), "the book is kept behind ports/sqlite"},
	{"net/http", under("ports", "faces/web", "tools", "bench"), "the network is spoken only by ports and the web face"},
	{"pappus/air/grib2", under("air/forecast", "ports/weather", "demo", "air/grib2", "tools", "bench"), "grib2 knows octets, not weather: go through forecast"},
	{"os", fromFloor(7), "below the ports nothing opens files: take an io.Reader or bytes"},
	{"log", fromFloor(7), "below the ports nothing logs: return an error"},
	{"log/slog", fromFloor(7), "below the ports nothing logs: return an error"},
}

var bannedNames = []string{"util", "utils", "common", "helpers", "helper", "types", "misc", "manager"}

// place finds the floor, wing and room number of a package path inside the module.
func place(pkg string) (height int, wing string, room int, ok bool) {
	for _, f := range house {
		if pkg == f.wing {
			return f.height, f.wing, slices.Index(f.rooms, ""), f.rooms == nil || slices.Contains(f.rooms, "")
		}
		if rest, in := strings.CutPrefix(pkg, f.wing+"/"); in {
			name, _, _ := strings.Cut(rest, "/")
			if f.rooms == nil {
				return f.height, f.wing, 0, true
			}
			if i := slices.Index(f.rooms, name); i >= 0 {
				return f.height, f.wing, i, true
			}
			return f.height, f.wing, -1, false
		}
	}
	return 0, "", -1, false
}

type source struct {
	pkg, file string
	imports   []string
	doc       bool
	clock     bool
}

func sources(t *testing.T) []source {
	t.Helper()
	var all []source
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && path != "." || d.Name() == "node_modules" || d.Name() == "testdata" || d.Name() == "vendor") {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, text, parser.ImportsOnly|parser.ParseComments)
		if err != nil {
			return err
		}
		s := source{pkg: filepath.ToSlash(filepath.Dir(path)), file: path, doc: f.Doc != nil, clock: strings.Contains(string(text), "time.Now(")}
		for _, i := range f.Imports {
			p, _ := strconv.Unquote(i.Path.Value)
			s.imports = append(s.imports, p)
		}
		all = append(all, s)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestFloors(t *testing.T) {
	for _, s := range sources(t) {
		beside := under(outside...)(s.pkg)
		height, wing, room, ok := place(s.pkg)
		if !beside && !ok {
			t.Errorf("%s: package %s has no room in the house: add it to the table with a reason, or merge it", s.file, s.pkg)
			continue
		}
		for _, part := range strings.Split(s.pkg, "/") {
			if slices.Contains(bannedNames, part) {
				t.Errorf("%s: a package named %q says nothing: name it by the trade", s.file, part)
			}
		}
		if s.clock && !beside && height < 7 {
			t.Errorf("%s: reads the clock below floor 7: take the time as an argument", s.file)
		}
		for _, imp := range s.imports {
			for _, b := range bans {
				if (imp == b.path || strings.HasSuffix(b.path, "/") && strings.HasPrefix(imp, b.path)) && !b.allowed(s.pkg) {
					t.Errorf("%s imports %s: %s", s.file, imp, b.reason)
				}
			}
			target, ours := strings.CutPrefix(imp, "pappus/")
			if !ours || beside || target == s.pkg {
				continue
			}
			h, w, r, known := place(target)
			switch {
			case !known:
				t.Errorf("%s imports %s, which has no room in the house", s.file, imp)
			case strings.HasPrefix(target, s.pkg+"/") || strings.HasPrefix(s.pkg, target+"/"):
			case w == wing && r < room:
			case w == wing && r == room:
			case h < height:
			default:
				t.Errorf("%s (floor %d) imports %s (floor %d): a package imports only from strictly lower floors, or rooms before it in its own wing", s.file, height, imp, h)
			}
		}
	}
}

func TestPackageDocs(t *testing.T) {
	documented := map[string]bool{}
	for _, s := range sources(t) {
		documented[s.pkg] = documented[s.pkg] || s.doc
	}
	for pkg, ok := range documented {
		if !ok {
			t.Errorf("package %s has no doc comment: say in a sentence what it is for", pkg)
		}
	}
}
