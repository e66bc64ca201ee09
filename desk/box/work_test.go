package box

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/record"
)

// school is an invented flight with a box of devices.
const school = `format = 1
name = "Reed Warbler"
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
name = "camera box"
mass = "210 g"
size = ["20 cm", "20 cm", "20 cm"]
foam = "XPS"
wall = "25 mm"
finish = "white"
[[train.item]]
name = "camera"
kind = "camera"
mass = "120 g"
power = "2.5 W"
supply = "cells"
coldest = "-10 degC"
warmest = "45 degC"
field_of_view = "90 deg"
lens = "rectilinear"
image_width = 4000
bit_rate = "30 Mbit/s"
[[train.item]]
name = "cells"
kind = "cell"
mass = "15 g"
count = 4
capacity = "3000 mAh"
voltage = "1.5 V"
chemistry = "lithium iron disulfide"
[[train.item]]
name = "card"
kind = "card"
mass = "1 g"
storage = "64 GB"
[[train.item]]
name = "messenger"
kind = "reporter"
mass = "110 g"
power = "0.1 W"
energy = "6 Wh"
chemistry = "lithium ion"
[[reporter]]
name = "messenger"
kind = "satellite"
every = "10 min"
delay = "3 min"
[[reporter]]
name = "beacon"
kind = "radio"
every = "60 s"
delay = 0
`

