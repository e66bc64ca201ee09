package hours

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/record"
)

func request(f *record.Flight, members int) Request {
	return Request{File: f, Limits: LimitsOf(f.Limits), Members: members, Seed: 1, Workers: 2, System: unit.Metric}
}

func mustFly(t *testing.T, q Request, list []Slot) []Hour {
	t.Helper()
	hours, err := Fly(context.Background(), q, list)
	if err != nil {
		t.Fatal(err)
	}
	return hours
}

// The wind is the same at all heights and turns by 15 degrees an hour, once
// around in a day: so must the landing.
func TestLandingTurnsWithTheWind(t *testing.T) {
	const speed = 12.0
	sky := analytic(36, func(hour float64) (float64, float64) {
		sin, cos := math.Sincos(hour * math.Pi / 12)
		return speed * sin, speed * cos
	}, still)
	f := flight(t, "")
	for i, h := range mustFly(t, request(f, 100), slots(f, sky, 1, 4, 7, 10, 13, 16, 19, 22)) {
		if !h.Answered() {
			t.Fatalf("not flown: %v", h.Reasons)
		}
		down, err := time.Parse(time.RFC3339, h.Landing.Time.P50)
		if err != nil {
			t.Fatal(err)
		}
		aloft := down.Sub(h.Launch()).Hours()
		// On the mean the wind blows as it does half way; over so small a turn the
		// chord of the way is shorter than the arc by sin(x)/x. The median of 100
		// flights scatters by 2 % of a way of about 100 km.
		turn := 15 * aloft * math.Pi / 180 / 2
		want := math.Mod(15+float64(i)*45+15*aloft/2, 360)
		off := math.Remainder(*h.Bearing-want, 360)
		near(t, "direction of "+h.Time, off, 0, 4)
		near(t, "way of "+h.Time, *h.Drift, speed*aloft*3600*math.Sin(turn)/turn, 0.06*speed*aloft*3600)
		if !(h.Landing.Radius50 > 0 && h.Landing.Radius90 > h.Landing.Radius50) {
			t.Errorf("radii %v and %v", h.Landing.Radius50, h.Landing.Radius90)
		}
	}
}

// A value exactly at its limit is within; the next number beyond is not.
func TestVerdictFlipsAtTheLimit(t *testing.T) {
	hour := 60.0 * 60
	l := LimitsOf(record.Limits{Cloud: record.Given(0.5), Rise: record.Given(3)})
	fine := func() map[string]float64 {
		return map[string]float64{launchWind: 1, launchGust: 1, landingWind: 1, daylight: 5 * hour, forecastAge: 1 * hour, water: 0, town: 0, cloud: 0, rise: 5}
	}
	for _, c := range []struct {
		id      string
		limit   float64 // the handbook's usual ones, and the two stated above
		beyond  float64 // direction
		verdict Verdict
	}{
		{launchWind, 5, 9, No}, {launchGust, 8, 99, No}, {landingWind, 10, 99, No}, {daylight, 3 * hour, 0, No}, {water, 0.05, 1, No},
		{town, 0.02, 1, No}, {cloud, 0.5, 1, No}, {rise, 3, 0, No}, {forecastAge, 12 * hour, 1e6, Wait},
	} {
		values := fine()
		values[c.id] = c.limit
		checks, unknown := l.judge(values, unit.Metric)
		if v, reasons := verdict(checks); v != Go || len(unknown) != 0 || len(reasons) != 1 {
			t.Errorf("%s at its limit of %v: %s, %v", c.id, c.limit, v, reasons)
		}
		values[c.id] = math.Nextafter(c.limit, c.beyond)
		checks, _ = l.judge(values, unit.Metric)
		v, reasons := verdict(checks)
		if v != c.verdict || len(reasons) == 0 || !strings.Contains(reasons[0], "just") {
			t.Errorf("%s just beyond its limit: %s, %v", c.id, v, reasons)
		}
	}
	// Two faults are both told, and an old forecast does not soften a no.
	values := fine()
	values[launchWind], values[forecastAge], values[water] = 7, 100*hour, 0.2
	checks, _ := l.judge(values, unit.Metric)
	if v, reasons := verdict(checks); v != No || len(reasons) != 3 {
		t.Errorf("%s: %v", v, reasons)
	}
	// What is not known is no reason for a no, and is told.
	delete(values, launchGust)
	if _, unknown := l.judge(values, unit.Metric); !slices.Equal(unknown, []string{"gust at launch"}) {
		t.Errorf("unknown: %v", unknown)
	}
}

