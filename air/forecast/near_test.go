package forecast

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pappus/air/grib2"
	"pappus/measure/geo"
)

// nearFields are the codes of [GRIB2] tables 4.2 and 4.5 for what stands near the ground.
var nearFields = []struct {
	category, number uint8
	first            grib2.Surface
	value            func(lat, lon float64, hour int) float64
}{
	{2, 2, grib2.Surface{Type: 103, Value: 10}, func(lat, lon float64, hour int) float64 { return lat - 40 + float64(hour) }},
	{2, 3, grib2.Surface{Type: 103, Value: 10}, func(lat, lon float64, hour int) float64 { return lon + 95 }},
	{2, 22, grib2.Surface{Type: 1}, func(lat, lon float64, hour int) float64 { return 12 }},
	{6, 1, grib2.Surface{Type: 10}, func(lat, lon float64, hour int) float64 { return 10 * float64(hour) }},
	{3, 1, grib2.Surface{Type: 101}, func(lat, lon float64, hour int) float64 { return 101300 }},
	// The wind at 80 m must not be taken for that at 10 m.
	{2, 2, grib2.Surface{Type: 103, Value: 80}, func(lat, lon float64, hour int) float64 { return 99 }},
}

// withNear adds fields near the ground to a written forecast, but no cloud at hour 0.
func withNear(t *testing.T, w written) File {
	t.Helper()
	f := w.file(t, "sky.grib2")
	out := bytes.NewBuffer(f.Data)
	for _, hour := range w.hours {
		for _, n := range nearFields {
			if n.category == 6 && hour == 0 {
				continue
			}
			m := grib2.Message{Centre: w.centre, Reference: w.cycle, Grid: w.grid(), Values: make([]float64, w.rows*w.cols), Packing: grib2.Packing{Decimal: 3},
				Product: grib2.Product{Category: n.category, Number: n.number, Process: 2, ForecastSeconds: int64(hour) * 3600, Member: -1, First: n.first, Second: grib2.Surface{Type: 255, Missing: true}}}
			for j := range w.rows {
				for i := range w.cols {
					m.Values[m.Grid.Index(i, j)] = n.value(w.south+float64(w.rows-1-j)*w.step, geo.WrapLonDeg(w.west+float64(i)*w.step), hour)
				}
			}
			if err := grib2.Encode(out, m); err != nil {
				t.Fatal(err)
			}
		}
	}
	return File{"sky.grib2", out.Bytes()}
}

func TestSurfaceIsReadWhereGiven(t *testing.T) {
	w := patch()
	w.hours = []int{0, 3, 6}
	c := load(t, at(40, -95, 1), withNear(t, w))
	if len(c.Info().Unused) != 0 {
		t.Errorf("not used: %v", c.Info().Unused)
	}
	place := geo.Point{LatDeg: 41.25, LonDeg: -93.5}
	s := c.Surface(place, c.Seconds(day.Add(4*time.Hour)), 0)
	if !s.HasWind || !s.HasGust || !s.HasCloud || !s.HasPressure {
		t.Fatalf("of the fields near the ground there is %+v", s)
	}
	// All are linear in place and time, so that the formula holds between the points.
	near(t, "east", s.WindEast, 1.25+4, packed)
	near(t, "north", s.WindNorth, 1.5, packed)
	near(t, "gust", s.Gust, 12, packed)
	near(t, "cloud", s.Cloud, 0.40, packed)
	near(t, "pressure", s.Pressure, 101300, 0.01) // single precision keeps 8 mPa
	// Hour 0 gives no cloud: before hour 3 there is none, at hour 3 itself there is.
	if s := c.Surface(place, c.Seconds(day.Add(2*time.Hour)), 0); s.HasCloud || !s.HasWind {
		t.Errorf("between a step without cloud and one with it: %+v", s)
	}
	if s := c.Surface(place, c.Seconds(day.Add(3*time.Hour)), 0); !s.HasCloud || math.Abs(s.Cloud-0.3) > packed {
		t.Errorf("at the first step with cloud: %+v", s)
	}
	for what, s := range map[string]Surface{
		"outside the area":    c.Surface(geo.Point{LatDeg: 10, LonDeg: -95}, 0, 0),
		"after the last step": c.Surface(place, c.Seconds(day.Add(7*time.Hour)), 0),
		"without the fields":  load(t, at(40, -95, 1), w.file(t, "bare.grib2")).Surface(place, 0, 0),
	} {
		if s != (Surface{}) {
			t.Errorf("%s there is %+v", what, s)
		}
	}
}

// The greatest gust of an interval counts at its end; averages never do.
func TestClassifyNear(t *testing.T) {
	field := func(category, number, surface, statistic uint8, statistical bool) *grib2.Field {
		f := &grib2.Field{Product: grib2.Product{Known: true, Category: category, Number: number, Process: 2, Statistical: statistical, Statistic: statistic, Member: -1,
			ForecastSeconds: 3 * 3600, EndSeconds: 6 * 3600, First: grib2.Surface{Type: surface, Value: 10}, Second: grib2.Surface{Type: 255, Missing: true}}}
		f.Product.Template = 8
		if !statistical {
			f.Product.Template, f.Product.EndSeconds = 0, f.Product.ForecastSeconds
		}
		return f
	}
	e, ok := classify(field(2, 22, 103, 2, true))
	if !ok || e.variable != gust || e.valid-e.field.Reference.Unix() != 6*3600 {
		t.Errorf("the greatest gust of an interval is taken for %v at %d s: %v", e.variable, e.valid, ok)
	}
	for name, f := range map[string]*grib2.Field{
		"mean gust": field(2, 22, 103, 0, true), "mean cloud": field(6, 1, 10, 0, true), "greatest wind": field(2, 2, 103, 2, true), "low cloud": field(6, 3, 10, 255, false),
	} {
		if e, ok := classify(f); ok {
			t.Errorf("%s is taken for %v", name, e.variable)
		}
	}
}

