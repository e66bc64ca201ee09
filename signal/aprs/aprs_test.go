package aprs

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"pappus/signal/ax25"
	"pappus/signal/fix"
)

func near(a, b, within float64) bool { return math.Abs(a-b) <= within }

var noon = time.Date(2027, 4, 9, 12, 0, 0, 0, time.UTC)

// unsaid stands for a figure that a packet does not tell.
var unsaid = math.NaN()

func same(got fix.Figure, want, within float64) bool {
	if math.IsNaN(want) {
		return !got.Known
	}
	return got.Known && near(got.Value, want, within)
}

func height(r Position) fix.Figure {
	return fix.Figure{Value: r.Height.Metres, Known: r.Height.Kind != fix.NoHeight}
}

// The examples of [APRS101], in knots and feet there: a knot is 1852/3600 m/s, a foot
// 0.3048 m. Places are worked out by hand from the minutes.
func TestPublishedPackets(t *testing.T) {
	const knot = 1852.0 / 3600
	for _, c := range []struct {
		info             string
		lat, lon         float64
		alt, speed, cour float64
		at, station      string
	}{
		{"!4903.50N/07201.75W-Test 001234", 49.0583333, -72.0291667, unsaid, unsaid, unsaid, "", "N0CALL"},
		{"!4903.50N/07201.75W-Test /A=001234", 49.0583333, -72.0291667, 376.1232, unsaid, unsaid, "", "N0CALL"},
		{"/092345z4903.50N/07201.75W>Test1234", 49.0583333, -72.0291667, unsaid, unsaid, unsaid, "2027-04-09T23:45:00Z", "N0CALL"},
		{"@092345/4903.50N/07201.75W>Test1234", 49.0583333, -72.0291667, unsaid, unsaid, unsaid, "", "N0CALL"},
		{"/234517h4903.50N/07201.75W>Test", 49.0583333, -72.0291667, unsaid, unsaid, unsaid, "2027-04-08T23:45:17Z", "N0CALL"},
		{"@092345/4903.50N/07201.75W>088/036", 49.0583333, -72.0291667, unsaid, 36 * knot, 88, "", "N0CALL"},
		{";LEADER   *092345z4903.50N/07201.75W>088/036", 49.0583333, -72.0291667, unsaid, 36 * knot, 88, "2027-04-09T23:45:00Z", "LEADER"},
		{")AID #2!4903.50N/07201.75WA", 49.0583333, -72.0291667, unsaid, unsaid, unsaid, "", "AID #2"},
		{"=/5L!!<*e7>7P[", 49.5, -72.75, unsaid, 36.2322 * knot, 88, "", "N0CALL"}, // 1.08^47 - 1
		{"=/5L!!<*e7> sT", 49.5, -72.75, unsaid, unsaid, unsaid, "", "N0CALL"},
		{"=/5L!!<*e7OS]S", 49.5, -72.75, 3049.37, unsaid, unsaid, "", "N0CALL"}, // 10004.5 ft
		{"!4903.5 N/07201.75W-", 49 + 3.55/60, -72 - 1.75/60, unsaid, unsaid, unsaid, "", "N0CALL"},
		{"!4903.  N/07201.75W-", 49 + 3.5/60, -72 - 1.5/60, unsaid, unsaid, unsaid, "", "N0CALL"},
		{"!490 .  N/07201.75W-", 49 + 5.0/60, -72 - 5.0/60, unsaid, unsaid, unsaid, "", "N0CALL"},
		{"!49  .  N/072  .  W-", 49.5, -72.5, unsaid, unsaid, unsaid, "", "N0CALL"},
		{"!4903.50N/07201.75W_220/004g005t077", 49.0583333, -72.0291667, unsaid, unsaid, unsaid, "", "N0CALL"}, // a weather station's wind
		{"$GPRMC,063909,A,3349.4302,N,11700.3721,W,43.022,89.3,291099,13.6,E*52", 33.8238367, -117.0062017, unsaid, 22.132429, 89.3, "1999-10-29T06:39:09Z", "N0CALL"},
		{"}N1CALL>APRS,TCPIP*:!4903.50N/07201.75W-", 49.0583333, -72.0291667, unsaid, unsaid, unsaid, "", "N1CALL"},
		{"X1J4 words !4903.50N/07201.75W-", 49.0583333, -72.0291667, unsaid, unsaid, unsaid, "", "N0CALL"},
		{"=/:0Q_4\"MTO`8S", 40.20576, -104.761315, 30123.4, unsaid, unsaid, "", "N0CALL"}, // made by hand: 98,830 ft
	} {
		p, err := Decoder{Source: "radio"}.Line("N0CALL>APRS,WIDE1-1:"+c.info, noon)
		if err != nil {
			t.Errorf("%s: %v", c.info, err)
			continue
		}
		// A compressed place has steps of 1/380926 and 1/190463 degree; a compressed height
		// has steps of 0.2 %.
		within, up := 1e-7, 1e-3
		if p.Compressed {
			within, up = 1.0/190463, 0.001*math.Max(1, c.alt)
		}
		if !near(p.Place.LatDeg, c.lat, within) || !near(p.Place.LonDeg, c.lon, within) || !same(height(p), c.alt, up) || !same(p.Speed, c.speed, 1e-4) || !same(p.CourseDeg, c.cour, 1e-9) {
			t.Errorf("%s: %+v", c.info, p)
		}
		at := ""
		if p.TimeKind != fix.NoTime {
			at = p.Time.Format(time.RFC3339)
		}
		if at != c.at || p.Station != c.station {
			t.Errorf("%s: at %q of %q, expected %q of %q", c.info, at, p.Station, c.at, c.station)
		}
	}
}

