package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pappus/demo"
	"pappus/measure/geo"
	"pappus/ports/sqlite"
	"pappus/ports/weather"
)

// work asks for a study until it is ready, and answers its document.
func (a *app) work(path, body string) map[string]any {
	a.Helper()
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		reply := a.want(200, post, path, body)
		if reply["job"] == nil {
			return a.want(200, get, "/studies/"+reply["key"].(string), "")
		}
		if job := a.want(200, get, "/jobs/"+dig(reply, "job", "id").(string), ""); job["state"] == "failed" {
			a.Fatalf("the job failed: %s", text(job))
		}
	}
	a.Fatal("the study is not ready after a minute")
	return nil
}

func TestHoursOfTheDemo(t *testing.T) {
	a, _ := oddsApp(t)
	shown := a.work("/flights/lark/hours", `{"weather":["demo"],"members":60}`)
	list := dig(shown, "document", "hours").([]any)
	// The demo's steps go from 09 to 24 UTC, and the launch is on the hour.
	if len(list) != 16 || list[0].(map[string]any)["time"] != "2027-04-17T09:00:00Z" || shown["invented"] != true {
		t.Fatalf("%d hours from %v", len(list), list[0].(map[string]any)["time"])
	}
	at := -1
	for i, h := range list {
		hour := h.(map[string]any)
		if hour["time"] == "2027-04-17T13:00:00Z" {
			at = i
		}
		if strings.Contains(text(hour["landing"]), "regions") {
			t.Errorf("hour %d carries its regions: they are asked one at a time", i)
		}
	}
	key := shown["key"].(string)
	hour := a.want(200, get, fmt.Sprintf("/studies/%s/hours/%d", key, at), "")
	if regions := dig(hour, "landing", "regions").([]any); len(regions) != 2 || math.Abs(hour["lat_deg"].(float64)-40.0961) > 1e-4 {
		t.Errorf("%d regions from %v", len(regions), hour["lat_deg"])
	}
	for _, number := range []string{"16", "-1", "x"} {
		a.want(404, get, "/studies/"+key+"/hours/"+number, "")
	}
	a.want(404, get, "/studies/none", "")
	// Another flight file is another question.
	reply := a.want(200, post, "/flights/lark/hours", `{"weather":["demo"],"members":60,"seed":2}`)
	if reply["key"] == key {
		t.Error("another seed has the same key")
	}
	a.want(200, post, "/jobs/"+dig(reply, "job", "id").(string)+"/cancel", "")
}

func TestHoursRefused(t *testing.T) {
	a, _ := oddsApp(t)
	for _, body := range []string{
		`{"weather":[]}`, `{"weather":["demo"],"members":3}`, `{"weather":["demo"],"every_s":1}`, `{"weather":["demo"],"sites":["Nowhere"]}`,
		`{"weather":["demo"],"from":"2027-04-18T00:00:00Z","to":"2027-04-17T00:00:00Z"}`, `{"weather":["demo"],"seed":-1}`,
	} {
		a.want(400, post, "/flights/lark/hours", body)
	}
	a.want(404, post, "/flights/none/hours", `{"weather":["demo"]}`)
}

func TestTrendAndSeasonOfTheDemo(t *testing.T) {
	a, _ := oddsApp(t)
	trend := a.work("/flights/lark/trend", `{"weather":["demo"],"members":60}`)
	if cycles := dig(trend, "document", "cycles").([]any); len(cycles) != 1 || dig(trend, "document", "agreement", "verdict") != "cannot tell" {
		t.Errorf("trend: %.300s", text(trend))
	}
	if regions := dig(dig(trend, "document", "cycles").([]any)[0], "landing", "regions").([]any); len(regions) != 2 {
		t.Errorf("%d regions of a cycle", len(regions))
	}
	season := a.work("/flights/lark/season", `{"weather":["demo"],"members":60}`)
	if dig(season, "document", "kind") != "season" || dig(season, "document", "days") != 1.0 || !strings.Contains(dig(season, "document", "label").(string), "not a forecast") {
		t.Errorf("season: %.300s", text(season))
	}
}

