package nmea

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"pappus/signal/fix"
)

func near(a, b, within float64) bool { return math.Abs(a-b) <= within }

// Sentences as printed in [APRS101], widely printed ones, and two made by hand. Their
// degrees are worked out by hand from the minutes; a knot is 1852/3600 m/s.
func TestPublishedSentences(t *testing.T) {
	for _, c := range []struct {
		line                 string
		lat, lon, alt, speed float64
		at                   string
	}{
		{"$GPGGA,102705,5157.9762,N,00029.3256,W,1,04,2.0,75.7,M,47.6,M,,*62", 51.96627, -0.48876, 75.7, math.NaN(), ""},
		{"$GPRMC,063909,A,3349.4302,N,11700.3721,W,43.022,89.3,291099,13.6,E*52", 33.8238367, -117.0062017, math.NaN(), 22.132429, "1999-10-29T06:39:09Z"},
		{"$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47", 48.1173, 11.5166667, 545.4, math.NaN(), ""},
		{"$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A", 48.1173, 11.5166667, math.NaN(), 11.523556, "1994-03-23T12:35:19Z"},
		{"$GPGGA,171530.00,4012.3456,N,10445.6789,W,1,10,0.8,30123.4,M,-17.2,M,,*5F", 40.20576, -104.761315, 30123.4, math.NaN(), ""},
		{"$GNRMC,171530.00,A,4012.3456,N,10445.6789,W,12.34,271.5,290826,,,A*56", 40.20576, -104.761315, math.NaN(), 6.348244, "2026-08-29T17:15:30Z"},
	} {
		reports, faults := Read(c.line, "test", time.Time{})
		if len(reports) != 1 || len(faults) != 0 {
			t.Errorf("%s: %d reports, %v", c.line, len(reports), faults)
			continue
		}
		r := reports[0]
		if !near(r.Place.LatDeg, c.lat, 5e-7) || !near(r.Place.LonDeg, c.lon, 5e-7) {
			t.Errorf("%s: at %v", c.line, r.Place)
		}
		if !math.IsNaN(c.alt) && (r.Height.Kind != fix.AboveSea || r.Height.Metres != c.alt) {
			t.Errorf("%s: height %v", c.line, r.Height)
		}
		if !math.IsNaN(c.speed) && !near(r.Speed.Value, c.speed, 1e-5) {
			t.Errorf("%s: speed %v", c.line, r.Speed)
		}
		if c.at != "" && (r.TimeKind != fix.Told || r.Time.Format(time.RFC3339) != c.at) {
			t.Errorf("%s: time %v", c.line, r.Time)
		}
	}
}

func TestPublishedChecksums(t *testing.T) {
	for _, line := range []string{
		"$GPGGA,102705,5157.9762,N,00029.3256,W,1,04,2.0,75.7,M,47.6,M,,*62",
		"$GPRMC,063909,A,3349.4302,N,11700.3721,W,43.022,89.3,291099,13.6,E*52",
		"$GPVTG,318.7,T,,M,35.1,N,65.0,K*69",
	} {
		if s, err := Parse(line); err != nil || !s.Checked {
			t.Errorf("%s: %v", line, err)
		}
		damaged := strings.Replace(line, "7", "8", 1)
		if _, err := Parse(damaged); !errors.Is(err, ErrChecksum) {
			t.Errorf("%s: %v, expected a wrong checksum", damaged, err)
		}
	}
}

func sum(body string) string {
	const digits = "0123456789ABCDEF"
	c := Checksum(body)
	return "$" + body + "*" + string(digits[c>>4]) + string(digits[c&15])
}

func TestOneMomentIsOneReport(t *testing.T) {
	log := strings.Join([]string{
		sum("GNGGA,235959.00,4012.3456,N,10445.6789,W,1,10,0.8,30123.4,M,-17.2,M,,"),
		sum("GNRMC,235959.00,A,4012.3456,N,10445.6789,W,10,271.5,290826,,,A"),
		sum("GNGSA,A,3,01,11,,,,,,,,,,,1.5,0.8,1.2"),
		sum("GNGGA,000001.00,4012.3456,N,10445.6789,W,1,10,0.8,30133.4,M,-17.2,M,,"),
	}, "\r\n")
	reports, faults := Read(log, "test", time.Time{})
	if len(reports) != 2 || len(faults) != 0 {
		t.Fatalf("%d reports, %v", len(reports), faults)
	}
	first := reports[0]
	if first.Height.Metres != 30123.4 || !near(first.Speed.Value, 5.144444, 1e-6) || first.CourseDeg.Value != 271.5 || first.Quality.Mode != fix.Full || strings.Count(first.Raw, "\n") != 2 {
		t.Errorf("first: %+v", first)
	}
	if sea := first.Height.Separation; !sea.Known || sea.Value != -17.2 {
		t.Errorf("separation %v", sea)
	}
	if second := reports[1]; second.Time.Format(time.RFC3339) != "2026-08-30T00:00:01Z" {
		t.Errorf("midnight was lost: %v", second.Time)
	}
}

