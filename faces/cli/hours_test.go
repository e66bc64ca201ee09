package cli

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pappus/demo"
	"pappus/measure/geo"
)

// The demo's launch as the test's clock.
const demoLaunch = "2027-04-17T13:00:00Z"

func point(t *testing.T, document any, path string) geo.Point {
	t.Helper()
	return geo.Point{LatDeg: at(t, document, path+".lat_deg").(float64), LonDeg: at(t, document, path+".lon_deg").(float64)}
}

// The same hour, seed and members give what odds gives: the sky is read for
// another stretch of time, which moves a landing by rounding alone (1 m).
func TestHoursAnswerAsOdds(t *testing.T) {
	flight, weather := demoFiles(t)
	status, out, errs := answer(t, "hours", flight, "--weather", weather, "--from", "2027-04-17T07:00", "--to", "2027-04-17T09:00", "--json", "--members", "200", "--seed", "9", "--regions")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	hour := at(t, decode(t, out), "hours").([]any)[1]
	if at(t, hour, "time") != demoLaunch {
		t.Fatalf("the second hour is %v", at(t, hour, "time"))
	}
	status, out, errs = answer(t, "odds", flight, "--weather", weather, "--json", "--members", "200", "--seed", "9")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	odds := decode(t, out)
	if way, _, _ := geo.Inverse(point(t, hour, "landing.median"), point(t, odds, "landing.median")); way > 1 {
		t.Errorf("the medians lie %.2f m apart", way)
	}
	for _, path := range []string{"landing.radius_50_m", "landing.radius_90_m", "landing.drift_m.p50"} {
		if a, b := at(t, hour, path).(float64), at(t, odds, path).(float64); math.Abs(a-b) > 1 {
			t.Errorf("%s: %v in hours, %v in odds", path, a, b)
		}
	}
	if a, b := len(at(t, hour, "landing.regions").([]any)), len(at(t, odds, "landing.regions").([]any)); a != b || a == 0 {
		t.Errorf("%d regions in hours, %d in odds", a, b)
	}
	chances := map[string]float64{}
	for _, c := range at(t, odds, "chances").([]any) {
		chances[at(t, c, "what").(string)] = at(t, c, "probability").(float64)
	}
	same := 0
	for _, c := range at(t, hour, "chances").([]any) {
		if p, there := chances[at(t, c, "what").(string)]; there {
			same++
			if p != at(t, c, "probability") {
				t.Errorf("%v: %v in hours, %v in odds", at(t, c, "what"), at(t, c, "probability"), p)
			}
		}
	}
	if same < 3 {
		t.Errorf("only %d chances are told in the same words", same)
	}
	if at(t, hour, "forecast_age_s") != at(t, odds, "weather.age_s") {
		t.Error("the forecast is of another age")
	}
}

func TestHoursKeysTableAndSameBytes(t *testing.T) {
	flight, weather := demoFiles(t)
	table := filepath.Join(t.TempDir(), "hours.csv")
	words := []string{"hours", flight, "--weather", weather, "--from", "2027-04-17T08:00:00-05:00", "--to", "2027-04-17T23:00:00Z", "--every", "2h", "--json", "--members", "50", "--csv", table}
	status, out, errs := answer(t, words...)
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	document := decode(t, out)
	for _, path := range []string{"summary", "limits.id", "limits.own", "weather.cycle", "not_looked_at", "hours.time", "hours.site", "hours.verdict", "hours.reasons", "hours.drift_m", "hours.bearing_deg",
		"hours.landing.median.lat_deg", "hours.landing.radius_50_m", "hours.landing.radius_90_m", "hours.chances.what", "hours.chances.probability",
		"hours.at_launch.wind_mps", "hours.at_landing.wind_source", "hours.light.daylight_left_s", "hours.rank"} {
		at(t, document, path)
	}
	list := at(t, document, "hours").([]any)
	if len(list) != 6 {
		t.Fatalf("%d hours, want 13, 15, 17, 19, 21, 23 UTC", len(list))
	}
	// The demo's files end at 00 UTC, before the last launch has landed.
	last := list[5].(map[string]any)
	if last["verdict"] != "wait" || last["drift_m"] != nil || last["landing"] != nil || !strings.Contains(last["reasons"].([]any)[0].(string), "no forecast") {
		t.Errorf("the last hour is answered as %v", last)
	}
	data, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil || len(rows) != 7 || rows[1][0] != demoLaunch || rows[6][5] != "" {
		t.Errorf("table: %v, %d rows", err, len(rows))
	}
	desk := Desk{Err: &bytes.Buffer{}, Workers: 1}
	var again bytes.Buffer
	desk.Out = &again
	desk.Run(context.Background(), words)
	if again.String() != out {
		t.Error("another number of workers gives other bytes")
	}
}

