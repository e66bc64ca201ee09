package weather

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pappus/air/grib2"
	"pappus/measure/geo"
)

// TestImportThenListThenPrune takes a whole real file in, once cut and once as
// it is.
func TestImportThenListThenPrune(t *testing.T) {
	source := "../../air/forecast/testdata/gfs20111008.grib2"
	whole, cut := t.TempDir(), t.TempDir()
	if _, err := Import(ImportJob{Paths: []string{source}, Into: whole}); err != nil {
		t.Fatal(err)
	}
	job := ImportJob{Paths: []string{filepath.Dir(source)}, Into: cut, Cut: true, Place: geo.Point{LatDeg: 47.5, LonDeg: 1}, RadiusM: 1500e3}
	done, err := Import(job)
	if err != nil {
		t.Fatal(err)
	}
	if done.Fields != 104 || len(done.Files) != 1 || filepath.Base(done.Files[0].Path) != "ncep-2.5_20111008T00Z_f072.grib2" {
		t.Fatalf("%+v", done)
	}
	got, err := os.ReadFile(done.Files[0].Path)
	if err != nil {
		t.Fatal(err)
	}
	checkCut(t, got, realFile(t))
	again, err := Import(job)
	if err != nil || again.Fields != 0 || !again.Files[0].Kept {
		t.Errorf("imported twice: %+v, %v", again, err)
	}
	after, _ := os.ReadFile(done.Files[0].Path)
	if !bytes.Equal(got, after) {
		t.Error("the second import changed the file")
	}
	original, _ := os.ReadFile(source)
	kept, _ := os.ReadFile(filepath.Join(whole, "ncep-2.5_20111008T00Z_f072.grib2"))
	if !bytes.Equal(original, kept) {
		t.Error("a file of useful fields alone did not come through as it is")
	}
	job.Into = whole
	var other *OtherGridError
	if _, err := Import(job); !errors.As(err, &other) {
		t.Errorf("another area went into the same folder: %v", err)
	}
	cycles, faults, err := List(cut)
	if err != nil || len(faults) > 0 || len(cycles) != 1 {
		t.Fatalf("%v, %v, %v", cycles, faults, err)
	}
	c := cycles[0]
	if !c.Reference.Equal(realCycle) || !c.First.Equal(realCycle.Add(72*time.Hour)) || len(c.Levels) != 26 || c.Levels[25] != 1000 || c.Octets != int64(len(got)) {
		t.Errorf("%+v", c)
	}
	stranger := filepath.Join(cut, "from-a-friend.grib2")
	os.WriteFile(stranger, original, 0o644)
	p, err := Prune(cut, 0)
	if err != nil || len(p.Removed) != 1 || !slices.Equal(p.LeftAlone, []string{stranger}) {
		t.Errorf("%+v, %v", p, err)
	}
	if _, err := os.Stat(stranger); err != nil {
		t.Error("a file that was not ours is gone")
	}
}

