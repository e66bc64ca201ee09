package logfile

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/signal/fix"
	"pappus/signal/notation"
)

// Fault is a row that was not read, by its line from 1.
type Fault struct {
	Line int
	Err  error
}

func (f Fault) Error() string { return fmt.Sprintf("line %d: %v", f.Line, f.Err) }

// mostFaults is how many faulty rows are named.
const mostFaults = 100

// Terms is what the text does not say of its times.
type Terms struct {
	Zone  *time.Location // of times without one; nil: UTC
	Day   time.Time      // near which dates lie that are not told
	Start time.Time      // from which elapsed seconds count
}

// Read answers a report for each row, in the order of the text.
func (l Layout) Read(text []byte, source string, terms Terms) (reports []fix.Report, faults []Fault, err error) {
	if err := l.check(); err != nil {
		return nil, nil, err
	}
	content, err := plain(text)
	if err != nil {
		return nil, nil, err
	}
	for i, c := range l.Columns {
		if _, known := Units(c.Meaning)[c.Unit]; !known && Units(c.Meaning) != nil {
			return nil, nil, fmt.Errorf("log: column %d (%v) has the unit %q, which is none of it", i+1, c.Meaning, c.Unit)
		}
	}
	number := 0
	for line := range strings.Lines(content) {
		number++
		line = strings.TrimSpace(line)
		if number < l.First || line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if len(reports) == mostRows {
			return reports, faults, fmt.Errorf("log: more than %d rows", mostRows)
		}
		r, err := l.row(line, source, terms)
		if err != nil {
			if len(faults) < mostFaults {
				faults = append(faults, Fault{number, err})
			}
			continue
		}
		reports = append(reports, r)
	}
	return reports, faults, nil
}

// row is what is gathered of a row before it can be understood.
type row struct {
	layout   Layout
	report   fix.Report
	lat, lon notation.Angle
	hasLat   bool
	hasLon   bool
	latSide  string
	lonSide  string
	date     string
	clock    string
	when     time.Time
	kind     fix.TimeKind
}

func (l Layout) row(line, source string, terms Terms) (fix.Report, error) {
	if len(line) > longestLine {
		return fix.Report{}, fmt.Errorf("the line has %d bytes, at most %d are read", len(line), longestLine)
	}
	cells := split(line, l.Delimiter)
	r := row{layout: l}
	r.report = fix.Report{Source: source, Raw: line, Expected: fix.Expected{Across: fix.AcrossUsual, Up: fix.UpUsual, Time: 0.5}}
	for i, c := range l.Columns {
		if i >= len(cells) {
			break
		}
		if c.Meaning == Ignored || cells[i] == "" {
			continue
		}
		if err := r.cell(c, cells[i], terms); err != nil {
			return fix.Report{}, fmt.Errorf("column %d, %v: %w", i+1, c.Meaning, err)
		}
	}
	if err := r.place(); err != nil {
		return fix.Report{}, err
	}
	r.times(terms)
	return r.report, nil
}

func (r *row) cell(c Column, cell string, terms Terms) error {
	switch c.Meaning {
	case When, Clock:
		r.clock = cell
		return nil
	case Date:
		r.date = cell
		return nil
	case LatSide:
		r.latSide = cell
		return nil
	case LonSide:
		r.lonSide = cell
		return nil
	case Latitude, Longitude:
		return r.angle(c, cell)
	case Both:
		return r.both(cell)
	case FixMode:
		r.mode(cell)
		return nil
	}
	v, ok := number(cell, r.layout.DecimalComma)
	if !ok {
		return fmt.Errorf("%.30q is no number", cell)
	}
	if factors := Units(c.Meaning); factors != nil {
		v *= factors[c.Unit]
	}
	return r.figure(c.Meaning, v, terms)
}

