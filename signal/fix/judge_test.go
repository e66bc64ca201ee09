package fix

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"pappus/measure/geo"
	"pappus/measure/unit"
)

var noon = time.Date(2027, 4, 17, 12, 0, 0, 0, time.UTC)

// flown is a straight flight: east at 20 m/s, up at 5 m/s from 600 m, a report a minute,
// each arriving ten seconds after it was true.
func flown(count int) []Report {
	var all []Report
	for i := range count {
		at := noon.Add(time.Duration(i) * time.Minute)
		all = append(all, Report{
			Source: "radio", Station: "N0CALL-11", Raw: fmt.Sprint("line ", i),
			Time: at, TimeKind: Told, Received: at.Add(10 * time.Second),
			// A degree of longitude at 40 N is 85.4 km.
			Place: geo.Point{LatDeg: 40, LonDeg: -99 + float64(i)*1200/85400}, HasPlace: true,
			Height:   Height{Metres: 600 + 300*float64(i), Kind: AboveSea},
			Expected: Expected{Across: AcrossUsual, Up: UpUsual},
		})
	}
	return all
}

func reasons(j Judged) string {
	var ids []string
	for _, m := range j.Marks {
		ids = append(ids, m.Reason.ID())
	}
	return strings.Join(ids, " ")
}

func find(t *testing.T, all []Judged, raw string) Judged {
	t.Helper()
	for _, j := range all {
		if j.Report.Raw == raw {
			return j
		}
	}
	t.Fatalf("%q is not in the answer", raw)
	return Judged{}
}

func TestOneBadReport(t *testing.T) {
	for _, c := range []struct {
		name        string
		change      func(*Report)
		terms       Terms
		reasons     string
		use, height bool
	}{
		{"sound", func(*Report) {}, Terms{}, "", true, true},
		{"without height", func(r *Report) { r.Height = Height{} }, Terms{}, "", true, false},
		{"above ground", func(r *Report) { r.Height.Kind = AboveGround }, Terms{}, "", true, false},
		{"no fix", func(r *Report) { r.Quality.Mode = NoFix }, Terms{}, "no_fix", false, false},
		{"no fix, no place", func(r *Report) { r.Quality.Mode, r.HasPlace = NoFix, false }, Terms{}, "no_fix no_place", false, false},
		{"null place", func(r *Report) { r.Place = geo.Point{} }, Terms{}, "null_place", false, false},
		{"reckoned", func(r *Report) { r.Quality.Mode = Estimated }, Terms{}, "dead_reckoning", false, false},
		{"simulated", func(r *Report) { r.Quality.Mode = Simulated }, Terms{}, "simulated", false, false},
		{"yesterday", func(r *Report) { r.Time = r.Time.Add(-24 * time.Hour) }, Terms{}, "old", false, false},
		{"an hour ahead", func(r *Report) { r.Time = r.Time.Add(time.Hour) }, Terms{}, "wrong_clock", false, false},
		{"week rolled over", func(r *Report) { r.Time = r.Time.AddDate(0, 0, -1024*7) }, Terms{}, "wrong_clock", false, false},
		{"before the flight", func(*Report) {}, Terms{From: noon.Add(11 * time.Minute)}, "old", false, false},
		{"after the flight", func(*Report) {}, Terms{Until: noon.Add(9 * time.Minute)}, "after_flight", false, false},
		{"late", func(r *Report) { r.Received = r.Received.Add(20 * time.Minute) }, Terms{}, "late out_of_order", true, true},
		{"thrown 200 km", func(r *Report) { r.Place.LatDeg += 2 }, Terms{}, "jump", false, false},
		{"thrown up", func(r *Report) { r.Height.Metres += 9000 }, Terms{}, "height_jump", true, false},
		{"below the sea", func(r *Report) { r.Height.Metres = -5000 }, Terms{}, "impossible_height", true, false},
		{"no time at all", func(r *Report) { r.Time, r.TimeKind, r.Received = time.Time{}, NoTime, time.Time{} }, Terms{}, "no_time", false, false},
		{"clock known to be ahead", func(r *Report) { r.Source, r.Time = "other", r.Time.Add(time.Hour) },
			Terms{ClockOff: map[string]time.Duration{"other": -time.Hour}}, "", true, true},
	} {
		reports := flown(20)
		c.change(&reports[10])
		j := find(t, Judge(reports, c.terms, nil), "line 10")
		if reasons(j) != c.reasons || j.Use != c.use || j.UseHeight != c.height {
			t.Errorf("%s: marked %q, used %v, height %v; expected %q, %v, %v", c.name, reasons(j), j.Use, j.UseHeight, c.reasons, c.use, c.height)
		}
		for _, m := range j.Marks {
			if text := m.Text(unit.US); len(text) < 15 || strings.Contains(text, "NaN") {
				t.Errorf("%s: says %q", c.name, text)
			}
		}
		if len(c.terms.ClockOff) == 0 && c.terms.From.IsZero() && c.terms.Until.IsZero() {
			if others := len(Believed(Judge(reports, c.terms, nil))); others != 19 && !c.use || others != 20 && c.use {
				t.Errorf("%s: %d reports were believed of 20", c.name, others)
			}
		}
	}
}

