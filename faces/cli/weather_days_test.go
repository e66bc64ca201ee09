package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"pappus/air/grib2"
	"pappus/demo"
)

// pastArchive plays an archive of past days on the loopback. Its days are derived:
// the demo's sky, with other dates.
type pastArchive struct {
	*httptest.Server
	files map[string][]byte

	lock  sync.Mutex
	asked []string // paths of the data, in order of arrival
	cutAt int      // after so many requests for data every further one fails; 0: none does
}

func newPastArchive(t *testing.T, days ...string) *pastArchive {
	t.Helper()
	p := &pastArchive{files: map[string][]byte{}}
	_, sky := demo.Forecast()
	for _, text := range days {
		day, err := time.Parse(time.DateOnly, text)
		if err != nil {
			t.Fatal(err)
		}
		p.lay(t, "new/"+day.Format("20060102"), derived(t, sky, int(day.Sub(demo.Cycle).Hours()), true))
	}
	p.Server = httptest.NewServer(http.HandlerFunc(p.serve))
	t.Cleanup(p.Close)
	return p
}

// lay puts a forecast into a folder of the archive, one file a step, with indexes.
func (p *pastArchive) lay(t *testing.T, folder string, data []byte) {
	t.Helper()
	fields, faults := grib2.Scan(data)
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	names := map[string]string{"gh": "HGT", "t": "TMP", "u": "UGRD", "v": "VGRD", "r": "RH", "orog": "HGT"}
	for _, f := range fields {
		hour := f.Product.ForecastSeconds / 3600
		path := fmt.Sprintf("%s/f%03d", folder, hour)
		level := fmt.Sprintf("%g mb", f.Product.First.Value/100)
		if f.Parameter() == "orog" {
			level = "surface"
		}
		index := p.files[path+".idx"]
		p.files[path+".idx"] = fmt.Appendf(index, "%d:%d:d=%s:%s:%s:%d hour fcst:\n", bytes.Count(index, []byte("\n"))+1, len(p.files[path]),
			f.Reference.Format("2006010215"), names[f.Parameter()], level, hour)
		p.files[path] = append(p.files[path], data[f.Offset:f.Offset+f.Length]...)
	}
}

