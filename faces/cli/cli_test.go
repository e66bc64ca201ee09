package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"pappus/demo"
)

// answer runs a command line and gives back what a person would see.
func answer(t *testing.T, words ...string) (status int, out, err string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	desk := Desk{Out: &stdout, Err: &stderr, Workers: 2}
	status = desk.Run(context.Background(), words)
	return status, stdout.String(), stderr.String()
}

// demoFiles lays the demo's flight and forecast in a folder.
func demoFiles(t *testing.T) (flight, weather string) {
	t.Helper()
	folder := t.TempDir()
	_, text := demo.Flight()
	_, sky := demo.Forecast()
	flight, weather = filepath.Join(folder, "flight.toml"), filepath.Join(folder, "sky.grib2")
	for path, data := range map[string][]byte{flight: text, weather: sky} {
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return flight, weather
}

func decode(t *testing.T, text string) map[string]any {
	t.Helper()
	document := map[string]any{}
	if err := json.Unmarshal([]byte(text), &document); err != nil {
		t.Fatalf("no JSON document: %v\n%.300s", err, text)
	}
	return document
}

// at follows dotted keys into a document.
func at(t *testing.T, document any, path string) any {
	t.Helper()
	for _, key := range strings.Split(path, ".") {
		switch d := document.(type) {
		case map[string]any:
			v, ok := d[key]
			if !ok {
				t.Fatalf("the answer has no %s", path)
			}
			document = v
		case []any:
			if len(d) == 0 {
				t.Fatalf("%s: an empty list", path)
			}
			if object, ok := d[0].(map[string]any); ok {
				document = object[key]
			} else {
				document = d[0]
			}
		}
	}
	return document
}

func TestDemoPageIsReadable(t *testing.T) {
	status, out, errs := answer(t, "demo", "--once")
	if status != 0 || errs != "" {
		t.Fatalf("status %d, %s", status, errs)
	}
	for _, line := range strings.Split(out, "\n") {
		if utf8.RuneCountInString(line) > 82 {
			t.Errorf("a line of %d characters: %s", utf8.RuneCountInString(line), line)
		}
	}
	for _, part := range []string{"How much", "Way up", "Way down", "What to watch", "Where and when", "Map, north up", "Not looked at", "How sure this is"} {
		if !strings.Contains(out, part) {
			t.Errorf("the page has no part %q", part)
		}
	}
	if bad := regexp.MustCompile(`NaN|Inf|%!|unknown`).FindString(out); bad != "" {
		t.Errorf("the page shows %q", bad)
	}
}

// The keys that others rely on.
func TestPlanKeys(t *testing.T) {
	flight, _ := demoFiles(t)
	status, out, errs := answer(t, "plan", flight, "--json", "--members", "100")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	document := decode(t, out)
	for _, path := range []string{
		"lift.gross_kg", "lift.neck_kg", "lift.free_kg", "gas.volume_m3", "gas.mass_kg", "gas.standard_ft3",
		"gas.cylinders.content_m3", "gas.cylinders.used_share", "ascent.launch_rate_mps", "ascent.mean_rate_mps", "ascent.duration_s",
		"ascent.profile.alt_m", "ascent.profile.rate_mps", "ascent.profile.diameter_m", "burst.nominal_alt_m", "burst.diameter_m",
		"burst.alt_m.p10", "burst.alt_m.p50", "burst.alt_m.p90", "descent.peak_speed_mps", "descent.landing_speed_mps",
		"descent.falling_energy_j", "descent.landing_energy_j", "descent.duration_s", "budget", "cautions.id", "cautions.text", "cautions.why",
	} {
		at(t, document, path)
	}
	rows := document["ascent"].(map[string]any)["profile"].([]any)
	last := 610.0
	for _, r := range rows {
		alt := r.(map[string]any)["alt_m"].(float64)
		if alt-last > 250 || alt < last {
			t.Fatalf("the profile jumps from %.0f to %.0f m", last, alt)
		}
		last = alt
	}
}

func TestOddsKeysAndSameBytes(t *testing.T) {
	flight, weather := demoFiles(t)
	status, out, errs := answer(t, "odds", flight, "--json", "--members", "200", "--seed", "7", "--weather", weather)
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	document := decode(t, out)
	for _, path := range []string{
		"nominal.burst.lat_deg", "nominal.burst.lon_deg", "nominal.burst.alt_m", "nominal.burst.time", "nominal.landing.lat_deg",
		"members", "seed", "landing.median.lat_deg", "landing.radius_50_m", "landing.radius_90_m", "landing.regions.probability",
		"landing.regions.area_km2", "landing.regions.geometry", "burst.median.alt_m", "burst.radius_50_m", "burst.radius_90_m",
		"chances.what", "chances.probability", "not_looked_at", "weather.source", "weather.cycle", "weather.age_s", "weather.levels_top_m", "weather.held",
	} {
		at(t, document, path)
	}
	if age := at(t, document, "weather.age_s"); age != 13*3600.0 {
		t.Errorf("the forecast is %v s old at launch, want 13 h", age)
	}
	desk := Desk{Err: &bytes.Buffer{}, Workers: 1}
	var again bytes.Buffer
	desk.Out = &again
	desk.Run(context.Background(), []string{"odds", "--seed=7", "--members=200", "--weather", weather, "--json", "--", flight})
	if again.String() != out {
		t.Error("the same seed with another number of workers gives other bytes")
	}
}

func TestNominalOnly(t *testing.T) {
	flight, weather := demoFiles(t)
	status, out, errs := answer(t, "odds", flight, "--nominal-only", "--json", "--weather", weather)
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	document := decode(t, out)
	at(t, document, "nominal.landing.time")
	for _, key := range []string{"landing", "members", "chances"} {
		if _, there := document[key]; there {
			t.Errorf("a central flight alone has the key %s", key)
		}
	}
}

func TestWeatherCommands(t *testing.T) {
	_, weather := demoFiles(t)
	status, out, errs := answer(t, "weather", "at", weather, "--lat", "40", "--lon", "260.5", "--json")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	document := decode(t, out)
	profile := at(t, document, "profile").([]any)
	if len(profile) != len(demo.Levels) {
		t.Fatalf("%d rows, want %d", len(profile), len(demo.Levels))
	}
	for _, key := range []string{"alt_m", "pressure_pa", "temperature_k", "wind_east_mps", "wind_north_mps"} {
		at(t, profile[0], key)
	}
	if document["lon_deg"] != -99.5 {
		t.Errorf("longitude 260.5 is answered as %v", document["lon_deg"])
	}
	status, out, errs = answer(t, "weather", "show", weather, "--json")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	for _, key := range []string{"parameter", "level", "time", "step_s", "grid", "packing", "min", "max"} {
		at(t, decode(t, out), "messages."+key)
	}
}

func TestNewNeverOverwrites(t *testing.T) {
	path := filepath.Join(t.TempDir(), "mine.toml")
	if status, _, errs := answer(t, "new", path); status != 0 {
		t.Fatal(errs)
	}
	first, _ := os.ReadFile(path)
	status, _, errs := answer(t, "new", path, "--kind", "heavy")
	again, _ := os.ReadFile(path)
	if status != exitInput || !strings.Contains(errs, "already") || !bytes.Equal(first, again) {
		t.Errorf("status %d, %q", status, errs)
	}
	if status, _, errs := answer(t, "plan", path); status != 0 {
		t.Errorf("the written file does not plan: %s", errs)
	}
}

// Each wrong use or input ends with its own status and at least one line that
// says what to do, and prints nothing as an answer.
func TestWrongWords(t *testing.T) {
	flight, weather := demoFiles(t)
	broken := filepath.Join(t.TempDir(), "broken.toml")
	if err := os.WriteFile(broken, []byte("format = 1\n[launch]\nlatitude = 95\nhorizon = 3\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		words  []string
		status int
		says   string
	}{
		{[]string{"fly"}, exitUsage, "no command"},
		{[]string{"plan"}, exitUsage, "flight file"},
		{[]string{"plan", flight, "--wind", "3"}, exitUsage, "unknown flag"},
		{[]string{"plan", flight, "--units", "furlong"}, exitUsage, "neither"},
		{[]string{"odds", flight}, exitUsage, "--weather"},
		{[]string{"odds", flight, "--weather"}, exitUsage, "needs a value"},
		{[]string{"odds", flight, "--weather", weather, "--members", "-3"}, exitUsage, "whole number"},
		{[]string{"weather", "at", weather, "--lat", "-95", "--lon", "3"}, exitUsage, "latitude"},
		{[]string{"rules", flight, "--text", "XX"}, exitUsage, "none of US, ICAO"},
		{[]string{"weather"}, exitUsage, "no command"},
		{[]string{"plan", "nowhere.toml"}, exitInput, "no such file"},
		{[]string{"plan", broken}, exitInput, "broken.toml:3: launch.latitude"},
		{[]string{"odds", flight, "--weather", "nowhere"}, exitInput, "no such file"},
		{[]string{"odds", flight, "--weather", flight}, exitInput, "flight.toml"},
		{[]string{"weather", "at", weather, "--lat", "-25.03", "--lon", "128.3"}, exitInput, "outside"},
	} {
		status, out, errs := answer(t, c.words...)
		if status != c.status || !strings.Contains(errs, c.says) || out != "" {
			t.Errorf("pappus %s: status %d, want %d; %q must contain %q; printed %q", strings.Join(c.words, " "), status, c.status, errs, c.says, out)
		}
	}
}

func TestManualIsCurrent(t *testing.T) {
	kept, err := os.ReadFile(filepath.Join("..", "..", "doc", "cli.md"))
	if err != nil {
		t.Fatal(err)
	}
	if string(kept) != Manual() {
		t.Error("doc/cli.md is not what the commands say: go run ./tools/clidoc")
	}
}

func TestEveryCommandHelpsWithAnExample(t *testing.T) {
	for _, c := range commands() {
		status, out, _ := answer(t, append(strings.Fields(c.name), "--help")...)
		if status != 0 || !strings.Contains(out, "example\n  pappus "+c.name) {
			t.Errorf("pappus %s --help: status %d\n%s", c.name, status, out)
		}
	}
}

func TestHelpForAGroupOfCommands(t *testing.T) {
	status, out, errs := answer(t, "weather", "--help")
	if status != exitAnswered || errs != "" || !strings.Contains(out, "pappus weather at PATH…") || !strings.Contains(out, "pappus weather show") || strings.Contains(out, "odds") {
		t.Errorf("status %d, %q\n%s", status, errs, out)
	}
}

// An interrupt ends with nothing printed and nothing written.
func TestInterruptWritesNothing(t *testing.T) {
	flight, weather := demoFiles(t)
	exported := filepath.Join(t.TempDir(), "odds.geojson")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errs bytes.Buffer
	desk := Desk{Out: &out, Err: &errs, Workers: 2}
	status := desk.Run(ctx, []string{"odds", flight, "--weather", weather, "--geojson", exported})
	if _, err := os.Stat(exported); status != exitFault || out.Len() != 0 || err == nil || !strings.Contains(errs.String(), "stopped") {
		t.Errorf("status %d, printed %q, said %q", status, out.String(), errs.String())
	}
}

// A plan through a forecast says which one, and where it had to hold a value,
// as the odds do; in the standard atmosphere there is nothing to say.
func TestPlanSaysWhatItsForecastHeld(t *testing.T) {
	flight, _ := demoFiles(t)
	table := filepath.Join(t.TempDir(), "low.csv")
	rows := "alt_m,temperature_c,wind_from_deg,wind_speed_mps\n0,15,270,5\n12000,-60,270,20\n"
	if err := os.WriteFile(table, []byte(rows), 0o644); err != nil {
		t.Fatal(err)
	}
	var plan struct {
		Weather *struct {
			Source string `json:"source"`
			Held   []struct {
				What  string  `json:"what"`
				Share float64 `json:"share"`
			} `json:"held"`
		} `json:"weather"`
	}
	for _, more := range [][]string{{"--members", "20"}, {"--nominal-only"}} {
		_, out, errs := answer(t, append([]string{"plan", flight, "--weather", table, "--json"}, more...)...)
		if err := json.Unmarshal([]byte(out), &plan); err != nil {
			t.Fatal(err)
		}
		if w := plan.Weather; w == nil || len(w.Held) != 1 || w.Held[0].Share != 1 || !strings.Contains(w.Source, "low.csv") {
			t.Errorf("%v: weather is %+v", more, w)
		}
		if strings.Count(errs, "warning: wind above the top level from 12000 m") != 1 {
			t.Errorf("%v: warned %q", more, errs)
		}
	}
	if _, out, errs := answer(t, "plan", flight, "--json", "--nominal-only"); errs != "" || strings.Contains(out, `"weather"`) {
		t.Errorf("standard atmosphere: %q", errs)
	}
}
