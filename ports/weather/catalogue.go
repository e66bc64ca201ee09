package weather

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"pappus/air/grib2"
)

// Cycle is one run of one centre in a folder.
type Cycle struct {
	Source    string // of the files' names; empty where they have other names
	Centre    uint16
	SubCentre uint16
	Reference time.Time
	First     time.Time // valid times
	Last      time.Time
	Steps     []int64 // s, of instants
	Members   []int   // -1 alone: none
	Levels    []float64
	Grids     []string // more than one cannot be used together
	Files     []KeptFile
	Octets    int64
}

// KeptFile is one file of a folder.
type KeptFile struct {
	Path   string
	Name   Name // zero where it is not one of ours
	Ours   bool
	Octets int64
	grids  []grib2.Grid
}

// onWindow tells whether every field of a file stands on a window.
func (f KeptFile) onWindow(w Window) bool {
	return !slices.ContainsFunc(f.grids, func(g grib2.Grid) bool { return !w.holds(g) })
}

var gribEndings = []string{".grib2", ".grb2", ".grib", ".grb", ".gb2"}

// isForecast tells forecast files by their names.
func isForecast(name string) bool {
	name = strings.ToLower(name)
	ending := filepath.Ext(name)
	// Archives name forecast steps by their ending: pgrb2.0p25.f012.
	step := len(ending) > 2 && ending[1] == 'f' && strings.Trim(ending[2:], "0123456789") == "" && strings.Contains(name, "grb2")
	return !strings.HasPrefix(name, ".") && (slices.Contains(gribEndings, ending) || step)
}

// mostFile bounds what is read into memory at once.
const mostFile = 4 << 30

func readWhole(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, diskError(path, err)
	}
	if info.Size() > mostFile {
		return nil, fmt.Errorf("%s: %d octets are more than can be read at once: cut the file to the area and steps that the flight needs", path, info.Size())
	}
	data, err := os.ReadFile(path)
	return data, diskError(path, err)
}

// forecastsIn lists the forecast files of a folder, by name; none where there
// is no folder.
func forecastsIn(folder string) ([]string, error) {
	entries, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	} else if err != nil {
		return nil, diskError(folder, err)
	}
	var paths []string
	for _, e := range entries {
		if !e.IsDir() && isForecast(e.Name()) {
			paths = append(paths, filepath.Join(folder, e.Name()))
		}
	}
	return paths, nil
}

// List reads the headers of a folder's files and tells which cycles they hold,
// the newest first. Files that cannot be read are answered as faults.
func List(folder string) (cycles []Cycle, faults []error, err error) {
	paths, err := forecastsIn(folder)
	if err != nil {
		return nil, nil, err
	}
	for _, path := range paths {
		data, err := readWhole(path)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		fields, broken := grib2.Scan(data)
		if len(broken) > 0 {
			faults = append(faults, fmt.Errorf("%s: %w", path, broken[0]))
			continue
		}
		cycles = addFile(cycles, path, int64(len(data)), fields)
	}
	slices.SortStableFunc(cycles, func(a, b Cycle) int {
		return cmp.Or(b.Reference.Compare(a.Reference), cmp.Compare(a.Source, b.Source), cmp.Compare(a.Centre, b.Centre))
	})
	for i := range cycles {
		c := &cycles[i]
		slices.Sort(c.Steps)
		slices.Sort(c.Members)
		slices.Sort(c.Levels)
		slices.Reverse(c.Levels)
	}
	return cycles, faults, nil
}

// addFile enters the fields of a file under their cycles.
func addFile(cycles []Cycle, path string, octets int64, fields []grib2.Field) []Cycle {
	name, ours := ParseName(filepath.Base(path))
	for i := range fields {
		f := &fields[i]
		at := slices.IndexFunc(cycles, func(c Cycle) bool {
			return c.Reference.Equal(f.Reference) && c.Centre == f.Centre && c.SubCentre == f.SubCentre && c.Source == name.Source
		})
		if at < 0 {
			at = len(cycles)
			cycles = append(cycles, Cycle{Source: name.Source, Centre: f.Centre, SubCentre: f.SubCentre, Reference: f.Reference})
		}
		c := &cycles[at]
		if n := len(c.Files); n == 0 || c.Files[n-1].Path != path {
			c.Files = append(c.Files, KeptFile{Path: path, Name: name, Ours: ours, Octets: octets})
			c.Octets += octets
		}
		c.enter(f)
	}
	return cycles
}