func TestNoFixIsSaid(t *testing.T) {
	for body, want := range map[string]fix.Mode{
		"GPRMC,,V,,,,,,,,,,N":                                        fix.NoFix,
		"GPGGA,,,,,,0,00,99.99,,,,,,":                                fix.NoFix,
		"GPGGA,120000,4012.3456,N,10445.6789,W,0,00,99.9,100,M,,M,,": fix.NoFix,
		"GPGGA,120000,4012.3456,N,10445.6789,W,6,00,1,100,M,,M,,":    fix.Estimated,
		"GPGGA,120000,4012.3456,N,10445.6789,W,8,00,1,100,M,,M,,":    fix.Simulated,
		"GPRMC,120000,V,4012.3456,N,10445.6789,W,0,0,010127,,,N":     fix.NoFix,
		"GPGLL,4012.3456,N,10445.6789,W,120000,V,N":                  fix.NoFix,
		"GNGNS,120000,4012.3456,N,10445.6789,W,NN,00,9,100,,,":       fix.NoFix,
		"GNGNS,120000,4012.3456,N,10445.6789,W,AN,09,1,100,-17,,":    fix.Full,
	} {
		reports, faults := Read(sum(body), "test", time.Time{})
		if len(faults) != 0 || len(reports) != 1 || reports[0].Quality.Mode != want {
			t.Errorf("%s: %+v %v", body, reports, faults)
		}
	}
	flat := sum("GPGGA,120000,4012.3456,N,10445.6789,W,1,03,4,100,M,,M,,") + "\n" + sum("GPGSA,A,2,1,2,3,,,,,,,,,,4,4,4")
	if reports, _ := Read(flat, "test", time.Time{}); len(reports) != 1 || reports[0].Quality.Mode != fix.Flat || reports[0].Height.Kind != fix.NoHeight {
		t.Errorf("in the plane: %+v", reports)
	}
}

func TestRefusals(t *testing.T) {
	for _, body := range []string{
		"GPGGA,126000,4012.3456,N,10445.6789,W,1,10,0.8,1,M,,M,,",
		"GPGGA,120000,4060.0000,N,10445.6789,W,1,10,0.8,1,M,,M,,",
		"GPGGA,120000,9112.0000,N,10445.6789,W,1,10,0.8,1,M,,M,,",
		"GPGGA,120000,4012.3456,X,10445.6789,W,1,10,0.8,1,M,,M,,",
		"GPGGA,120000,4012.3456,N,10445.6789,W,1,10,0.8,1,f,,M,,",
		"GPGGA,120000,4012.3456,N,10445.6789,W,1,10,0.8,1e9,M,,M,,",
		"GPRMC,120000,A,4012.3456,N,10445.6789,W,1,10,310227,,,A",
		"GPRMC,120000,A,-012.3456,N,10445.6789,W,1,10,010227,,,A",
	} {
		if reports, faults := Read(sum(body), "test", time.Time{}); len(faults) != 1 || len(reports) != 0 {
			t.Errorf("%s: %+v %v", body, reports, faults)
		}
	}
	for _, line := range []string{"", "$", "hello", "$GPGGA,\xff", "$" + strings.Repeat("A", 300), "$GPGGA*0", "$gpgga,1"} {
		if _, err := Parse(line); err == nil {
			t.Errorf("%q was taken for a sentence", line)
		}
	}
}

func TestAssumedDay(t *testing.T) {
	a := NewAssembler("test", time.Time{})
	received := time.Date(2027, 4, 18, 0, 0, 20, 0, time.UTC)
	if _, ready, err := a.Line(sum("GPGGA,235955,4012.3456,N,10445.6789,W,1,10,0.8,1,M,,M,,"), received); ready || err != nil {
		t.Fatal(ready, err)
	}
	r, ready := a.Flush()
	if !ready || r.TimeKind != fix.DateAssumed || r.Time.Format(time.RFC3339) != "2027-04-17T23:59:55Z" || len(r.Assumed) == 0 {
		t.Errorf("%+v", r)
	}
	if _, ready := a.Flush(); ready {
		t.Error("a moment was told twice")
	}
}

func FuzzRead(f *testing.F) {
	f.Add("$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\n$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\n")
	f.Add("$GPZDA,152504.50,09,12,2009,00,00*65\n$GPGLL,5547.82107,N,02334.14132,E,152504.50,A,A*67")
	f.Add("$GNGNS,120000,4012.3456,N,10445.6789,W,AN,09,1,100,-17,,\n$GPVTG,,T,,M,0.253,N,0.469,K,A*2C\n$GPGSA,A,2,,,,,,,,,,,,,4,4,4")
	f.Fuzz(func(t *testing.T, text string) {
		reports, _ := Read(text, "fuzz", time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC))
		if len(reports) > strings.Count(text, "$") {
			t.Errorf("%d reports from %d sentences", len(reports), strings.Count(text, "$"))
		}
		for _, r := range reports {
			if r.HasPlace && !(r.Place.LatDeg >= -90 && r.Place.LatDeg <= 90 && r.Place.LonDeg >= -180 && r.Place.LonDeg < 180) {
				t.Errorf("place %v", r.Place)
			}
		}
		fix.Judge(reports, fix.Terms{}, nil)
	})
}
