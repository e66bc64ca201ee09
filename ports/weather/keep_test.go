package weather

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pappus/air/grib2"
	"pappus/measure/geo"
)

// obsCycle is the cycle of a real flight's winds on forecast levels: steps of 0,
// 3, 6, 9 and 12 hours in one file with its index.
var (
	obsCycle = time.Date(2016, 4, 3, 18, 0, 0, 0, time.UTC)
	obsPlace = geo.Point{LatDeg: -25.0341, LonDeg: 128.30099}
)

func obsArchive(t *testing.T) (*archive, *Settings, Job) {
	t.Helper()
	a := newArchive(t, readShared(t, "obsgrib/obs_giles_20160403T2315.grib2"), readShared(t, "obsgrib/obs_giles_20160403T2315.grib2.idx"))
	text := `format = 1
[source.obs]
title = "winds of a real flight"
grid_deg = 0.5
cycle_hours = [0, 6, 12, 18]
steps = [[12, 3]]
members = 0
root = "` + a.URL + `"
files = ["{root}/obs.{date}/{hour}/obs.f{step}"]
index = ".idx"
`
	s, err := ParseSettings("mirror.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	launch := obsCycle.Add(5*time.Hour + 15*time.Minute)
	a.clock = launch
	a.trouble = func(w http.ResponseWriter, r *http.Request, n int) bool {
		if !strings.Contains(r.URL.Path, "obs.20160403/18/") {
			http.NotFound(w, r)
			return true
		}
		return false
	}
	return a, s, Job{Source: s.Sources["obs"], Into: t.TempDir(), Place: obsPlace, RadiusM: 100e3,
		From: launch.Add(-30 * time.Minute), To: launch.Add(3 * time.Hour), TopAlt: 34000, Method: ByRanges, Ground: true}
}

func at(when time.Time) func() time.Time { return func() time.Time { return when } }

func TestNewestCompleteCycle(t *testing.T) {
	a, s, job := obsArchive(t)
	a.clock = obsCycle.Add(20 * time.Hour)
	c := clientFor(s, nil)
	c.Now = at(a.clock)
	report, err := c.Get(t.Context(), job)
	if err != nil {
		t.Fatal(err)
	}
	if !report.Cycle.Equal(obsCycle) || !slices.Equal(report.Steps, []int{3, 6, 9}) || len(report.Files) != 3 {
		t.Errorf("%v, steps %v, %d files", report.Cycle, report.Steps, len(report.Files))
	}
	if want := "obs_20160403T18Z_f003.grib2"; filepath.Base(report.Files[0].Path) != want {
		t.Errorf("the first file is %s, not %s", report.Files[0].Path, want)
	}
	// One level less: 7 hPa is the top of the file.
	if top := report.Levels[len(report.Levels)-1]; top != 700 || len(report.Levels) != 29 {
		t.Errorf("%d levels up to %g Pa", len(report.Levels), top)
	}
	var days []string
	for _, path := range a.paths {
		if day := strings.Split(path, "/")[1] + "/" + strings.Split(path, "/")[2]; !slices.Contains(days, day) {
			days = append(days, day)
		}
	}
	// The launch is at 23:15, so that no cycle younger than 18 can serve.
	if !slices.Equal(days, []string{"obs.20160403/18"}) {
		t.Errorf("asked for %v", days)
	}
}

// TestHalfThere: a cycle whose later steps are not out is not taken as the
// newest, and is refused by name.
func TestHalfThere(t *testing.T) {
	a, s, job := obsArchive(t)
	a.lastStep = 6
	job.Cycle = obsCycle
	_, err := clientFor(s, nil).Get(t.Context(), job)
	var not *NotOutError
	if !errors.As(err, &not) || !strings.Contains(err.Error(), "obs.f009.idx is not there") {
		t.Errorf("the error is %v", err)
	}
	job.Cycle = time.Time{}
	c := clientFor(s, nil)
	c.Now = at(a.clock)
	if _, err = c.Get(t.Context(), job); !errors.As(err, &not) || not.Cycle != (time.Time{}) {
		t.Errorf("the error is %v", err)
	}
}

// TestClockSkew: this machine's clock is days behind, and the cycle is found by
// the server's.
func TestClockSkew(t *testing.T) {
	_, s, job := obsArchive(t)
	c := clientFor(s, nil)
	c.Now = at(obsCycle.AddDate(0, 0, -9))
	var warned string
	c.Warn = func(text string) { warned = text }
	report, err := c.Get(t.Context(), job)
	if err != nil {
		t.Fatal(err)
	}
	if !report.Cycle.Equal(obsCycle) || !strings.Contains(warned, "clock") {
		t.Errorf("cycle %v, warning %q", report.Cycle, warned)
	}
}

func TestTooFarAhead(t *testing.T) {
	a, s, job := obsArchive(t)
	c := clientFor(s, nil)
	a.clock = obsCycle.Add(time.Hour)
	c.Now = at(a.clock)
	job.From, job.To = obsCycle.AddDate(0, 0, 9), obsCycle.AddDate(0, 0, 10)
	if _, err := c.Get(t.Context(), job); err == nil || !strings.Contains(err.Error(), "fetch nearer to the launch") {
		t.Errorf("the error is %v", err)
	}
}

// cutter plays the service that cuts out areas: it reads the bounds of the
// request and cuts the real file.
func cutter(t *testing.T, data []byte) func(w http.ResponseWriter, r *http.Request, n int) bool {
	return func(w http.ResponseWriter, r *http.Request, n int) bool {
		if !strings.HasPrefix(r.URL.Path, "/filter") {
			return false
		}
		q := r.URL.Query()
		deg := func(name string) float64 {
			v, err := strconv.ParseFloat(q.Get(name), 64)
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			return v
		}
		window := Window{NorthDeg: deg("toplat"), SouthDeg: deg("bottomlat"), WestDeg: deg("leftlon"), EastDeg: deg("rightlon"), StepDeg: 2.5}
		names := map[string]string{"gh": "HGT", "t": "TMP", "u": "UGRD", "v": "VGRD"}
		fields, _ := grib2.Scan(data)
		for i := range fields {
			f := &fields[i]
			level := fmt.Sprintf("lev_%g_mb", f.Product.First.Value/100)
			if q.Get("var_"+names[f.Parameter()]) != "on" || q.Get(level) != "on" {
				continue
			}
			part, err := window.part(f.Grid)
			if err != nil {
				t.Error(err)
			}
			message, err := grib2.Crop(data, f, part)
			if err != nil {
				t.Error(err)
			}
			w.Write(message)
		}
		return true
	}
}

func TestRegionGivesTheSame(t *testing.T) {
	a := realArchive(t)
	s := settingsFor(t, a.URL, "")
	byRanges := fetchOK(t, clientFor(s, nil), jobFor(t, s, t.TempDir()))
	a.trouble = cutter(t, realFile(t))
	job := jobFor(t, s, t.TempDir())
	job.Method = ByRegion
	job.Source.Region = []string{"{root}/filter.pl?file=gfs.t{hour}z.f{step}&{fields}&toplat={north}&leftlon={west}&rightlon={east}&bottomlat={south}"}
	a.forget()
	byRegion := fetchOK(t, clientFor(s, nil), job)
	if !bytes.Equal(byRanges, byRegion) {
		t.Error("the two methods gave different files")
	}
	if len(a.asks()) > 0 {
		t.Errorf("octets were asked for by range too: %v", a.asks())
	}
}

// TestAutoSaysWhenItChanges: without the service, whole messages are fetched,
// and the person is told.
func TestAutoSaysWhenItChanges(t *testing.T) {
	a := realArchive(t)
	s := settingsFor(t, a.URL, "")
	a.trouble = func(w http.ResponseWriter, r *http.Request, n int) bool {
		if strings.HasPrefix(r.URL.Path, "/filter") {
			fmt.Fprint(w, "<html>This service was closed</html>")
			return true
		}
		return false
	}
	job := jobFor(t, s, t.TempDir())
	job.Method = Auto
	job.Source.Region = []string{"{root}/filter?{fields}"}
	c := clientFor(s, nil)
	var warned string
	c.Warn = func(text string) { warned += text }
	fetchOK(t, c, job)
	if !strings.Contains(warned, "whole messages instead") || !strings.Contains(warned, "This service was closed") {
		t.Errorf("the warning is %q", warned)
	}
}

func TestOneAreaInAFolder(t *testing.T) {
	a := realArchive(t)
	s := settingsFor(t, a.URL, "")
	job := jobFor(t, s, t.TempDir())
	before := fetchOK(t, clientFor(s, nil), job)
	job.Place = geo.Point{LatDeg: -30, LonDeg: 140}
	_, err := clientFor(s, nil).Get(t.Context(), job)
	var other *OtherGridError
	if !errors.As(err, &other) || !strings.Contains(err.Error(), "--replace") {
		t.Fatalf("the error is %v", err)
	}
	os.RemoveAll(filepath.Join(job.Into, partFolder))
	job.Replace = true
	if after := fetchOK(t, clientFor(s, nil), job); bytes.Equal(before, after) {
		t.Error("the file was not replaced")
	}
}
