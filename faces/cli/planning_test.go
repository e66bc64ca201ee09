package cli

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

func readable(t *testing.T, out string) {
	t.Helper()
	for _, line := range strings.Split(out, "\n") {
		// The odd word in a narrow column may stand out by a little.
		if utf8.RuneCountInString(line) > pageWidth+6 || strings.Contains(line, "%!") {
			t.Errorf("line %q", line)
		}
	}
}

// The hard case as a person types it: a bottle sold as 150 cubic feet that
// shows 1,900 psi in the cold, a heavy box and a high wish.
func TestSketchOfTheHardCase(t *testing.T) {
	words := []string{"sketch", "--box", "7.5 lb", "--above", "100000 ft", "--landing", "6 m/s", "--cylinder", "150 ft3", "--gauge", "1900 psi", "--gauge-temperature", "5 degC"}
	status, out, errs := answer(t, words...)
	if status != 0 || errs != "" {
		t.Fatalf("status %d: %s", status, errs)
	}
	readable(t, out)
	for _, word := range []string{"No: ", "ft³ short", "The single change: ", "no flight is left", "What would make it possible"} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), word) {
			t.Errorf("the page does not say %q:\n%s", word, out)
		}
	}
	_, out, _ = answer(t, append(words, "--json")...)
	document := decode(t, out)
	if at(t, document, "possible") != false || at(t, document, "shortfalls.short").(float64) <= 0 || at(t, document, "helps.text") == "" || at(t, document, "left.text") == "" {
		t.Errorf("%v", document)
	}
	path := filepath.Join(t.TempDir(), "no.toml")
	if status, _, errs = answer(t, append(words, "--write", path)...); status != 1 || !strings.Contains(errs, "none is written") {
		t.Errorf("status %d: %s", status, errs)
	}
}

// A sketched flight, written and planned, meets its goal; a file is never overwritten.
func TestSketchWritesAFlightThatPlanMeets(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lark.toml")
	words := []string{"sketch", "--box", "1.2 kg", "--above", "30 km", "--aloft", "2 h", "--cylinder", "291 ft3", "--landing", "5 m/s", "--elevation", "-20 m",
		"--money", "800", "--price", "1200 g=130", "cylinder=340", "--rank", "2", "--write", path, "--units", "metric"}
	status, out, errs := answer(t, words...)
	if status != 0 || !strings.Contains(errs, "Wrote") {
		t.Fatalf("status %d: %s", status, errs)
	}
	readable(t, out)
	if status, _, errs = answer(t, words...); status != 1 || !strings.Contains(errs, "left as it is") {
		t.Errorf("written twice: status %d: %s", status, errs)
	}
	status, out, errs = answer(t, "plan", path, "--nominal-only", "--json")
	if status != 0 {
		t.Fatal(errs)
	}
	plan := decode(t, out)
	burst, landing := at(t, plan, "burst.nominal_alt_m").(float64), at(t, plan, "descent.landing_speed_mps").(float64)
	if burst < 30000*0.99 || landing > 5*1.01 {
		t.Errorf("bursts at %.0f m, lands at %.2f m/s", burst, landing)
	}
}

func TestPlanAdviceKeys(t *testing.T) {
	flight, _ := demoFiles(t)
	status, out, errs := answer(t, "plan", flight, "--nominal-only", "--json", "--why", "lift", "burst.nominal_alt_m")
	if status != 0 {
		t.Fatal(errs)
	}
	plan := decode(t, out)
	for _, key := range []string{"suits.ok", "changes.id", "changes.burst_alt_m", "gas_to_buy.with_reserve_ft3", "gas_to_buy.grades.purity", "film_pressure.counted", "why"} {
		at(t, plan, key)
	}
	why := plan["why"].(map[string]any)
	reason, ok := why["lift.neck_kg"].(map[string]any)
	if len(why) != 4 || !ok || reason["formula"] != "gross lift − envelope" {
		t.Errorf("why: %v", why)
	}
	if _, short := plan["short_gas"]; short {
		t.Error("the demo's gas is not short")
	}
	if status, _, errs = answer(t, "plan", flight, "--nominal-only", "--why", "lift.nek"); status != 2 || !strings.Contains(errs, "lift.neck_kg") {
		t.Errorf("status %d: %s", status, errs)
	}
}

