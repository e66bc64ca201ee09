package hours

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"pappus/air/forecast"
	"pappus/measure/geo"
)

// cycleOf is a uniform wind forecast by a cycle some hours before the test's start.
func cycleOf(hoursBack int, east, north float64) CycleSky {
	cycle := start.Add(-time.Duration(hoursBack) * time.Hour)
	s := forecast.Shape{South: 30, West: -115, LatStep: 10, LonStep: 16, Rows: 3, Cols: 3, Members: 1, Source: "a formula", Cycle: cycle,
		Pressures: []float64{100000, 85000, 70000, 50000, 30000, 20000, 10000, 5000, 2000, 1000}}
	for h := 0; h <= 24; h += 6 {
		s.Times = append(s.Times, start.Add(time.Duration(h)*time.Hour))
	}
	sky := forecast.Invent(s, func(_, _, pressure, _ float64, _ int) forecast.Node {
		n := standardNode(pressure)
		n.East, n.North = east, north
		return n
	})
	return CycleSky{Cycle: cycle, Source: "a formula", Sky: sky}
}

func trend(t *testing.T, members int, cycles ...CycleSky) *Trend {
	t.Helper()
	q := request(flight(t, ""), members)
	answer, err := FlyTrend(context.Background(), q, len(cycles), func(i int) (CycleSky, error) { return cycles[i], nil })
	if err != nil {
		t.Fatal(err)
	}
	return answer
}

// Each older cycle had 1 m/s more of west wind, so that its landing lies east of
// the newest's by the time aloft.
func TestTrendShowsHowTheLandingMoved(t *testing.T) {
	a := trend(t, 200, cycleOf(0, 10, 0), cycleOf(6, 11, 0), cycleOf(12, 12, 0), CycleSky{Cycle: start.Add(-18 * time.Hour), Why: "the files of it are cut"})
	if len(a.Cycles) != 3 || len(a.Left) != 1 || a.Left[0].Why != "the files of it are cut" {
		t.Fatalf("%d cycles, left %v", len(a.Cycles), a.Left)
	}
	launch := start.Add(13 * time.Hour)
	down, err := time.Parse(time.RFC3339, a.Cycles[0].Landing.Time.P50)
	if err != nil {
		t.Fatal(err)
	}
	aloft := down.Sub(launch).Seconds()
	for i, row := range a.Cycles {
		near(t, "age", row.Age, float64(13+6*i)*3600, 0)
		// The medians of 200 flights with the same draws: their winds differ by the
		// constant and by the size of the error, which grows with age.
		near(t, "moved", row.Moved, float64(i)*aloft, 0.1*aloft*float64(i)+1)
		if i > 0 {
			near(t, "direction", *row.Bearing, 90, 8)
		} else if row.Bearing != nil {
			t.Error("the newest has moved")
		}
	}
	if a.Agreement.Verdict != "cannot tell" || a.Agreement.Ratio != nil || !strings.Contains(a.Agreement.Text, "2 moves") {
		t.Errorf("two moves: %+v", a.Agreement)
	}
}

// Winds of cycles drawn as the assumption says: the error of one component at
// one height is the table's value times the lead factor; an older cycle's is the
// newer one's and an independent rest. A uniform wind is wrong in the same way
// at all heights, so its error must be as large as what the layers' errors come
// to on the mean: that is measured on the scatter of the landings themselves.
func TestAgreementOnDrawnCycles(t *testing.T) {
	q := request(flight(t, ""), 120)
	base := cycleOf(0, 10, 0)
	f, err := q.fly(context.Background(), Slot{Sites(q.File)[0], q.File.Launch.Time, base.Sky, ""}, 2)
	if err != nil {
		t.Fatal(err)
	}
	aloft := f.nominal.Landing.Seconds - f.request.Start.Seconds
	ages := []int{0, 6, 12, 18, 24, 30, 36, 42, 48, 54, 60}
	var square []float64
	for _, age := range ages {
		s, err := f.scatter(context.Background(), float64(13+age))
		if err != nil {
			t.Fatal(err)
		}
		if n := len(square); n > 0 && s <= square[n-1] {
			t.Fatalf("at %d h the landings scatter no more than at %d h", age, ages[n-1])
		}
		square = append(square, s)
	}
	for name, c := range map[string]struct {
		scale   float64
		verdict string
	}{"as assumed": {1, "agrees"}, "three times": {3, "moved more"}, "a fifth": {0.2, "moved less"}} {
		r := rand.New(rand.NewPCG(5, 9))
		east, north := 10.0, 0.0
		var cycles []CycleSky
		for i, age := range ages {
			if i > 0 {
				// Mean square of the way is the sum of both components'.
				step := c.scale * math.Sqrt((square[i]-square[i-1])/2) / aloft
				east += step * r.NormFloat64()
				north += step * r.NormFloat64()
			}
			cycles = append(cycles, cycleOf(age, east, north))
		}
		a := trend(t, 120, cycles...)
		if a.Agreement.Verdict != c.verdict || a.Agreement.Moves != 10 {
			t.Errorf("%s: %+v", name, a.Agreement)
			continue
		}
		// 20 squares of normal numbers: their root mean square scatters by 16 %.
		near(t, name+": ratio", *a.Agreement.Ratio/c.scale, 1, 0.48)
	}
}

