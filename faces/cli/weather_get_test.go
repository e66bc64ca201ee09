package cli

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"pappus/air/grib2"
	"pappus/demo"
)

// mirror plays an archive on the loopback: the path of a file, without its
// folders, names what it sends; the index is the same name with .idx.
func mirror(t *testing.T, files map[string][]byte) string {
	t.Helper()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		data, there := files[strings.TrimPrefix(r.URL.Path, "/")]
		if !there {
			http.NotFound(w, r)
			return
		}
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
	}))
	t.Cleanup(server.Close)
	return server.URL
}

// indexOf writes the index of a file of heights, temperatures and winds.
func indexOf(t *testing.T, data []byte) []byte {
	t.Helper()
	fields, faults := grib2.Scan(data)
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	names := map[string]string{"gh": "HGT", "t": "TMP", "u": "UGRD", "v": "VGRD"}
	var b bytes.Buffer
	for _, f := range fields {
		fmt.Fprintf(&b, "%d:%d:d=%s:%s:%g mb:%d hour fcst:\n", f.Message, f.Offset, f.Reference.Format("2006010215"),
			names[f.Parameter()], f.Product.First.Value/100, f.Product.ForecastSeconds/3600)
	}
	return b.Bytes()
}

// relabelled gives a file's messages another forecast hour.
func relabelled(data []byte, hour uint32) []byte {
	out := bytes.Clone(data)
	fields, _ := grib2.Scan(data)
	for _, f := range fields {
		for at := f.Offset + 16; at < f.Offset+f.Length-4; at += int(binary.BigEndian.Uint32(out[at:])) {
			if out[at+4] == 4 {
				binary.BigEndian.PutUint32(out[at+18:], hour) // section 4, octets 19 to 22
			}
		}
	}
	return out
}

