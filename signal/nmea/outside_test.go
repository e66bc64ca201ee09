package nmea

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pappus/signal/fix"
)

// shared finds the folder of real material, or skips; in CI its absence fails.
func shared(t *testing.T, folder string) string {
	t.Helper()
	root := os.Getenv("PAPPUS_DATA")
	if root == "" {
		root = filepath.Join("..", "..", "..", "shared", "data")
	}
	path := filepath.Join(root, folder)
	if _, err := os.Stat(path); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("PAPPUS_DATA does not lead to the real data: %v", err)
		}
		t.Skipf("the real data are not here (set PAPPUS_DATA): %v", err)
	}
	return path
}

// program runs a reference program on some input, or skips; in CI its absence fails.
func program(t *testing.T, input string, name string, arguments ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed", name)
	}
	cmd := exec.Command(path, arguments...)
	cmd.Stdin = strings.NewReader(input)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return out
}

// tpv is what another decoder says of a moment.
type tpv struct {
	Class                 string
	Mode                  int
	Time                  string
	Lat, Lon              *float64
	AltMSL, AltHAE, Speed *float64
	Track, GeoidSep       *float64
}

func theirs(t *testing.T, text []byte) []tpv {
	t.Helper()
	var all []tpv
	for line := range strings.Lines(string(text)) {
		var v tpv
		if strings.HasPrefix(line, "{") && json.Unmarshal([]byte(line), &v) == nil && v.Class == "TPV" && v.Time != "" && v.Lat != nil {
			all = append(all, v)
		}
	}
	return all
}

// agree holds our report of each moment against theirs. Their texts end at the ninth
// decimal of a degree, the fourth of a metre and the third of a metre per second; half a
// unit of those is the tolerance. A later answer for the same moment knows more, so only
// the last of each moment is held.
func agree(t *testing.T, ours []fix.Report, theirs []tpv, least int) {
	t.Helper()
	byTime := map[string]fix.Report{}
	for _, r := range ours {
		if r.TimeKind == fix.Told {
			byTime[r.Time.Format("2006-01-02T15:04:05.000Z")] = r
		}
	}
	last := map[string]tpv{}
	for _, v := range theirs {
		last[v.Time] = v
	}
	compared := 0
	for at, v := range last {
		r, ok := byTime[at]
		if !ok {
			t.Errorf("no report for %s", at)
			continue
		}
		compared++
		check := func(what string, got float64, known bool, want *float64, within float64) {
			if want != nil && (!known || !near(got, *want, within)) {
				t.Errorf("%s: %s is %v (%v), theirs %v", at, what, got, known, *want)
			}
		}
		check("lat", r.Place.LatDeg, r.HasPlace, v.Lat, 0.51e-9)
		check("lon", r.Place.LonDeg, r.HasPlace, v.Lon, 0.51e-9)
		check("height", r.Height.Metres, r.Height.Kind == fix.AboveSea, v.AltMSL, 0.51e-4)
		check("ellipsoidal", r.Height.Metres+r.Height.Separation.Value, r.Height.Separation.Known, v.AltHAE, 0.51e-4)
		check("course", r.CourseDeg.Value, r.CourseDeg.Known, v.Track, 0.51e-4)
		check("speed", r.Speed.Value, r.Speed.Known, v.Speed, 0.51e-3)
		if v.Mode == 3 && r.Quality.Mode != fix.Full {
			t.Errorf("%s: mode %v, theirs 3", at, r.Quality.Mode)
		}
	}
	if compared < least {
		t.Errorf("%d moments compared, expected at least %d", compared, least)
	}
}

func TestOutsideReceiverLogs(t *testing.T) {
	folder := shared(t, "nmea")
	for name, least := range map[string]int{"gpsd_bt451": 8, "gpsd_neo-m8n": 15, "gpsd_nmea-fuzzy-cases": 14} {
		// Their answers for one log were made by a build that takes its date for one of an
		// earlier round of the week number, and adds 1024 weeks to what the sentences say.
		later := 0
		if name == "gpsd_neo-m8n" {
			later = 1024 * 7
		}
		t.Run(name, func(t *testing.T) {
			log, err := os.ReadFile(filepath.Join(folder, name+".log"))
			if err != nil {
				t.Fatal(err)
			}
			check, err := os.ReadFile(filepath.Join(folder, name+".log.chk"))
			if err != nil {
				t.Fatal(err)
			}
			ours, faults := Read(string(log), name, time.Time{})
			for _, f := range faults {
				t.Error(f)
			}
			for i := range ours {
				ours[i].Time = ours[i].Time.AddDate(0, 0, later)
			}
			agree(t, ours, theirs(t, check), least)
		})
	}
}