func TestHoursPageIsReadable(t *testing.T) {
	flight, weather := demoFiles(t)
	text, err := os.ReadFile(flight)
	if err != nil {
		t.Fatal(err)
	}
	more := "\n[[site]]\nname = \"A rather long name of a site\"\nlatitude = 40.4\nlongitude = -98.6\nelevation = \"560 m\"\n\n[limits]\nlaunch_wind = \"0.1 m/s\"\n"
	if err := os.WriteFile(flight, append(text, more...), 0o644); err != nil {
		t.Fatal(err)
	}
	status, out, errs := answer(t, "hours", flight, "--weather", weather, "--from", "2027-04-17T06:00", "--to", "2027-04-17T20:00", "--members", "40")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	for _, line := range strings.Split(out, "\n") {
		if utf8.RuneCountInString(line) > 82 {
			t.Errorf("a line of %d characters: %s", utf8.RuneCountInString(line), line)
		}
	}
	for _, part := range []string{"Of 30 launches: 0 go", "Best first", "08:00", "A rather long… no", "your limit is at most", "What speaks against hours", "Not looked at"} {
		if !strings.Contains(out, part) {
			t.Errorf("the page has no %q\n%s", part, out)
		}
	}
	if strings.Contains(out, "NaN") || strings.Contains(out, "%!") {
		t.Error("the page shows a hole")
	}
	status, out, _ = answer(t, "hours", flight, "--weather", weather, "--from", "2027-04-17T08:00", "--to", "2027-04-17T08:00", "--members", "40", "--sites", "A rather long name of a site", "--json")
	if status != 0 || at(t, decode(t, out), "hours.site") != "A rather long name of a site" || len(at(t, decode(t, out), "hours").([]any)) != 1 {
		t.Errorf("one site alone: status %d\n%.400s", status, out)
	}
}

func TestHoursWrongWords(t *testing.T) {
	flight, weather := demoFiles(t)
	for _, c := range []struct {
		more   []string
		status int
		says   string
	}{
		{[]string{"--from", "2027-04-17T08:00"}, exitUsage, "--to"},
		{[]string{"--from", "soon", "--to", "2027-04-17T08:00"}, exitUsage, "no instant"},
		{[]string{"--from", "2027-04-17T08:00", "--to", "2027-04-17T07:00"}, exitUsage, "ends before"},
		{[]string{"--from", "2027-04-17T08:00", "--to", "2027-04-17T09:00", "--every", "often"}, exitUsage, "--every"},
		{[]string{"--from", "2027-04-17T08:00", "--to", "2027-04-17T09:00", "--sites", "nowhere"}, exitUsage, "no site"},
		{[]string{"--from", "2027-04-17T08:00", "--to", "2027-04-17T09:00", "--csv", flight}, exitUsage, "not overwritten"},
		{[]string{"--from", "2028-04-17T08:00", "--to", "2028-04-17T09:00"}, exitInput, "none of the 2 launches"},
	} {
		status, out, errs := answer(t, append([]string{"hours", flight, "--weather", weather}, c.more...)...)
		if status != c.status || !strings.Contains(errs, c.says) || out != "" {
			t.Errorf("%v: status %d, want %d; %q must contain %q", c.more, status, c.status, errs, c.says)
		}
	}
}

