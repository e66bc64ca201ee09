package ready

import (
	"slices"
	"strings"
	"testing"

	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/record"
)

const flight = `format = 1
name = "Sand Martin"
[launch]
latitude = 40.1
longitude = -99.2
elevation = "610 m"
time = 2027-06-17T10:00:00-05:00
[envelope]
mass = "1200 g"
made = "2026-09"
[gas]
kind = "helium"
fill = { free_lift = "1100 g" }
[[train]]
part = "line"
name = "weak link"
length = "1.5 m"
breaking_load = "150 N"
[[train]]
part = "parachute"
diameter = "1.5 m"
mass = "180 g"
[[train]]
part = "box"
name = "upper"
mass = "300 g"
size = ["20 cm", "20 cm", "20 cm"]
foam = "XPS"
wall = "25 mm"
[[train.item]]
name = "cells"
kind = "cell"
mass = "15 g"
count = 4
chemistry = "lithium iron disulfide"
[[train]]
part = "box"
name = "lower"
mass = "300 g"
[[reporter]]
name = "messenger"
kind = "satellite"
[[reporter]]
name = "telephone"
kind = "cellular"
`

func ledger(t *testing.T, tests ...string) *Ledger {
	t.Helper()
	text := flight
	for _, row := range tests {
		text += "[[test]]\n" + row + "\n"
	}
	f, err := record.Parse("martin", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	p, err := sizing.FromFile(f)
	if err != nil {
		t.Fatal(err)
	}
	return Of(p, unit.Metric)
}

func find(t *testing.T, l *Ledger, id, part string) *Row {
	t.Helper()
	i := slices.IndexFunc(l.Tests, func(r Row) bool { return r.ID == id && r.Part == part })
	if i < 0 {
		t.Fatalf("no %s of %q", id, part)
	}
	return &l.Tests[i]
}

// Every test is there, for each part that it is about, with how, pass mark and what
// it replaces; all are missing before any was done.
func TestLedgerOfAnUntestedFlight(t *testing.T) {
	l := ledger(t)
	for id, parts := range map[string][]string{
		"drop": {""}, "scale check": {""}, "freezer soak": {"upper", "lower"}, "cell run-down": {"cells"}, "upside down": {"messenger", "telephone"},
		"range": {"messenger", "telephone"}, "all on": {""}, "high-altitude mode": {"messenger"}, "clocks": {""}, "cards": {""}, "pull": {"weak link"}, "dress rehearsal": {""},
	} {
		for _, part := range parts {
			r := find(t, l, id, part)
			if r.State != Missing || len(r.How) == 0 || r.Pass == "" || r.Replaces == "" || r.Write == "" || r.Date != "" {
				t.Errorf("%+v", r)
			}
		}
	}
	if len(l.Missing) != len(l.Tests) || l.Done != 0 || len(l.Used) != 0 {
		t.Errorf("%d missing of %d", len(l.Missing), len(l.Tests))
	}
	for _, m := range l.Missing {
		if m.Odds != (m.ID == "drop" || m.ID == "scale check") || m.Text == "" {
			t.Errorf("%+v", m)
		}
	}
	// What can hurt someone says so.
	for _, id := range []string{"drop", "cell run-down", "pull", "all on"} {
		if r := l.Tests[slices.IndexFunc(l.Tests, func(r Row) bool { return r.ID == id })]; r.Danger == "" {
			t.Errorf("%s has no caution", id)
		}
	}
}

const passed = "date = \"2027-06-01\"\nresult = \"pass\"\n"

func TestStatesOfTests(t *testing.T) {
	l := ledger(t, "what = \"Drop test\"\nmass = \"1.0 kg\"\nspeed = \"3.6 m/s\"\n"+passed, "what = \"everything on\"\ndate = \"2027-01-10\"\nresult = \"pass\"",
		"what = \"clocks set\"\ndate = \"2027-06-02\"\nresult = \"fail\"\nby = \"A. Person\"", "what = \"clocks\"\ndate = \"2027-05-02\"\nresult = \"pass\"",
		"what = \"range\"\npart = \"messenger\"\n"+passed, "what = \"range\"\n"+passed, "what = \"freezer soak\"\npart = \"upper\"\n"+passed, "what = \"humming\"\n"+passed)
	for _, row := range []struct {
		id, part string
		want     State
	}{{"drop", "", Passed}, {"all on", "", Stale}, {"clocks", "", Failed}, {"range", "messenger", Passed}, {"range", "telephone", Missing}, {"freezer soak", "upper", Passed}, {"freezer soak", "lower", Missing}} {
		if r := find(t, l, row.id, row.part); r.State != row.want {
			t.Errorf("%s %s: %s, want %s", row.id, row.part, r.State, row.want)
		}
	}
	if len(l.Unknown) != 1 || !strings.Contains(l.Unknown[0], "humming") {
		t.Errorf("%v", l.Unknown)
	}
	if slices.ContainsFunc(l.Missing, func(m MissingTest) bool { return m.ID == "drop" }) || len(l.Used) != 1 || !l.Used[0].Used {
		t.Errorf("%+v, %+v", l.Missing, l.Used)
	}
	if r := find(t, l, "clocks", ""); r.By != "A. Person" || r.Date != "2027-06-02" {
		t.Errorf("%+v", r)
	}
	if r := find(t, l, "freezer soak", "upper"); !strings.Contains(r.Finding, "are wanted") {
		t.Errorf("%q", r.Finding)
	}
}

// Measured figures come back as changes of the file: a cord that parted at 104 N;
// cells that gave 2.5 W for 5.76 h at -20 degrees, where such cells keep 87.5 %:
// 14.4 Wh / 0.875 / 4 = 4.114 Wh each.
func TestFindingsOfferEdits(t *testing.T) {
	l := ledger(t, "what = \"pull\"\npart = \"weak link\"\nload = \"104 N\"\n"+passed, "what = \"cell run-down\"\npart = \"cells\"\ntime = \"5.76 h\"\npower = \"2.5 W\"\noutside = \"-20 degC\"\n"+passed)
	if e := find(t, l, "pull", "weak link").Edit; e == nil || *e != (Edit{"train[1].breaking_load", "150 N", "104 N"}) {
		t.Errorf("%+v", e)
	}
	e := find(t, l, "cell run-down", "cells").Edit
	if e == nil || *e != (Edit{"train[3].item[1].energy", "", "4.114 Wh"}) {
		t.Errorf("%+v", e)
	}
	// The change can be made.
	changed, err := record.Apply([]byte(flight), []record.Edit{{Kind: record.Set, Path: e.Path, Text: e.Text}})
	if err != nil {
		t.Fatal(err)
	}
	if f, err := record.Parse("changed", changed); err != nil || !f.Train[2].Items[0].Energy.Given {
		t.Errorf("%v", err)
	}
	if r := find(t, ledger(t, "what = \"pull\"\npart = \"weak link\"\nload = \"150 N\"\n"+passed), "pull", "weak link"); r.Edit != nil {
		t.Errorf("%+v", r.Edit)
	}
}

func TestEffectOf(t *testing.T) {
	if e := EffectOf("drop", Radii{8e3, 20e3}, Radii{7e3, 17e3}, unit.Metric); strings.Contains(e.Text, "hardly") {
		t.Errorf("%s", e.Text)
	}
	if e := EffectOf("drop", Radii{8e3, 20e3}, Radii{8e3, 19.95e3}, unit.Metric); !strings.Contains(e.Text, "hardly") {
		t.Errorf("%s", e.Text)
	}
}
