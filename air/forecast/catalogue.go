package forecast

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strings"
	"time"

	"pappus/air/atmosphere"
	"pappus/air/grib2"
)

// variable is one of the quantities that make a sky.
type variable uint8

const (
	height variable = iota
	temperature
	windEast
	windNorth
	relative // relative humidity, per cent
	specific // specific humidity, kg/kg
	ground   // height of the model's surface
	nearEast // wind 10 m above the ground; these five stand near it and are of use where they are given
	nearNorth
	gust
	cloud       // share of the sky
	seaPressure // reduced to mean sea level
)

// needed are the variables without which a level is of no use.
var needed = [...]variable{height, temperature, windEast, windNorth}

var variableNames = [...]string{"height (gh)", "temperature (t)", "wind towards east (u)", "wind towards north (v)",
	"relative humidity (r)", "specific humidity (q)", "surface height", "wind towards east at 10 m (10u)", "wind towards north at 10 m (10v)",
	"gust", "cloud cover", "pressure at mean sea level"}

func (v variable) String() string { return variableNames[v] }

// entry is one field that can be part of a sky.
type entry struct {
	key
	field *grib2.Field
	file  *File
	times float64 // factor to the unit of the cube
}

// key tells the fields of a cycle apart.
type key struct {
	variable variable
	member   int   // -1: the file names none
	valid    int64 // s since 1970
	pressure int64 // thousandths of a pascal; 0 for the ground
}

func (e entry) String() string {
	text := e.variable.String()
	if e.pressure > 0 {
		text += " at " + pressureText(e.pressure)
	}
	text += " for " + timeText(time.Unix(e.valid, 0))
	if e.member >= 0 {
		text += " of member " + memberText(e.member)
	}
	return text
}

const (
	keysPerPascal = 1000
	mostPressure  = 200000.0 // Pa; no level lies deeper
)

func pressureText(pressure int64) string {
	return fmt.Sprintf("%.6g hPa", float64(pressure)/keysPerPascal/100)
}

// cycle is one run of one centre.
type cycle struct {
	reference time.Time
	centre    uint16
	sub       uint16
	entries   map[key]entry
	order     []key    // as they stand in the files
	files     []string // in order
	notes     []string

	// What does not depend on the launch is worked out once.
	counts  map[int]census
	grid    *mesh
	gridErr error
}

func (c *cycle) String() string {
	return fmt.Sprintf("the cycle of %s from %s", timeText(c.reference), centreText(c.centre))
}

// classify tells which variable a field is: an instant of one member, on one
// pressure level or at the surface. Parameter numbers are those of [GRIB2] code
// table 4.2, surfaces those of code table 4.5.
func classify(f *grib2.Field) (e entry, ok bool) {
	if e, ok = classifyNear(f); ok {
		return e, true
	}
	const isobaric, surface, noSurface = 100, 1, 255
	const forecastError, analysisError = 6, 7 // code table 4.3
	p := f.Product
	if p.Template > 1 || p.Statistical || p.Process == forecastError || p.Process == analysisError || p.Second.Type != noSurface {
		return e, false
	}
	e = entry{field: f, times: 1}
	e.member, e.valid = p.Member, f.Reference.Unix()+p.ForecastSeconds
	number := [3]uint8{f.Discipline, p.Category, p.Number}
	switch {
	case number == [3]uint8{0, 3, 4}: // geopotential, m²/s²
		e.times = 1 / atmosphere.StandardGravity
		fallthrough
	case number == [3]uint8{0, 3, 5}: // geopotential height
		e.variable = height
	case number == [3]uint8{0, 0, 0}:
		e.variable = temperature
	case number == [3]uint8{0, 2, 2}:
		e.variable = windEast
	case number == [3]uint8{0, 2, 3}:
		e.variable = windNorth
	case number == [3]uint8{0, 1, 1}:
		e.variable = relative
	case number == [3]uint8{0, 1, 0}:
		e.variable = specific
	case number == [3]uint8{2, 0, 7}: // model terrain height
		e.variable = ground
	default:
		return e, false
	}
	switch {
	case p.First.Type == surface && (e.variable == height || e.variable == ground):
		e.variable = ground
		return e, true
	case p.First.Type == isobaric && !p.First.Missing && p.First.Value > 0 && p.First.Value < mostPressure && e.variable != ground:
		e.pressure = int64(p.First.Value*keysPerPascal + 0.5)
		return e, e.pressure > 0
	}
	return e, false
}

// sidecar tells files that lie beside forecasts and say only what is in them.
func sidecar(name string) bool {
	end := strings.ToLower(path.Ext(name))
	return end == ".idx" || end == ".index"
}

// scanFile reads the headers of a file. A file with any fault is not used: what
// is missing from it cannot be known.
func scanFile(f *File) ([]grib2.Field, error) {
	fields, faults := grib2.Scan(f.Data)
	if len(faults) > 0 {
		return fields, &FileError{f.Name, faults[0]}
	}
	if at, cut := brokenTail(f.Data, fields); cut {
		return fields, tailError(f.Name, at)
	}
	return fields, nil
}

func tailError(name string, at int) error {
	return &FileError{name, fmt.Errorf("the file breaks off at octet %d inside the first letters of a message: fetch it again", at)}
}

// brokenTail finds a message that was cut inside its first letters, GRIB.
func brokenTail(data []byte, fields []grib2.Field) (int, bool) {
	if len(fields) == 0 {
		return 0, false
	}
	last := fields[len(fields)-1]
	rest := data[last.Offset+last.Length:]
	for n := 3; n > 0; n-- {
		if bytes.HasSuffix(rest, []byte("GRIB"[:n])) {
			return len(data), true
		}
	}
	return 0, false
}

// collect gathers the fields of all files by cycle, the newest first. Of fields
// that stand in the files twice the first is used.
func collect(files []File) ([]*cycle, error) {
	var cycles []*cycle
	var faults Faults
	for i := range files {
		file := &files[i]
		fields, err := scanFile(file)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		for j := range fields {
			if e, ok := classify(&fields[j]); ok {
				e.file = file
				cycles = add(cycles, e)
			}
		}
	}
	if len(faults) > 0 {
		return nil, faults
	}
	slices.SortStableFunc(cycles, func(a, b *cycle) int { return b.reference.Compare(a.reference) })
	return cycles, nil
}

func add(cycles []*cycle, e entry) []*cycle {
	f := e.field
	i := slices.IndexFunc(cycles, func(c *cycle) bool {
		return c.reference.Equal(f.Reference) && c.centre == f.Centre && c.sub == f.SubCentre
	})
	if i < 0 {
		i = len(cycles)
		cycles = append(cycles, &cycle{reference: f.Reference, centre: f.Centre, sub: f.SubCentre, entries: map[key]entry{}})
	}
	c := cycles[i]
	first, twice := c.entries[e.key]
	if !twice {
		c.entries[e.key] = e
		c.order = append(c.order, e.key)
		if n := len(c.files); n == 0 || c.files[n-1] != e.file.Name { // file after file
			c.files = append(c.files, e.file.Name)
		}
		return cycles
	}
	if !bytes.Equal(message(first), message(e)) {
		note := fmt.Sprintf("fields of %s that %s gives otherwise (the file named first is used)", e.file.Name, first.file.Name)
		if !slices.Contains(c.notes, note) {
			c.notes = append(c.notes, note)
		}
	}
	return cycles
}

func message(e entry) []byte { return e.file.Data[e.field.Offset : e.field.Offset+e.field.Length] }
