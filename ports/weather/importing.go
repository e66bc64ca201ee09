package weather

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"pappus/air/grib2"
	"pappus/measure/geo"
	"pappus/measure/unit"
)

// ImportJob is what is taken into a folder.
type ImportJob struct {
	Paths   []string // files, or folders of them
	Into    string
	Cut     bool // to what lies around the place
	Place   geo.Point
	RadiusM float64
}

// Imported is what an import has done.
type Imported struct {
	Files   []ReportFile
	Fields  int // taken in
	Passed  int // of no use to a flight, or there already
	Sources []string
}

// alsoUsable are fields that other centres give instead of those that an index
// of ours names: geopotential, specific humidity, surface pressure and terrain
// height, [GRIB2] code table 4.2.
var alsoUsable = [][3]uint8{{0, 3, 4}, {0, 1, 0}, {0, 3, 0}, {2, 0, 7}}

// identity tells one field of a cycle from another.
type identity struct {
	number  [3]uint8
	kind    uint8
	level   int64 // thousandths
	step    int64
	member  int
	centre  uint16
	sub     uint16
	seconds int64 // the reference time
}

// identify tells which field of a sky this is; others are of no use to a flight.
func identify(f *grib2.Field) (identity, bool) {
	p := f.Product
	number := [3]uint8{f.Discipline, p.Category, p.Number}
	known := slices.Contains(alsoUsable, number)
	for _, n := range parameters {
		known = known || n == number
	}
	kinds := []uint8{atSurface, wholeAir, wholeAirLocal, atPressure, atSeaLevel, aboveGround}
	if !known || !p.Known || p.Statistical || p.Template > 1 || p.Second.Type != noSurface || !slices.Contains(kinds, p.First.Type) || p.ForecastSeconds < 0 {
		return identity{}, false
	}
	id := identity{number: number, kind: p.First.Type, step: p.ForecastSeconds, member: p.Member,
		centre: f.Centre, sub: f.SubCentre, seconds: f.Reference.Unix()}
	if !p.First.Missing && math.Abs(p.First.Value) < 1e12 {
		id.level = int64(math.Round(p.First.Value * 1000))
	}
	return id, true
}

// importer is one import at work.
type importer struct {
	job     ImportJob
	folder  string // where files are made
	seen    map[identity][sha256.Size]byte
	order   []string // names of the files that are made, in order
	fresh   map[string]int
	grids   map[string]grib2.Grid // of each cycle
	result  Imported
	waiting map[string][]byte
}

// Import takes GRIB2 files into a folder: the fields that a flight can use,
// each step and member in a file of its own, cut to the area if that is wanted.
// A file with any fault stops the import, and then nothing is changed.
func Import(job ImportJob) (*Imported, error) {
	var paths []string
	for _, path := range job.Paths {
		info, err := os.Stat(path)
		if errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("%s: there is no such file or folder", path)
		} else if err != nil {
			return nil, diskError(path, err)
		}
		if !info.IsDir() {
			paths = append(paths, path)
			continue
		}
		inside, err := forecastsIn(path)
		if err != nil {
			return nil, err
		}
		if len(inside) == 0 {
			return nil, fmt.Errorf("%s: no GRIB2 file is in this folder", path)
		}
		paths = append(paths, inside...)
	}
	folder := filepath.Join(job.Into, partFolder, "import")
	if err := os.RemoveAll(folder); err != nil {
		return nil, diskError(folder, err)
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return nil, diskError(folder, err)
	}
	defer func() {
		os.RemoveAll(folder)            // empty after a good end
		os.Remove(filepath.Dir(folder)) // stays while a fetch has parts there
	}()
	im := &importer{job: job, folder: folder, seen: map[identity][sha256.Size]byte{}, fresh: map[string]int{}, grids: map[string]grib2.Grid{}}
	for _, path := range paths {
		if err := im.file(path); err != nil {
			return nil, err
		}
	}
	if im.result.Fields == 0 && im.result.Passed > 0 && len(im.order) == 0 {
		return nil, fmt.Errorf("%s: no field in it is of use to a flight: height, temperature and wind on pressure levels are needed", paths[0])
	}
	if err := im.clash(); err != nil {
		return nil, err
	}
	return im.finish()
}

