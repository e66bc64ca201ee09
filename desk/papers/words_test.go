package papers

import (
	"testing"
	"time"

	"pappus/measure/geo"
	"pappus/record"
)

// Seconds of arc worked out by hand: 0.0961 deg is 345.96", 0.2094 deg 753.84".
func TestDMS(t *testing.T) {
	for _, c := range []struct {
		lat, lon float64
		want     string
	}{
		{40.0961, -99.2094, `40° 05' 46" N, 99° 12' 34" W`},
		{-0.5, 0, `0° 30' 00" S, 0° 00' 00" E`},
		{39.99999, 179.999999, `40° 00' 00" N, 180° 00' 00" E`}, // seconds carry into minutes and degrees
	} {
		if got := DMS(geo.Point{LatDeg: c.lat, LonDeg: c.lon}); got != c.want {
			t.Errorf("%v, %v: %s, want %s", c.lat, c.lon, got, c.want)
		}
	}
}

// The forms are those of RFC 5870, section 6.1: latitude first, plain decimals.
func TestGeoURI(t *testing.T) {
	for _, c := range []struct {
		lat, lon, u float64
		want        string
	}{
		{40.16215, -97.97105, 0, "geo:40.16215,-97.97105"},
		{-25.1, 48, 25081.4, "geo:-25.10000,48.00000;u=25081"},
		{-0.000001, 0.000001, 0, "geo:0.00000,0.00000"},
	} {
		if got := GeoURI(geo.Point{LatDeg: c.lat, LonDeg: c.lon}, c.u); got != c.want {
			t.Errorf("got %s, want %s", got, c.want)
		}
	}
}

func TestBearing(t *testing.T) {
	for deg, want := range map[float64]string{0: "360°", 359.6: "360°", -3: "357°", 7.4: "007°", 361: "001°"} {
		if got := bearing(deg); got != want {
			t.Errorf("%v: %s, want %s", deg, got, want)
		}
	}
}

func TestStampComesBack(t *testing.T) {
	s := Stamp{Flight: `Ő "lark" + 2; <b>&co`, Revision: record.Revision{1, 2, 3}, Cycle: "2027-04-17T00:00:00Z", Inputs: "0123456789ab"}
	got, ok := FindStamp([]byte("before " + s.String() + " after"))
	if !ok || got.flight != s.Flight {
		t.Fatalf("%+v, %v", got, ok)
	}
	if why := got.Against(s); len(why) != 0 {
		t.Errorf("the same stamp is called stale: %v", why)
	}
	newer := s
	newer.Cycle = "2027-04-17T06:00:00Z"
	changed := s
	changed.Revision[0] = 9
	others := s
	others.Inputs = "ffffffffffff"
	unlooked := s
	unlooked.Cycle, unlooked.Inputs = "", "none"
	for name, c := range map[string]struct {
		now  Stamp
		want int
	}{"newer cycle": {newer, 1}, "changed file": {changed, 1}, "other files": {others, 1}, "no weather named": {unlooked, 0}} {
		if why := got.Against(c.now); len(why) != c.want {
			t.Errorf("%s: %v", name, why)
		}
	}
	if _, ok := FindStamp([]byte("pappus-stamp flight=x revision=short")); ok {
		t.Error("half a stamp was taken for one")
	}
}

func TestIdentitiesDiffer(t *testing.T) {
	l := newList("packing")
	l.add("line", "one")
	l.add("line", "two")
	p := l.part("x")
	if p.Checks[0].ID != "packing.line" || p.Checks[1].ID != "packing.line-2" {
		t.Errorf("%+v", p.Checks)
	}
	if a, b := uid("x", "y"), uid("x", "z"); a == b || len(a) != 36 || a[14] != '8' {
		t.Errorf("%s %s", a, b)
	}
}

// A flight that rises 100 m a minute northwards is at 250 m after two and a half.
func TestCrossing(t *testing.T) {
	start := time.Date(2027, 4, 17, 13, 0, 0, 0, time.UTC)
	var way []Spot
	for i := range 5 {
		way = append(way, Spot{Time: start.Add(time.Duration(i) * time.Minute), Alt: 100 * float64(i), Point: geo.Point{LatDeg: 40 + 0.01*float64(i), LonDeg: -99}})
	}
	s, ok := crossing(way, func(s Spot) float64 { return s.Alt }, 250)
	if !ok || s.Time.Sub(start) != 150*time.Second {
		t.Fatalf("%v %v", s.Time, ok)
	}
	// A millionth of a degree is 0.1 m: the meridian is straight to that here.
	if d := s.Point.LatDeg - 40.025; d > 1e-6 || d < -1e-6 {
		t.Errorf("at %v", s.Point)
	}
	if _, ok := crossing(way, func(s Spot) float64 { return s.Alt }, 500); ok {
		t.Error("a height above the way was crossed")
	}
}