// The wind at 10 m rises by half a metre a second an hour, from 3 m/s: it is 5
// at hour 4, the usual limit.
func TestHoursAreJudgedByTheGround(t *testing.T) {
	rising := func(hour float64) forecast.Surface {
		s := still(hour)
		s.WindEast = 0
		s.WindNorth = 3 + hour/2
		return s
	}
	sky := analytic(20, func(float64) (float64, float64) { return 5, 0 }, rising)
	// The first launch at 13 UTC is 13 h after the cycle: the usual limit is 12.
	f := flight(t, "[limits]\nforecast_age = \"24 h\"\nlanding_wind = \"20 m/s\"\ndaylight = \"0 s\"\n")
	list := mustFly(t, request(f, 50), slots(f, sky, 3.9, 4, 4.1))
	var verdicts []Verdict
	for _, h := range list {
		verdicts = append(verdicts, h.Verdict)
		near(t, "direction of the wind", *h.AtLaunch.From, 180, 1e-3)
	}
	if !slices.Equal(verdicts, []Verdict{Go, Go, No}) {
		t.Errorf("verdicts %v; reasons %v", verdicts, list[2].Reasons)
	}
	near(t, "wind", *list[0].AtLaunch.Wind, 4.95, 1e-5)
	near(t, "cloud", *list[0].AtLaunch.Cloud, 0.25, 1e-6)
	near(t, "age", *list[1].Age, 4*3600, 0)
	if !strings.Contains(list[2].Reasons[0], "mean surface wind at launch") {
		t.Errorf("reasons %v", list[2].Reasons)
	}
	if a := list[0].AtDown; a == nil || *a.Wind < 5.5 || *a.Wind > 7 {
		t.Errorf("at the landing, some two hours later: %+v", a)
	}
}

// Without the wind at 10 m that at 100 m serves: of 10 m/s there,
// ln(10/0.03)/ln(100/0.03) = 5.8091/8.1117 are left.
func TestLevelsStandInForTheWindAtTenMetres(t *testing.T) {
	sky := analytic(6, func(float64) (float64, float64) { return 10, 0 }, nil)
	place := geo.Point{LatDeg: 40, LonDeg: -99}
	n := nearAt(sky, place, 600, 3600)
	near(t, "wind", *n.Wind, 10*5.8091/8.1117, 1e-3)
	near(t, "from", *n.From, 270, 1e-6)
	if n.Gust != nil || n.Cloud != nil || n.Pressure != nil || !strings.Contains(n.Rule, "logarithmic law") || !strings.Contains(n.Rule, "100 m over the ground") {
		t.Errorf("%+v", n)
	}
	// Of the standard atmosphere's levels the lowest, 1000 hPa, stands at 111 m
	// [USSA76]: 411 m over a ground 300 m under the sea.
	if n := nearAt(sky, place, -300, 3600); !strings.Contains(n.Rule, "lowest level, 411 m over") {
		t.Errorf("over low ground: %s", n.Rule)
	}
	// Between two levels the wind is the straight line's between theirs: none at
	// 111 m and 20 m/s at 1457 m (850 hPa) are 20 (700-111)/(1457-111) at 700 m.
	rising := forecast.Shape{South: 30, West: -115, LatStep: 10, LonStep: 16, Rows: 3, Cols: 3, Members: 1, Times: []time.Time{start}, Cycle: start, Pressures: []float64{100000, 85000, 1000}}
	sheared := forecast.Invent(rising, func(_, _, pressure, _ float64, _ int) forecast.Node {
		n := standardNode(pressure)
		if pressure < 90000 {
			n.East = 20
		}
		return n
	})
	near(t, "sheared wind", *nearAt(sheared, place, 600, 0).Wind, 20*(700.0-111)/(1457-111)*5.8091/8.1117, 0.02)
}