func (p *pastArchive) serve(w http.ResponseWriter, r *http.Request) {
	path := strings.TrimPrefix(r.URL.Path, "/")
	if !strings.HasSuffix(path, ".idx") {
		p.lock.Lock()
		p.asked = append(p.asked, path)
		cut := p.cutAt > 0 && len(p.asked) > p.cutAt
		p.lock.Unlock()
		if cut {
			panic(http.ErrAbortHandler) // the connection breaks off
		}
	}
	data, there := p.files[path]
	if !there {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("ETag", `"one"`)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
}

// again forgets what was asked and sets where the next cut comes.
func (p *pastArchive) again(cutAt int) (asked []string) {
	p.lock.Lock()
	defer p.lock.Unlock()
	asked, p.asked, p.cutAt = p.asked, nil, cutAt
	return asked
}

// settings name the archive, with another layout before 2023.
func (p *pastArchive) settings(t *testing.T) string {
	t.Helper()
	text := "format = 1\ntries = 1\n[source.past]\ntitle = 'derived days'\ngrid_deg = 0.5\ncycle_hours = [0]\nsteps = [[24, 3]]\nmembers = 0\nindex = '.idx'\nroot = '" +
		p.URL + "'\nfiles = ['{root}/new/{date}/f{step}']\n[[source.past.dated]]\nto = 2023-01-01\nfiles = ['{root}/old/{date}/f{step}']\n"
	path := filepath.Join(t.TempDir(), "past.toml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func daysOf(t *testing.T, document map[string]any, key string) string {
	t.Helper()
	var days []string
	for _, d := range at(t, document, key).([]any) {
		days = append(days, d.(map[string]any)["day"].(string))
	}
	return strings.Join(days, " ")
}

func withoutHighHumidity(data []byte) []byte {
	var out []byte
	fields, _ := grib2.Scan(data) // scanned without faults when it was laid
	for _, f := range fields {
		if f.Parameter() != "r" || f.Product.First.Value >= 30000 {
			out = append(out, data[f.Offset:f.Offset+f.Length]...)
		}
	}
	return out
}

// TestSeasonFetchedOverDerivedDays goes the whole way: days fetched from both
// layouts, one missing, then flown. The season must say what it says of the same
// derived days read whole.
func TestSeasonFetchedOverDerivedDays(t *testing.T) {
	held := []string{"2023-04-05", "2023-04-25", "2024-04-15", "2024-04-25"}
	archive := newPastArchive(t, held...)
	_, sky := demo.Forecast()
	oldDay := time.Date(2022, 4, 5, 0, 0, 0, 0, time.UTC)
	archive.lay(t, "old/20220405", derived(t, sky, int(oldDay.Sub(demo.Cycle).Hours()), true))
	flight, _ := demoFiles(t)
	into := filepath.Join(t.TempDir(), "season")
	fetch := []string{"weather", "get", flight, "--years", "2022..2024", "--source", "past", "--settings", archive.settings(t), "--into", into, "--radius", "300", "--json"}
	status, out, errs := answer(t, fetch...)
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	document := decode(t, out)
	if days := daysOf(t, document, "days"); days != "2022-04-05 "+strings.Join(held, " ") {
		t.Errorf("days %s", days)
	}
	if days := daysOf(t, document, "missing"); days != "2022-04-15 2022-04-25 2023-04-15 2024-04-05" {
		t.Errorf("missing %s", days)
	}
	for _, words := range []string{"to fetch for 5 days", "warning: 2023-04-15 is left out", "does not reach back"} {
		if !strings.Contains(errs, words) {
			t.Errorf("%q is not said in %s", words, errs)
		}
	}
	// 08:00 at five hours west is 13:00 UTC; the steps around 12:30 and the end of the flight.
	first := at(t, document, "days").([]any)[0].(map[string]any)
	if first["launch"] != "2022-04-05T08:00:00-05:00" || first["cycle"] != "2022-04-05T00:00:00Z" || first["steps_h"].([]any)[0] != 12.0 {
		t.Errorf("%v", first)
	}
	for _, path := range archive.again(0) {
		if strings.HasSuffix(path, "f009") || strings.HasSuffix(path, "f024") {
			t.Errorf("%s was fetched, and the flight does not need it", path)
		}
	}
	// The steps that the flight needs, on their whole area, without humidity above
	// 300 hPa, which is not fetched. At 09 UTC the file also holds the surface's
	// height, which the steps that are fetched do not.
	whole := t.TempDir()
	for path, data := range archive.files {
		if name := strings.ReplaceAll(path, "/", "-"); strings.Contains(path, "/f01") && !strings.HasSuffix(path, "idx") {
			if err := os.WriteFile(filepath.Join(whole, name+".grib2"), withoutHighHumidity(data), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	var answers []map[string]any
	for _, folder := range []string{into, whole} {
		status, out, errs := answer(t, "season", flight, "--weather", folder, "--json", "--members", "40")
		if status != 0 {
			t.Fatalf("%s: status %d, %s", folder, status, errs)
		}
		answers = append(answers, decode(t, out))
	}
	if n := at(t, answers[0], "days"); n != 5.0 {
		t.Errorf("%v days flown", n)
	}
	for _, key := range []string{"landing", "rose", "flown", "day_drift_m"} {
		// A coordinate of the smaller cube is rounded elsewhere: see apart.
		if where := apart(answers[0][key], answers[1][key]); where != "" {
			t.Errorf("steps %v: %s differs from the whole days at %s", first["steps_h"], key, where)
		}
	}
}

// TestSeasonResumedOverDerivedDays cuts the network off within the second day and
// goes on: the first day stays, and nothing of it is asked for again.
func TestSeasonResumedOverDerivedDays(t *testing.T) {
	archive := newPastArchive(t, "2024-04-05", "2024-04-15", "2024-04-25")
	flight, _ := demoFiles(t)
	into := filepath.Join(t.TempDir(), "season")
	fetch := []string{"weather", "get", flight, "--years", "2024", "--source", "past", "--settings", archive.settings(t), "--into", into, "--radius", "300"}
	sized := func(errs string) string {
		_, text, _ := strings.Cut(errs, "pappus: ")
		text, _, _ = strings.Cut(text, " to fetch")
		return text
	}

	plain := filepath.Join(t.TempDir(), "plain")
	status, _, whole := answer(t, append(fetch[:len(fetch):len(fetch)], "--into", plain)...)
	if status != 0 {
		t.Fatalf("status %d, %s", status, whole)
	}
	perDay := len(archive.again(0)) / 3
	archive.again(perDay + perDay/2)
	if status, out, errs := answer(t, fetch...); status != exitFault || out != "" || !strings.Contains(errs, "again") {
		t.Fatalf("cut: status %d, %s%s", status, out, errs)
	}
	if files, _ := filepath.Glob(filepath.Join(into, "past_20240405*")); len(files) == 0 {
		t.Error("the first day is not in the folder after the cut")
	}
	if files, _ := filepath.Glob(filepath.Join(into, "past_20240415*")); len(files) != 0 {
		t.Errorf("the second day is there in part: %v", files)
	}
	archive.again(0)
	status, out, errs := answer(t, fetch...)
	if status != 0 || !strings.Contains(out, "3 days") || !strings.Contains(errs, "1 of them fetched already") || sized(errs) == sized(whole) {
		t.Fatalf("resumed: status %d, %s%s", status, out, errs)
	}
	asked := archive.again(0)
	if len(asked) >= 2*perDay {
		t.Errorf("%d requests after the cut, and two whole days take %d", len(asked), 2*perDay)
	}
	for _, path := range asked {
		if strings.Contains(path, "20240405") {
			t.Errorf("%s was fetched again", path)
		}
	}
	files, _ := filepath.Glob(filepath.Join(plain, "*.grib2"))
	for _, file := range files {
		want, err := os.ReadFile(file)
		got, errGot := os.ReadFile(filepath.Join(into, filepath.Base(file)))
		if err != nil || errGot != nil || !bytes.Equal(got, want) {
			t.Errorf("%s is another file after the cut: %v, %v", filepath.Base(file), err, errGot)
		}
	}
	if _, err := os.Stat(filepath.Join(into, ".part")); !os.IsNotExist(err) {
		t.Errorf("parts are left behind: %v", err)
	}
}

func TestSeasonDaysRefused(t *testing.T) {
	archive := newPastArchive(t)
	flight, _ := demoFiles(t)
	base := []string{"weather", "get", flight, "--settings", archive.settings(t), "--source", "past", "--into", filepath.Join(t.TempDir(), "season")}
	for _, c := range []struct {
		more   []string
		status int
		says   string
	}{
		{[]string{"--days", "5"}, exitUsage, "--years"},
		{[]string{"--month", "5"}, exitUsage, "--years"},
		{[]string{"--years", "soon"}, exitUsage, "no list of numbers"},
		{[]string{"--years", "2024..2021"}, exitUsage, "no list of numbers"},
		{[]string{"--years", "2024", "--days", "32"}, exitUsage, "1 to 31"},
		{[]string{"--years", "2024", "--month", "13"}, exitUsage, "1 to 12"},
		{[]string{"--years", "2020..2024", "--days", "1..13"}, exitUsage, "at most 60"},
		{[]string{"--years", "2024", "--cycle", "2024-04-05T00:00:00Z"}, exitUsage, "does not go with --years"},
		{[]string{"--years", "2024", "--method", "region"}, exitUsage, "recent days only"},
		{[]string{"--years", "2024", "--source", "gefs050"}, exitUsage, "ensemble"},
		{[]string{"--years", "2024"}, exitInput, "none of the 3 days came"},
		{[]string{"--years", "2199"}, exitInput, "has passed"},
		{[]string{"--years", "2023", "--month", "2", "--days", "30"}, exitInput, "no such day"},
	} {
		status, out, errs := answer(t, append(base[:len(base):len(base)], c.more...)...)
		if status != c.status || !strings.Contains(errs, c.says) || out != "" {
			t.Errorf("%v: status %d, %s%s", c.more, status, out, errs)
		}
	}
	archive.Close()
	if status, _, errs := answer(t, append(base[:len(base):len(base)], "--years", "2024")...); status != exitFault {
		t.Errorf("with the server away: status %d, %s", status, errs)
	}
}

// TestSeasonNeighbours takes the months around the launch's, and says the same
// days for a list as for a range.
func TestSeasonNeighbours(t *testing.T) {
	archive := newPastArchive(t, "2024-03-05", "2024-05-05")
	flight, _ := demoFiles(t)
	for _, months := range []string{"3..5", "5,4,3"} {
		status, out, errs := answer(t, "weather", "get", flight, "--settings", archive.settings(t), "--source", "past", "--into", filepath.Join(t.TempDir(), "season"),
			"--radius", "300", "--years", "2024", "--month", months, "--days", "5", "--json")
		if status != 0 {
			t.Fatalf("status %d, %s", status, errs)
		}
		var got struct{ Days, Missing []struct{ Day string } }
		if err := json.Unmarshal([]byte(out), &got); err != nil {
			t.Fatal(err)
		}
		if len(got.Days) != 2 || got.Days[0].Day != "2024-03-05" || got.Days[1].Day != "2024-05-05" || len(got.Missing) != 1 || got.Missing[0].Day != "2024-04-05" {
			t.Errorf("%s: %+v", months, got)
		}
	}
}

// TestSeasonDamagedDays: a day whose file is shorter than its index says, and
// one whose octets are not what they should be, are left out, and the others come.
func TestSeasonDamagedDays(t *testing.T) {
	archive := newPastArchive(t, "2024-04-05", "2024-04-15", "2024-04-25")
	short := "new/20240405/f015"
	archive.files[short] = archive.files[short][:len(archive.files[short])/3]
	clear(archive.files["new/20240415/f015"][:400])
	flight, _ := demoFiles(t)
	into := filepath.Join(t.TempDir(), "season")
	fetch := []string{"weather", "get", flight, "--settings", archive.settings(t), "--source", "past", "--into", into, "--radius", "300", "--years", "2024", "--json"}
	status, out, errs := answer(t, fetch...)
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	if days, missing := daysOf(t, decode(t, out), "days"), daysOf(t, decode(t, out), "missing"); days != "2024-04-25" || missing != "2024-04-05 2024-04-15" {
		t.Errorf("days %s, missing %s", days, missing)
	}
	if files, _ := filepath.Glob(filepath.Join(into, "*.grib2")); len(files) != 3 {
		t.Errorf("%d files of the whole day, not its three steps", len(files))
	}
	status, out, errs = answer(t, append(fetch, "--days", "5,15")...)
	if status != exitFault || out != "" || !strings.Contains(errs, "none of the 2 days came") {
		t.Errorf("only damaged days: status %d, %s%s", status, out, errs)
	}
}
