package kml

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pappus/measure/geo"
	"pappus/signal/fix"
	"pappus/signal/gpx"
)

const small = `<kml xmlns="http://www.opengis.net/kml/2.2"><Document>
<Placemark><name>box</name><TimeStamp><when>2027-04-17T13:00:00Z</when></TimeStamp><Point><altitudeMode>absolute</altitudeMode><coordinates>-99.2,40.1,1200</coordinates></Point></Placemark>
<Placemark><Point><coordinates>-99.2,40.1,0</coordinates></Point><TimeStamp><when>2027-04-17T08:01:00-05:00</when></TimeStamp></Placemark>
<Placemark><LineString><altitudeMode>relativeToGround</altitudeMode><coordinates>1,2,3
 4,5,6</coordinates></LineString></Placemark>
<Placemark><Polygon><outerBoundaryIs><LinearRing><coordinates>1,2 3,4 5,6 1,2</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark>
<Placemark><gx:Track xmlns:gx="urn:x"><when>2027-04-17T13:00:00Z</when><when>2027-04-17T13:01:00Z</when><gx:coord>-99.2 40.1 1200</gx:coord><gx:coord></gx:coord></gx:Track></Placemark>
</Document></kml>`

func TestSmallFile(t *testing.T) {
	points, faults := Read([]byte(small), "file")
	if len(faults) != 0 || len(points) != 5 {
		t.Fatalf("%d points, %v", len(points), faults)
	}
	if p := points[0]; p.Kind != Place || p.Height != (fix.Height{Metres: 1200, Kind: fix.AboveSea}) || p.Comment != "box" || p.Time.Format(time.RFC3339) != "2027-04-17T13:00:00Z" {
		t.Errorf("%+v", p)
	}
	if p := points[1]; p.Height.Kind != fix.NoHeight || p.Time.Format(time.RFC3339) != "2027-04-17T13:01:00Z" {
		t.Errorf("%+v", p)
	}
	if p := points[3]; p.Kind != Path || p.Place != (geo.Point{LatDeg: 5, LonDeg: 4}) || p.Height.Kind != fix.AboveGround || p.TimeKind != fix.NoTime {
		t.Errorf("%+v", p)
	}
	if p := points[4]; p.Kind != Track || p.Height.Kind != fix.Unsaid || len(p.Assumed) != 1 || p.TimeKind != fix.Told {
		t.Errorf("%+v", p)
	}
}

func TestBrokenFiles(t *testing.T) {
	for _, text := range []string{"", "<html></html>", "<kml>" + strings.Repeat("<a>", 100), "<kml><Point><coordinates>1</coordinates></Point></kml>", "<kml><Point><coordinates>x,1</coordinates></Point></kml>",
		"<kml><Point><coordinates>1,91</coordinates></Point></kml>", "<kml><Track><when>2027-04-17T13:00:00Z</when></Track></kml>", "<kml><Track><when>noon</when><coord>1 2</coord></Track></kml>"} {
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

// Two times and two places, and a file that is cut off, as another program's table says.
func TestOutsideTracks(t *testing.T) {
	folder := shared(t, "tracks")
	whole, err := os.ReadFile(filepath.Join(folder, "gdal_gxtrack.kml"))
	if err != nil {
		t.Fatal(err)
	}
	points, faults := Read(whole, "file")
	if len(faults) != 0 || len(points) != 2 || points[1].Place != (geo.Point{LatDeg: 50, LonDeg: 3}) || points[1].Time.Format(time.RFC3339) != "2013-05-28T13:00:00Z" {
		t.Errorf("%+v %v", points, faults)
	}
	cut, err := os.ReadFile(filepath.Join(folder, "gdal_truncated.kml"))
	if err != nil {
		t.Fatal(err)
	}
	if points, faults := Read(cut, "file"); len(points) != 0 || len(faults) != 1 {
		t.Errorf("%+v %v", points, faults)
	}
}

// A real track turned into KML by another program must come back as it was.
func TestOutsideConverter(t *testing.T) {
	track := filepath.Join(shared(t, "tracks"), "gpxgo_visnjan.gpx")
	path, err := exec.LookPath("gpsbabel")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("gpsbabel is not installed")
		}
		t.Skip("gpsbabel is not installed")
	}
	turned, err := exec.Command(path, "-i", "gpx", "-f", track, "-o", "kml,track=1,points=0,lines=0,floating=1", "-F", "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(track)
	if err != nil {
		t.Fatal(err)
	}
	want, _ := gpx.Read(text, "file")
	want = want[2:] // the waypoints stand first
	all, faults := Read(turned, "file")
	var got []Point
	for _, p := range all {
		if p.Kind == Track {
			got = append(got, p)
		}
	}
	if len(faults) != 0 || len(got) != len(want) {
		t.Fatalf("%d points, expected %d; %v", len(got), len(want), faults)
	}
	for i := range got {
		// It prints six decimals of a degree and two of a metre.
		if math.Abs(got[i].Place.LatDeg-want[i].Place.LatDeg) > 0.51e-6 || math.Abs(got[i].Place.LonDeg-want[i].Place.LonDeg) > 0.51e-6 ||
			math.Abs(got[i].Height.Metres-want[i].Height.Metres) > 0.006 || !got[i].Time.Equal(want[i].Time) {
			t.Fatalf("point %d: %+v, expected %+v", i, got[i], want[i])
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(small))
	f.Add([]byte(small[:400]))
	f.Fuzz(func(t *testing.T, text []byte) {
		points, faults := Read(text, "fuzz")
		if len(points) > len(text) || len(faults) > mostFaults+1 {
			t.Errorf("%d points and %d faults from %d bytes", len(points), len(faults), len(text))
		}
		for _, p := range points {
			if !(p.Place.LatDeg >= -90 && p.Place.LatDeg <= 90) {
				t.Errorf("%+v", p)
			}
		}
	})
}
