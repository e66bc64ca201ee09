package flight_test

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pappus/air/forecast"
	"pappus/craft/liftgas"
	"pappus/demo"
	"pappus/desk/papers"
	"pappus/flight"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/record"
)

// starting answers a starting flight on the day of the demo's sky.
func starting(t *testing.T, kind string) *record.Flight {
	t.Helper()
	text, err := record.Template(kind)
	if err != nil {
		t.Fatal(err)
	}
	f, err := record.Parse(kind+".toml", text)
	if err != nil {
		t.Fatal(err)
	}
	f.Launch.Time = time.Date(2027, 4, 17, 8, 0, 0, 0, f.Launch.Time.Location())
	return f
}

func demoSky() flight.Sky {
	name, data := demo.Forecast()
	return flight.Sky{Files: []forecast.File{{Name: name, Data: data}}, Workers: 2}
}

func papersOf(t *testing.T, f *record.Flight, sky flight.Sky, only ...string) *flight.Papers {
	t.Helper()
	p, err := flight.PapersOf(context.Background(), f, sky, flight.PapersOptions{Members: 200, Seed: 1, Workers: 2, System: unit.US, Only: only})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// sheet answers all that stands on one sheet, for reading.
func sheet(t *testing.T, p *flight.Papers, name string) string {
	t.Helper()
	i := slices.IndexFunc(p.Sheets, func(s papers.Sheet) bool { return s.Name == name })
	if i < 0 {
		t.Fatalf("no sheet %s", name)
	}
	var b strings.Builder
	for _, part := range p.Sheets[i].Parts {
		b.WriteString("## " + part.Heading + "\n" + part.Lead + "\n" + strings.Join(part.Text, "\n") + "\n" + strings.Join(part.Cautions, "\n") + "\n")
		for _, r := range part.Rows {
			b.WriteString(r.Label + " | " + r.Text + "\n")
		}
		for _, c := range part.Checks {
			b.WriteString("[ ] " + c.Text + "\n")
		}
		if part.Table != nil {
			for _, row := range part.Table.Rows {
				b.WriteString(strings.Join(row, " | ") + "\n")
			}
		}
	}
	return b.String()
}

// Each part, item and reporter of the file stands on every list on which it is
// packed, rigged, switched on or found again.
func TestListsHoldTheFlightsParts(t *testing.T) {
	f := starting(t, "school")
	f.Train[5].Items = append(f.Train[5].Items,
		record.Item{Name: "tracker log", Kind: "logger", Mass: 0.02, Count: 1},
		record.Item{Name: "warm pad", Kind: "heat pack", Mass: 0.05, Count: 2})
	f.Reporters = append(f.Reporters, record.Reporter{Name: "beacon", Kind: "radio"})
	p := papersOf(t, f, demoSky())
	for name, wanted := range map[string][]string{
		"packing":  {"envelope", "helium cylinder", "regulator", "weak link", "parachute", "radar reflector", "camera box", "class box", "4 x camera cells", "card", "tracker log", "2 x warm pad", "messenger (satellite)", "beacon (radio)", "receiver, antenna outside the car and cables for beacon", "2 labels"},
		"launch":   {"messenger on, outdoors", "beacon on, outdoors", "high-altitude mode", "weak link", "parachute: hangs open", "radar reflector", "camera box: label on", "class box: label on", "camera on, films", "tracker log on", "warm pad opened", "card in", "camera box closed", "class box closed"},
		"recovery": {"weak link", "parachute found", "radar reflector found", "camera box found", "class box found", "camera: still running", "tracker log: still running", "card out", "messenger left on", "beacon left on", "rags"},
		"chase":    {"messenger | satellite", "beacon | radio"},
		"notice":   {"camera box", "class box", "messenger", "beacon"},
		"label":    {"camera box", "class box", "a recorder", "a warming pad"},
	} {
		text := sheet(t, p, name)
		for _, w := range wanted {
			if !strings.Contains(text, w) {
				t.Errorf("%s lacks %q", name, w)
			}
		}
	}
	// The order of the day: reporters, rigging, filling, recording, letting go.
	text, last := sheet(t, p, "launch"), -1
	for _, w := range []string{"Go, wait or no", "Notice confirmed", "## Site", "Position reporters first", "Weigh and rig", "## Fill", "Cameras and loggers last", "## Let go", "## After"} {
		at := strings.Index(text, w)
		if at <= last {
			t.Errorf("%q does not stand in its place", w)
		}
		last = at
	}
}

func TestCautionsStandInPlace(t *testing.T) {
	f := starting(t, "first")
	f.Gas.Kind = liftgas.Hydrogen
	p := papersOf(t, f, demoSky())
	for name, wanted := range map[string][]string{
		"packing": {"Cylinder:", "Hydrogen burns", "Driving:"}, "filling": {"Cylinder:", "Hydrogen burns", "burst in your face"},
		"launch": {"Thunder", "Power lines", "Hydrogen burns", "Driving:"}, "chase": {"the driver drives", "Other people's land", "Power lines", "Water:", "climbs"},
		"seat": {"the driver drives"}, "recovery": {"Power lines", "Water:", "Other people's land"}, "landowner": {"Other people's land"},
		"crew": {"Cylinder:", "Hydrogen burns", "Power lines", "Water:", "Other people's land", "the driver drives"},
	} {
		text := sheet(t, p, name)
		for _, w := range wanted {
			if !strings.Contains(text, w) {
				t.Errorf("%s lacks %q", name, w)
			}
		}
	}
	if helium := papersOf(t, starting(t, "first"), demoSky(), "filling"); strings.Contains(sheet(t, helium, "filling"), "Hydrogen") {
		t.Error("a helium flight is warned of hydrogen")
	}
}

// The window of 101.37(a), 24 to 6 hours before, is told to a flight inside the
// part and never to one outside it; ICAO's seven days from the medium class on.
func TestWindowsOfTheCalls(t *testing.T) {
	const window = "Between Fri 16 Apr 08:00 local and Sat 17 Apr 02:00 local"
	outside := papersOf(t, starting(t, "first"), demoSky(), "notice", "timeline")
	for _, name := range []string{"notice", "timeline"} {
		for _, never := range []string{"Between", "101.37", "6 to 24", "window for the notice"} {
			if text := sheet(t, outside, name); strings.Contains(text, never) {
				t.Errorf("%s of a flight outside the part says %q", name, never)
			}
		}
	}
	if text := sheet(t, outside, "notice"); !strings.Contains(text, "customary call") {
		t.Error("the customary call is missing")
	}
	heavy := starting(t, "heavy")
	inside := papersOf(t, heavy, demoSky(), "notice", "timeline")
	text := sheet(t, inside, "notice")
	for _, w := range []string{window, "101.37(d)", "101.39(b)", "101.39(d)"} {
		if !strings.Contains(text, w) {
			t.Errorf("the notice of a flight inside the part lacks %q", w)
		}
	}
	if strings.Contains(text, "customary") {
		t.Error("a flight inside the part is told of the customary call")
	}
	for _, e := range inside.Sheets[0].Events {
		if e.ID == "notice.101-37-a" && (e.From != "2027-04-16T13:00:00Z" || e.To != "2027-04-17T07:00:00Z") {
			t.Errorf("the window in the calendar is %s to %s", e.From, e.To)
		}
	}
	heavy.Rules = "ICAO"
	if text := sheet(t, papersOf(t, heavy, demoSky(), "notice"), "notice"); !strings.Contains(text, "Not later than Sat 10 Apr 08:00 local") || !strings.Contains(text, "authorisation") {
		t.Error("the heavy class lacks its seven days or the authorisation")
	}
	light := starting(t, "first")
	light.Rules = "ICAO"
	if text := sheet(t, papersOf(t, light, demoSky(), "notice"), "notice"); strings.Contains(text, "Not later than") || !strings.Contains(text, "authorisation") {
		t.Error("the light class has a window, or lacks the authorisation that all need")
	}
}

// Each question that an authority asks finds its answer under its own heading.
func TestNoticeAnswersEachQuestion(t *testing.T) {
	f := starting(t, "first")
	f.Contacts = []record.Contact{{Name: "A. Keeper", Role: "operator", Phone: "000 123"}}
	text := sheet(t, papersOf(t, f, demoSky(), "notice"), "notice")
	last := -1
	for _, w := range []string{
		"## Who", "A. Keeper", "000 123", "## What", "size | ", "colour | ", "payload weight | 1.54 lb (700 g)", "line length | ", "radar reflector | yes",
		"## Where", "Nebraska", `40° 05' 46" N, 99° 12' 34" W`, "40.0961, -99.2094", "from KEAR | ", "magnetic (", "NM from",
		"## When", "08:00 (UTC-05:00)", "13:00 UTC", "## Direction", "drifts towards", "18 000 m pressure altitude", "60,000 ft pressure altitude", "burst, ",
		"## Rise and duration", "ft/min", "whole flight", "## Expected landing", "UTC; four in five", "nine in ten within", "## Position reporters", "messenger",
		"## During the flight", "## Number given: a notice, not a permit", "number | ", "## Calls that the rule text asks for", "## The customary call",
	} {
		at := strings.Index(text[max(last, 0):], w)
		if at < 0 {
			t.Fatalf("%q does not follow what stands before it", w)
		}
		last = max(last, 0) + at
	}
}

// The plan's own row must be the central flight of the odds, which is flown by
// other code; the slow and fast rows must rise as fast as they say.
func TestSeatTable(t *testing.T) {
	f := starting(t, "first")
	p := papersOf(t, f, demoSky(), "seat")
	odds, err := flight.Where(context.Background(), f, demoSky(), flight.OddsOptions{Workers: 2, Nominal: true})
	if err != nil {
		t.Fatal(err)
	}
	landing := odds.Answer.Nominal.Landing
	plan, err := flight.Plan(context.Background(), f, demoSky(), flight.PlanOptions{Members: 200, Seed: 1, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, r := range p.Seat {
		if r.Mark != "as planned" {
			continue
		}
		seen++
		off, _, _ := geo.Inverse(geo.Point{LatDeg: r.Lat, LonDeg: r.Lon}, geo.Point{LatDeg: landing.Lat, LonDeg: landing.Lon})
		want := plan.Ascent.MeanRate
		switch r.Rise {
		case "plan":
			// The burst is found to some metres of height, which moves a landing by less.
			if off > 50 {
				t.Errorf("the planned row lands %.0f m from the central flight", off)
			}
		case "slow":
			want = plan.Ascent.RateBand.P10
		case "fast":
			want = plan.Ascent.RateBand.P90
		}
		// The pace is sought to a thousandth.
		if math.Abs(r.Rate/want-1) > 2e-3 {
			t.Errorf("%s rises at %.3f m/s, want %.3f", r.Rise, r.Rate, want)
		}
	}
	if seen != 3 {
		t.Fatalf("%d rows at the planned burst", seen)
	}
	for i := 1; i < len(p.Seat); i++ {
		a, b := p.Seat[i-1], p.Seat[i]
		if a.Burst == b.Burst && !(b.Up < a.Up && b.Rate > a.Rate) || b.Burst < a.Burst {
			t.Errorf("rows %d and %d do not follow: %+v %+v", i-1, i, a, b)
		}
	}
}

// Entries keep their identity when the launch moves, and move with it.
func TestTimelineKeepsIdentities(t *testing.T) {
	f := starting(t, "school")
	first := papersOf(t, f, flight.Sky{}, "timeline").Sheets[0].Events
	f.Launch.Time = f.Launch.Time.AddDate(0, 0, 7)
	moved := papersOf(t, f, flight.Sky{}, "timeline").Sheets[0].Events
	if len(first) != len(moved) {
		t.Fatalf("%d and %d entries", len(first), len(moved))
	}
	at := map[string]papers.Event{}
	for _, e := range first {
		if _, twice := at[e.UID]; twice {
			t.Errorf("%s has the identity of another entry", e.ID)
		}
		at[e.UID] = e
	}
	for _, e := range moved {
		was, known := at[e.UID]
		if !known || was.ID != e.ID || was.Date == e.Date && was.From == e.From {
			t.Errorf("%s: was %+v, is %+v", e.ID, was, e)
		}
	}
	if first[0].Date != "2027-02-06" {
		t.Errorf("the timeline begins on %s, ten weeks before 17 April is 6 February", first[0].Date)
	}
}

func TestPapersWithoutForecast(t *testing.T) {
	f := starting(t, "first")
	p := papersOf(t, f, flight.Sky{})
	for _, s := range p.Sheets {
		if s.Name == "seat" || s.Name == "point" {
			t.Errorf("%s was made without a forecast", s.Name)
		}
	}
	if text := sheet(t, p, "notice"); !strings.Contains(text, "no forecast was given") {
		t.Error("the notice does not say that no forecast was given")
	}
	_, err := flight.PapersOf(context.Background(), f, flight.Sky{}, flight.PapersOptions{Members: 50, Only: []string{"seat"}})
	if err == nil || !strings.Contains(err.Error(), "--weather") {
		t.Errorf("seat without a forecast: %v", err)
	}
	var unknown *papers.NoSheet
	if _, err = flight.PapersOf(context.Background(), f, flight.Sky{}, flight.PapersOptions{Only: []string{"poem"}}); !errors.As(err, &unknown) {
		t.Errorf("an unknown sheet: %v", err)
	}
}
