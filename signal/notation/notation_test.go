package notation

import (
	"math"
	"testing"
	"time"

	"pappus/signal/fix"
)

// By hand: 40 degrees 5.766 minutes are 40.0961; 99 degrees 12 minutes 33.84 seconds are
// 99.2094.
func TestAngles(t *testing.T) {
	for text, want := range map[string]Angle{
		"40.0961":            {40.0961, 0, 1e-4},
		"-99.2094":           {-99.2094, 0, 1e-4},
		"−99,2094":           {-99.2094, 0, 1e-4},
		"40.0961 N":          {40.0961, 'N', 1e-4},
		"W99.2094":           {-99.2094, 'W', 1e-4},
		"40.0961° n":         {40.0961, 'N', 1e-4},
		"40 05.766 N":        {40.0961, 'N', 1e-3 / 60},
		"40°05.766'N":        {40.0961, 'N', 1e-3 / 60},
		"99°12'33.84\"W":     {-99.2094, 'W', 1e-2 / 3600},
		"99° 12′ 33.84″ W":   {-99.2094, 'W', 1e-2 / 3600},
		"99:12:33.84 E":      {99.2094, 'E', 1e-2 / 3600},
		"S 40 deg 5.766 min": {-40.0961, 'S', 1e-3 / 60},
		"260.7906":           {260.7906, 0, 1e-4},
		"0":                  {0, 0, 1},
	} {
		got, err := ParseAngle(text)
		if err != nil || math.Abs(got.Deg-want.Deg) > 1e-9 || got.Side != want.Side || math.Abs(got.Step-want.Step) > 1e-12 {
			t.Errorf("%q: %v %v, expected %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "x", "40 60 N", "40.5 30 N", "N40S", "-40 S", "91 N", "181 E", "400", "4000", "40 N E", "40..5"} {
		if got, err := ParseAngle(text); err == nil {
			t.Errorf("%q was read as %v", text, got)
		}
	}
}

func TestMoments(t *testing.T) {
	near := time.Date(2027, 4, 17, 14, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"2027-04-17T13:05:06Z":             "2027-04-17T13:05:06Z",
		"2027-04-17 13:05:06.250":          "2027-04-17T13:05:06.25Z",
		"2027/4/17 8:05 CDT":               "2027-04-17T13:05:00Z",
		"2027-04-17T08:05:06-05:00":        "2027-04-17T13:05:06Z",
		"17.04.2027, 15:05 CEST":           "2027-04-17T13:05:00Z",
		"04/17/2027 1:05 pm":               "2027-04-17T13:05:00Z",
		"04/17/27 12:05 AM UTC":            "2027-04-17T00:05:00Z",
		"17 April 2027 13:05 GMT":          "2027-04-17T13:05:00Z",
		"Apr 17, 2027 at 1:05:06 p.m. UTC": "2027-04-17T13:05:06Z",
		"20270417T130506Z":                 "2027-04-17T13:05:06Z",
		"20270417130506":                   "2027-04-17T13:05:06Z",
		"seen at 13:05 UTC":                "2027-04-17T13:05:00Z",
		"13h05m06s":                        "2027-04-17T13:05:06Z",
		"23:30Z":                           "2027-04-17T23:30:00Z",
		"1:30 +0530":                       "2027-04-17T20:00:00Z",
	} {
		m, ok := FindMoment(text, Usual)
		got, kind, _ := m.Time(nil, near)
		if !ok || kind == fix.NoTime || got.Format(time.RFC3339Nano) != want {
			t.Errorf("%q: %v (%+v), expected %s", text, got, m, want)
		}
	}
	for _, text := range []string{"", "no time", "25:00", "12:61", "2027-13-40", "40.0961, -99.2094", "13:30 pm"} {
		if m, ok := FindMoment(text, Usual); ok && m.HasClock {
			t.Errorf("%q was read as %+v", text, m)
		}
	}
	m, _ := FindMoment("04/05/2027 10:00", Usual)
	if !m.Ambiguous || m.Month != 4 {
		t.Errorf("%+v", m)
	}
	if m, _ := FindMoment("04/05/2027 10:00", DayFirst); m.Ambiguous || m.Month != 5 {
		t.Errorf("%+v", m)
	}
	if _, kind, assumed := (Moment{Hour: 1, HasClock: true}).Time(nil, time.Time{}); kind != fix.NoTime || len(assumed) != 2 {
		t.Errorf("%v %v", kind, assumed)
	}
}

func FuzzNotation(f *testing.F) {
	f.Add("99°12'33.84\"W")
	f.Add("Apr 17, 2027 at 1:05:06 p.m. UTC")
	f.Add("20270417T130506Z 1:30 +0530")
	f.Fuzz(func(t *testing.T, text string) {
		if a, err := ParseAngle(text); err == nil && !(math.Abs(a.Deg) <= 360 && a.Step > 0) {
			t.Errorf("%+v", a)
		}
		if m, ok := FindMoment(text, Usual); ok && (m.At < 0 || m.At > len(text)) {
			t.Errorf("%+v", m)
		}
	})
}
