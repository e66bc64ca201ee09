package sounding

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"pappus/measure/unit"
)

// What a table may be at most: a flight of four hours at one row a second, and
// room for columns that are not ours.
const (
	mostRows   = 20000
	mostOctets = 16 << 20
)

// Least distance of two rows: closer ones cannot be told apart in the cube,
// which keeps heights to some millimetres.
const (
	leastRise  = 0.05 // m
	leastRatio = 1e-5 // of pressure, about 0.07 m
)

// Read reads a profile table: comma-separated text with a header that names
// columns and units. At least one of alt_m, height_m and pressure_hpa places
// the rows (the first of these that is there), wind_from_deg and
// wind_speed_mps or wind_speed_kt are needed, temperature_c may be left out.
// Other columns are passed over. An error is Faults: all that is wrong at once.
func Read(name string, data []byte) (Profile, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if fault := unreadable(data); fault != "" {
		return Profile{}, Faults{{File: name, Text: fault}}
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord, r.TrimLeadingSpace, r.ReuseRecord = -1, true, true
	header, err := r.Read()
	if err != nil {
		return Profile{}, Faults{broken(name, err)}
	}
	header = slices.Clone(header)
	if fault := divided(header); fault != "" {
		return Profile{}, Faults{{File: name, Row: 1, Text: fault}}
	}
	place, faults := layout(name, header)
	if len(faults) > 0 {
		return Profile{}, faults
	}
	t := table{file: name, header: header, place: place}
	t.read(r)
	if len(t.faults) == 0 {
		t.order()
	}
	if len(t.faults) > 0 {
		return Profile{}, t.faults
	}
	return Profile{Name: name, Vertical: t.vertical(), HasTemp: place[temperature] >= 0, rows: t.rows}, nil
}

// unreadable says why octets are no table at all, or nothing.
func unreadable(data []byte) string {
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		return "the file is empty: expected a table with a header such as alt_m,temperature_c,wind_from_deg,wind_speed_mps"
	case len(data) > mostOctets:
		return fmt.Sprintf("the table has over %d million octets: expected one profile", mostOctets>>20)
	case bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")):
		return "the text is UTF-16: save the table again as UTF-8 (plain CSV)"
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		return "this is no plain text: save the table as comma-separated text in UTF-8"
	}
	return ""
}

// divided says that a header is divided by something else than commas.
func divided(header []string) string {
	if len(header) > 1 {
		return ""
	}
	for _, d := range []struct{ mark, name string }{{";", "semicolons"}, {"\t", "tabs"}} {
		if strings.Contains(header[0], d.mark) {
			return fmt.Sprintf("the columns are divided by %s: save the table with commas between columns and points in numbers (12.5)", d.name)
		}
	}
	return ""
}

func broken(name string, err error) Fault {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return Fault{File: name, Row: parse.StartLine, Text: fmt.Sprintf("%v: mend the quotation marks of this row", parse.Err)}
	}
	return Fault{File: name, Text: fmt.Sprintf("the table cannot be read: %v", err)}
}

// table is a profile while it is read.
type table struct {
	file   string
	header []string
	place  [quantities]int
	rows   []row
	faults Faults
}

func (t *table) vertical() Vertical {
	switch {
	case t.place[geometric] >= 0:
		return ByGeometric
	case t.place[geopotential] >= 0:
		return ByGeopotential
	}
	return ByPressure
}

func (t *table) fault(line int, column, format string, args ...any) {
	t.faults = append(t.faults, Fault{t.file, line, column, fmt.Sprintf(format, args...)})
}

func (t *table) read(r *csv.Reader) {
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.faults = append(t.faults, broken(t.file, err))
			return
		}
		line, _ := r.FieldPos(0)
		if !slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) != "" }) {
			continue
		}
		if len(t.rows) == mostRows {
			t.fault(line, "", "the table has over %d rows: thin it out", mostRows)
			return
		}
		t.rows = append(t.rows, t.row(line, cells))
	}
}