func TestPlanCountsTheFilmWhenAsked(t *testing.T) {
	path := filepath.Join(t.TempDir(), "heavy.toml")
	answer(t, "new", path, "--kind", "heavy")
	_, bare, _ := answer(t, "plan", path, "--nominal-only", "--json")
	status, taut, errs := answer(t, "plan", path, "--nominal-only", "--json", "--film")
	if status != 0 {
		t.Fatal(errs)
	}
	a, b := decode(t, bare), decode(t, taut)
	shift := at(t, a, "film_pressure.burst_shift_m").(float64)
	flown := at(t, b, "burst.nominal_alt_m").(float64) - at(t, a, "burst.nominal_alt_m").(float64)
	if math.Abs(shift-flown) > 1 || at(t, b, "film_pressure.counted") != true { // both fly the same steps
		t.Errorf("said %+.0f m, flown %+.0f m", shift, flown)
	}
}

func TestFillGasAndReportersPages(t *testing.T) {
	path := filepath.Join(t.TempDir(), "heavy.toml")
	answer(t, "new", path, "--kind", "heavy")
	fill := []string{"fill", path, "--weighed", "5.4 kg", "--hangs", "300 g", "--gauge-before", "2640 psi", "--gauge-after", "350 psi",
		"--wind", "2 m/s", "--gas-temperature", "5 degC", "--air-temperature", "12 degC", "--members", "100"}
	for _, c := range []struct {
		words []string
		says  []string
	}{
		{[]string{"fill", path}, []string{"Fill until the scale shows", "bottle 1", "The flight as planned"}},
		{fill, []string{"scale", "gauge", "together", "What it means", "Four flights in five"}},
		{[]string{"gas", path}, []string{"Say to the supplier", "CGA 580", "Hydrogen"}},
		{[]string{"reporters", path}, []string{"messenger", "both silenced by", "Amateur packet radio"}},
		{[]string{"plan", path, "--nominal-only"}, []string{"Do the parts suit each other", "What small changes do", "Gas to get"}},
	} {
		status, out, errs := answer(t, c.words...)
		if status != 0 {
			t.Errorf("%v: status %d: %s", c.words, status, errs)
		}
		readable(t, out)
		for _, word := range c.says {
			if !strings.Contains(out, word) {
				t.Errorf("%v does not say %q", c.words[0], word)
			}
		}
	}
	_, out, _ := answer(t, append(fill, "--json")...)
	document := decode(t, out)
	if at(t, document, "together.agree") != true || at(t, document, "verdict.within") != true || at(t, document, "measured.burst_alt_band_m.p50") == nil {
		t.Errorf("%v", document)
	}
}

func TestPlanningFlagsThatMakeNoSense(t *testing.T) {
	path := filepath.Join(t.TempDir(), "first.toml")
	answer(t, "new", path)
	for _, c := range []struct {
		words []string
		says  string
	}{
		{[]string{"sketch"}, "--box"},
		{[]string{"sketch", "--box", "1 kg", "--bottle", "49 L"}, "--gauge"},
		{[]string{"sketch", "--box", "1 kg", "--full", "200 bar"}, "--cylinder"},
		{[]string{"sketch", "--box", "1 kg", "--price", "balloon"}, "expected a name with an amount"},
		{[]string{"sketch", "--box", "1 kg", "--gas", "methane"}, "no lift gas"},
		{[]string{"sketch", "--box", "1"}, "unit"},
		{[]string{"fill", path, "--gauge-before", "2640 psi"}, "belong together"},
		{[]string{"fill", path, "--gauge-before", "2640 psi", "--gauge-after", "900 psi"}, "--bottle"},
		{[]string{"fill", path, "--bottle", "49 L", "--gauge-before", "900 psi", "--gauge-after", "2640 psi"}, "swapped"},
		{[]string{"fill", path, "--air-temperature", "500 degC"}, "cannot be"},
	} {
		if status, out, errs := answer(t, c.words...); status != 2 || out != "" || !strings.Contains(errs, c.says) {
			t.Errorf("%v: status %d, %q must say %q", c.words, status, errs, c.says)
		}
	}
	if status, _, errs := answer(t, "sketch", "--box", "90 kg"); status != 1 || !strings.Contains(errs, "at most 50 kg") {
		t.Errorf("status %d: %s", status, errs)
	}
	if _, err := os.Stat(path); err != nil {
		t.Error(err)
	}
}