func TestPruneKeepsTheNewest(t *testing.T) {
	folder := t.TempDir()
	data := realFile(t)
	fields, _ := grib2.Scan(data)
	small := data[:fields[0].Length]
	for day := range 3 { // derived: the same message with another date
		message := bytes.Clone(small)
		message[16+15] = byte(8 + day) // section 1, octet 16: the day
		name := Name{"gfs025", realCycle.AddDate(0, 0, day), -1, 72 * 3600}
		if err := os.WriteFile(filepath.Join(folder, name.String()), message, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	p, err := Prune(folder, 2)
	if err != nil || len(p.Kept) != 2 || len(p.Removed) != 1 || filepath.Base(p.Removed[0]) != "gfs025_20111008T00Z_f072.grib2" {
		t.Errorf("%+v, %v", p, err)
	}
}

// TestImportRefuses: a broken file stops everything, and the folder is as before.
func TestImportRefuses(t *testing.T) {
	data := realFile(t)
	bad := filepath.Join(t.TempDir(), "cut.grib2")
	os.WriteFile(bad, data[:len(data)-100], 0o644)
	into := filepath.Join(t.TempDir(), "weather")
	good := "../../air/forecast/testdata/gfs20111008.grib2"
	if _, err := Import(ImportJob{Paths: []string{good, bad}, Into: into}); err == nil || !strings.Contains(err.Error(), "cut.grib2") {
		t.Errorf("the error is %v", err)
	}
	if entries, _ := os.ReadDir(into); len(entries) > 0 {
		t.Errorf("the folder holds %v", entries)
	}
	if _, err := Import(ImportJob{Paths: []string{"nowhere.grib2"}, Into: into}); err == nil || !strings.Contains(err.Error(), "no such file") {
		t.Errorf("the error is %v", err)
	}
	far := ImportJob{Paths: []string{good}, Into: into, Cut: true, Place: geo.Point{LatDeg: 89.9, LonDeg: 1}, RadiusM: 1500e3}
	done, err := Import(far) // all around the pole
	if err != nil || len(done.Files) != 1 {
		t.Errorf("%+v, %v", done, err)
	}
}

func TestNames(t *testing.T) {
	for text, want := range map[string]Name{
		"gefs050_20270417T06Z_m07_f012.grib2": {"gefs050", time.Date(2027, 4, 17, 6, 0, 0, 0, time.UTC), 7, 12 * 3600},
		"ncep-0.25_20270417T06Z_f384.grib2":   {"ncep-0.25", time.Date(2027, 4, 17, 6, 0, 0, 0, time.UTC), -1, 384 * 3600},
		"x_20270417T0630Z_f000m15.grib2":      {"x", time.Date(2027, 4, 17, 6, 30, 0, 0, time.UTC), -1, 900},
	} {
		got, ok := ParseName(text)
		if !ok || got != want || got.String() != text {
			t.Errorf("%s is read as %+v and written as %s", text, got, got)
		}
	}
	for _, text := range []string{"", "gfs.t00z.pgrb2.0p25.f003", "gfs025_20271317T06Z_f012.grib2", "../gfs025_20270417T06Z_f012.grib2", "gfs025_20270417T06Z_f012.grib2.part"} {
		if n, ok := ParseName(text); ok {
			t.Errorf("%q is read as %+v", text, n)
		}
	}
}

func TestWindows(t *testing.T) {
	for _, c := range []struct {
		place      geo.Point
		radius     float64
		step       float64
		wantWest   float64
		wantEast   float64
		wantAround bool
	}{
		// 1000 km are 9.05 degrees; with one cell more 9.3. At 60 N a circle of that
		// radius spans asin(sin 9.3 / cos 60) = 18.86 degrees, and a cell more.
		{geo.Point{LatDeg: 60, LonDeg: 5}, 1000e3, 0.25, 345.75, 384.25, false},
		{geo.Point{LatDeg: 60, LonDeg: -179}, 1000e3, 0.25, 161.75, 200.25, false},
		{geo.Point{LatDeg: 85, LonDeg: 5}, 1000e3, 0.25, 0, 359.75, true},
	} {
		w := WindowAround(c.place, c.radius, c.step)
		if w.WestDeg != c.wantWest || w.EastDeg != c.wantEast || (w.Cols() == 1440) != c.wantAround {
			t.Errorf("around %+v: %+v, %d columns", c.place, w, w.Cols())
		}
		if w.NorthDeg > 90 || w.SouthDeg > c.place.LatDeg-9.05 {
			t.Errorf("around %+v: %g to %g north", c.place, w.SouthDeg, w.NorthDeg)
		}
	}
}

func TestSettingsRefuse(t *testing.T) {
	for text, says := range map[string]string{
		"connections = 2":                                       "format = 1",
		"format = 1\nconections = 2":                            `unknown key "conections"`,
		"format = 1\nconnections = 99":                          "1 to 16",
		"format = 1\ntries = 'x'":                               "line 2",
		"format = 1\n[source.gfs025]\ngrid_deg = 0.7":           "grid_deg",
		"format = 1\n[source.gfs025]\nsteps = [[3, 1], [2, 1]]": "steps",
		"format = 1\n[source.gfs025]\nregion = ['a', 'b']":      "region",
		"format = 1\n[source.new]\ngrid_deg = 1.0":              "cycle_hours",
		"format = 1\n[source.Bad]\ngrid_deg = 1.0":              "small letters",
		"format = 1\nidle_s = -1":                               "idle_s",
		"format = ":                                             "line 1",
	} {
		if _, err := ParseSettings("m.toml", []byte(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q gives %v, which should say %q", text, err, says)
		}
	}
	s, err := ParseSettings("/media/stick/m.toml", []byte("format = 1\n[source.gfs025]\nroot = 'copy of gfs'\n"))
	if err != nil {
		t.Fatal(err)
	}
	source := s.Sources["gfs025"]
	address := source.address(source.Files[0], time.Date(2027, 4, 17, 6, 0, 0, 0, time.UTC), 12, -1)
	if want := "file:///media/stick/copy%20of%20gfs/gfs.20270417/06/atmos/gfs.t06z.pgrb2.0p25.f012"; address != want {
		t.Errorf("the address is %s, not %s", address, want)
	}
	if len(source.Region) != 0 {
		t.Error("a mirror was given, and the usual service would still be asked")
	}
	gefs := s.Sources["gefs050"]
	if got := gefs.address(gefs.Files[1], time.Date(2027, 4, 17, 6, 0, 0, 0, time.UTC), 12, 0); !strings.HasSuffix(got, "/gefs.20270417/06/atmos/pgrb2bp5/gec00.t06z.pgrb2b.0p50.f012") {
		t.Errorf("the control's address is %s", got)
	}
}