func (r *row) figure(m Meaning, v float64, terms Terms) error {
	p := &r.report
	kinds := map[Meaning]fix.HeightKind{HeightSea: fix.AboveSea, HeightEllipsoid: fix.AboveEllipsoid, HeightPressure: fix.ByPressure, HeightGround: fix.AboveGround, HeightUnsaid: fix.Unsaid}
	switch m {
	case Epoch:
		if v < 0 || v > 4e9 {
			return fmt.Errorf("%v s since 1970 is no time of a flight", v)
		}
		r.when, r.kind = time.UnixMilli(int64(math.Round(v*1e3))).UTC(), fix.Told
	case Elapsed:
		if v < 0 || v > 30*unit.Day {
			return fmt.Errorf("%v s is longer than any flight", v)
		}
		if !terms.Start.IsZero() {
			r.when, r.kind = terms.Start.Add(time.Duration(v*1e3)*time.Millisecond).UTC(), fix.Told
		}
	case Speed:
		p.Speed = fix.Known(v)
	case Course:
		p.CourseDeg = fix.Known(v)
	case Climb:
		p.Climb = fix.Known(v)
	case Satellites:
		p.Quality.Satellites = fix.Known(v)
	case Dilution:
		p.Quality.HDOP = fix.Known(v)
		if v > 0 {
			p.Expected.Across = math.Max(1, fix.AcrossPerHDOP*v)
		}
	default: // a height; of several the one above sea is kept
		if p.Height.Kind == fix.NoHeight || m == HeightSea {
			p.Height = fix.Height{Metres: v, Kind: kinds[m]}
		}
	}
	return nil
}

func (r *row) mode(cell string) {
	switch strings.ToLower(cell) {
	case "0", "1", "none", "no", "n", "v", "invalid", "false", "nofix", "no fix":
		// A lone 1 means "no fix" in one custom and "fix" in another: it is not believed
		// against a place.
		if cell != "1" {
			r.report.Quality.Mode = fix.NoFix
		}
	case "2", "2d":
		r.report.Quality.Mode = fix.Flat
	case "3", "3d":
		r.report.Quality.Mode = fix.Full
	}
}

func (r *row) angle(c Column, cell string) error {
	var a notation.Angle
	if v, ok := number(cell, r.layout.DecimalComma); ok {
		if c.Unit == "ddmm" {
			degrees := math.Trunc(v / 100)
			minutes := v - 100*degrees
			if math.Abs(minutes) >= 60 {
				return fmt.Errorf("%.30q has 60 or more minutes", cell)
			}
			v = degrees + minutes/60
		} else {
			v *= Units(c.Meaning)[c.Unit]
		}
		a = notation.Angle{Deg: v}
	} else {
		var err error
		if a, err = notation.ParseAngle(cell); err != nil {
			return err
		}
	}
	if c.Meaning == Latitude {
		r.lat, r.hasLat = a, true
	} else {
		r.lon, r.hasLon = a, true
	}
	return nil
}

// both takes a cell apart that holds latitude and longitude.
func (r *row) both(cell string) error {
	parts := strings.FieldsFunc(cell, func(c rune) bool { return c == ',' || c == ';' || c == ' ' || c == '/' })
	if len(parts) != 2 {
		return fmt.Errorf("%.40q: expected latitude and longitude", cell)
	}
	var err error
	if r.lat, err = notation.ParseAngle(parts[0]); err != nil {
		return err
	}
	if r.lon, err = notation.ParseAngle(parts[1]); err != nil {
		return err
	}
	r.hasLat, r.hasLon = true, true
	return nil
}

func (r *row) place() error {
	if !r.hasLat && !r.hasLon {
		r.report.Quality.Mode = fix.NoFix // a row without place is a report of having none
		return nil
	}
	if !r.hasLat || !r.hasLon {
		return errors.New("a latitude without longitude, or the other way round")
	}
	lat, err := sided(r.lat, r.latSide, 'N', 'S')
	if err != nil {
		return err
	}
	lon, err := sided(r.lon, r.lonSide, 'E', 'W')
	if err != nil {
		return err
	}
	if r.report.Place, err = geo.NewPoint(lat, lon); err != nil {
		return err
	}
	r.report.HasPlace = true
	return nil
}

// sided applies the letter of a column of its own.
func sided(a notation.Angle, letter string, positive, negative byte) (float64, error) {
	if a.Side != 0 && a.Side != positive && a.Side != negative {
		return 0, fmt.Errorf("the letter %c in a column where %c or %c belongs", a.Side, positive, negative)
	}
	switch strings.ToUpper(letter) {
	case "", string(positive):
		return a.Deg, nil
	case string(negative):
		return -math.Abs(a.Deg), nil
	}
	return 0, fmt.Errorf("the letter %.10q, expected %c or %c", letter, positive, negative)
}

func (r *row) times(terms Terms) {
	if r.kind != fix.NoTime {
		r.report.Time, r.report.TimeKind = r.when, r.kind
		return
	}
	m, ok := notation.FindMoment(strings.TrimSpace(r.date+" "+r.clock), r.layout.Dates)
	if !ok {
		return
	}
	r.report.Time, r.report.TimeKind, r.report.Assumed = m.Time(terms.Zone, terms.Day)
}
