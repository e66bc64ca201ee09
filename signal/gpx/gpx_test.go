package gpx

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"pappus/measure/geo"
	"pappus/signal/fix"
)

const small = `<?xml version="1.0"?><gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="40.1" lon="-99.2"><name>launch</name></wpt>
<trk><trkseg>
<trkpt lat="40.2" lon="-99.1"><ele>30123.4</ele><time>2027-04-17T13:00:00Z</time><fix>3d</fix><sat>9</sat><hdop>2</hdop>
<extensions><x:speed xmlns:x="urn:x">12.5</x:speed></extensions></trkpt>
</trkseg><trkseg><trkpt lat="40.3" lon="260.9"><time>2027-04-17T08:01:00-05:00</time><fix>none</fix></trkpt></trkseg></trk></gpx>`

func TestSmallFile(t *testing.T) {
	points, faults := Read([]byte(small), "file")
	if len(faults) != 0 || len(points) != 3 {
		t.Fatalf("%d points, %v", len(points), faults)
	}
	if p := points[0]; p.Kind != Waypoint || p.Comment != "launch" || p.TimeKind != fix.NoTime || p.Height.Kind != fix.NoHeight {
		t.Errorf("%+v", p)
	}
	p := points[1]
	if p.Kind != TrackPoint || p.Segment != 0 || p.Height.Metres != 30123.4 || p.Quality.Mode != fix.Full || p.Speed.Value != 12.5 || p.Expected.Across != 10 || !strings.HasPrefix(p.Raw, "<trkpt") || !strings.HasSuffix(p.Raw, "</trkpt>") {
		t.Errorf("%+v", p)
	}
	if p := points[2]; p.Segment != 1 || p.Place.LonDeg > -99.09 || !p.Time.Equal(time.Date(2027, 4, 17, 13, 1, 0, 0, time.UTC)) || p.Quality.Mode != fix.NoFix {
		t.Errorf("%+v", p)
	}
}

func TestBrokenFiles(t *testing.T) {
	points, faults := Read([]byte(small[:strings.Index(small, "</trkseg>")]), "file")
	if len(points) != 2 || len(faults) != 1 {
		t.Errorf("cut short: %d points, %v", len(points), faults)
	}
	for _, text := range []string{"", "<html></html>", "<gpx>" + strings.Repeat("<a>", 100), `<?xml version="1.0" encoding="UTF-16"?><gpx/>`, "<gpx>\xff</gpx>",
		`<gpx><wpt lat="x" lon="1"/></gpx>`, `<gpx><wpt lat="91" lon="1"/></gpx>`, `<gpx><wpt lat="1" lon="1"><ele>NaN</ele></wpt></gpx>`, `<gpx><wpt lat="1" lon="1"><time>noon</time></wpt></gpx>`} {
		if _, faults := Read([]byte(text), "file"); len(faults) == 0 {
			t.Errorf("%.60q was read without a fault", text)
		}
	}
}

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

// Counts, ends and lengths of real tracks as another program found them.
func TestOutsideTracks(t *testing.T) {
	folder := shared(t, "tracks")
	table, err := os.ReadFile(filepath.Join(folder, "values.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	compared := 0
	for line := range strings.Lines(string(table)) {
		row := strings.Split(strings.TrimRight(line, "\n"), "\t")
		kind, ok := map[string]Kind{"wpt": Waypoint, "trkpt": TrackPoint}[row[1]]
		if !ok || !strings.HasSuffix(row[0], ".gpx") {
			continue
		}
		compared++
		text, err := os.ReadFile(filepath.Join(folder, row[0]))
		if err != nil {
			t.Fatal(err)
		}
		all, faults := Read(text, row[0])
		if len(faults) != 0 {
			t.Errorf("%s: %v", row[0], faults)
		}
		hold(t, all, kind, row)
	}
	if compared != 3 {
		t.Errorf("%d rows were compared", compared)
	}
}

func hold(t *testing.T, all []Point, kind Kind, row []string) {
	t.Helper()
	var points []Point
	timed, high := 0, 0
	low, top, length := 1e9, -1e9, 0.0
	for _, p := range all {
		if p.Kind != kind {
			continue
		}
		if len(points) > 0 && kind == TrackPoint && points[len(points)-1].Segment == p.Segment {
			d, _, _ := geo.Inverse(points[len(points)-1].Place, p.Place)
			length += d
		}
		points = append(points, p)
		if p.TimeKind == fix.Told {
			timed++
		}
		if p.Height.Kind != fix.NoHeight {
			high++
			low, top = min(low, p.Height.Metres), max(top, p.Height.Metres)
		}
	}
	number := func(i int) float64 {
		v, err := strconv.ParseFloat(row[i], 64)
		if err != nil {
			t.Fatalf("%q: %v", row, err)
		}
		return v
	}
	if len(points) != int(number(2)) || timed != int(number(3)) || high != int(number(4)) {
		t.Fatalf("%s %s: %d points, %d with time, %d with height", row[0], row[1], len(points), timed, high)
	}
	first, last := points[0], points[len(points)-1]
	if first.Place != (geo.Point{LatDeg: number(5), LonDeg: number(6)}) || last.Place != (geo.Point{LatDeg: number(7), LonDeg: number(8)}) {
		t.Errorf("%s %s: from %v to %v", row[0], row[1], first.Place, last.Place)
	}
	if row[9] != "" && (first.Time.Format(time.RFC3339Nano) != row[9] || last.Time.Format(time.RFC3339Nano) != row[10]) {
		t.Errorf("%s %s: from %v to %v", row[0], row[1], first.Time, last.Time)
	}
	if high > 0 && (low != number(11) || top != number(12)) {
		t.Errorf("%s: heights from %v to %v", row[0], low, top)
	}
	// The length is printed to a decimetre.
	if kind == TrackPoint && (length < number(13)-0.06 || length > number(13)+0.06) {
		t.Errorf("%s: length %v, theirs %v", row[0], length, number(13))
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(small))
	f.Add([]byte(small[:300]))
	f.Add([]byte(`<?xml version="1.0" encoding="ISO-8859-1"?><gpx><wpt lat="1" lon="2"><name>` + "\xe9" + `</name></wpt></gpx>`))
	f.Fuzz(func(t *testing.T, text []byte) {
		points, faults := Read(text, "fuzz")
		if len(points) > len(text)/8 || len(faults) > mostFaults+1 {
			t.Errorf("%d points and %d faults from %d bytes", len(points), len(faults), len(text))
		}
		for _, p := range points {
			if !p.HasPlace || !(p.Place.LatDeg >= -90 && p.Place.LatDeg <= 90) {
				t.Errorf("%+v", p)
			}
		}
	})
}
