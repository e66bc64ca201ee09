package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pappus/demo"
)

// laid lays the invented flight and its sky in a folder.
func laid(t *testing.T) (folder, flight, sky string) {
	t.Helper()
	folder = t.TempDir()
	flight, sky = filepath.Join(folder, "flight.toml"), filepath.Join(folder, "sky.grib2")
	_, text := demo.Flight()
	_, data := demo.Forecast()
	for path, octets := range map[string][]byte{flight: text, sky: data} {
		if err := os.WriteFile(path, octets, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return folder, flight, sky
}

func runOdds(t *testing.T, words ...string) (status int, out, complaint string) {
	t.Helper()
	var o, e bytes.Buffer
	d := &Desk{Out: &o, Err: &e, Workers: 2}
	status = d.Run(context.Background(), append([]string{"odds"}, words...))
	return status, o.String(), e.String()
}

func TestOddsWritesFilesForOtherPrograms(t *testing.T) {
	folder, flight, sky := laid(t)
	begins := map[string]string{"geojson": `{"type":"FeatureCollection"`, "kml": "<?xml", "gpx": "<?xml", "csv": "member,status,"}
	words := []string{flight, "--members", "40", "--weather", sky, "--json"}
	for format := range begins {
		words = append(words, "--"+format, filepath.Join(folder, "odds."+format))
	}
	status, out, complaint := runOdds(t, words...)
	if status != exitAnswered || !strings.HasPrefix(out, "{") {
		t.Fatalf("status %d: %s", status, complaint)
	}
	for format, begin := range begins {
		data, err := os.ReadFile(filepath.Join(folder, "odds."+format))
		if err != nil || !strings.HasPrefix(string(data), begin) {
			t.Errorf("%s: %v, begins with %.40q", format, err, data)
		}
	}
}

func TestOddsRefusesNamesThatWouldHarm(t *testing.T) {
	folder, flight, sky := laid(t)
	other := filepath.Join(folder, "other")
	before, err := os.ReadFile(flight)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		status int
		words  []string
		says   string
	}{
		{exitUsage, []string{"--csv", flight}, "not overwritten"},
		{exitUsage, []string{"--kml", sky}, "not overwritten"},
		{exitUsage, []string{"--kml", other, "--gpx", other}, "a file of its own"},
		{exitUsage, []string{"--geojson", ""}, "name of a file"},
		{exitFault, []string{"--gpx", filepath.Join(folder, "nowhere", "odds.gpx")}, "nowhere"},
		{exitFault, []string{"--gpx", folder}, "this is a folder"},
	} {
		status, out, complaint := runOdds(t, append([]string{flight, "--members", "20", "--weather", sky}, c.words...)...)
		if status != c.status || out != "" || !strings.Contains(complaint, c.says) {
			t.Errorf("%q: status %d, %q", c.words, status, complaint)
		}
	}
	after, err := os.ReadFile(flight)
	if err != nil || !bytes.Equal(before, after) {
		t.Errorf("the flight file was touched: %v", err)
	}
	if _, err := os.Stat(other); err == nil {
		t.Error("a refused file was written")
	}
}