// Cycles derived from one forecast by a later reference time and a known wind.
func TestDerivedLaggedCyclesAreMembers(t *testing.T) {
	derived := func(hoursBack int, extra float64) written {
		w := patch()
		w.cycle = day.Add(-time.Duration(hoursBack) * time.Hour)
		w.hours = nil
		for h := hoursBack; h <= hoursBack+12; h += 3 {
			w.hours = append(w.hours, h)
		}
		w.levels = isobars[:4]
		w.value = func(v variable, _, _, _ float64, _, _ int, usual float64) float64 {
			switch v {
			case windEast:
				return extra
			case windNorth:
				return 0
			}
			return usual
		}
		return w
	}
	files := []File{derived(30, 40).file(t, "b30"), derived(12, 20).file(t, "b12"), derived(0, 0).file(t, "b00"), derived(6, 10).file(t, "b06")}
	want := at(40, -95, 1)
	c := load(t, want, files...)
	if c.Members() != 1 || !c.Info().Cycle.Equal(day) {
		t.Fatalf("unasked, %d members of %v", c.Members(), c.Info().Cycle)
	}
	want.Lagged = 24 * time.Hour
	c = load(t, want, files...)
	if c.Members() != 3 || !c.Info().Cycle.Equal(day) {
		t.Fatalf("%d members of %v, want the newest and those of 6 and 12 hours before", c.Members(), c.Info().Cycle)
	}
	for member, east := range []float64{0, 10, 20} { // the newest first: it flies the central flight
		s := c.Sampler(member)
		near(t, "wind of a lagged member", s.At(40, -95, 3000, 3600).WindEast, east, packed)
	}
	if text := strings.Join(c.Info().Notes, "; "); !strings.Contains(text, "lagged cycles as members") {
		t.Errorf("notes: %s", text)
	}
	if text := strings.Join(c.Info().Unused, "; "); !strings.Contains(text, "2027") && !strings.Contains(text, "the cycle of") {
		t.Errorf("the cycle of 30 hours before is not named: %s", text)
	}
	library, err := Open(files)
	if err != nil {
		t.Fatal(err)
	}
	runs := library.Runs()
	if len(runs) != 4 || !runs[0].Cycle.Equal(day) || !runs[3].Cycle.Equal(day.Add(-30*time.Hour)) || len(runs[0].Steps) != 5 {
		t.Fatalf("runs %+v", runs)
	}
	for i, east := range []float64{0, 10, 20, 40} {
		one, err := library.LoadRun(i, at(40, -95, 1))
		if err != nil {
			t.Fatal(err)
		}
		s := one.Sampler(0)
		near(t, "wind of one run", s.At(40, -95, 3000, 3600).WindEast, east, packed)
	}
	// Before the newest begins the next older one serves.
	if i, err := library.Serving(want.Place, day.Add(-time.Hour)); i != -1 || err == nil {
		t.Errorf("an hour that no cycle covers is served by run %d", i)
	}
	if i, err := library.Serving(want.Place, day.Add(2*time.Hour)); i != 0 || err != nil {
		t.Errorf("served by run %d, %v", i, err)
	}
}

// A step that only an older cycle gives must not cost the newest its place.
func TestDerivedLaggedCycleWithMoreKeepsTheNewest(t *testing.T) {
	newest, older := patch(), patch()
	newest.hours, newest.levels = []int{0, 6, 12}, isobars[:4]
	older.cycle, older.hours, older.levels = day.Add(-6*time.Hour), []int{6, 9, 12, 15, 18}, isobars[:6]
	want := at(40, -95, 1)
	want.Lagged = 24 * time.Hour
	c := load(t, want, newest.file(t, "new"), older.file(t, "old"))
	if c.Members() != 2 || len(c.Info().Steps) != 3 || !slices.Equal(c.Info().Levels, isobars[:4]) {
		t.Errorf("%d members, steps %v, levels %v", c.Members(), c.Info().Steps, c.Info().Levels)
	}
}

func TestSitesWidenTheArea(t *testing.T) {
	w := globe()
	w.step, w.rows, w.cols, w.levels = 5, 37, 72, isobars[:2]
	want := at(40, 0, 1)
	want.RadiusM = 500e3
	want.Also = []geo.Point{{LatDeg: 40, LonDeg: 12}} // 1,020 km away
	c := load(t, want, w.file(t, "sky.grib2"))
	for _, p := range []geo.Point{{LatDeg: 40, LonDeg: 17}, {LatDeg: 44, LonDeg: 12}, {LatDeg: 36, LonDeg: 12}} {
		if !c.Covers(p) {
			t.Errorf("%v, within 500 km of the second place, lies outside", p)
		}
	}
}