// movedFlight is the demo's flight from another place at another time.
func movedFlight(t *testing.T, lat, lon, elevation, launch string) string {
	t.Helper()
	_, text := demo.Flight()
	for key, value := range map[string]string{"latitude": lat, "longitude": lon, "elevation": `"` + elevation + `"`, "time": launch} {
		line := regexp.MustCompile(`(?m)^` + key + ` *=.*$`)
		if !line.Match(text) {
			t.Fatalf("the demo's flight has no %s", key)
		}
		text = line.ReplaceAll(text, []byte(key+" = "+value))
	}
	path := filepath.Join(t.TempDir(), "flight.toml")
	if err := os.WriteFile(path, text, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func mirrorSettings(t *testing.T, source string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "mirror.toml")
	if err := os.WriteFile(path, []byte("format = 1\n[source.real]\ntitle = 'a real forecast'\ncycle_hours = [0, 6, 12, 18]\nindex = '.idx'\n"+source), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestFetchedAnswersAsReadDerivedStep fetches a real global forecast (its second
// step is derived: the first one with another hour) and asks for the odds with
// what was kept and with the whole files. Every double is kept; only the corner
// from which the cube counts its columns is another one, which moves the last
// bits of a place. A billionth is a tenth of a millimetre of a hundred kilometres.
func TestFetchedAnswersAsReadDerivedStep(t *testing.T) {
	first, err := os.ReadFile("../../air/forecast/testdata/gfs20111008.grib2")
	if err != nil {
		t.Fatal(err)
	}
	second := relabelled(first, 96)
	url := mirror(t, map[string][]byte{
		"20111008/00/f072": first, "20111008/00/f072.idx": indexOf(t, first),
		"20111008/00/f096": second, "20111008/00/f096.idx": indexOf(t, second),
	})
	settings := mirrorSettings(t, "grid_deg = 2.5\nsteps = [[192, 24]]\nmembers = 0\nroot = '"+url+"'\nfiles = ['{root}/{date}/{hour}/f{step}']\n")
	flight := movedFlight(t, "47.5", "1.25", "120 m", "2011-10-11T08:00:00Z")
	into, whole := filepath.Join(t.TempDir(), "weather"), t.TempDir()
	status, out, errs := answer(t, "weather", "get", flight, "--into", into, "--source", "real", "--settings", settings, "--json", "--cycle", "2011-10-08T00:00:00Z")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	got := decode(t, out)
	if n := len(got["files"].([]any)); n != 2 || got["cycle"] != "2011-10-08T00:00:00Z" {
		t.Errorf("%d files, %v", n, got["cycle"])
	}
	for name, data := range map[string][]byte{"f072.grib2": first, "f096.grib2": second} {
		if err := os.WriteFile(filepath.Join(whole, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	imported := filepath.Join(t.TempDir(), "weather")
	if status, _, errs := answer(t, "weather", "import", whole, "--into", imported, "--flight", flight); status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	var answers []map[string]any
	for _, folder := range []string{whole, into, imported} {
		status, out, errs := answer(t, "odds", flight, "--weather", folder, "--json", "--members", "200")
		if status != 0 {
			t.Fatalf("%s: status %d, %s", folder, status, errs)
		}
		answers = append(answers, decode(t, out))
	}
	for _, key := range []string{"nominal", "landing", "burst", "chances"} {
		for i, how := range []string{"", "fetched", "imported"} {
			if where := apart(answers[0][key], answers[i][key]); where != "" {
				t.Errorf("%s: %s differs from the whole files at %s", key, how, where)
			}
		}
	}
}

// apart answers where two documents differ by more than a billionth; empty: nowhere.
func apart(a, b any) string {
	switch x := a.(type) {
	case float64:
		if y, ok := b.(float64); !ok || math.Abs(x-y) > 1e-9*max(math.Abs(x), 1) {
			return fmt.Sprintf(": %v, %v", a, b)
		}
	case []any:
		y, ok := b.([]any)
		if !ok || len(x) != len(y) {
			return ": lists of different length"
		}
		for i := range x {
			if where := apart(x[i], y[i]); where != "" {
				return fmt.Sprintf("[%d]%s", i, where)
			}
		}
	case map[string]any:
		y, ok := b.(map[string]any)
		if !ok || len(x) != len(y) {
			return ": different keys"
		}
		for key := range x {
			if where := apart(x[key], y[key]); where != "" {
				return "." + key + where
			}
		}
	default:
		if a != b {
			return fmt.Sprintf(": %v, %v", a, b)
		}
	}
	return ""
}

// TestRealWindsFetched goes the same way with the winds of a real flight, their
// real index, and a small area: here the cube is another one, and the places
// may differ by the rounding of its coordinates, well under a millimetre.
func TestRealWindsFetched(t *testing.T) {
	data := sharedData(t, "obsgrib/obs_giles_20160403T2315.grib2")
	text := sharedData(t, "obsgrib/obs_giles_20160403T2315.grib2.idx")
	files := map[string][]byte{}
	for _, step := range []string{"000", "003", "006", "009", "012"} {
		files["20160403/18/f"+step], files["20160403/18/f"+step+".idx"] = data, text
	}
	settings := mirrorSettings(t, "grid_deg = 0.5\nsteps = [[12, 3]]\nmembers = 0\nroot = '"+mirror(t, files)+"'\nfiles = ['{root}/{date}/{hour}/f{step}']\n")
	flight := movedFlight(t, "-25.0341", "128.30099", "600 m", "2016-04-03T23:15:38Z")
	into := filepath.Join(t.TempDir(), "weather")
	status, out, errs := answer(t, "weather", "get", flight, "--into", into, "--source", "real", "--settings", settings, "--radius", "130")
	if status != 0 || !strings.Contains(out, "2016-04-03 18:00 UTC") {
		t.Fatalf("status %d, %s%s", status, out, errs)
	}
	whole := filepath.Join(t.TempDir(), "giles.grib2")
	if err := os.WriteFile(whole, data, 0o644); err != nil {
		t.Fatal(err)
	}
	var places [2][2]float64
	for i, folder := range []string{whole, into} {
		status, out, errs := answer(t, "odds", flight, "--weather", folder, "--json", "--nominal-only")
		if status != 0 {
			t.Fatalf("status %d, %s", status, errs)
		}
		document := decode(t, out)
		places[i] = [2]float64{at(t, document, "nominal.landing.lat_deg").(float64), at(t, document, "nominal.landing.lon_deg").(float64)}
	}
	const millimetre = 1e-8 // degrees
	for k := range 2 {
		if d := places[0][k] - places[1][k]; d > millimetre || d < -millimetre {
			t.Errorf("landing %v with what was kept, %v with the whole file", places[1], places[0])
		}
	}
}

// sharedData reads real data that lie beside the project.
func sharedData(t *testing.T, name string) []byte {
	t.Helper()
	root := os.Getenv("PAPPUS_DATA")
	if root == "" {
		root = filepath.Join("..", "..", "..", "shared", "data")
	}
	data, err := os.ReadFile(filepath.Join(root, name))
	if err != nil && os.Getenv("CI") != "" {
		t.Fatalf("%v: set PAPPUS_DATA", err)
	} else if err != nil {
		t.Skipf("%v: set PAPPUS_DATA to the folder of real data", err)
	}
	return data
}

func TestWeatherKeepCommands(t *testing.T) {
	_, sky := demoFiles(t)
	into := filepath.Join(t.TempDir(), "weather")
	if status, _, errs := answer(t, "weather", "import", sky, "--into", into); status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	status, out, _ := answer(t, "weather", "list", into, "--json")
	cycles := decode(t, out)["cycles"].([]any)
	if status != 0 || len(cycles) != 1 || at(t, decode(t, out), "cycles.older_than_newest_s") != 0.0 {
		t.Errorf("status %d, %s", status, out)
	}
	if _, there := cycles[0].(map[string]any)["age_s"]; there {
		t.Error("an age stands there without --now")
	}
	when := cycles[0].(map[string]any)["cycle"].(string)
	if _, out, _ = answer(t, "weather", "list", into, "--json", "--now", when); at(t, decode(t, out), "cycles.age_s") != 0.0 {
		t.Errorf("the age at the cycle's own time is not 0: %s", out)
	}
	if status, out, _ = answer(t, "weather", "list", into); status != 0 || !strings.Contains(out, "1 cycles") {
		t.Errorf("status %d, %s", status, out)
	}
	if status, _, errs := answer(t, "weather", "prune", into); status != 2 || !strings.Contains(errs, "--keep") {
		t.Errorf("status %d, %s", status, errs)
	}
	if status, _, errs := answer(t, "weather", "prune", into, "--keep", "0"); status != 0 {
		t.Errorf("status %d, %s", status, errs)
	}
	if status, out, _ = answer(t, "weather", "list", into); status != 0 || !strings.Contains(out, "holds no forecast") {
		t.Errorf("status %d, %s", status, out)
	}
}

func TestWeatherGetRefuses(t *testing.T) {
	flight, _ := demoFiles(t)
	url := mirror(t, nil)
	settings := mirrorSettings(t, "grid_deg = 2.5\nsteps = [[192, 24]]\nmembers = 0\nroot = '"+url+"'\nfiles = ['{root}/{date}/{hour}/f{step}']\n")
	base := []string{"weather", "get", flight, "--settings", settings, "--source", "real", "--into", t.TempDir()}
	for _, c := range []struct {
		more   []string
		status int
		says   string
	}{
		{[]string{"--source", "unknown"}, 2, "choose from"},
		{[]string{"--method", "magic"}, 2, "auto, ranges, region"},
		{[]string{"--members", "7-3"}, 2, "range"},
		{[]string{"--members", "3"}, 1, "has no members"},
		{[]string{"--radius", "5"}, 2, "50 to 21000"},
		{[]string{"--cycle", "yesterday"}, 2, "neither latest"},
		{[]string{"--hours", "-3"}, 2, "more than 0"},
		{[]string{"--cycle", "2020-01-01T00:00:00Z"}, 1, "nearer to the launch"},
		{[]string{"--to", "2001-01-01T00:00:00Z"}, 2, "before"},
	} {
		status, out, errs := answer(t, append(append([]string{}, base...), c.more...)...)
		if status != c.status || !strings.Contains(errs, c.says) || out != "" {
			t.Errorf("%v: status %d, %s%s", c.more, status, out, errs)
		}
	}
}