// Light at 40 N 99 W on 17 April 2027: sunrise 11:58 and sunset 01:13 UTC by
// the almanac's rule, to some minutes (equation of time 0.4 min, declination 10.4°).
func TestLight(t *testing.T) {
	place := geo.Point{LatDeg: 40, LonDeg: -99}
	noon := start.Add(18 * time.Hour)
	l := lightAt(noon, place)
	if l.Word != "daylight" || l.Left == nil {
		t.Fatalf("%+v", l)
	}
	near(t, "daylight left at noon", *l.Left/3600, 7.22, 0.15)
	for hour, dark := range map[float64]bool{9: true, 11: true, 13: false, 24.5: false, 26: true} {
		at := start.Add(time.Duration(hour * float64(time.Hour)))
		l := lightAt(at, place)
		if (*l.Left == 0) != dark || l.dark(at) != dark {
			t.Errorf("at hour %v %v s are left, dark %v", hour, *l.Left, l.dark(at))
		}
	}
	if l := lightAt(time.Date(2027, 6, 21, 12, 0, 0, 0, time.UTC), geo.Point{LatDeg: 78, LonDeg: 15}); l.Left != nil {
		t.Errorf("under the midnight sun %v s are left", *l.Left)
	}
	if l := lightAt(time.Date(2027, 12, 21, 12, 0, 0, 0, time.UTC), geo.Point{LatDeg: 78, LonDeg: 15}); l.Left == nil || *l.Left != 0 {
		t.Error("in the polar night there is daylight left")
	}
}

func TestChancesOfTheGroundAreHeldToTheLimits(t *testing.T) {
	sky := analytic(20, func(float64) (float64, float64) { return 15, 0 }, still)
	f := flight(t, "[limits]\ndaylight = \"0 s\"\nforecast_age = \"24 h\"\n")
	share := 0.05
	q := request(f, 40)
	q.Look = &Look{NotLookedAt: []string{"dragons"}, Chances: func(launch geo.Point, landings []geo.Point, flights int) []Chance {
		if launch != f.Launch.Point || len(landings) == 0 || flights != 40 {
			t.Errorf("asked from %v about %d landings of %d", launch, len(landings), flights)
		}
		return []Chance{{water, "lands in water", share}, {town, "lands in a town", 0}}
	}}
	if h := mustFly(t, q, slots(f, sky, 2))[0]; h.Verdict != Go || len(h.Unknown) != 0 {
		t.Errorf("with 5 %% in water: %s, %v, unknown %v", h.Verdict, h.Reasons, h.Unknown)
	}
	share = 0.075
	h := mustFly(t, q, slots(f, sky, 2))[0]
	if h.Verdict != No || !strings.Contains(h.Reasons[0], "landings in water: 7.5 %") {
		t.Errorf("with 7.5 %% in water: %s, %v", h.Verdict, h.Reasons)
	}
	q.Look = nil
	if h := mustFly(t, q, slots(f, sky, 2))[0]; h.Verdict != Go || !slices.Contains(h.Unknown, "landings in water") {
		t.Errorf("without ground: %s, unknown %v", h.Verdict, h.Unknown)
	}
	if list := NotLookedAt(nil); !strings.Contains(strings.Join(list, " "), "water") {
		t.Errorf("not looked at: %v", list)
	}
}