// row reads one line. A row that has a fault is kept for the count.
func (t *table) row(line int, cells []string) row {
	out := row{line: line, height: math.NaN(), pressure: math.NaN(), temperature: math.NaN()}
	if len(cells) > len(t.header) {
		t.fault(line, "", "the row has %d cells, the header %d: write numbers with a point (12.5), and no comma at the end", len(cells), len(t.header))
		return out
	}
	value := func(q quantity) float64 {
		if t.place[q] < 0 {
			return math.NaN()
		}
		return t.cell(line, cells, q)
	}
	switch t.vertical() {
	case ByGeometric:
		out.height = value(geometric)
	case ByGeopotential:
		out.height = value(geopotential)
	}
	out.pressure = value(pressure) * unit.HectoPascal
	out.temperature = unit.FromCelsius(value(temperature))
	speed := value(speedMetres)
	if t.place[speedMetres] < 0 {
		speed = value(speedKnots) * unit.Knot
	}
	sin, cos := math.Sincos(value(direction) * unit.Degree)
	out.east, out.north = -speed*sin, -speed*cos
	return out
}

// cell reads one number. Only a pressure may be left empty, and only where a
// height places the row.
func (t *table) cell(line int, cells []string, q quantity) float64 {
	c := columns[q]
	text := ""
	if t.place[q] < len(cells) {
		text = strings.TrimSpace(cells[t.place[q]])
	}
	if text == "" {
		if q != pressure || t.vertical() == ByPressure {
			t.fault(line, c.name, "the cell is empty: fill it in, or leave out the row")
		}
		return math.NaN()
	}
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case err == nil && v >= c.low && v <= c.high && !strings.ContainsAny(text, "xX_"):
		return v
	case strings.Contains(text, ","):
		t.fault(line, c.name, "%q has a comma: write numbers with a point (12.5)", text)
	case err != nil && !errors.Is(err, strconv.ErrRange) || math.IsNaN(v) || strings.ContainsAny(text, "xX_"):
		t.fault(line, c.name, "%q is not a number: fill in %s, or leave out the row", text, c.unit)
	default:
		t.fault(line, c.name, "%s cannot be: expected %.5g to %.5g %s", text, c.low, c.high, c.unit)
	}
	return math.NaN()
}

// order turns a table that comes from above, and finds rows that are out of
// order or doubled.
func (t *table) order() {
	if len(t.rows) < 2 {
		t.fault(0, "", "the table has %s: at least two heights are needed", map[int]string{0: "no row", 1: "one row only"}[len(t.rows)])
		return
	}
	byPressure := t.vertical() == ByPressure
	// rise is how far b stands above a.
	rise := func(a, b row) float64 { return b.height - a.height }
	least := leastRise
	if byPressure {
		rise = func(a, b row) float64 { return 1 - b.pressure/a.pressure }
		least = leastRatio
	}
	way := "upwards"
	fromTop := rise(t.rows[0], t.rows[len(t.rows)-1]) < 0
	if fromTop {
		slices.Reverse(t.rows)
		way = "downwards"
	}
	column := [...]string{"alt_m", "height_m", "pressure_hpa"}[t.vertical()]
	for i := 1; i < len(t.rows); i++ {
		below, above := t.rows[i-1], t.rows[i]
		earlier, later := below, above
		if fromTop {
			earlier, later = above, below
		}
		switch d := rise(below, above); {
		case math.Abs(d) < least:
			t.fault(later.line, column, "the same height as row %d: keep one of them", earlier.line)
		case d < 0:
			t.fault(later.line, column, "out of order after row %d: the table goes %s, sort it by height", earlier.line, way)
		}
	}
	if fromTop {
		slices.Reverse(t.faults)
	}
	if !byPressure {
		t.pressures()
	}
}

// pressures looks at a pressure column beside heights. A pressure that does not
// fall, within the rounding of instruments, counts as not given; one that
// clearly rises with height is a fault.
func (t *table) pressures() {
	const rounding = 0.01
	last := -1
	for i := range t.rows {
		p := t.rows[i].pressure
		if math.IsNaN(p) {
			continue
		}
		if last >= 0 {
			below := t.rows[last].pressure
			if p > below*(1+rounding) {
				t.fault(t.rows[i].line, columns[pressure].name, "higher than in row %d, which lies below: pressure falls with height", t.rows[last].line)
			}
			if p > below*(1-leastRatio) {
				t.rows[i].pressure = math.NaN()
				continue
			}
		}
		last = i
	}
}
