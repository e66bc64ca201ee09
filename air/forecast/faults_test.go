package forecast

import (
	"encoding/binary"
	"errors"
	"strings"
	"testing"

	"pappus/air/grib2"
	"pappus/air/sounding"
	"pappus/measure/geo"
)

// refused loads what must be refused and answers the error.
func refused(t *testing.T, name string, want Request, files ...File) error {
	t.Helper()
	c, err := Load(files, want)
	if err == nil {
		t.Fatalf("%s: accepted: %+v", name, c.Info())
	}
	if n := strings.Count(err.Error(), "\n") + 1; n > 4 {
		t.Errorf("%s: %d lines:\n%v", name, n, err)
	}
	return err
}

func TestFilesThatAreNoForecast(t *testing.T) {
	good := patch().file(t, "good.grib2")
	edition1 := append([]byte("GRIB\x00\x00\x30\x01"), make([]byte, 36)...)
	copy(edition1[len(edition1)-4:], "7777")
	for name, k := range map[string]struct {
		data []byte
		want string
	}{
		"empty":       {nil, "x.grib2: this is not a GRIB2 file: it is empty"},
		"a web page":  {[]byte("<!DOCTYPE html><html>404</html>"), "x.grib2: this is not a GRIB2 file: it is a web page"},
		"packed":      {[]byte("\x1f\x8b\x08rest"), "x.grib2: this is not a GRIB2 file: it is packed with gzip"},
		"edition 1":   {edition1, "x.grib2: message 1 at octet 0: this is GRIB edition 1"},
		"cut":         {good.Data[:len(good.Data)-100], "so it was cut short: fetch the file again"},
		"cut in GRIB": {append(good.Data[:len(good.Data):len(good.Data)], "GRI"...), "inside the first letters of a message: fetch it again"},
		"something":   {[]byte("once upon a time"), "x.grib2: this is not a GRIB2 file: it holds no GRIB2 message"},
	} {
		err := refused(t, name, at(40, -95, 1), good, File{"x.grib2", k.data})
		var bad *FileError
		if !errors.As(err, &bad) || bad.File != "x.grib2" || !strings.Contains(err.Error(), k.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: says\n%v\nexpected to hold\n%s", name, err, k.want)
		}
		if name == "cut" && !strings.Contains(err.Error(), "at octet ") {
			t.Errorf("%s: does not say where: %v", name, err)
		}
	}
}

func TestManyBadFilesStayOnOneScreen(t *testing.T) {
	var files []File
	for range 9 {
		files = append(files, File{Name: "x"})
	}
	err := refused(t, "nine empty files", at(40, -95, 1), files...)
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != 4 || lines[3] != "and 6 more faults like these" {
		t.Errorf("nine empty files: %q", lines)
	}
	var faults Faults
	if !errors.As(err, &faults) || len(faults) != 9 {
		t.Errorf("%d faults are kept", len(faults))
	}
}