func TestEverySiteAndWhatHasNoForecast(t *testing.T) {
	sky := analytic(12, func(float64) (float64, float64) { return 10, 0 }, still)
	f := flight(t, `[limits]
daylight = "0 s"
[[site]]
name = "East field"
latitude = 40
longitude = -98
elevation = "500 m"
drive = "1 h"
`)
	list := slots(f, sky, 1, 2)
	list = append(list, Slot{Site: Sites(f)[0], Time: start.Add(3 * time.Hour), Why: "no forecast for this hour: none"})
	list = append(list, slots(f, sky, 11.5)...) // lands after the last step
	hours := mustFly(t, request(f, 50), list)
	if hours[0].Site != "Home field" || hours[1].Site != "East field" {
		t.Errorf("sites %s and %s", hours[0].Site, hours[1].Site)
	}
	// One degree of longitude farther east all comes down one degree farther east,
	// but for the height of the field.
	near(t, "site's landing", hours[1].Landing.Median.Lon-hours[0].Landing.Median.Lon, 1, 0.03)
	for _, i := range []int{4, 5} {
		if h := hours[i]; h.Verdict != Wait || h.Answered() || !strings.Contains(h.Reasons[0], "no forecast") || h.Drift != nil {
			t.Errorf("hour %d: %s %v", i, h.Verdict, h.Reasons)
		}
	}
	q := request(f, 50)
	times, _ := Window(start, start.Add(time.Hour), time.Hour)
	a := NewAnswer(&q, Sites(f), times, time.Hour)
	a.Hours = hours
	a.Finish(unit.Metric)
	ranks := map[int]bool{}
	for _, h := range a.Hours {
		ranks[h.Rank] = true
	}
	if len(ranks) != len(hours) || !ranks[1] || hours[4].Rank < 5 {
		t.Errorf("ranks %v", ranks)
	}
	if !strings.Contains(a.Summary, "4 go, 3 wait, 0 no") || !strings.Contains(a.Summary, "towards E") {
		t.Errorf("summary: %s", a.Summary)
	}
	if a.Sites[1].Drive == nil || *a.Sites[1].Drive != 3600 {
		t.Errorf("sites %+v", a.Sites)
	}
	if _, err := json.Marshal(a); err != nil {
		t.Errorf("no JSON: %v", err)
	}
}

func TestSameBytesForAnyWorkers(t *testing.T) {
	sky := analytic(20, func(hour float64) (float64, float64) { return 10 + hour, -hour }, still)
	f := flight(t, "")
	var texts []string
	for _, workers := range []int{1, 2, 5} {
		q := request(f, 60)
		q.Workers, q.Regions = workers, true
		text, err := json.Marshal(mustFly(t, q, slots(f, sky, 0, 1, 2, 3, 4, 5, 6)))
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(text))
	}
	if texts[0] != texts[1] || texts[0] != texts[2] {
		t.Error("another number of workers gives other bytes")
	}
}

func TestInterruptGivesNothing(t *testing.T) {
	sky := analytic(20, func(float64) (float64, float64) { return 10, 0 }, still)
	f := flight(t, "")
	ctx, cancel := context.WithCancel(context.Background())
	q := request(f, 2000)
	q.Progress = func(int) { cancel() }
	if list, err := Fly(ctx, q, slots(f, sky, 0, 1, 2, 3, 4, 5)); !errors.Is(err, ensemble.ErrStopped) || list != nil {
		t.Errorf("%d hours, %v", len(list), err)
	}
}

func TestWindowAndSites(t *testing.T) {
	times, err := Window(start, start.Add(3*time.Hour), time.Hour)
	if err != nil || len(times) != 4 || !times[3].Equal(start.Add(3*time.Hour)) {
		t.Errorf("%v, %v", times, err)
	}
	for _, c := range []struct{ to, every time.Duration }{{time.Hour, time.Second}, {-time.Hour, time.Hour}, {20000 * time.Hour, time.Hour}} {
		if _, err := Window(start, start.Add(c.to), c.every); err == nil {
			t.Errorf("a window of %v every %v is taken", c.to, c.every)
		}
	}
	all := Sites(flight(t, ""))
	if list, err := Choose(all, []string{"Home field"}); err != nil || len(list) != 1 {
		t.Errorf("%v, %v", list, err)
	}
	if _, err := Choose(all, []string{"Nowhere"}); err == nil || !strings.Contains(err.Error(), `"Home field"`) {
		t.Errorf("a site that is not there: %v", err)
	}
	for deg, want := range map[float64]string{0: "N", 22: "N", 23: "NE", 90: "E", 180: "S", 270: "W", 337: "NW", 338: "N", 359.9: "N", -45: "NW"} {
		if got := Towards(deg); got != want {
			t.Errorf("%v degrees are %s, want %s", deg, got, want)
		}
	}
}
