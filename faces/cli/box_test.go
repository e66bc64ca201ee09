package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// starting lays a starting flight in a folder, with more text below it.
func starting(t *testing.T, kind, more string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), kind+".toml")
	if status, _, errs := answer(t, "new", path, "--kind", kind); status != 0 {
		t.Fatal(errs)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, append(text, more...), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestBoxPageAndKeys(t *testing.T) {
	path := starting(t, "school", "")
	for _, units := range []string{"us", "metric"} {
		status, out, errs := answer(t, "box", path, "--members", "20", "--why", "boxes[1].wall", "--units", units)
		if status != 0 || errs != "" {
			t.Fatalf("status %d: %s", status, errs)
		}
		readable(t, out)
		for _, word := range []string{"Camera box", "coldest inside", "camera cells", "When nothing is heard", "What camera sees", "100 km", "Lithium cells", "freezer", "conductivity × outside / thickness"} {
			if !strings.Contains(strings.Join(strings.Fields(out), " "), word) {
				t.Errorf("the page does not say %q:\n%s", word, out)
			}
		}
	}
	_, out, _ := answer(t, "box", path, "--members", "20", "--json")
	document := decode(t, out)
	boxes := at(t, document, "boxes").([]any)
	for _, key := range []string{"wall.conductance_w_per_k", "temperature", "items", "energy", "cards.fits"} {
		at(t, boxes[0], key)
	}
	for _, key := range []string{"silence.longest_gap_s", "views", "space", "cautions", "not_looked_at", "landing_s"} {
		at(t, document, key)
	}
	_, again, _ := answer(t, "box", path, "--members", "20", "--json")
	if again != out {
		t.Error("the same seed gives other bytes")
	}
	// An hour on the pad is warmer than none: the box begins where it was packed.
	_, out, _ = answer(t, "box", path, "--nominal-only", "--pad", "0 s", "--packed-at", "2 degC", "--json")
	if at(t, decode(t, out), "packed_s") != 0.0 || at(t, decode(t, out), "start_k") != 275.15 || at(t, decode(t, out), "members") != 0.0 {
		t.Errorf("%.300s", out)
	}
}

func TestPlanShowsTheBox(t *testing.T) {
	_, out, _ := answer(t, "plan", starting(t, "school", ""), "--members", "20", "--json")
	boxes := at(t, decode(t, out), "box.boxes").([]any)
	if rows := at(t, boxes[0], "temperature").([]any); len(rows) < 20 || at(t, rows[0], "inside_k.p50").(float64) < 250 {
		t.Errorf("%v", rows)
	}
	if at(t, decode(t, out), "box.longest_gap_s") != 600.0 {
		t.Errorf("%v", at(t, decode(t, out), "box"))
	}
	_, page, _ := answer(t, "plan", starting(t, "school", ""), "--members", "20", "--units", "metric")
	readable(t, page)
	for _, word := range []string{"The box along the flight", "gets coldest", "camera cells feed camera", "the longest gap to expect in flight is 10 min"} {
		if !strings.Contains(strings.Join(strings.Fields(page), " "), word) {
			t.Errorf("the page does not say %q:\n%s", word, page)
		}
	}
	// A box of which the file knows its mass alone has no such key.
	flight, _ := demoFiles(t)
	_, out, _ = answer(t, "plan", flight, "--nominal-only", "--json")
	if _, there := decode(t, out)["box"]; there {
		t.Error("a box of which nothing is known is answered")
	}
}

const toldTests = `
[[test]]
what = "drop"
date = "2027-05-01"
result = "pass"
mass = "1.2 kg"
speed = "4.4 m/s"

[[test]]
what = "clocks"
date = "2027-05-01"
result = "fail"
`

func TestReadyPageAndKeys(t *testing.T) {
	path := starting(t, "school", toldTests)
	status, out, errs := answer(t, "ready", path, "--units", "metric")
	if status != 0 || errs != "" {
		t.Fatalf("status %d: %s", status, errs)
	}
	readable(t, out)
	for _, word := range []string{"drop test: passed on 2027-05-01; measured", "clocks set: failed", "Freezer soak", "good to 5 % instead of 10 %", "[[test]] what ="} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), word) {
			t.Errorf("the page does not say %q:\n%s", word, out)
		}
	}
	_, out, _ = answer(t, "ready", path, "--json")
	document := decode(t, out)
	missing := at(t, document, "missing").([]any)
	if len(missing) < 8 || at(t, missing[0], "id") != "scale check" || at(t, missing[0], "widens_odds") != true || at(t, missing[0], "state") != "missing" {
		t.Errorf("%v", missing)
	}
	if used := at(t, document, "measured").([]any); at(t, used[0], "spread_after") != 0.05 || at(t, used[0], "spread_before") != 0.1 {
		t.Errorf("%v", used)
	}
	if status, _, errs := answer(t, "ready", path, "--effects"); status != exitUsage || !strings.Contains(errs, "--weather") {
		t.Errorf("status %d: %s", status, errs)
	}
}

