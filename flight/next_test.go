package flight

import (
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"pappus/measure/unit"
	"pappus/record"
)

// nextDocument is the starting file with a launch of its own.
func nextDocument(t *testing.T) ([]byte, time.Time) {
	t.Helper()
	document, err := record.Template(record.TemplateKinds()[0])
	if err != nil {
		t.Fatal(err)
	}
	f, err := record.Parse("start", document)
	if err != nil {
		t.Fatal(err)
	}
	return document, f.Launch.Time
}

func steps(t *testing.T, document []byte, beside Beside, now time.Time) *Steps {
	t.Helper()
	s, err := Next(context.Background(), document, beside, now, unit.Metric)
	if err != nil {
		t.Fatal(err)
	}
	lacks := 0
	for _, step := range s.Steps {
		if step.Text == "" || step.Place == "" || step.ID == "" {
			t.Errorf("a step without words or place: %+v", step)
		}
		if step.Lacks {
			lacks++
		}
	}
	if lacks != s.Missing {
		t.Errorf("%d steps lack something, %d are counted", lacks, s.Missing)
	}
	return s
}

func ids(s *Steps) []string {
	var list []string
	for _, step := range s.Steps {
		list = append(list, step.ID)
	}
	return list
}

func TestFaultsComeFirstAndAlone(t *testing.T) {
	document, launch := nextDocument(t)
	broken := []byte(strings.Replace(string(document), "mass = ", "mss = ", 1))
	s := steps(t, broken, Beside{}, launch.Add(-time.Hour))
	if s.Missing == 0 || len(s.Steps) != s.Missing {
		t.Fatalf("steps %v", ids(s))
	}
	for _, step := range s.Steps {
		if step.ID != "fault" || step.Place != "text" || step.Line == 0 {
			t.Errorf("step %+v: expected a fault of a line", step)
		}
	}
}

func TestForecastThenOddsThenTestsThenPapersThenLaunch(t *testing.T) {
	document, launch := nextDocument(t)
	covers := func(age time.Duration, now time.Time) Beside {
		return Beside{Forecasts: []Covers{{From: launch.Add(-10 * time.Hour), To: launch.Add(10 * time.Hour), Cycle: now.Add(-age)}}}
	}
	dayBefore := launch.Add(-24 * time.Hour)
	looked := covers(6*time.Hour, dayBefore)
	looked.Looked = true
	elsewhere := Beside{Forecasts: []Covers{{From: launch.Add(time.Hour), To: launch.Add(20 * time.Hour), Cycle: dayBefore}}}
	table := Beside{Forecasts: []Covers{{}}}
	for _, c := range []struct {
		name   string
		beside Beside
		now    time.Time
		first  string
	}{
		{"no forecast", Beside{}, dayBefore, "forecast"},
		{"a forecast of another time", elsewhere, dayBefore, "forecast"},
		{"old forecast", covers(13*time.Hour, dayBefore), dayBefore, "forecast-old"},
		{"odds not looked at", covers(6*time.Hour, dayBefore), dayBefore, "odds"},
		{"a table has no age", table, dayBefore, "odds"},
		{"launch passed", looked, launch.Add(time.Hour), "past"},
	} {
		if got := ids(steps(t, document, c.beside, c.now)); got[0] != c.first {
			t.Errorf("%s: %v, expected %s first", c.name, got, c.first)
		}
	}
	got := ids(steps(t, document, looked, dayBefore))
	if !strings.HasPrefix(got[0], "test-") {
		t.Errorf("with odds looked at: %v, expected the tests first", got)
	}
	if n := len(got); got[n-2] != "papers" || got[n-1] != "launch" {
		t.Errorf("%v does not end with papers and launch", got)
	}
	if got := ids(steps(t, document, looked, launch.Add(-time.Hour))); slices.Contains(got, "papers") {
		t.Errorf("an hour before the launch %v still has papers to print", got)
	}
}

func TestNoForecastIsMissedWhereNoneCanBe(t *testing.T) {
	document, launch := nextDocument(t)
	got := ids(steps(t, document, Beside{}, launch.Add(-17*24*time.Hour)))
	if slices.Contains(got, "forecast") || slices.Contains(got, "odds") {
		t.Errorf("17 days ahead: %v", got)
	}
	if got := ids(steps(t, document, Beside{}, launch.Add(-15*24*time.Hour))); got[0] != "forecast" {
		t.Errorf("15 days ahead: %v", got)
	}
}

func TestCautionsThatStopComeBeforeTheWeather(t *testing.T) {
	document, launch := nextDocument(t)
	// Of lines whose loads nobody knows, none is sure to part first.
	f, err := record.Parse("start", document)
	if err != nil {
		t.Fatal(err)
	}
	var edits []record.Edit
	for _, w := range record.Outline(document) {
		if strings.HasSuffix(w.Path, ".breaking_load") {
			edits = append(edits, record.Edit{Kind: "set", Path: w.Path, Text: ""})
		}
	}
	if len(edits) == 0 || len(f.Train) == 0 {
		t.Fatal("the starting file has no lines")
	}
	even, err := record.Apply(document, edits)
	if err != nil {
		t.Fatal(err)
	}
	got := ids(steps(t, even, Beside{}, launch.Add(-time.Hour)))
	if len(got) < 2 || got[0] != "no-weak-link" || got[1] != "forecast" {
		t.Errorf("%v, expected no-weak-link and forecast first", got)
	}
}