func TestRadioRange(t *testing.T) {
	p, err := Decoder{}.Line("N0CALL>APRS:=/5L!!<*e7>{?!", noon)
	if err != nil || !near(p.Range.Value, 20.1253*1609.344, 1) { // 2 · 1.08^30 statute miles
		t.Errorf("%+v %v", p.Range, err)
	}
}

// The example of [APRS101, chapter 10], and heights worked out by hand: 84·1 + 52·91 +
// 1·8281 - 10000 less 33 each is 61 m; "%mt}" is 30123 m.
func TestPublishedMicE(t *testing.T) {
	for _, c := range []struct {
		line                         string
		lat, lon, alt, speed, course float64
		status                       string
	}{
		{"N0CALL>S32U6T:`(_fn\"Oj/", 33 + 25.64/60, -(12 + 7.74/60), unsaid, 20, 251, "returning"},
		{"N0CALL>S32UVT:`(_fn\"Oj/\"4T}", 33 + 25.64/60, -(112 + 7.74/60), 61, 20, 251, "returning"},
		{"N0CALL-11>S32UVT:'(_fn\"OO/]%mt}aloft", 33 + 25.64/60, -(112 + 7.74/60), 30123, 20, 251, "returning"},
		{"N0CALL>332PVL:`(_fn\"Oj/", 33 + 20.65/60, 112 + 7.75/60, unsaid, 20, 251, "emergency"},
	} {
		p, err := Decoder{}.Line(c.line, noon)
		if err != nil {
			t.Errorf("%s: %v", c.line, err)
			continue
		}
		if !near(p.Place.LatDeg, c.lat, 1e-7) || !near(p.Place.LonDeg, c.lon, 1e-7) || !same(height(p), c.alt, 1e-9) ||
			!same(p.Speed, c.speed*1852/3600, 1e-9) || !same(p.CourseDeg, c.course, 0) || p.Status != c.status {
			t.Errorf("%s: %+v", c.line, p)
		}
	}
}

func TestStampsAndZones(t *testing.T) {
	local := time.FixedZone("five west", -5*3600)
	p, err := Decoder{Zone: local}.Line("N0CALL>APRS:@090645/4903.50N/07201.75W>", noon)
	if err != nil || p.TimeKind != fix.DateAssumed || p.Time.Format(time.RFC3339) != "2027-04-09T11:45:00Z" {
		t.Errorf("%v %v", p.Time, err)
	}
	for _, stamp := range []string{"999999z", "      z", "092345x", "312345z", "256000h"} {
		p, err := Decoder{}.Line("N0CALL>APRS:@"+stamp+"4903.50N/07201.75W>", time.Time{})
		if err != nil || p.TimeKind != fix.NoTime || !p.HasPlace || len(p.Assumed) == 0 {
			t.Errorf("%s: %+v %v", stamp, p, err)
		}
	}
}