// A log has no arrivals: what begins with a clock that was not set yet shows in the
// others alone. A report without any time must not disturb the rest.
func TestLogWithClockNotSet(t *testing.T) {
	reports := flown(20)
	for i := range reports {
		reports[i].Received = time.Time{}
	}
	reports[0].Time = time.Date(1980, 1, 6, 0, 0, 0, 0, time.UTC)
	reports[1].Time, reports[1].TimeKind = time.Time{}, NoTime
	reports[10].Height.Metres += 9000
	all := Judge(reports, Terms{}, nil)
	for raw, want := range map[string]string{"line 0": "wrong_clock", "line 1": "no_time", "line 10": "height_jump", "line 5": ""} {
		if j := find(t, all, raw); reasons(j) != want {
			t.Errorf("%s: marked %q, expected %q", raw, reasons(j), want)
		}
	}
	if n := len(Believed(all)); n != 18 {
		t.Errorf("%d believed, expected 18", n)
	}
	if text := find(t, all, "line 0").Marks[0].Text(unit.Metric); !strings.Contains(text, "other reports") {
		t.Errorf("says %q", text)
	}
}

func TestFrozenHeight(t *testing.T) {
	reports := flown(30)
	for i := 20; i < 30; i++ {
		reports[i].Height.Metres = reports[20].Height.Metres
	}
	all := Judge(reports, Terms{}, nil)
	for i, j := range all {
		if want := i <= 20; j.UseHeight != want || !j.Use {
			t.Errorf("report %d: used %v, height %v, marks %q", i, j.Use, j.UseHeight, reasons(j))
		}
	}
	// Landed: the height stands still and so does the place.
	reports = flown(30)
	for i := 20; i < 30; i++ {
		reports[i].Height, reports[i].Place = reports[20].Height, reports[20].Place
	}
	for i, j := range Judge(reports, Terms{}, nil) {
		if !j.UseHeight || len(j.Marks) != 0 {
			t.Errorf("landed, report %d: height %v, marks %q", i, j.UseHeight, reasons(j))
		}
	}
}

// A stuck receiver that repeats one place for a while must not outweigh the flight.
func TestStuckPlaceThenOn(t *testing.T) {
	reports := flown(120)
	for i := 40; i < 50; i++ {
		reports[i].Place = geo.Point{LatDeg: 10, LonDeg: 20}
	}
	for i, j := range Judge(reports, Terms{}, nil) {
		if want := i < 40 || i >= 50; j.Use != want {
			t.Errorf("report %d: used %v, marks %q", i, j.Use, reasons(j))
		}
	}
}