func (c *Cycle) enter(f *grib2.Field) {
	file := &c.Files[len(c.Files)-1]
	if n := len(file.grids); n == 0 || file.grids[n-1] != f.Grid {
		file.grids = append(file.grids, f.Grid)
		if text := gridText(f.Grid); !slices.Contains(c.Grids, text) {
			c.Grids = append(c.Grids, text)
		}
	}
	if !f.Product.Known || f.Product.Statistical {
		return
	}
	if step := f.Product.ForecastSeconds; !slices.Contains(c.Steps, step) {
		c.Steps = append(c.Steps, step)
		valid := f.Reference.Add(time.Duration(step) * time.Second)
		if c.First.IsZero() || valid.Before(c.First) {
			c.First = valid
		}
		if valid.After(c.Last) {
			c.Last = valid
		}
	}
	if !slices.Contains(c.Members, f.Product.Member) {
		c.Members = append(c.Members, f.Product.Member)
	}
	if s := f.Product.First; s.Type == atPressure && !s.Missing && !slices.Contains(c.Levels, s.Value) {
		c.Levels = append(c.Levels, s.Value)
	}
}

// gridText describes a grid in one phrase.
func gridText(g grib2.Grid) string {
	if g.Template != 0 || g.Regular() != nil {
		return fmt.Sprintf("grid template 3.%d, %d points", g.Template, g.Points)
	}
	north, west := g.At(g.Index(0, 0))
	south, east := g.At(g.Index(g.Ni-1, g.Nj-1))
	return fmt.Sprintf("%d x %d points, %.4g to %.4g north, %.5g to %.5g east", g.Ni, g.Nj, south, north, west, east)
}

// Pruned is what pruning took away and what it left.
type Pruned struct {
	Kept      []Cycle
	Removed   []string
	Octets    int64
	LeftAlone []string // of older cycles, but not named by this program
}

// Prune keeps the newest cycles of each source and removes the files of the
// others. Only files that this program named are removed, and what is left of
// unfinished fetches of those cycles.
func Prune(folder string, keep int) (*Pruned, error) {
	cycles, _, err := List(folder)
	if err != nil {
		return nil, err
	}
	p := &Pruned{}
	count := map[string]int{}
	for _, c := range cycles {
		if count[c.Source]++; count[c.Source] <= keep {
			p.Kept = append(p.Kept, c)
		}
	}
	spared := func(path string) bool {
		return slices.ContainsFunc(p.Kept, func(c Cycle) bool {
			return slices.ContainsFunc(c.Files, func(f KeptFile) bool { return f.Path == path })
		})
	}
	for _, c := range cycles {
		for _, f := range c.Files {
			switch {
			case spared(f.Path) || slices.Contains(p.Removed, f.Path):
			case !f.Ours:
				p.LeftAlone = append(p.LeftAlone, f.Path)
			default:
				if err := os.Remove(f.Path); err != nil {
					return p, diskError(f.Path, err)
				}
				p.Removed = append(p.Removed, f.Path)
				p.Octets += f.Octets
			}
		}
		parts := filepath.Join(folder, partFolder, fmt.Sprintf("%s_%s", c.Source, c.Reference.Format("20060102T15Z")))
		if c.Source != "" && !slices.ContainsFunc(p.Kept, func(k Cycle) bool { return k.Source == c.Source && k.Reference.Equal(c.Reference) }) {
			if err := os.RemoveAll(parts); err != nil {
				return p, diskError(parts, err)
			}
		}
	}
	return p, nil
}