// invented is a flight past the antimeridian and the equator, in sentences.
func invented() string {
	var b strings.Builder
	for i := range 40 {
		minutes := float64(i)*0.75 - 12
		ns, ew := "N", "E"
		if minutes < 0 {
			ns = "S"
		}
		lonMinutes := 40 + float64(i)*0.4971
		fmt.Fprintln(&b, sum(fmt.Sprintf("GNGGA,1715%02d.00,%02d%07.4f,%s,179%07.4f,%s,1,10,0.8,%.1f,M,-17.2,M,,", i, 0, max(minutes, -minutes), ns, lonMinutes, ew, 500+750.5*float64(i))))
		fmt.Fprintln(&b, sum(fmt.Sprintf("GNRMC,1715%02d.00,A,%02d%07.4f,%s,179%07.4f,%s,%.2f,%.1f,290826,,,A", i, 0, max(minutes, -minutes), ns, lonMinutes, ew, 1.5*float64(i), 9*float64(i))))
	}
	return b.String()
}

func TestOutsideDaemonDecodes(t *testing.T) {
	text := invented()
	ours, _ := Read(text, "test", time.Time{})
	agree(t, ours, theirs(t, program(t, text, "gpsdecode")), 38)
}

func TestOutsideConverterDecodes(t *testing.T) {
	text := invented()
	ours, _ := Read(text, "test", time.Time{})
	out := program(t, text, "gpsbabel", "-t", "-i", "nmea", "-f", "-", "-o", "unicsv,utc=0", "-F", "-")
	if rows := bytes.Count(bytes.TrimSpace(out), []byte("\n")); rows != len(ours) {
		t.Fatalf("%d reports, theirs %d", len(ours), rows)
	}
	for i, line := range strings.Split(strings.TrimSpace(string(out)), "\n")[1:] {
		var number int
		var lat, lon, alt float64
		if _, err := fmt.Sscanf(line, "%d,%f,%f,%f", &number, &lat, &lon, &alt); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		// It prints six decimals of a degree and one of a metre.
		if r := ours[i]; !near(r.Place.LatDeg, lat, 0.51e-6) || !near(r.Place.LonDeg, lon, 0.51e-6) || !near(r.Height.Metres, alt, 0.06) {
			t.Errorf("%v %v, theirs %s", r.Place, r.Height.Metres, line)
		}
	}
}

func TestOutsidePythonDecodes(t *testing.T) {
	const script = `
import sys, pynmea2
for line in sys.stdin:
    m = pynmea2.parse(line.strip(), check=True)
    if m.sentence_type == "GGA":
        print(repr(m.latitude), repr(m.longitude), m.altitude, m.geo_sep)
`
	text := invented()
	if out, err := exec.Command("/usr/bin/python3", "-c", "import pynmea2").CombinedOutput(); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("python3-nmea2 is not installed: %s", out)
		}
		t.Skip("python3-nmea2 is not installed")
	}
	ours, _ := Read(text, "test", time.Time{})
	lines := strings.Split(strings.TrimSpace(string(program(t, text, "/usr/bin/python3", "-c", script))), "\n")
	if len(lines) != len(ours) {
		t.Fatalf("%d reports, theirs %d", len(ours), len(lines))
	}
	for i, line := range lines {
		var lat, lon, alt, separation float64
		if _, err := fmt.Sscan(line, &lat, &lon, &alt, &separation); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		if r := ours[i]; !near(r.Place.LatDeg, lat, 1e-9) || !near(r.Place.LonDeg, lon, 1e-9) || r.Height.Metres != alt || r.Height.Separation.Value != separation {
			t.Errorf("%v %v, theirs %s", r.Place, r.Height, line)
		}
	}
}
