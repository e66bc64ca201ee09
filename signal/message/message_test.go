package message

import (
	"math"
	"strings"
	"testing"
	"time"

	"pappus/signal/fix"
)

var terms = Terms{Received: time.Date(2027, 4, 17, 13, 10, 0, 0, time.UTC)}

// One place, 40.0961 N 99.2094 W, in the writings that people and machines send. By hand
// that is 40°05.766' N 99°12.564' W, or 40°05'45.96" N 99°12'33.84" W.
func TestWritingsOfAPlace(t *testing.T) {
	for _, text := range []string{
		"40.0961, -99.2094",
		"I am at 40.0961 -99.2094.",
		"(40.0961,-99.2094)",
		"40,0961 -99,2094",
		"40.0961 N 99.2094 W",
		"40.0961N, 99.2094W",
		"40.0961° north, 99.2094° west",
		"N 40.0961 W 99.2094",
		"N40°05.766' W99°12.564'",
		"40 05.766 N, 99 12.564 W",
		"40°05'45.96\"N 99°12'33.84\"W",
		"40° 5′ 45.96″ N, 99° 12′ 33.84″ W",
		"N 40:05:45.96 W 99:12:33.84",
		"99.2094W 40.0961N",
		"lat=40.0961 lon=-99.2094",
		"Lat: 40.0961, Long: -99.2094",
		"Latitude: 40 05.766 N Longitude: 99 12.564 W",
		"latitude 40.0961\nlongitude -99.2094",
		`{"lat": 40.0961, "lng": -99.2094}`,
		"geo:40.0961,-99.2094",
		"geo:40.0961,-99.2094,1200;u=10",
		"See https://maps.example/?q=40.0961,-99.2094&z=12",
		"https://maps.example/?q=40.0961%2C-99.2094",
		"https://maps.example/maps?ll=40.0961,-99.2094",
		"https://maps.example/@40.0961,-99.2094,15z",
		"https://maps.example/#map=15/40.0961/-99.2094",
		"https://maps.example/?mlat=40.0961&mlon=-99.2094#map=3/1.000/2.000",
		"https://maps.example/?lon=-99.2094&lat=40.0961",
		"https://maps.example/view?query=40.0961+-99.2094",
		"$GPGGA,130500,4005.766,N,09912.564,W,1,08,0.9,545.4,M,46.9,M,,*5F",
		"N0CALL-11>APRS:!4005.77N/09912.56WO",
		`{"class":"TPV","mode":3,"lat":40.0961,"lon":-99.2094}`,
	} {
		all := Find(text, "paste", terms)
		if len(all) == 0 {
			t.Errorf("%q: nothing found", text)
			continue
		}
		p := all[0].Place
		// A packet's place ends at the hundredth of a minute, 1.7e-4 degrees.
		if math.Abs(p.LatDeg-40.0961) > 1e-4 || math.Abs(p.LonDeg+99.2094) > 1e-4 {
			t.Errorf("%q: %v as %s", text, p, all[0].Form)
		}
		if len(all) > 1 && text[0] != 'h' {
			t.Errorf("%q: %d places", text, len(all))
		}
	}
}

func TestWordsAround(t *testing.T) {
	for _, c := range []struct {
		text, at string
		kind     fix.TimeKind
		alt      float64
	}{
		{"Hello! I'm OK.\nLat 40.0961 Lon -99.2094\nAltitude: 98,830 ft\nTime: 04/17/2027 13:05 UTC", "2027-04-17T13:05:00Z", fix.Told, 30123.384},
		{"13:05:30 40.0961, -99.2094 alt 1200 m", "2027-04-17T13:05:30Z", fix.DateAssumed, 1200},
		{"40.0961 N 99.2094 W, 12.5 km high, seen 17 Apr 2027 8:05 am CDT", "2027-04-17T13:05:00Z", fix.Told, 12500},
		{"23:50 40.0961, -99.2094", "2027-04-16T23:50:00Z", fix.DateAssumed, 0},
		{"N 40:05:45.96 W 99:12:33.84", "", fix.NoTime, 0},
		{"40.0961, -99.2094 height=300", "", fix.NoTime, 300},
	} {
		all := Find(c.text, "paste", terms)
		if len(all) != 1 {
			t.Errorf("%q: %d places", c.text, len(all))
			continue
		}
		r, at := all[0], ""
		if r.TimeKind != fix.NoTime {
			at = r.Time.Format(time.RFC3339)
		}
		if at != c.at || r.TimeKind != c.kind || math.Abs(r.Height.Metres-c.alt) > 1e-6 || (c.alt != 0) != (r.Height.Kind != fix.NoHeight) {
			t.Errorf("%q: %q %v, height %v", c.text, at, r.TimeKind, r.Height)
		}
	}
	all := Find("40.0961, -99.2094 speed 36 km/h course 88", "paste", terms)
	if len(all) != 1 || all[0].Speed.Value != 10 || all[0].CourseDeg.Value != 88 || len(all[0].Assumed) == 0 || !all[0].Received.Equal(terms.Received) {
		t.Errorf("%+v", all)
	}
}

func TestSeveralPlaces(t *testing.T) {
	all := Find("13:00 40.1000, -99.2000\n13:10 40.1000, -99.1000\nsee https://maps.example/?q=40.10001,-99.10001\n", "paste", terms)
	if len(all) != 2 || all[0].Time.Minute() != 0 || all[1].Time.Minute() != 10 {
		t.Errorf("%+v", all)
	}
}

func TestNoPlaceIsNone(t *testing.T) {
	for _, text := range []string{"", "call me at 555.123.4567", "it cost 12.50, 13.75", "95.1234, 10.1234", "version 1.234 1.5", "N0CALL>APRS:>status", "13:05 UTC on 17 April", "40.0961", "lat=40.0961"} {
		if all := Find(text, "paste", terms); len(all) != 0 {
			t.Errorf("%q: %+v", text, all)
		}
	}
}

// However odd the text, the search ends; ten seconds leave room for a slow and busy
// machine.
func TestOddTextsEnd(t *testing.T) {
	began := time.Now()
	for _, unit := range []string{"1 ", "40 05.766 N ", "N 1 W 1\n", "lat=1.5 ", "12:00 ", "40.0961, -99.2094 ", "%41", "/1.5,", "$GPGGA,", "A>B:}"} {
		if all := Find(strings.Repeat(unit, 1<<17/len(unit)), "paste", terms); len(all) > mostCandidates {
			t.Errorf("%q: %d places", unit, len(all))
		}
	}
	if took := time.Since(began); took > 10*time.Second {
		t.Errorf("took %v", took)
	}
}

func FuzzFind(f *testing.F) {
	f.Add("Lat 40.0961 Lon -99.2094\nAltitude: 98,830 ft 04/17/2027 13:05 UTC")
	f.Add("https://maps.example/?mlat=40.0961&mlon=-99.2094#map=3/1.000/2.000 geo:1,2,3")
	f.Add("N40°05.766' W99°12.564' 12.5 km high")
	f.Fuzz(func(t *testing.T, text string) {
		all := Find(text, "fuzz", terms)
		if len(all) > mostCandidates {
			t.Errorf("%d places", len(all))
		}
		for _, c := range all {
			if !(c.Place.LatDeg >= -90 && c.Place.LatDeg <= 90 && c.Place.LonDeg >= -180 && c.Place.LonDeg < 180 && c.Expected.Across > 0) {
				t.Errorf("%+v", c)
			}
		}
	})
}