func TestLaunchTellsWhichOfTwoIsWrong(t *testing.T) {
	reports := flown(2)
	reports[1].Place.LatDeg = 52
	launch := Terms{HasLaunch: true, Launch: reports[0].Place, LaunchTime: noon.Add(-time.Minute)}
	all := Judge(reports, launch, nil)
	if !all[0].Use || all[1].Use {
		t.Errorf("beside the launch: %v %v; elsewhere: %v %v", all[0].Use, reasons(all[0]), all[1].Use, reasons(all[1]))
	}
}

func TestTheSameAgain(t *testing.T) {
	reports := flown(3)
	coarse := reports[1]
	coarse.Raw, coarse.Height = "coarse", Height{}
	coarse.Place.LatDeg += 0.0001 // 11 m
	coarse.Expected.Across = 10
	relayed := Report{Source: "radio", Station: "N0CALL-11", Raw: "untimed", Received: noon.Add(150 * time.Second), Place: geo.Point{LatDeg: 40, LonDeg: -98.964}, HasPlace: true, Expected: Expected{Across: 10}}
	again, later := relayed, relayed
	again.Raw, again.Received = "relayed", relayed.Received.Add(4*time.Second)
	later.Raw, later.Received = "later", relayed.Received.Add(2*time.Minute)
	all := Judge(append(reports, coarse, relayed, again, later, reports[1]), Terms{}, nil)
	want := map[string]bool{"line 0": true, "line 1": true, "line 2": true, "coarse": false, "untimed": true, "relayed": false, "later": true}
	for raw, use := range want {
		if j := find(t, all, raw); j.Use != use {
			t.Errorf("%s: used %v, marks %q", raw, j.Use, reasons(j))
		}
	}
	if n := len(Believed(all)); n != 5 {
		t.Errorf("%d believed, expected 5", n)
	}
}

func TestThePersonOverrules(t *testing.T) {
	reports := flown(20)
	reports[5].Place.LatDeg = 40.3 // 33 km: four minutes away, but not one
	reports[9].Time = reports[9].Time.Add(time.Hour)
	choices := map[string]Choice{reports[5].Key(): Use, reports[9].Key(): ByArrival, reports[12].Key(): LeaveOut}
	all := Judge(reports, Terms{}, choices)
	if j := find(t, all, "line 5"); !j.Use || !j.UseHeight {
		t.Errorf("believed by hand: %v %q", j.Use, reasons(j))
	}
	if j := find(t, all, "line 9"); !j.Use || !j.At.Equal(reports[9].Received) {
		t.Errorf("by arrival: %v at %v %q", j.Use, j.At, reasons(j))
	}
	if j := find(t, all, "line 12"); j.Use || reasons(j) != "by_hand" {
		t.Errorf("left out by hand: %v %q", j.Use, reasons(j))
	}
	if j := find(t, all, "line 6"); j.Use {
		t.Error("a report that contradicts the one believed by hand was kept")
	}
}

// The answer is made of what was said: shuffled and doubled streams end in the same.
func TestOrderAndDoublingChangeNothing(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	reports := flown(150)
	for i := range reports {
		switch random.IntN(8) {
		case 0:
			reports[i].Place.LatDeg += random.NormFloat64()
		case 1:
			reports[i].Height.Metres += 3000 * random.NormFloat64()
		case 2:
			reports[i].Time = reports[i].Time.Add(time.Duration(random.IntN(7200)-3600) * time.Second)
		case 3:
			reports[i].Time, reports[i].TimeKind = time.Time{}, NoTime
		}
	}
	answer := func(reports []Report) string {
		var b strings.Builder
		for _, j := range Believed(Judge(reports, Terms{}, nil)) {
			fmt.Fprintln(&b, j.Key, j.At, j.UseHeight, j.Marks)
		}
		return b.String()
	}
	want := answer(reports)
	if n := strings.Count(want, "\n"); n < 80 || n == len(reports) {
		t.Fatalf("%d of %d believed: the test tests nothing", n, len(reports))
	}
	for range 20 {
		mixed := slices.Concat(reports, reports[:random.IntN(len(reports))])
		random.Shuffle(len(mixed), func(a, b int) { mixed[a], mixed[b] = mixed[b], mixed[a] })
		if got := answer(mixed); got != want {
			t.Fatal("the order of the reports changed the answer")
		}
	}
}

