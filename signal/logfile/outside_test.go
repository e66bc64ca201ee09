package logfile

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"pappus/signal/fix"
	"pappus/signal/gpx"
)

// A real track written as a table by another program must come back as it was.
func TestOutsideConverter(t *testing.T) {
	root := os.Getenv("PAPPUS_DATA")
	if root == "" {
		root = filepath.Join("..", "..", "..", "shared", "data")
	}
	track := filepath.Join(root, "tracks", "gpxgo_visnjan.gpx")
	text, err := os.ReadFile(track)
	if err == nil {
		_, err = exec.LookPath("gpsbabel")
	}
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal(err)
		}
		t.Skipf("the real data (PAPPUS_DATA) or gpsbabel are not here: %v", err)
	}
	table, err := exec.Command("gpsbabel", "-t", "-i", "gpx", "-f", track, "-o", "unicsv,utc=0", "-F", "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	all, _ := gpx.Read(text, "file")
	var want []gpx.Point
	for _, p := range all {
		if p.Kind == gpx.TrackPoint {
			want = append(want, p)
		}
	}
	l, err := Guess(table)
	if err != nil {
		t.Fatal(err)
	}
	got, faults, err := l.Read(table, "log", Terms{})
	if err != nil || len(faults) != 0 || len(got) != len(want) {
		t.Fatalf("%d rows, expected %d; %v %v\n%+v", len(got), len(want), faults, err, l)
	}
	for i := range got {
		// It prints six decimals of a degree and one of a metre.
		if math.Abs(got[i].Place.LatDeg-want[i].Place.LatDeg) > 0.51e-6 || math.Abs(got[i].Place.LonDeg-want[i].Place.LonDeg) > 0.51e-6 ||
			math.Abs(got[i].Height.Metres-want[i].Height.Metres) > 0.06 || !got[i].Time.Equal(want[i].Time) || got[i].TimeKind != fix.Told {
			t.Fatalf("row %d: %+v, expected %+v", i, got[i], want[i])
		}
	}
}