func TestAgreementCannotTell(t *testing.T) {
	rows := []TrendRow{{Source: "a"}, {Source: "a"}, {Source: "a"}, {Source: "a"}, {Source: "a"}}
	for i := range rows {
		rows[i].central = geo.Point{LatDeg: 40, LonDeg: -99 + float64(i)/10}
	}
	if a := agreement(rows, []float64{1e6, 1e6, 1e6, 1e6, 1e6}, false); a.Verdict != "cannot tell" || a.Moves != 0 {
		t.Errorf("cycles too young for the error to grow: %+v", a)
	}
	growth := []float64{1e8, 2e8, 3e8, 4e8, 5e8}
	if a := agreement(rows, growth, true); a.Verdict != "cannot tell" || a.Ratio != nil {
		t.Errorf("with members: %+v", a)
	}
	// A tenth of a degree at 40 N is 8.54 km of 10 km expected.
	a := agreement(rows, growth, false)
	if a.Verdict != "agrees" || a.Moves != 4 {
		t.Fatalf("%+v", a)
	}
	near(t, "ratio", *a.Ratio, 0.854, 0.002)
	for i := range rows {
		rows[i].Source = string(rune('a' + i)) // five centres: none follows another
	}
	if a := agreement(rows, growth, false); a.Moves != 0 {
		t.Errorf("between centres: %+v", a)
	}
}

// Quantiles of the chi-square law from tables: 5 % and 95 % at 6, 10 and 20
// degrees of freedom. The formula is good to 2 % there.
func TestChiSquare(t *testing.T) {
	for _, c := range []struct{ n, low, high float64 }{{6, 1.635, 12.592}, {10, 3.940, 18.307}, {20, 10.851, 31.410}} {
		near(t, "5 %", chiSquare(c.n, -ninety), c.low, 0.02*c.low)
		near(t, "95 %", chiSquare(c.n, ninety), c.high, 0.02*c.high)
	}
}

func season(t *testing.T, look *Look, days ...PastDay) *Season {
	t.Helper()
	q := request(flight(t, ""), 60)
	q.Look = look
	s, err := FlySeason(context.Background(), q, len(days), func(i int) (PastDay, error) { return days[i], nil })
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Three days to the east and one to the north: the rose says so.
func TestSeasonGathersDays(t *testing.T) {
	past := func(daysBack int, east, north float64) PastDay {
		c := cycleOf(0, east, north)
		return PastDay{Launch: start.Add(13 * time.Hour), Cycle: start.AddDate(0, 0, -daysBack), Sky: c.Sky}
	}
	look := &Look{Chances: func(_ geo.Point, landings []geo.Point, flights int) []Chance {
		wet := 0
		for _, p := range landings {
			if p.LonDeg < -98.7 { // the day to the north alone stays west of this
				wet++
			}
		}
		return []Chance{{water, "lands in water", float64(wet) / float64(flights)}}
	}}
	s := season(t, look, past(0, 12, 0), past(1, 12, 0), past(2, 0, 12), past(3, 12, 0), PastDay{Launch: start.AddDate(-1, 0, 0), Why: "a file is missing"})
	if s.Days != 4 || len(s.Left) != 1 || s.Kind != "season" || !strings.Contains(s.Label, "not a forecast") {
		t.Fatalf("%+v", s)
	}
	shares := map[string]float64{}
	total := 0.0
	for _, p := range s.Rose {
		shares[p.Towards] = p.Share
		total += p.Share
	}
	// With a wind error of some 2 m/s in 12, hardly a landing is off by more than 22 degrees.
	near(t, "east", shares["E"], 0.75, 0.05)
	near(t, "north", shares["N"], 0.25, 0.05)
	near(t, "all", total, 1, 1e-12)
	near(t, "water", s.Chances[0].Probability, 0.25, 0.03)
	near(t, "water of the day to the north", *s.Flown[2].Water, 1, 0.05)
	near(t, "a day to the east", s.Flown[0].Bearing, 90, 5)
	near(t, "the day to the north", math.Remainder(s.Flown[2].Bearing, 360), 0, 5)
	if !strings.Contains(s.Summary, "towards E") || !strings.Contains(s.Summary, "4 past days") || len(s.Notes) != 1 {
		t.Errorf("summary %q, notes %v", s.Summary, s.Notes)
	}
	if _, err := FlySeason(context.Background(), request(flight(t, ""), 20), 0, nil); err == nil {
		t.Error("a season without days is answered")
	}
}

func TestSameHour(t *testing.T) {
	f := flight(t, "")
	f.Launch.Time = time.Date(2027, 4, 17, 20, 30, 0, 0, time.FixedZone("", -5*3600)) // 01:30 UTC of the next day
	list := SameHour(f, time.Date(2025, 3, 1, 2, 0, 0, 0, time.UTC))
	if len(list) != 3 || list[1].UTC() != time.Date(2025, 3, 1, 1, 30, 0, 0, time.UTC) {
		t.Errorf("%v", list)
	}
	day := func(month time.Month, day int) time.Time { return time.Date(2020, month, day, 0, 0, 0, 0, time.UTC) }
	near(t, "across the new year", awayInYear(day(1, 5), time.Date(2027, 12, 26, 0, 0, 0, 0, time.UTC)).Hours()/24, 10, 1)
	near(t, "half a year", awayInYear(day(1, 1), day(7, 1)).Hours()/24, 182, 1.5)
}