// However bad the stream, the judgement ends: 20,000 reports of which none agree with
// their neighbours stay within seconds (the look back is 1000 reports).
func TestWorstStreamEnds(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 2))
	var reports []Report
	for i := range 20000 {
		reports = append(reports, Report{Source: "noise", Raw: fmt.Sprint(i), Time: noon.Add(time.Duration(i) * time.Second), TimeKind: Told,
			Place: geo.Point{LatDeg: 180*random.Float64() - 90, LonDeg: 360*random.Float64() - 180}, HasPlace: true,
			Height: Height{Metres: 40000 * random.Float64(), Kind: AboveSea}})
	}
	began := time.Now()
	Judge(reports, Terms{}, nil)
	if took := time.Since(began); took > 20*time.Second {
		t.Errorf("took %v", took)
	}
}

func TestWeight(t *testing.T) {
	// By hand: (4+2)/(4+0) and (4+2)/(4+100).
	for _, c := range []struct{ squared, want float64 }{{0, 1.5}, {100, 6.0 / 104}} {
		if got := Weight(c.squared, 2); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("Weight(%v, 2) = %v, expected %v", c.squared, got, c.want)
		}
	}
}

func TestHeightKinds(t *testing.T) {
	// The receiver's own sentence: 30123.4 m above sea with a separation of -17.2 m.
	h := Height{Metres: 30106.2, Kind: AboveEllipsoid, Separation: Known(-17.2)}
	if alt, doubt, ok := h.MSL(); math.Abs(float64(alt)-30123.4) > 1e-9 || doubt != 0 || !ok {
		t.Errorf("%v %v %v", alt, doubt, ok)
	}
	if _, doubt, ok := (Height{Metres: 1, Kind: Unsaid}).MSL(); !ok || doubt < 20 {
		t.Error("an unsaid kind of height is in doubt by a geoid")
	}
	if _, _, ok := (Height{Metres: 1, Kind: AboveGround}).MSL(); ok {
		t.Error("above ground is not above sea")
	}
	if Known(math.NaN()).Known {
		t.Error("no number is known")
	}
}

func TestNearestDayAndMonth(t *testing.T) {
	near := time.Date(2027, 1, 1, 0, 5, 0, 0, time.UTC)
	if got := NearestDay(23, 59, 30, near); !got.Equal(time.Date(2026, 12, 31, 23, 59, 30, 0, time.UTC)) {
		t.Error(got)
	}
	if got := NearestMonth(31, 23, 50, 0, near); !got.Equal(time.Date(2026, 12, 31, 23, 50, 0, 0, time.UTC)) {
		t.Error(got)
	}
	if got := NearestMonth(30, 1, 0, 0, time.Date(2027, 2, 28, 0, 0, 0, 0, time.UTC)); got.Day() != 30 || got.Month() != 1 {
		t.Error(got)
	}
	if got := NearestDay(23, 59, 0, Before(time.Date(2027, 1, 1, 12, 0, 0, 0, time.UTC))); got.Year() != 2026 {
		t.Errorf("%v is of the future", got)
	}
	if got := NearestDay(12, 50, 0, Before(time.Date(2027, 1, 1, 12, 0, 0, 0, time.UTC))); got.Day() != 1 {
		t.Errorf("%v is of the day before", got)
	}
	if !Before(time.Time{}).IsZero() || !NearestDay(1, 2, 3, time.Time{}).IsZero() || !NearestMonth(31, 0, 0, 0, time.Time{}).IsZero() {
		t.Error("without a moment there is no date")
	}
}