// A table has no cycle: it serves any hour, is of no age, and says so.
func TestHoursThroughATable(t *testing.T) {
	flight, weather := demoFiles(t)
	text, err := os.ReadFile(flight)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(flight, append(text, "\n[limits]\ntown = \"50 %\"\n"...), 0o644); err != nil {
		t.Fatal(err)
	}
	table := filepath.Join(filepath.Dir(weather), "own.csv")
	if err := os.WriteFile(table, []byte("alt_m,wind_from_deg,wind_speed_mps\n600,270,3\n12000,270,20\n35000,270,10\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	status, out, errs := answer(t, "hours", flight, "--weather", table, "--from", "2027-04-17T08:00", "--to", "2027-04-17T10:00", "--json", "--members", "30")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	for _, h := range at(t, decode(t, out), "hours").([]any) {
		unseen := at(t, h, "not_looked_at").([]any)
		if at(t, h, "verdict") != "go" || at(t, h, "forecast_age_s") != nil || !slices.Contains(unseen, any("age of the forecast at launch")) {
			t.Errorf("%v", h)
		}
	}
	if err := os.WriteFile(table, []byte("alt_m,wind_speed\n600,270\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if status, _, errs := answer(t, "hours", flight, "--weather", table, "--from", "2027-04-17T08:00", "--to", "2027-04-17T10:00"); status != exitInput || !strings.Contains(errs, "own.csv") {
		t.Errorf("a broken table: status %d, %s", status, errs)
	}
}

func TestHoursStopCleanly(t *testing.T) {
	flight, weather := demoFiles(t)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errs bytes.Buffer
	desk := Desk{Out: &out, Err: &errs, Workers: 2}
	status := desk.Run(ctx, []string{"hours", flight, "--weather", weather, "--from", "2027-04-17T08:00", "--to", "2027-04-17T12:00"})
	if status != exitFault || out.Len() > 0 || !strings.Contains(errs.String(), "stopped") {
		t.Errorf("status %d, printed %q, said %q", status, out.String(), errs.String())
	}
}

// derived shifts the reference time of every message of a file by some hours,
// and the forecast time by as much the other way, so that the same sky becomes
// an older cycle's; with shiftValid the valid time moves along, so that it
// becomes another day's. Octets by section 1 and product template 4.0.
func derived(t *testing.T, data []byte, hours int, shiftValid bool) []byte {
	t.Helper()
	out := slices.Clone(data)
	for at := 0; at < len(out); {
		total := int(binary.BigEndian.Uint64(out[at+8:]))
		for section := at + 16; section < at+total-4; {
			length := int(binary.BigEndian.Uint32(out[section:]))
			switch o := out[section:]; o[4] {
			case 1:
				reference := time.Date(int(binary.BigEndian.Uint16(o[12:])), time.Month(o[14]), int(o[15]), int(o[16]), 0, 0, 0, time.UTC).Add(time.Duration(hours) * time.Hour)
				binary.BigEndian.PutUint16(o[12:], uint16(reference.Year()))
				o[14], o[15], o[16] = byte(reference.Month()), byte(reference.Day()), byte(reference.Hour())
			case 4:
				unit := map[byte]int{0: 60, 1: 1, 13: 3600}[o[17]] // in an hour
				if unit == 0 {
					t.Fatalf("forecast time in unit %d", o[17])
				}
				if !shiftValid {
					binary.BigEndian.PutUint32(o[18:], binary.BigEndian.Uint32(o[18:])-uint32(hours*unit))
				}
			}
			section += length
		}
		at += total
	}
	return out
}

func TestTrendOverDerivedCycles(t *testing.T) {
	flight, weather := demoFiles(t)
	_, sky := demo.Forecast()
	folder := filepath.Dir(weather)
	for _, back := range []int{6, 12} {
		if err := os.WriteFile(filepath.Join(folder, "older"+itoa(back)+".grib2"), derived(t, sky, -back, false), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	status, out, errs := answer(t, "trend", flight, "--weather", folder, "--json", "--members", "60")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	document := decode(t, out)
	for _, path := range []string{"cycles.cycle", "cycles.age_s", "cycles.landing.median.lat_deg", "cycles.landing.radius_50_m", "cycles.moved_m", "agreement.verdict", "agreement.text", "not_looked_at"} {
		at(t, document, path)
	}
	cycles := at(t, document, "cycles").([]any)
	if len(cycles) != 3 || at(t, cycles[2], "age_s") != 25*3600.0 || at(t, document, "agreement.verdict") != "cannot tell" {
		t.Errorf("cycles %v", cycles)
	}
	if status, out, errs = answer(t, "trend", flight, "--weather", folder, "--members", "60"); status != 0 || !strings.Contains(out, "2027-04-16 12:00") || !strings.Contains(out, "Cannot tell") {
		t.Errorf("status %d, %s\n%s", status, errs, out)
	}
	status, out, errs = answer(t, "odds", flight, "--weather", folder, "--lagged", "--json", "--members", "60")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	document = decode(t, out)
	if at(t, document, "weather.members") != 3.0 || at(t, document, "weather.cycle") != "2027-04-17T00:00:00Z" || !strings.Contains(at(t, document, "weather.notes").([]any)[0].(string), "lagged") {
		t.Errorf("lagged odds stand on %v", document["weather"])
	}
}

func TestSeasonOverDerivedDays(t *testing.T) {
	flight, weather := demoFiles(t)
	_, sky := demo.Forecast()
	folder := filepath.Dir(weather)
	for _, days := range []int{2, 365} {
		if err := os.WriteFile(filepath.Join(folder, "past"+itoa(days)+".grib2"), derived(t, sky, -24*days, true), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	status, out, errs := answer(t, "season", flight, "--weather", folder, "--json", "--members", "40")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	document := decode(t, out)
	if at(t, document, "kind") != "season" || at(t, document, "days") != 3.0 || len(at(t, document, "rose").([]any)) != 8 {
		t.Errorf("%.600s", out)
	}
	for _, path := range []string{"label", "landing.median.lat_deg", "landing.drift_m.p50", "rose.share", "chances.probability", "flown.day", "not_looked_at"} {
		at(t, document, path)
	}
	if at(t, document, "flown.day") != "2026-04-17" || at(t, document, "flown.launch") != "2026-04-17T13:00:00Z" {
		t.Errorf("the first day is %v", at(t, document, "flown.day"))
	}
	status, out, errs = answer(t, "season", flight, "--weather", folder, "--members", "40", "--days", "2027-04-15")
	if status != 0 || !strings.Contains(out, "not a forecast") || !strings.Contains(out, "On 1 past day") {
		t.Errorf("status %d, %s\n%s", status, errs, out)
	}
	if status, _, errs = answer(t, "season", flight, "--weather", folder, "--days", "2020-04-15"); status != exitInput || !strings.Contains(errs, "no past day") {
		t.Errorf("a day that is not there: status %d, %s", status, errs)
	}
	if status, _, errs = answer(t, "season", flight, "--weather", folder, "--days", "soon"); status != exitUsage || !strings.Contains(errs, "no day") {
		t.Errorf("status %d, %s", status, errs)
	}
}

// keepSteps leaves out the messages whose forecast time does not serve.
func keepSteps(t *testing.T, data []byte, serves func(hour int) bool) []byte {
	t.Helper()
	var out []byte
	for at := 0; at < len(data); {
		total := int(binary.BigEndian.Uint64(data[at+8:]))
		hour := -1
		for section := at + 16; section < at+total-4; section += int(binary.BigEndian.Uint32(data[section:])) {
			if o := data[section:]; o[4] == 4 {
				hour = int(binary.BigEndian.Uint32(o[18:])) / map[byte]int{0: 60, 1: 1, 13: 3600}[o[17]]
			}
		}
		if serves(hour) {
			out = append(out, data[at:at+total]...)
		}
		at += total
	}
	return out
}

// The newest cycle that covers a launch serves it: here the newest begins at 15
// UTC, and one derived as 6 hours older covers the morning. A third, older still,
// lacks its middle steps and serves nobody.
func TestHoursTakeTheNewestOfDerivedCycles(t *testing.T) {
	flight, weather := demoFiles(t)
	_, sky := demo.Forecast()
	folder := filepath.Dir(weather)
	for name, data := range map[string][]byte{
		"sky.grib2":   keepSteps(t, sky, func(hour int) bool { return hour >= 15 }),
		"older.grib2": derived(t, sky, -6, false),
		"third.grib2": derived(t, keepSteps(t, sky, func(hour int) bool { return hour <= 9 }), -12, false),
	} {
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	status, out, errs := answer(t, "hours", flight, "--weather", folder, "--from", "2027-04-17T12:00:00Z", "--to", "2027-04-17T18:00:00Z", "--every", "2h", "--json", "--members", "30")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	ages := map[string]float64{"2027-04-17T12:00:00Z": 18, "2027-04-17T14:00:00Z": 20, "2027-04-17T16:00:00Z": 16, "2027-04-17T18:00:00Z": 18}
	for _, h := range at(t, decode(t, out), "hours").([]any) {
		if age := at(t, h, "forecast_age_s"); age != ages[at(t, h, "time").(string)]*3600 {
			t.Errorf("%v: the forecast is %v s old", at(t, h, "time"), age)
		}
	}
	if n := len(at(t, decode(t, out), "weather").([]any)); n != 2 {
		t.Errorf("%d forecasts served, want two", n)
	}
}