// Through the invented sky a drop test brings the landings closer together.
func TestReadyEffects(t *testing.T) {
	flight, weather := demoFiles(t)
	status, out, errs := answer(t, "ready", flight, "--effects", "--weather", weather, "--members", "300", "--json")
	if status != 0 {
		t.Fatalf("status %d: %s", status, errs)
	}
	effects := at(t, decode(t, out), "effects").([]any)
	if len(effects) != 2 {
		t.Fatalf("%v", effects)
	}
	for _, e := range effects {
		without, with := at(t, e, "without.radius_90_m").(float64), at(t, e, "with.radius_90_m").(float64)
		// The draws are the same but for the one doubt; an edge may still move by a landing.
		if without < 1000 || with > 1.01*without || with == without {
			t.Errorf("%v", e)
		}
	}
}

func TestCostPageAndKeys(t *testing.T) {
	path := starting(t, "school", "\n[cost]\ntravel = 120\n\n[recovery]\nlabel = \"50 %\"\n")
	status, out, errs := answer(t, "cost", path, "--out-of-reach", "10 %")
	if status != 0 || errs != "" {
		t.Fatalf("status %d: %s", status, errs)
	}
	readable(t, out)
	for _, word := range []string{"260.00 USD", "no price: envelope", "an estimate", "10 % lies where nobody can or may go (asked", "50 % a finder answers", "120.00 USD"} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), word) {
			t.Errorf("the page does not say %q:\n%s", word, out)
		}
	}
	_, out, _ = answer(t, "cost", path, "--json")
	document := decode(t, out)
	// The starting flight prices a cylinder, a camera and a messenger.
	if at(t, document, "total") != 260.0+90+150+120 || at(t, document, "getting_it_back.estimate") != true || at(t, document, "stake.lost_if_not_found") != 240.0 {
		t.Errorf("%.400s", out)
	}
	if status, _, _ := answer(t, "cost", path, "--label", "150 %"); status != exitUsage {
		t.Errorf("status %d", status)
	}
	flight, weather := demoFiles(t)
	_, out, errs = answer(t, "cost", flight, "--weather", weather, "--members", "100", "--json")
	factors := at(t, decode(t, out), "getting_it_back.factors").([]any)
	if at(t, factors[0], "id") != "water" || at(t, factors[0], "from") != "odds" {
		t.Errorf("%s%v", errs, factors[0])
	}
}

func TestBoxFlagsThatMakeNoSense(t *testing.T) {
	path := starting(t, "school", "")
	for _, words := range [][]string{
		{"box", path, "--pad", "10 min", "--on", "20 min"}, {"box", path, "--after", "3 d"}, {"box", path, "--members", "2001"}, {"box", path, "--packed-at", "-200 degC"}, {"box", path, "--relay", "-1 km"},
		{"box", path, "--why", "warmth"}, {"box"}, {"cost", path, "--silent", "x"},
	} {
		if status, out, errs := answer(t, words...); status != exitUsage || out != "" || errs == "" {
			t.Errorf("%v: status %d, %q", words, status, errs)
		}
	}
}