func TestWindsOfTheDemo(t *testing.T) {
	a, _ := oddsApp(t)
	w := a.want(200, post, "/flights/lark/winds", `{"weather":["demo"]}`)
	levels := w["levels"].([]any)
	// The invented sky is a formula: at 250 hPa, thirteen hours after its cycle.
	node := demo.Sky(40.0961, -99.2094, 250, 13*3600)
	found := false
	for _, l := range levels {
		level := l.(map[string]any)
		if level["pressure_pa"] != 25000.0 {
			continue
		}
		found = true
		// The file is packed to 0.1 m/s, with half-degree points and three-hourly steps.
		if speed := level["speed_mps"].(float64); math.Abs(speed-math.Hypot(node.East, node.North)) > 0.5 {
			t.Errorf("%v m/s at 250 hPa, the formula has %v", speed, math.Hypot(node.East, node.North))
		}
		height := float64(geo.Geometric(geo.Geopotential(node.Height), 40.0961))
		if alt := level["alt_m"].(float64); math.Abs(alt-height) > 15 || level["spread_mps"].(float64) <= 0 {
			t.Errorf("at %v m, the formula has %v; spread %v", alt, height, level["spread_mps"])
		}
	}
	if !found || levels[0].(map[string]any)["alt_m"].(float64) < 610 || w["age_s"] != 13*3600.0 {
		t.Errorf("%d levels from %v m, %v s old", len(levels), levels[0].(map[string]any)["alt_m"], w["age_s"])
	}
	a.want(422, post, "/flights/lark/winds", `{"weather":["demo"],"time":"2027-06-01T00:00:00Z"}`)
	a.want(400, post, "/flights/lark/winds", `{"weather":["demo"],"site":"Nowhere"}`)
}

// archive plays what brings forecasts: it writes the demo's file as one step.
type archive struct {
	fault error
	held  chan struct{} // closed once it may go on
	job   weather.Job
}

