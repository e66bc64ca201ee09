package gpsd

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"pappus/signal/fix"
)

// The example of [GPSDJSON].
const published = `{"class":"TPV","device":"/dev/pts/1","time":"2005-06-08T10:34:48.283Z","ept":0.005,"lat":46.498293369,"lon":7.567411672,"alt":1343.127,"eph":36.000,"epv":32.321,"track":10.3788,"speed":0.091,"climb":-0.085,"mode":3}`

func TestPublishedObject(t *testing.T) {
	received := time.Date(2005, 6, 8, 10, 34, 49, 0, time.UTC)
	r, ready, err := Line([]byte(published+"\r\n"), "car", received)
	if err != nil || !ready {
		t.Fatal(ready, err)
	}
	if r.Place.LatDeg != 46.498293369 || r.Place.LonDeg != 7.567411672 || r.Height.Metres != 1343.127 || r.Height.Kind != fix.Unsaid {
		t.Errorf("%+v", r)
	}
	if r.Speed.Value != 0.091 || r.CourseDeg.Value != 10.3788 || r.Climb.Value != -0.085 || r.Quality.Mode != fix.Full {
		t.Errorf("%+v", r)
	}
	if !r.Time.Equal(time.Date(2005, 6, 8, 10, 34, 48, 283e6, time.UTC)) || r.TimeKind != fix.Told || !r.Received.Equal(received) {
		t.Errorf("%v", r.Time)
	}
}

func TestModesAndHeights(t *testing.T) {
	for _, c := range []struct {
		line string
		mode fix.Mode
		kind fix.HeightKind
		alt  float64
	}{
		{`{"class":"TPV","mode":1}`, fix.NoFix, fix.NoHeight, 0},
		{`{"class":"TPV","mode":0,"lat":1,"lon":2}`, fix.NoFix, fix.NoHeight, 0},
		{`{"mode":2,"lat":1,"lon":2,"altMSL":7,"class":"TPV"}`, fix.Flat, fix.NoHeight, 0},
		{`{"class":"TPV","mode":3,"lat":1,"lon":2,"altMSL":100,"altHAE":83}`, fix.Full, fix.AboveSea, 100},
		{`{"class":"TPV","mode":3,"lat":1,"lon":2,"altHAE":83,"geoidSep":-17}`, fix.Full, fix.AboveEllipsoid, 100},
		{`{"class":"TPV","mode":3,"status":6,"lat":1,"lon":2}`, fix.Estimated, fix.NoHeight, 0},
		{`{"class":"TPV","mode":3,"status":8,"lat":1,"lon":2}`, fix.Simulated, fix.NoHeight, 0},
	} {
		r, ready, err := Line([]byte(c.line), "car", time.Time{})
		alt, _, _ := r.Height.MSL()
		if err != nil || !ready || r.Quality.Mode != c.mode || r.Height.Kind != c.kind || float64(alt) != c.alt {
			t.Errorf("%s: %+v %v", c.line, r, err)
		}
	}
}

func TestOtherLines(t *testing.T) {
	for _, line := range []string{`{"class":"VERSION","release":"3.22"}`, `{"class":"SKY","satellites":[]}`} {
		if _, ready, err := Line([]byte(line), "car", time.Time{}); ready || err != nil {
			t.Errorf("%s: %v %v", line, ready, err)
		}
	}
	for _, line := range []string{"", "[]", "x", `{"class":"TPV"}`, `{"mode":3}`, `{"class":"TPV","mode":3,"lat":91,"lon":0}`,
		`{"class":"TPV","mode":3,"time":"noon"}`, `{"class":"ERROR","message":"no"}`, strings.Repeat(" ", Longest+1)} {
		if _, ready, err := Line([]byte(line), "car", time.Time{}); ready || err == nil {
			t.Errorf("%.60q: %v %v", line, ready, err)
		}
	}
}

// What a build of the decoder itself writes today, from one sentence: by hand 4807.038 is
// 48.1173 degrees and 545.4 + 46.9 is 592.3 m.
func TestOutsideDaemonWrites(t *testing.T) {
	path, err := exec.LookPath("gpsdecode")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("gpsdecode is not installed")
		}
		t.Skip("gpsdecode is not installed")
	}
	cmd := exec.Command(path)
	var input strings.Builder // it passes over the first sentences of a stream
	for second := range 20 {
		for _, body := range []string{"GPGGA,1235%02d,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,", "GPRMC,1235%02d,A,4807.038,N,01131.000,E,022.4,084.4,230326,003.1,W"} {
			body = fmt.Sprintf(body, second)
			sum := 0
			for _, c := range []byte(body) {
				sum ^= int(c)
			}
			fmt.Fprintf(&input, "$%s*%02X\r\n", body, sum)
		}
	}
	cmd.Stdin = strings.NewReader(input.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var last fix.Report
	for line := range bytes.Lines(out) {
		r, ready, err := Line(line, "car", time.Time{})
		if err != nil {
			t.Errorf("%s: %v", line, err)
		}
		if ready {
			last = r
		}
	}
	if !last.HasPlace || last.Time.IsZero() || last.Place.LatDeg != 48.1173 || last.Height.Kind != fix.AboveSea || last.Height.Metres != 545.4 || last.Height.Separation.Value < 46.899 || last.Height.Separation.Value > 46.901 {
		t.Errorf("%+v", last)
	}
}

func FuzzLine(f *testing.F) {
	f.Add([]byte(published))
	f.Add([]byte(`{"class":"TPV","mode":3,"lat":1e999,"lon":2,"altHAE":83,"geoidSep":-17}`))
	f.Fuzz(func(t *testing.T, line []byte) {
		r, ready, err := Line(line, "fuzz", time.Time{})
		if ready && err != nil {
			t.Error("a fault and a report")
		}
		if r.HasPlace && !(r.Place.LatDeg >= -90 && r.Place.LatDeg <= 90) {
			t.Errorf("%v", r.Place)
		}
	})
}
