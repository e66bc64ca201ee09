package weather

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// shared finds real data that lie beside the project.
func shared(t testing.TB, name string) string {
	t.Helper()
	root := os.Getenv("PAPPUS_DATA")
	if root == "" {
		folder, err := os.Getwd()
		if err != nil {
			t.Fatal(err)
		}
		for folder != filepath.Dir(folder) {
			if _, err := os.Stat(filepath.Join(folder, "go.mod")); err == nil {
				break
			}
			folder = filepath.Dir(folder)
		}
		root = filepath.Join(folder, "..", "shared", "data")
	}
	path := filepath.Join(root, name)
	if _, err := os.Stat(path); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is needed here: set PAPPUS_DATA", path)
		}
		t.Skipf("%s is not there: set PAPPUS_DATA to the folder of real data", path)
	}
	return path
}

func readShared(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(shared(t, name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestRangesOfARealIndex works the ranges out from the lines by themselves and
// compares.
func TestRangesOfARealIndex(t *testing.T) {
	text := readShared(t, "idx/gfs_20231104.t00z.pgrb2.0p25.f000.idx")
	x, err := ParseIndex(text)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	if len(x) != len(lines) {
		t.Fatalf("%d records of %d lines", len(x), len(lines))
	}
	for i, m := range x.Messages() {
		from := strings.Split(lines[i], ":")[1]
		to := "-1"
		if i+1 < len(lines) {
			next, err := strconv.Atoi(strings.Split(lines[i+1], ":")[1])
			if err != nil {
				t.Fatal(err)
			}
			to = strconv.Itoa(next - 1)
		}
		if got := fmt.Sprintf("%d %d", m.From, m.To); got != from+" "+to {
			t.Fatalf("line %d gives %s, not %s %s", i+1, got, from, to)
		}
	}
	w, levels := choose([]Index{x}, 0, 32000, true)
	// 32 km lies at 8.9 hPa [USSA76], and the first level above it is 7 hPa; from there
	// down to 1000 hPa the usual list of the file has 33 levels.
	if len(levels) != 29 || levels[0] != 100000 || levels[28] != 700 {
		t.Fatalf("levels %v", levels)
	}
	wanted := w.take(x, 0)
	if len(w) != 0 {
		t.Errorf("%v were not found", w)
	}
	pieces := Pieces(wanted)
	// Counted in the file by hand: height and temperature stand side by side with
	// humidity after them, the winds side by side, nothing else adjoins.
	if messages := 4*29 + 17 + 6; len(wanted) != messages { // 17 levels from 1000 to 300 hPa have humidity
		t.Errorf("%d messages, not %d", len(wanted), messages)
	}
	var octets int64
	for _, p := range pieces {
		octets += p.octets()
		if p.To < p.From {
			t.Fatalf("a piece without an end: %+v", p)
		}
		first := fmt.Sprintf(":%d:", p.From)
		if !bytes.Contains(text, []byte(first)) || !bytes.Contains(text, fmt.Appendf(nil, ":%d:", p.To+1)) {
			t.Errorf("piece %d to %d does not begin and end where lines do", p.From, p.To)
		}
	}
	var sum int64
	for i, line := range lines {
		parts := strings.Split(line, ":")
		hit := false
		for _, m := range wanted {
			hit = hit || strconv.FormatInt(m.From, 10) == parts[1]
		}
		if hit {
			a, _ := strconv.ParseInt(parts[1], 10, 64)
			b, _ := strconv.ParseInt(strings.Split(lines[i+1], ":")[1], 10, 64)
			sum += b - a
		}
	}
	if octets != sum {
		t.Errorf("the pieces have %d octets, and the lines %d", octets, sum)
	}
}

func TestIndexRefuses(t *testing.T) {
	for text, says := range map[string]string{
		"":                                   "empty",
		"\n\n":                               "empty",
		"<html>":                             "parts",
		"1:0:d=20":                           "parts",
		"x:0:d=2011100800:HGT:500 mb:anl:":   "message number",
		"0:0:d=2011100800:HGT:500 mb:anl:":   "message number",
		"1.0:0:d=2011100800:HGT:500 mb:anl:": "field in a message",
		"1:-4:d=2011100800:HGT:500 mb:anl:":  "offset",
		"1:99999999999999999999:d=2011100800:HGT:500 mb:anl:":                    "offset",
		"1:0:d=2011130800:HGT:500 mb:anl:":                                       "date",
		"1:0:2011100800:HGT:500 mb:anl:":                                         "date",
		"1:9:d=2011100800:HGT:500 mb:anl:\n2:8:d=2011100800:TMP:500 mb:anl:\n":   "line 2",
		"1:0:d=2011100800:HGT:500 mb:anl:\nhalf a lin":                           "line 2",
		strings.Repeat("1:0:d=2011100800:HGT:500 mb:anl:\n", mostIndexRecords+1): "more than",
	} {
		if _, err := ParseIndex([]byte(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%.40q gives %v, which should say %q", text, err, says)
		}
	}
}

func TestRecordForms(t *testing.T) {
	x, err := ParseIndex([]byte("12.1:40:d=2023010112:UGRD:10 m above ground:6 hour fcst:ENS=+3\r\n12.2:40:d=2023010112:VGRD:10 m above ground:6 hour fcst:ENS=+3\r\n13:90:d=2023010112:HGT:0.4 mb:anl:\r\n"))
	if err != nil {
		t.Fatal(err)
	}
	if x[1].Number != 12 || x[1].Sub != 2 || x[1].Rest != "ENS=+3" || len(x.Messages()) != 2 || x.Messages()[0].To != 89 {
		t.Errorf("%+v", x)
	}
	if s, ok := parseLevel("0.4 mb"); !ok || s.Type != 100 || s.Value != 40 {
		t.Errorf("0.4 mb is %+v", s)
	}
	for text, want := range map[string]int64{"anl": 0, "6 hour fcst": 21600, "30 min fcst": 1800, "2 day fcst": 172800} {
		if got, ok := parseForecast(text); !ok || got != want {
			t.Errorf("%q is %d s", text, got)
		}
	}
	for _, text := range []string{"0-6 hour ave fcst", "6 hour", "x hour fcst", "6 year fcst", ""} {
		if _, ok := parseForecast(text); ok {
			t.Errorf("%q counts as an instant", text)
		}
	}
}

// FuzzParseIndex: no text makes the parser fall over, and what it accepts gives
// ranges that rise and do not overlap.
func FuzzParseIndex(f *testing.F) {
	f.Add([]byte("1:0:d=2023110400:PRMSL:mean sea level:anl:\n2:995976:d=2023110400:CLWMR:1 hybrid level:anl:\n"))
	f.Add([]byte("3.1:5:d=2016040318:UGRD:1000 mb:3 hour fcst:\n3.2:5:d=2016040318:VGRD:1000 mb:3 hour fcst:ENS=+1\n"))
	f.Add([]byte("<html>\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		x, err := ParseIndex(text)
		if err != nil {
			return
		}
		w, _ := choose([]Index{x}, 0, 30000, true)
		last := int64(-1)
		for _, p := range Pieces(w.take(x, 0)) {
			if p.From <= last || p.To >= 0 && p.To < p.From || last == -2 {
				t.Fatalf("a piece from %d to %d after %d", p.From, p.To, last)
			}
			if last = p.To; p.To < 0 {
				last = -2 // nothing may follow an open end
			}
		}
	})
}