func (f *archive) Get(ctx context.Context, job weather.Job) (*weather.Report, error) {
	f.job = job
	job.Tell(weather.Progress{Octets: 500_000, WholeOctets: 2_000_000, Files: 1, WholeFiles: 4, Left: 6 * time.Second})
	if f.held != nil {
		select {
		case <-f.held:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	if f.fault != nil {
		return nil, f.fault
	}
	name := weather.Name{Source: job.Source.Name, Cycle: demo.Cycle, Member: -1, Step: 9 * 3600}
	_, data := demo.Forecast()
	if err := os.MkdirAll(job.Into, 0o755); err != nil {
		return nil, err
	}
	return &weather.Report{Source: job.Source.Name, Cycle: demo.Cycle, Fetched: int64(len(data))}, os.WriteFile(filepath.Join(job.Into, name.String()), data, 0o644)
}

func fetchApp(t *testing.T, f Fetcher) (*app, string) {
	t.Helper()
	folder := t.TempDir()
	book, err := sqlite.Open(context.Background(), filepath.Join(folder, "book.sqlite"))
	if err != nil {
		t.Fatal(err)
	}
	a := &app{TB: t, log: &bytes.Buffer{}}
	a.server, err = New(Config{
		Book: book, Now: time.Now, Version: "test", Log: slog.New(slog.NewTextHandler(a.log, nil)),
		Weather: Weather{Folder: folder},
		Archive: Archives{Sources: []weather.Source{{Name: "gfs025", Title: "GFS, 0.25 degree", GridDeg: 0.25}}, Client: f},
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		a.server.Close()
		book.Close()
	})
	_, document := demo.Flight()
	body, _ := json.Marshal(map[string]string{"document": string(document), "name": "Lark"})
	a.want(201, post, "/flights", string(body))
	return a, folder
}

// until waits for a job to reach a state.
func (a *app) until(id, state string) map[string]any {
	a.Helper()
	job := map[string]any{}
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if job = a.want(200, get, "/jobs/"+id, ""); job["state"] == state {
			return job
		}
	}
	a.Fatalf("the job is not %s: %s", state, text(job))
	return nil
}

func TestFetchKeepsOneForecastPerCycle(t *testing.T) {
	f := &archive{}
	a, _ := fetchApp(t, f)
	if list := a.want(200, get, "/weather-sources", "")["sources"].([]any); len(list) != 1 || f.job.Source.Name != "" {
		t.Fatalf("%d sources; a fetch before anyone asked: %v", len(list), f.job.Source.Name)
	}
	id := a.want(200, post, "/flights/lark/fetch", `{"source":"gfs025"}`)["id"].(string)
	a.until(id, "done")
	chosen := a.want(200, get, "/jobs/"+id+"/result", "")["id"].(string)
	if chosen != "cycle/gfs025_20270417T00Z" {
		t.Fatalf("chosen by %q", chosen)
	}
	// What is asked for covers the flight, with room around it.
	launch := time.Date(2027, 4, 17, 13, 0, 0, 0, time.UTC)
	if !f.job.From.Before(launch) || f.job.To.Before(launch.Add(2*time.Hour)) || f.job.TopAlt < 25000 || f.job.RadiusM != 1500e3 {
		t.Errorf("asked from %v to %v, to %v m, %v m around", f.job.From, f.job.To, f.job.TopAlt, f.job.RadiusM)
	}
	list := a.want(200, get, "/weather", "")["forecasts"].([]any)
	if len(list) != 1 || dig(list[0], "id") != chosen || dig(list[0], "kind") != "kept" {
		t.Fatalf("kept: %s", text(list))
	}
	a.work("/flights/lark/trend", `{"weather":["`+chosen+`"],"members":50}`)
	a.want(200, drop, "/weather/gfs025_20270417T00Z", "")
	if list := a.want(200, get, "/weather", "")["forecasts"].([]any); len(list) != 0 {
		t.Errorf("removed, yet %s", text(list))
	}
	a.want(200, post, "/weather/gfs025_20270417T00Z/restore", "")
	if list := a.want(200, get, "/weather", "")["forecasts"].([]any); len(list) != 1 {
		t.Errorf("restored: %s", text(list))
	}
	a.want(400, post, "/flights/lark/fetch", `{"source":"other"}`)
	a.want(400, post, "/flights/lark/fetch", `{"source":"gfs025","radius_m":3}`)
	a.want(400, post, "/flights/lark/fetch", `{"source":"gfs025","members":3}`)
}

func TestFetchIsToldStoppedAndDoneOnce(t *testing.T) {
	f := &archive{held: make(chan struct{})}
	a, _ := fetchApp(t, f)
	id := a.want(200, post, "/flights/lark/fetch", `{"source":"gfs025"}`)["id"].(string)
	if again := a.want(200, post, "/flights/lark/fetch", `{"source":"gfs025"}`)["id"]; again != id {
		t.Errorf("a second press began %v beside %v", again, id)
	}
	for end := time.Now().Add(5 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		job := a.want(200, get, "/jobs/"+id, "")
		if job["share"] == 0.25 {
			if job["text"] != "500 kB of 2.0 MB, 1 of 4 files, some 6 s left" {
				t.Errorf("told %q", job["text"])
			}
			break
		} else if time.Now().After(end) {
			t.Fatalf("never told: %s", text(job))
		}
	}
	if dig(a.want(200, get, "/weather-sources", ""), "job", "id") != id {
		t.Error("the fetch that is under way is not named")
	}
	a.want(200, post, "/jobs/"+id+"/cancel", "")
	a.until(id, "cancelled")
}

func TestFetchSaysWhyNothingCame(t *testing.T) {
	for words, fault := range map[string]error{
		"No network":     &weather.AwayError{Address: "http://archive.test/x.idx", Err: errors.New("dial")},
		"disk is full":   &weather.FullError{Path: "x"},
		"no cycle yet":   &weather.NotOutError{Source: "gfs025"},
		"out yet":        &weather.NotOutError{Source: "gfs025", Cycle: demo.Cycle},
		"left alone for": &weather.BusyError{Wait: 10 * time.Minute},
		"log in first":   &weather.PageError{Address: "http://archive.test/"},
		"another area":   &weather.OtherGridError{},
		"Nothing was":    errors.New("something else\nand more"),
	} {
		a, _ := fetchApp(t, &archive{fault: fault})
		id := a.want(200, post, "/flights/lark/fetch", `{"source":"gfs025"}`)["id"].(string)
		if said := a.until(id, "failed")["text"].(string); !strings.Contains(said, words) || strings.Contains(said, "\n") || strings.Contains(said, "command") {
			t.Errorf("%v: %q", fault, said)
		}
	}
}

func TestPrune(t *testing.T) {
	a, folder := fetchApp(t, &archive{})
	_, data := demo.Forecast()
	for _, name := range []string{"gfs025_20270416T18Z_f015.grib2", "gfs025_20270416T18Z_f018.grib2", "gfs025_20270417T00Z_f009.grib2", "gefs050_20270416T00Z_m00_f012.grib2", "sky.grib2"} {
		if err := os.MkdirAll(filepath.Join(folder, "weather"), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, "weather", name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	answer := a.want(200, post, "/weather-prune", `{"keep":1}`)
	if text(answer["removed"]) != `["gfs025_20270416T18Z"]` || text(answer["left_alone"]) != `["sky.grib2"]` || answer["bytes"] != float64(2*len(data)) {
		t.Errorf("pruned: %s", text(answer))
	}
	if list := dig(answer, "weather", "forecasts").([]any); len(list) != 3 {
		t.Errorf("left: %s", text(list))
	}
	if list := a.want(200, post, "/weather/gfs025_20270416T18Z/restore", "")["forecasts"].([]any); len(list) != 4 {
		t.Errorf("restored: %s", text(list))
	}
	a.want(400, post, "/weather-prune", `{"keep":-1}`)
}

// askWeather asks every operation about weather once, for the test that answers
// are as they are described.
func askWeather(ask func(method, template, path, body string)) {
	ask(get, "/weather-sources", "/weather-sources", "")
	ask(post, "/weather-prune", "/weather-prune", `{"keep":2}`)
	ask(post, "/flights/{id}/fetch", "/flights/lark/fetch", `{"source":"gfs025"}`)
	ask(post, "/flights/{id}/winds", "/flights/lark/winds", `{"weather":["demo"]}`)
	for _, kind := range []string{ofHours, ofTrend, ofSeason} {
		ask(post, "/flights/{id}/"+kind, "/flights/lark/"+kind, `{"weather":["demo"],"members":50}`)
	}
	ask(get, "/studies/{key}", "/studies/none", "")
	ask(get, "/studies/{key}/hours/{number}", "/studies/none/hours/0", "")
}

func TestWeatherAnswersAreAsDescribed(t *testing.T) {
	a, _ := oddsApp(t)
	d := described(t, a)
	check := func(method, template, path, body string) {
		t.Helper()
		if err := asDescribed(d, method, template, a.send(method, apiPrefix+path, body)); err != nil {
			t.Error(err)
		}
	}
	askWeather(check)
	key := a.work("/flights/lark/hours", `{"weather":["demo"],"members":50,"from":"2027-04-17T13:00:00Z","to":"2027-04-17T13:00:00Z"}`)["key"].(string)
	check(get, "/studies/{key}", "/studies/"+key, "")
	check(get, "/studies/{key}/hours/{number}", "/studies/"+key+"/hours/0", "")
	b, _ := fetchApp(t, &archive{})
	for _, path := range []string{"/weather-sources", "/flights/lark/fetch"} {
		method, body, template := get, "", path
		if path != "/weather-sources" {
			method, body, template = post, `{"source":"gfs025"}`, "/flights/{id}/fetch"
		}
		if err := asDescribed(d, method, template, b.send(method, apiPrefix+path, body)); err != nil {
			t.Error(err)
		}
	}
}