func TestFilesThatDoNotGoTogether(t *testing.T) {
	good := patch().file(t, "good.grib2")
	table := File{"sky.csv", []byte("height_m,wind_from_deg,wind_speed_mps\n0,270,10\n10000,180,30\n")}
	for name, k := range map[string]struct {
		files []File
		want  string
	}{
		"none":          {nil, "no weather file was given: give GRIB2 files or one profile table (.csv)"},
		"only an index": {[]File{{"good.grib2.idx", []byte("1:0:d=")}}, "no weather file was given"},
		"both":          {[]File{good, table}, "sky.csv is a profile table and good.grib2 is not: give forecast files or one table, not both"},
		"two tables":    {[]File{table, {"b.CSV", table.Data}}, "sky.csv and b.CSV are both profile tables: give one"},
	} {
		var choice *ChoiceError
		if err := refused(t, name, at(40, -95, 1), k.files...); !errors.As(err, &choice) || !strings.Contains(err.Error(), k.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	load(t, at(40, -95, 1), good, File{"good.grib2.idx", []byte("1:0:d=")})
	var faults sounding.Faults
	if err := refused(t, "a faulty table", at(40, -95, 1), File{"sky.csv", []byte("a;b")}); !errors.As(err, &faults) {
		t.Errorf("a faulty table: %v", err)
	}
	// A forecast is one whatever it is called.
	load(t, at(40, -95, 1), File{"strange.csv", good.Data})
}

func TestMissing(t *testing.T) {
	for name, k := range map[string]struct {
		leave func(v variable, hour, member int, p float64) bool
		lacks int
		want  string
	}{
		"no height":      {func(v variable, _, _ int, _ float64) bool { return v == height }, 1, "sky: height (gh) on pressure levels is missing: fetch gh, t, u and v on pressure levels together"},
		"no wind":        {func(v variable, _, _ int, _ float64) bool { return v == windEast || v == windNorth }, 2, "sky: wind towards east (u), wind towards north (v) on pressure levels is missing"},
		"one level":      {func(_ variable, _, _ int, p float64) bool { return p != 50000 }, 0, "sky: no two pressure levels have all of height, temperature and wind"},
		"never together": {func(v variable, hour, _ int, _ float64) bool { return (v == height) == (hour == 0) }, 0, "sky: no two pressure levels have all of height"},
		// Levels that never stand at two steps at once.
		"alternate": {func(_ variable, hour, _ int, p float64) bool { return (hour%6 == 0) == (p > 30000) }, 0, "sky: no two pressure levels have all of height"},
	} {
		w := patch()
		w.leave = k.leave
		var missing *MissingError
		if err := refused(t, name, at(40, -95, 1), w.file(t, "sky")); !errors.As(err, &missing) || len(missing.Lacks) != k.lacks || !strings.HasPrefix(err.Error(), k.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	w := patch()
	w.surface = true
	w.leave = func(v variable, _, _ int, _ float64) bool { return v != ground }
	var missing *MissingError
	err := refused(t, "the ground alone", at(40, -95, 1), w.file(t, "a"), w.file(t, "b"), w.file(t, "c"), w.file(t, "d"))
	if !errors.As(err, &missing) || len(missing.Lacks) != 4 {
		t.Errorf("the ground alone: %v", err)
	}
}

func TestOutsideCoverage(t *testing.T) {
	early, late := patch(), patch()
	early.hours, late.cycle = []int{0, 3}, day.AddDate(0, 0, 2)
	files := []File{early.file(t, "early"), late.file(t, "late")}
	for name, k := range map[string]struct {
		want  Request
		files []File
		text  string
	}{
		"too early": {at(40, -95, -0.1), files[:1], "the launch at 2027-04-17 11:54 UTC lies outside the forecast, which covers 2027-04-17 12:00 UTC to 2027-04-17 15:00 UTC: fetch one for that time"},
		"too late":  {at(40, -95, 3.1), files[:1], "the launch at 2027-04-17 15:06 UTC lies outside"},
		"between":   {at(40, -95, 20), files, "which covers 2027-04-17 12:00 UTC to 2027-04-17 15:00 UTC and 2027-04-19 12:00 UTC to 2027-04-20 00:00 UTC: fetch"},
		"too far":   {at(29.5, -95, 1), files, "the place 29.5 N 95 W lies outside the forecast, which covers 30 N to 50 N, 110 W to 80 W: fetch one around the launch place"},
		"far side":  {at(40, 85, 1), files, "the place 40 N 85 E lies outside"},
		"south":     {at(-40, -95, 1), files, "the place 40 S 95 W lies outside"},
	} {
		var outside *CoverageError
		err := refused(t, name, k.want, k.files...)
		if !errors.As(err, &outside) || !strings.Contains(err.Error(), k.text) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: says\n%v\nexpected to hold\n%s", name, err, k.text)
		}
	}
	// The launch's day and place lie in different forecasts: the time is what to change.
	elsewhere := late
	elsewhere.south = -60
	err := refused(t, "elsewhere", at(40, -95, 50), files[0], elsewhere.file(t, "elsewhere"))
	var outside *CoverageError
	if !errors.As(err, &outside) || !outside.Time || len(outside.Spans) != 1 {
		t.Errorf("elsewhere: %v", err)
	}
	if got := (Area{SouthDeg: -90, NorthDeg: 90, Around: true}).String(); got != "90 S to 90 N, all longitudes" {
		t.Errorf("the globe reads %q", got)
	}
}

func TestGridsThatAreNotRead(t *testing.T) {
	w := patch()
	w.hours = []int{0, 3}
	coarse := w
	coarse.step, coarse.rows, coarse.cols, coarse.hours = 2, 11, 16, []int{6}
	var bad *GridError
	err := refused(t, "two grids", at(40, -95, 1), w.file(t, "fine"), coarse.file(t, "coarse"))
	if !errors.As(err, &bad) || !strings.Contains(err.Error(), "coarse: height (gh) at 1000 hPa for 2027-04-17 18:00 UTC stands on latitude-longitude 16 x 11") || !strings.Contains(err.Error(), "in fine on latitude-longitude 31 x 21") {
		t.Errorf("two grids: %v", err)
	}
	// The same grid as a Mercator one: template 3.10 in octets 13 and 14 of section 3.
	file := w.file(t, "sky")
	for i := 0; i+5 < len(file.Data); i++ {
		if binary.BigEndian.Uint32(file.Data[i:]) == 72 && file.Data[i+4] == 3 {
			file.Data[i+13] = 10
		}
	}
	err = refused(t, "Mercator", at(40, -95, 1), file)
	if !errors.As(err, &bad) || !strings.Contains(err.Error(), "Mercator") || !strings.Contains(err.Error(), "a grid that is not read: fetch the forecast on a regular latitude-longitude grid") {
		t.Errorf("Mercator: %v", err)
	}
	thin := w
	thin.rows, thin.cols = 1, 31
	err = refused(t, "one row", at(30, -95, 1), thin.file(t, "thin"))
	if !errors.As(err, &bad) || !strings.Contains(err.Error(), "the grid has 31 by 1 points: fetch an area of at least two rows") {
		t.Errorf("one row: %v", err)
	}
}

func TestImpossibleValues(t *testing.T) {
	for name, k := range map[string]struct {
		v     variable
		value float64
		want  string
	}{
		"hot":   {temperature, 400, "sky: temperature (t) at 500 hPa for 2027-04-17 15:00 UTC holds 400 at 41 N 96 W, where an air temperature is expected: fetch the file again, or leave it out"},
		"storm": {windEast, -300, "wind towards east (u) at 500 hPa for 2027-04-17 15:00 UTC holds -300 at 41 N 96 W, where a wind"},
		"low":   {height, 100, "height (gh) at 500 hPa for 2027-04-17 15:00 UTC holds 100 at 41 N 96 W, where more than the 3012"},
		"space": {height, 95000, "holds 95000 at 41 N 96 W, where a height"},
	} {
		w := patch()
		w.value = func(v variable, lat, lon, p float64, hour, _ int, usual float64) float64 {
			if v == k.v && lat == 41 && lon == -96 && p == 50000 && hour == 3 {
				return k.value
			}
			return usual
		}
		var bad *ValueError
		if err := refused(t, name, at(40, -95, 1), w.file(t, "sky")); !errors.As(err, &bad) || !strings.Contains(err.Error(), k.want) {
			t.Errorf("%s: %v", name, err)
		}
		if bad != nil && bad.Place != (geo.Point{LatDeg: 41, LonDeg: -96}) {
			t.Errorf("%s: at %v", name, bad.Place)
		}
	}
}

func TestValuesThatCannotBeDecoded(t *testing.T) {
	file := patch().file(t, "sky")
	fields, _ := grib2.Scan(file.Data)
	first := fields[0]
	// More bits for each value than section 7 has: octet 20 of section 5.
	for i := first.Offset; i < first.Offset+first.Length; i++ {
		if binary.BigEndian.Uint32(file.Data[i:]) == 21 && file.Data[i+4] == 5 {
			file.Data[i+19] = 31
			break
		}
	}
	var bad *FileError
	err := refused(t, "short values", at(40, -95, 1), file)
	if !errors.As(err, &bad) || !strings.HasPrefix(err.Error(), "sky: message 1 at octet 0, height (gh) at 1000 hPa for 2027-04-17 12:00 UTC: ") {
		t.Errorf("short values: %v", err)
	}
	for _, workers := range []int{1, 2, 5} {
		want := at(40, -95, 1)
		want.Workers = workers
		if again := refused(t, "short values", want, file); again.Error() != err.Error() {
			t.Errorf("%d workers say %v", workers, again)
		}
	}
}

func TestSizeIsBounded(t *testing.T) {
	p := plan{grid: mesh{rows: 1801, cols: 3600, south: -90, dLat: 0.1, dLon: 0.1, around: true}, steps: make([]int64, 3), pressures: make([]int64, 33), members: make([]int, 1)}
	// At 36 degrees 1500 km are 273 rows by 337 columns or so of a tenth of a degree:
	// 16 million nodes in 3 steps and 60 levels.
	w, narrowed, err := p.windowFor(Request{Place: middle})
	if err != nil || narrowed != 0 || w.rowN < 272 || w.rowN > 275 || w.colN < 330 || w.colN > 350 {
		t.Errorf("one member: %d by %d points, %g m, %v", w.rowN, w.colN, narrowed, err)
	}
	p.members = make([]int, 5)
	if _, narrowed, err := p.windowFor(Request{Place: middle}); err != nil || narrowed != 1000e3 {
		t.Errorf("five members: %g m, %v", narrowed, err)
	}
	p.members = make([]int, 20)
	_, _, err = p.windowFor(Request{Place: middle})
	var large *SizeError
	if !errors.As(err, &large) || !strings.HasPrefix(err.Error(), "the forecast has 7") || !strings.HasSuffix(err.Error(), " million points around the flight, more than the 40 million that are held in memory: give fewer members or steps") {
		t.Errorf("twenty members: %v", err)
	}
	p.members = make([]int, 1)
	if _, err := p.load(Request{Place: middle, RadiusM: 2e7}); !errors.As(err, &large) {
		t.Errorf("the whole globe: %v", err)
	}
}