func flightOf(t *testing.T, replace ...string) *record.Flight {
	t.Helper()
	text := school
	for i := 0; i < len(replace); i += 2 {
		if !strings.Contains(text, replace[i]) {
			t.Fatalf("the flight has no %q", replace[i])
		}
		text = strings.ReplaceAll(text, replace[i], replace[i+1])
	}
	f, err := record.Parse("warbler.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func asked(t *testing.T, f *record.Flight, change func(*Request)) (*Answer, error) {
	t.Helper()
	parts, err := sizing.FromFile(f)
	if err != nil {
		t.Fatal(err)
	}
	setting := sizing.StandardSetting(f)
	if err := parts.Fill(setting, unit.Metric); err != nil {
		t.Fatal(err)
	}
	q := Request{File: f, Parts: parts, Setting: setting, Members: 30, Seed: 1, Workers: 2, Pad: UsualPad, On: UsualOn, After: UsualAfter, Room: UsualRoom(), Listen: UsualListeners(), Rows: 60}
	if change != nil {
		change(&q)
	}
	return Work(context.Background(), q)
}

func answered(t *testing.T, f *record.Flight, change func(*Request)) *Answer {
	t.Helper()
	a, err := asked(t, f, change)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func has(a *Answer, id string) bool {
	for _, c := range a.Cautions {
		if c.ID == id && c.Text != "" && c.Why != "" {
			return true
		}
	}
	return false
}

// The answer is the same whatever the number of workers, and another for another seed.
func TestSameSeedSameBytes(t *testing.T) {
	text := func(workers int, seed uint64) string {
		a := answered(t, flightOf(t), func(q *Request) { q.Workers, q.Seed = workers, seed })
		out, err := json.Marshal(a.Boxes)
		if err != nil {
			t.Fatal(err)
		}
		return string(out)
	}
	one := text(1, 1)
	if one != text(3, 1) {
		t.Error("three workers answer otherwise than one")
	}
	if one == text(1, 2) {
		t.Error("the seed does not matter")
	}
}

// Bands hold the middle, begin where it was packed, and are the widest aloft.
func TestBandsAndWayOfTheInside(t *testing.T) {
	a := answered(t, flightOf(t), nil)
	b := a.Boxes[0]
	if b.Rows[0].After != -UsualPad || math.Abs(b.Rows[0].Inside.P50-UsualRoom()) > 2 {
		t.Errorf("%+v", b.Rows[0])
	}
	if last := b.Rows[len(b.Rows)-1]; last.After < a.Landing+UsualAfter-400 || last.After > a.End+1 {
		t.Errorf("the last row is at %.0f s of %.0f", last.After, a.End)
	}
	for _, r := range b.Rows {
		if !(r.Inside.P10 <= r.Inside.P50 && r.Inside.P50 <= r.Inside.P90) || r.Inside.P10 < 200 || r.Inside.P90 > 340 {
			t.Errorf("%+v", r)
		}
	}
	// Aloft it is far colder than at the start, warmer than the air at its coldest.
	camera := b.Items[0]
	if camera.Cold.P50 > 290 || camera.Cold.P50 < 216.65 || camera.ColdAt <= 0 || camera.ColdAt > a.Landing {
		t.Errorf("%+v", camera)
	}
	if len(camera.Rows) != len(b.Rows) || camera.TooCold == nil || *camera.TooCold < 0 || *camera.TooCold > 1 {
		t.Errorf("%+v", camera.TooCold)
	}
	// The wall alone, by hand: 0.034 x 0.24 / 0.025.
	if math.Abs(b.Wall.Conductance-0.3264) > 1e-9 || b.Wall.Load != 2.6 {
		t.Errorf("%+v", b.Wall)
	}
}

// 18 Wh at 2.5 W are 7.2 h in the warm: less the half hour before and the flight.
// 64 GB at 30 Mbit/s are 4.74 h.
func TestHoursAndCards(t *testing.T) {
	a := answered(t, flightOf(t), nil)
	e := a.Boxes[0].Energy[0]
	if math.Abs(e.Hours/unit.Hour-7.2) > 1e-9 || e.Cells != "cells" || len(e.Feeds) != 1 {
		t.Errorf("%+v", e)
	}
	left := *e.AfterLandingMid
	if most := 7.2*unit.Hour - UsualOn - a.Landing; left > most+1 || left < most-2*unit.Hour {
		t.Errorf("%.0f s after the landing, %.0f in the warm", left, most)
	}
	if c := a.Boxes[0].Cards; math.Abs(c.Lasts/unit.Hour-4.7407) > 1e-3 || !c.Fits || c.Needed < UsualOn+a.Landing*0.9 {
		t.Errorf("%+v", c)
	}
	// Alkaline cells give out aloft, where lithium iron disulfide lasts.
	cold := answered(t, flightOf(t, `"lithium iron disulfide"`, `"alkaline"`, `"3000 mAh"`, `"1000 mAh"`), nil)
	if !has(cold, "cells-empty") || *cold.Boxes[0].Energy[0].AfterLandingMid > left {
		t.Errorf("%+v", cold.Boxes[0].Energy[0])
	}
	if small := answered(t, flightOf(t, `"64 GB"`, `"16 GB"`), nil); !has(small, "card-short") || small.Boxes[0].Cards.Fits {
		t.Errorf("%+v", small.Boxes[0].Cards)
	}
	// The messenger lives on its own cells, and its lane says so.
	if r := a.Silence.Reporters[0]; r.AliveMid == nil || *r.AliveMid < 10*unit.Hour {
		t.Errorf("%+v", r)
	}
}

// Each caution with a box that triggers it, and none of them of a usual one.
func TestCautions(t *testing.T) {
	usual := answered(t, flightOf(t), nil)
	for id, c := range map[string]struct {
		replace []string
		change  func(*Request)
	}{
		"hot-before-launch": {[]string{`finish = "white"`, `finish = "black"`}, func(q *Request) { q.Room = celsius(35); q.On = q.Pad }},
		"no-reporter":       {[]string{school[strings.Index(school, "[[reporter]]"):], ""}, nil},
		"long-silence":      {[]string{`delay = "3 min"`, "delay = \"3 min\"\nceiling = \"5 km\"", `kind = "radio"`, `kind = "cellular"`}, nil},
		"cold-aloft":        {[]string{`"-10 degC"`, `"20 degC"`}, nil},
	} {
		if has(usual, id) {
			t.Errorf("%s is said of the usual box", id)
		}
		if a := answered(t, flightOf(t, c.replace...), c.change); !has(a, id) {
			t.Errorf("%s is not said: %v", id, a.Cautions)
		}
	}
	if !has(usual, "lithium") {
		t.Error("lithium cells go without a word")
	}
}

// What the file does not say is named, and what does not depend on it is answered.
func TestPartsOfAFile(t *testing.T) {
	bare := flightOf(t, "wall = \"25 mm\"\n", "")
	a := answered(t, bare, nil)
	b := a.Boxes[0]
	if len(b.Rows) != 0 || b.Wall != nil || len(b.Energy) != 2 || b.Cards == nil || len(b.Missing) == 0 || !Known(bare) {
		t.Errorf("%+v", b)
	}
	if e := b.Energy[0]; !(e.AfterLanding.P10 < e.AfterLanding.P50 && e.AfterLanding.P50 < e.AfterLanding.P90) {
		t.Errorf("%+v", e.AfterLanding)
	}
	items := school[strings.Index(school, "[[train.item]]"):strings.Index(school, "[[reporter]]")]
	if Known(flightOf(t, items, "", "wall = \"25 mm\"\n", "")) {
		t.Error("a box of a mass alone is known")
	}
	dead := answered(t, flightOf(t, items, ""), func(q *Request) { q.Members = 0 })
	if len(dead.Boxes[0].Items) != 1 || dead.Boxes[0].Items[0].TooCold != nil || dead.Members != 0 {
		t.Errorf("%+v", dead.Boxes[0].Items)
	}
}

// A measured wall stands in place of the worked one: with a soak twice as good the
// box is warmer aloft, and its band narrower.
func TestSoakIsUsed(t *testing.T) {
	soak := "\n[[test]]\nwhat = \"freezer soak\"\ndate = \"2027-05-01\"\nresult = \"pass\"\npower = \"2 W\"\noutside = \"-19 degC\"\ntemperature = \"-5 degC\"\nerror = \"3 %\"\n"
	plain, soaked := answered(t, flightOf(t), nil), answered(t, flightOf(t, "every = \"60 s\"\ndelay = 0\n", "every = \"60 s\"\ndelay = 0\n"+soak), nil)
	w := soaked.Boxes[0].Wall
	// 2 W over 14 K is 0.143 W/K; less the film of 8 W/m2K on 0.24 m2: 0.1544; the wall
	// of a mean near -12 degrees has 0.912 of what it has at 10: 0.169.
	if !w.Measured || math.Abs(w.Conductance-0.169) > 0.001 || w.Error != 0.03 {
		t.Errorf("%+v", w)
	}
	if a, b := plain.Boxes[0].Items[0].Cold, soaked.Boxes[0].Items[0].Cold; b.P50 < a.P50+3 {
		t.Errorf("%.1f K, then %.1f", a.P50, b.P50)
	}
}

// Every key of the reasons leads to one with a formula and a source.
func TestReasons(t *testing.T) {
	all := answered(t, flightOf(t), func(q *Request) { q.Why = []string{sizing.AllReasons}; q.Members = 0 }).Why
	for _, key := range ReasonKeys() {
		if strings.Contains(key, "heat_packs") { // this box has none
			continue
		}
		r, ok := all[key]
		if !ok || r.Formula == "" || r.Source == "" || r.Unit == "" || len(r.Inputs) == 0 {
			t.Errorf("%s: %+v", key, r)
		}
	}
	if one := answered(t, flightOf(t), func(q *Request) { q.Why = []string{"boxes[1].wall"}; q.Members = 0 }).Why; len(one) != 3 {
		t.Errorf("%d reasons", len(one))
	}
	var unknown *UnknownReason
	if _, err := asked(t, flightOf(t), func(q *Request) { q.Why = []string{"warmth"}; q.Members = 0 }); !errors.As(err, &unknown) || !strings.Contains(err.Error(), "boxes[1].wall") {
		t.Errorf("%v", err)
	}
}

func TestStoppedWork(t *testing.T) {
	f := flightOf(t)
	parts, _ := sizing.FromFile(f)
	setting := sizing.StandardSetting(f)
	if err := parts.Fill(setting, unit.Metric); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if a, err := Work(ctx, Request{File: f, Parts: parts, Setting: setting, Members: 50, Rows: 10, Room: 290}); err == nil {
		t.Errorf("%+v", a)
	}
}