// file takes one file in.
func (im *importer) file(path string) error {
	data, err := readWhole(path)
	if err != nil {
		return err
	}
	fields, faults := grib2.Scan(data)
	if len(faults) > 0 {
		return fmt.Errorf("%s: %w (nothing was imported; leave this file out to import the others)", path, faults[0])
	}
	im.waiting = map[string][]byte{}
	taken := map[string]int{} // by file, the message that was last taken whole
	for i := range fields {
		f := &fields[i]
		id, ok := identify(f)
		if !ok {
			im.result.Passed++
			continue
		}
		name, err := im.nameOf(f, id)
		if err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		octets, grid, err := im.octets(data, f)
		if err != nil {
			return fmt.Errorf("%s: message %d, %s at %s: %w", path, f.Message, f.Parameter(), f.Level(), err)
		}
		if err := im.sameGrid(name, grid); err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		digest := sha256.Sum256(octets)
		if before, twice := im.seen[id]; twice {
			if before != digest {
				return fmt.Errorf("%s: %s at %s is there already and differs: one of the files is of another run; import into another folder", path, f.Parameter(), f.Level())
			}
			im.result.Passed++
			continue
		}
		im.seen[id] = digest
		im.result.Fields++
		text := name.String()
		im.fresh[text]++
		if im.job.Cut || taken[text] != f.Message { // a message of several fields is kept as one
			im.waiting[text] = append(im.waiting[text], octets...)
		}
		taken[text] = f.Message
	}
	return im.flush()
}

// octets gives the message to keep, and checks that its values can be decoded.
func (im *importer) octets(data []byte, f *grib2.Field) ([]byte, grib2.Grid, error) {
	if !im.job.Cut {
		_, err := f.Decode(nil)
		return data[f.Offset : f.Offset+f.Length], f.Grid, err
	}
	part, err := partAround(f.Grid, im.job.Place, im.job.RadiusM)
	if err != nil {
		return nil, f.Grid, err
	}
	if part.Cols == f.Grid.Ni && part.Rows == f.Grid.Nj && f.Sub == 1 && f.Grid.ScanMode == 0 {
		_, err := f.Decode(nil) // cut before: the same octets again
		if single(data, f) {
			return data[f.Offset : f.Offset+f.Length], f.Grid, err
		}
	}
	message, err := grib2.Crop(data, f, part)
	if err != nil {
		return nil, f.Grid, err
	}
	fields, faults := grib2.Scan(message)
	if len(faults) > 0 {
		return nil, f.Grid, faults[0]
	}
	return message, fields[0].Grid, nil
}

// single tells whether a message holds one field only.
func single(data []byte, f *grib2.Field) bool {
	fields, _ := grib2.Scan(data[f.Offset : f.Offset+f.Length])
	return len(fields) == 1
}

// nameOf answers the file that a field belongs into. The first time, what is in
// the folder under that name already is taken over.
func (im *importer) nameOf(f *grib2.Field, id identity) (Name, error) {
	name := Name{importSource(f), f.Reference, id.member, id.step}
	text := name.String()
	if slices.Contains(im.order, text) {
		return name, nil
	}
	im.order = append(im.order, text)
	im.fresh[text] = 0
	kept, err := os.ReadFile(filepath.Join(im.job.Into, text))
	if errors.Is(err, fs.ErrNotExist) {
		return name, nil
	} else if err != nil {
		return name, diskError(text, err)
	}
	fields, faults := grib2.Scan(kept)
	if len(faults) > 0 {
		return name, fmt.Errorf("%s, which is in the folder already, is damaged: remove it and import again", text)
	}
	for i := range fields {
		old := &fields[i]
		if oldID, ok := identify(old); ok {
			im.seen[oldID] = sha256.Sum256(kept[old.Offset : old.Offset+old.Length])
			if err := im.sameGrid(name, old.Grid); err != nil {
				return name, err
			}
		}
	}
	return name, writeWhole(filepath.Join(im.folder, text), kept)
}

// sameGrid holds the grids of a cycle together.
func (im *importer) sameGrid(n Name, g grib2.Grid) error {
	key := n.Source + n.Cycle.String()
	first, there := im.grids[key]
	if !there {
		im.grids[key] = g
		return nil
	}
	if gridText(first) != gridText(g) {
		return &OtherGridError{fmt.Sprintf("the cycle of %s stands on %s and on %s, and one folder can hold a cycle on one grid only: import them into different folders", timeText(n.Cycle), gridText(first), gridText(g))}
	}
	return nil
}

// flush writes what one file gave.
func (im *importer) flush() error {
	for _, name := range slices.Sorted(maps.Keys(im.waiting)) {
		path := filepath.Join(im.folder, name)
		file, err := os.OpenFile(path, os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o644)
		if err != nil {
			return diskError(path, err)
		}
		_, err = file.Write(im.waiting[name])
		if err := errors.Join(err, file.Sync(), file.Close()); err != nil {
			return diskError(path, err)
		}
	}
	return nil
}

