package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pappus/demo"
	"pappus/ports/sqlite"
)

// oddsApp is an app with the demo's flight and sky, and a folder to keep files in.
func oddsApp(t *testing.T) (*app, string) {
	t.Helper()
	folder := t.TempDir()
	book, err := sqlite.Open(context.Background(), filepath.Join(folder, "book.sqlite"))
	if err != nil {
		t.Fatal(err)
	}
	a := &app{TB: t, log: &bytes.Buffer{}}
	a.server, err = New(Config{
		Book: book, Now: time.Now, Version: "test", Log: slog.New(slog.NewTextHandler(a.log, nil)),
		Weather: Weather{Folder: folder, Demo: true},
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

// finish asks for odds until they are ready, and answers their key.
func (a *app) finish(body string) string {
	a.Helper()
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		reply := a.want(200, post, "/flights/lark/odds", body)
		if reply["job"] == nil {
			return reply["key"].(string)
		}
		if state := dig(a.want(200, get, "/jobs/"+dig(reply, "job", "id").(string), ""), "state"); state == "failed" {
			a.Fatalf("the job failed: %s", text(a.want(200, get, "/jobs", "")))
		}
	}
	a.Fatal("the odds are not ready after a minute")
	return ""
}

func asFile(r *http.Request) { r.Header.Set("Content-Type", "application/octet-stream") }

func asForm(r *http.Request) { r.Header.Set("Content-Type", "text/plain") }

func (a *app) put(path string, data []byte) (int, string) {
	a.Helper()
	w := a.send("PUT", apiPrefix+path, string(data), asFile)
	return w.Code, w.Body.String()
}

func TestOddsOfTheDemo(t *testing.T) {
	a, _ := oddsApp(t)
	key := a.finish(`{"weather":["demo"],"members":400}`)
	shown := a.want(200, get, "/odds/"+key, "")
	odds := shown["odds"].(map[string]any)
	if odds["members"] != 400.0 || len(dig(odds, "landing", "regions").([]any)) != 2 || len(odds["not_looked_at"].([]any)) == 0 {
		t.Errorf("members %v, regions %s", odds["members"], text(dig(odds, "landing", "regions")))
	}
	lats := dig(shown, "up", "lat_deg").([]any)
	if math.Abs(lats[0].(float64)-40.0961) > 1e-4 {
		t.Errorf("the way up begins at %v, not at the launch of the file", lats[0])
	}
	// The shade is a density: its peak is full, and its cells are as many as it says.
	shade := shown["shade"].(map[string]any)
	cells, peak := shade["cells"].([]any), 0.0
	for _, c := range cells {
		peak = max(peak, c.(float64))
	}
	if float64(len(cells)) != shade["columns"].(float64)*shade["rows"].(float64) || peak != 255 {
		t.Errorf("%d cells in %v × %v, peak %v", len(cells), shade["columns"], shade["rows"], peak)
	}
	if ways := a.want(200, get, "/odds/"+key+"/ways?members=7", "")["ways"].([]any); len(ways) != 7 {
		t.Errorf("%d ways, 7 asked", len(ways))
	}
	for kind, begins := range map[string]string{"geojson": `{"type"`, "kml": "<?xml", "gpx": "<?xml", "csv": ""} {
		w := a.send(get, apiPrefix+"/odds/"+key+"/file/"+kind, "")
		if w.Code != 200 || !strings.HasPrefix(w.Body.String(), begins) || !strings.Contains(w.Header().Get("Content-Disposition"), `"lark.`+kind+`"`) {
			t.Errorf("%s: %d, %s, begins %.20q", kind, w.Code, w.Header().Get("Content-Disposition"), w.Body)
		}
	}
	a.want(404, get, "/odds/"+key+"/file/exe", "")
	a.want(404, get, "/odds/none", "")
}

func TestSameOddsAreWorkedOutOnce(t *testing.T) {
	a, _ := oddsApp(t)
	body := `{"weather":["demo"],"members":3000}`
	first := a.want(200, post, "/flights/lark/odds", body)
	second := a.want(200, post, "/flights/lark/odds", body)
	if first["key"] != second["key"] || (second["job"] != nil && dig(first, "job", "id") != dig(second, "job", "id")) {
		t.Errorf("the same question: %s and %s", text(first), text(second))
	}
	a.finish(body)
	if other := a.want(200, post, "/flights/lark/odds", `{"weather":["demo"],"members":3000,"seed":2}`); other["key"] == first["key"] {
		t.Error("another seed has the same key")
	} else {
		a.want(200, post, "/jobs/"+dig(other, "job", "id").(string)+"/cancel", "")
	}
}

func TestLaunchTriedAndMoved(t *testing.T) {
	a, _ := oddsApp(t)
	shown := a.want(200, post, "/flights/lark/odds/quick", `{"weather":["demo"],"lat_deg":40.3,"lon_deg":-99.0}`)
	if lat := dig(shown, "up", "lat_deg").([]any)[0].(float64); math.Abs(lat-40.3) > 1e-4 {
		t.Errorf("the way begins at %v, not where the launch is tried", lat)
	}
	// By spherical trigonometry, 40.0961 N 99.2094 W to 40.3 N 99.0 W is 28.8 km; the ellipsoid is within 0.5 %.
	if d := dig(shown, "moved", "distance_m").(float64); math.Abs(d-28800) > 200 {
		t.Errorf("moved by %v m", d)
	}
	if head := dig(a.want(200, get, "/flights/lark", ""), "flight", "head"); head != 1.0 {
		t.Errorf("a try made revision %v", head)
	}
	moved := a.want(200, post, "/flights/lark/launch", `{"from":1,"lat_deg":40.3,"lon_deg":-99.0,"place":"Hill","weather":["demo"]}`)
	if dig(moved, "summary", "lat_deg") != 40.3 || dig(moved, "summary", "place") != "Hill" || dig(moved, "revision", "number") != 2.0 {
		t.Errorf("moved: %s", text(moved["summary"]))
	}
	a.want(409, post, "/flights/lark/launch", `{"from":1,"lat_deg":41,"lon_deg":-99.0,"place":"Dale","weather":["demo"]}`)
	// The sky of the demo ends at 45.5 N: a launch outside is refused with words that say what it covers.
	if p := a.want(422, post, "/flights/lark/odds/quick", `{"weather":["demo"],"lat_deg":60,"lon_deg":-99.0}`); !strings.Contains(p["detail"].(string), "45.5") {
		t.Errorf("outside the sky: %v", p["detail"])
	}
	a.want(400, post, "/flights/lark/odds/quick", `{"weather":["demo"],"lat_deg":95,"lon_deg":0}`)
	a.want(400, post, "/flights/lark/odds/quick", `{"weather":["demo"],"lat_deg":40}`)
	a.want(400, post, "/flights/lark/odds", `{"weather":[]}`)
	a.want(400, post, "/flights/lark/odds", `{"weather":["given/0"]}`)
	a.want(400, post, "/flights/lark/odds", `{"weather":["kept/../book.sqlite"]}`)
}

func TestDroppedForecast(t *testing.T) {
	a, folder := oddsApp(t)
	_, sky := demo.Forecast()
	if code, body := a.put("/weather/sky.grib2", sky); code != 201 || !strings.Contains(body, `"steps":6`) {
		t.Fatalf("a good file: %d %s", code, body)
	}
	a.finish(`{"weather":["kept/sky.grib2"],"members":100}`)
	before := filesIn(t, folder)
	for name, data := range map[string][]byte{
		"sky.grib2":           sky[:len(sky)-100],
		"tail.grib2":          sky[:len(sky)-7000],
		"text.grib2":          []byte("no weather"),
		"nothing.grib2":       {},
		"table.csv":           []byte("alt_m,temperature_c\n1,2\n"),
		"..%2Fescape.grib2":   sky,
		".hidden.grib2":       sky,
		"sky.exe":             sky,
		"con%3Aaux%5Cx.grib2": sky,
	} {
		code, body := a.put("/weather/"+name, data)
		var p struct{ Detail string }
		if err := json.Unmarshal([]byte(body), &p); err != nil || code != 400 || p.Detail == "" || strings.Contains(p.Detail, "\n") {
			t.Errorf("%s: %d %s", name, code, body)
		}
	}
	if after := filesIn(t, folder); after != before {
		t.Errorf("broken files changed the folder from\n%s to\n%s", before, after)
	}
	if w := a.send("PUT", apiPrefix+"/weather/sky.grib2", "{}", asForm); w.Code != 415 {
		t.Errorf("a form's kind of body for a file: %d", w.Code)
	}
	a.want(200, drop, "/weather/sky.grib2", "")
	a.want(404, drop, "/weather/sky.grib2", "")
	a.want(400, post, "/flights/lark/odds", `{"weather":["kept/sky.grib2"]}`)
	if list := a.want(200, post, "/weather/sky.grib2/restore", ""); !strings.Contains(text(list), "kept/sky.grib2") {
		t.Errorf("restored: %s", text(list))
	}
}

func filesIn(t *testing.T, folder string) string {
	t.Helper()
	entries, err := os.ReadDir(filepath.Join(folder, "weather"))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, e := range entries {
		info, _ := e.Info()
		fmt.Fprintln(&b, e.Name(), info.Size(), info.ModTime().UnixNano())
	}
	return b.String()
}

func TestOwnAreas(t *testing.T) {
	a, _ := oddsApp(t)
	area := `{"type":"Feature","properties":{"kind":"keep out","name":"the range"},"geometry":{"type":"Polygon","coordinates":[[[-110,30],[-80,30],[-80,50],[-110,50],[-110,30]]]}}`
	if code, body := a.put("/flights/lark/areas", []byte(area)); code != 201 || !strings.Contains(body, `"kind":"keep out"`) {
		t.Fatalf("%d %s", code, body)
	}
	if code, body := a.put("/flights/lark/areas", []byte(`{"type":"Point"}`)); code != 400 || strings.Count(body, "\\n") > 0 {
		t.Errorf("no area: %d %s", code, body)
	}
	if code, _ := a.put("/flights/none/areas", []byte(area)); code != 404 {
		t.Errorf("no flight: %d", code)
	}
	// Every landing of the demo lies in that box.
	key := a.finish(`{"weather":["demo"],"members":50}`)
	if chances := text(dig(a.want(200, get, "/odds/"+key, ""), "odds", "chances")); !strings.Contains(chances, `{"probability":1,"what":"lands where you have drawn keep out"}`) {
		t.Errorf("chances %s", chances)
	}
	if left := a.want(200, drop, "/flights/lark/areas", ""); len(left["areas"].([]any)) != 0 {
		t.Errorf("left: %s", text(left))
	}
}

func TestGroundInABox(t *testing.T) {
	a, _ := oddsApp(t)
	// Hastings, Nebraska, has some 25,000 people and lies at 40.586 N 98.39 W.
	g := text(a.want(200, get, "/ground?south=40.4&west=-98.6&north=40.8&east=-98.2", ""))
	if !strings.Contains(g, `"name":"Hastings"`) || !strings.Contains(g, `"kind":"`) {
		t.Errorf("%.300s", g)
	}
	a.want(400, get, "/ground?south=40&west=-98&north=39&east=-97", "")
	a.want(400, get, "/ground?south=NaN&west=-98&north=39&east=-97", "")
	a.want(400, get, "/ground", "")
}

// askOdds asks every operation about odds once, for the test that answers are as
// they are described.
func askOdds(ask func(method, template, path, body string)) {
	ask(get, "/weather", "/weather", "")
	ask(drop, "/weather/{name}", "/weather/none.grib2", "")
	ask(post, "/weather/{name}/restore", "/weather/none.grib2/restore", "")
	ask(get, "/flights/{id}/areas", "/flights/lark/areas", "")
	ask(drop, "/flights/{id}/areas", "/flights/lark/areas", "")
	ask(post, "/flights/{id}/odds", "/flights/lark/odds", `{"weather":["demo"],"members":50}`)
	ask(post, "/flights/{id}/odds/quick", "/flights/lark/odds/quick", `{"weather":["demo"],"lat_deg":40,"lon_deg":-99}`)
	ask(post, "/flights/{id}/launch", "/flights/lark/launch", `{"from":1,"lat_deg":40,"lon_deg":-99,"weather":["demo"]}`)
	ask(get, "/odds/{key}", "/odds/none", "")
	ask(get, "/odds/{key}/ways", "/odds/none/ways", "")
	ask(get, "/ground", "/ground?south=40.4&west=-98.6&north=40.8&east=-98.2", "")
}

func TestOddsAnswersAreAsDescribed(t *testing.T) {
	a, _ := oddsApp(t)
	d := described(t, a)
	check := func(method, template, path, body string, alter ...func(*http.Request)) {
		w := a.send(method, apiPrefix+path, body, alter...)
		if err := asDescribed(d, method, template, w); err != nil {
			t.Error(err)
		}
	}
	key := a.finish(`{"weather":["demo"],"members":50}`)
	askOdds(func(method, template, path, body string) { check(method, template, path, body) })
	check(get, "/odds/{key}", "/odds/"+key, "")
	check(get, "/odds/{key}/ways", "/odds/"+key+"/ways", "")
	_, sky := demo.Forecast()
	check("PUT", "/weather/{name}", "/weather/sky.grib2", string(sky), asFile)
	check("PUT", "/weather/{name}", "/weather/sky.grib2", "x", asFile)
	check("PUT", "/flights/{id}/areas", "/flights/lark/areas", `{"type":"Polygon","coordinates":[[[1,1],[2,1],[2,2],[1,1]]]}`, asFile)
	check(get, "/weather", "/weather", "")
}