func TestKilledObject(t *testing.T) {
	p, err := Decoder{}.Line("N0CALL>APRS:;LEADER   _092345z4903.50N/07201.75W>", noon)
	if err != nil || !p.Killed || !p.Object || p.Sender != "N0CALL" || p.Station != "LEADER" {
		t.Errorf("%+v %v", p, err)
	}
}

func TestFromFrame(t *testing.T) {
	f := ax25.Frame{Destination: ax25.Address{Call: "APRS"}, Source: ax25.Address{Call: "N0CALL", SSID: 11}, Info: []byte("!4903.50N/07201.75WO/A=098830")}
	p, err := Decoder{Source: "modem"}.Packet(FromFrame(f), noon)
	if err != nil || p.Station != "N0CALL-11" || p.Symbol != "/O" || !near(p.Height.Metres, 30123.384, 1e-9) || p.Raw != f.Text() || !p.Received.Equal(noon) {
		t.Errorf("%+v %v", p, err)
	}
}

func TestRefusals(t *testing.T) {
	for _, line := range []string{"# a server's remark", "N0CALL>APRS:>status", "N0CALL>APRS::N1CALL   :words", "N0CALL>APRS:T#005,199", "N0CALL>APRS:"} {
		if _, err := (Decoder{}).Line(line, noon); !errors.Is(err, ErrNoPosition) {
			t.Errorf("%s: %v", line, err)
		}
	}
	for _, line := range []string{
		"", "N0CALL", "N0CALL:!", "N0 ALL>APRS:!4903.50N/07201.75W-", "N0CALL>APRS:!", "N0CALL>APRS:!4903.50N/07201.75",
		"N0CALL>APRS:!4960.50N/07201.75W-", "N0CALL>APRS:!4903.50X/07201.75W-", "N0CALL>APRS:!9103.50N/07201.75W-", "N0CALL>APRS:!4 03.50N/07201.75W-",
		"N0CALL>APRS:/0923", "N0CALL>APRS:;LEADER", "N0CALL>APRS:;LEADER   !092345z4903.50N/07201.75W>", "N0CALL>APRS:)A!4903.50N/07201.75W-",
		"N0CALL>APRS:=/5L!!<*e", "N0CALL>APRS:=/5L|!<*e7>7P[", "N0CALL>APRS:=~5L!!<*e7>7P[",
		"N0CALL>S32U6:`(_fn\"Oj/", "N0CALL>S32U6T:`(_fn", "N0CALL>S32*6T:`(_fn\"Oj/", "N0CALL>ALLLLL:`(_fn\"Oj/", "N0CALL>APRS:" + strings.Repeat("}A>B:", 9) + "!4903.50N/07201.75W-",
		"N0CALL>APRS:!" + strings.Repeat("x", 2000), "N0CALL>A" + strings.Repeat(",B", 40) + ":!4903.50N/07201.75W-",
	} {
		if p, err := (Decoder{}).Line(line, noon); err == nil || errors.Is(err, ErrNoPosition) {
			t.Errorf("%.80q: %+v %v", line, p, err)
		}
	}
}

func FuzzLine(f *testing.F) {
	for _, line := range []string{
		"N0CALL-11>APRS,WIDE1-1:!4903.50N/07201.75W-Test /A=001234 !W25!", "N0CALL>APRS:=/5L!!<*e7OS]S", "N0CALL>S32U6T:`(_fn\"Oj/\"4T}",
		"N0CALL>APRS:;LEADER   *092345z4903.50N/07201.75W>088/036", "N0CALL>APRS:}N1CALL>APRS:)AID #2!49  .  N/07201.75WA",
		"N0CALL>APRS:$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47",
	} {
		f.Add(line)
	}
	f.Fuzz(func(t *testing.T, line string) {
		p, err := Decoder{Source: "fuzz", Zone: time.UTC}.Line(line, noon)
		if err != nil {
			return
		}
		if p.HasPlace && !(p.Place.LatDeg >= -90 && p.Place.LatDeg <= 90 && p.Place.LonDeg >= -180 && p.Place.LonDeg < 180) {
			t.Errorf("%v", p.Place)
		}
		if !(p.Expected.Across > 0 && p.Expected.Up > 0) || math.IsInf(p.Height.Metres, 0) {
			t.Errorf("%+v", p)
		}
	})
}