// clash looks for files of the same cycles in the folder that stand on another grid.
func (im *importer) clash() error {
	cycles, _, err := List(im.job.Into)
	if err != nil {
		return err
	}
	for _, text := range im.order {
		name, _ := ParseName(text)
		grid, there := im.grids[name.Source+name.Cycle.String()]
		for _, c := range cycles {
			if !there || !c.Reference.Equal(name.Cycle) || slices.Equal(c.Grids, []string{gridText(grid)}) && c.Source == name.Source {
				continue
			}
			return &OtherGridError{fmt.Sprintf("%s holds the cycle of %s on another grid, area or from another source, and one folder can hold a cycle only once: import into another folder", im.job.Into, timeText(c.Reference))}
		}
	}
	return nil
}

func (im *importer) finish() (*Imported, error) {
	var changed []string
	for _, name := range im.order {
		if im.fresh[name] > 0 {
			changed = append(changed, name)
		}
	}
	if err := commit(im.folder, im.job.Into, changed); err != nil {
		return nil, err
	}
	for _, name := range im.order {
		path := filepath.Join(im.job.Into, name)
		info, err := os.Stat(path)
		if err != nil {
			return nil, diskError(path, err)
		}
		im.result.Files = append(im.result.Files, ReportFile{path, info.Size(), im.fresh[name] == 0})
		if n, _ := ParseName(name); !slices.Contains(im.result.Sources, n.Source) {
			im.result.Sources = append(im.result.Sources, n.Source)
		}
	}
	return &im.result, nil
}

// importSource names a forecast by its centre ([GRIB2] common code table C-11)
// and its grid.
func importSource(f *grib2.Field) string {
	centre := map[uint16]string{7: "ncep", 34: "jma", 38: "cma", 54: "cmc", 74: "ukmo", 78: "dwd", 84: "meteofrance", 85: "meteofrance", 98: "ecmwf"}[f.Centre]
	if centre == "" {
		centre = fmt.Sprintf("centre%d", f.Centre)
	}
	if f.Grid.Template != 0 || math.IsNaN(f.Grid.Dj) {
		return fmt.Sprintf("%s-grid%d", centre, f.Grid.Template)
	}
	return centre + "-" + strconv.FormatFloat(math.Round(f.Grid.Dj*1000)/1000, 'f', -1, 64)
}

// partAround is what of a grid lies within a distance of a place, and one cell
// more; the place must lie inside.
func partAround(g grib2.Grid, at geo.Point, radius float64) (grib2.Part, error) {
	none := grib2.Part{}
	if g.Template != 0 || g.Regular() != nil || g.Ni < 2 || g.Nj < 2 {
		return none, fmt.Errorf("only a regular latitude-longitude grid can be cut: import it whole")
	}
	north, west := g.At(g.Index(0, 0))
	south, east := g.At(g.Index(g.Ni-1, g.Nj-1))
	turn := math.Mod(east-west, 360)
	if turn <= 0 {
		turn += 360
	}
	dLat, dLon := (north-south)/float64(g.Nj-1), turn/float64(g.Ni-1)
	around := math.Abs((360-turn)/dLon-1) < 0.01
	away := at.LonDeg - west
	away -= 360 * math.Floor(away/360)
	if at.LatDeg > north || at.LatDeg < south || away > turn && !around {
		return none, fmt.Errorf("the grid covers %s, and not the place", gridText(g))
	}
	reach := radius/metresPerDegree + dLat
	top := max(int(math.Floor((north-at.LatDeg-reach)/dLat)), 0)
	bottom := min(int(math.Ceil((north-at.LatDeg+reach)/dLat)), g.Nj-1)
	p := grib2.Part{Row: top, Rows: bottom - top + 1, Cols: g.Ni}
	half := 360.0
	if math.Abs(at.LatDeg)+reach < 89.9 {
		half = math.Asin(math.Sin(reach*unit.Degree)/math.Cos(at.LatDeg*unit.Degree))/unit.Degree + dLon
	}
	low, high := int(math.Floor((away-half)/dLon)), int(math.Ceil((away+half)/dLon))
	switch {
	case high-low+1 >= g.Ni:
	case around:
		p.Col, p.Cols = (low+g.Ni)%g.Ni, high-low+1
	default:
		low, high = max(low, 0), min(high, g.Ni-1)
		p.Col, p.Cols = low, high-low+1
	}
	return p, nil
}
