package sizing

import (
	"regexp"
	"testing"

	"pappus/measure/unit"
)

// Each caution has a flight that triggers it and one, the usual flight, that
// does not.
func TestEachCautionIsTriggeredAndNot(t *testing.T) {
	usual := parsed(t)
	quiet := map[string]bool{}
	for _, c := range planned(t, usual, Options{}).Cautions {
		quiet[c.ID] = true
	}
	const made = `made = "2026-09"`
	box := "[[train]]\npart = \"box\"\nname = \"camera box\"\nmass = \"1350 g\"\nsize = [\"20 cm\", \"20 cm\", \"25 cm\"]\n"
	for id, replace := range map[string][]string{
		"hard-landing":    {`diameter = "1.5 m"`, `diameter = "0.9 m"`},
		"slow-descent":    {`diameter = "1.5 m"`, `diameter = "3 m"`},
		"burst-size":      {`"8.3 m"`, `"6.5 m"`},
		"floater":         {usualFill, `{ free_lift = "250 g" }`},
		"fast-rise":       {usualFill, `{ free_lift = "6 kg" }`},
		"age-unknown":     {made, ""},
		"old-envelope":    {made, `made = "2024-09"`},
		"weak-line-below": {`"450 N"`, `"90 N"`},
		"no-weak-link":    {"breaking_load = \"150 N\"\n", ""},
		"box-above-canopy": {"[[train]]\npart = \"parachute\"", box + "[[train]]\npart = \"parachute\"",
			"breaking_load = \"450 N\"\n" + box, "breaking_load = \"450 N\"\n"},
		"gas-short": {`"291 ft3"`, `"100 ft3"`},
		"hydrogen":  {`"helium"`, `"hydrogen"`},
	} {
		if quiet[id] {
			t.Errorf("%s is said of the usual flight", id)
		}
		found := false
		for _, c := range planned(t, parsed(t, replace...), Options{}).Cautions {
			found = found || c.ID == id && c.Text != "" && c.Why != ""
		}
		if !found {
			t.Errorf("%s is not said of a flight that asks for it", id)
		}
	}
	if !quiet["cylinder"] {
		t.Error("the cylinder's own danger is not said of every flight")
	}
}

// A reader of US units finds no metric figure among the cautions, and the other way round.
func TestCautionsSpeakTheReadersUnits(t *testing.T) {
	figures := map[unit.System]*regexp.Regexp{
		unit.US:     regexp.MustCompile(`[0-9] ?(m/s|m|m3|m³|N|kg|km)\b`),
		unit.Metric: regexp.MustCompile(`[0-9] ?(mph|ft/min|ft|ft3|ft³|lbf|lb|mi)\b`),
	}
	for system, foreign := range figures {
		said := 0
		for _, replace := range [][]string{
			{`diameter = "1.5 m"`, `diameter = "0.9 m"`}, {`diameter = "1.5 m"`, `diameter = "3 m"`}, {`"8.3 m"`, `"6.5 m"`},
			{usualFill, `{ free_lift = "250 g" }`}, {usualFill, `{ free_lift = "6 kg" }`}, {`"450 N"`, `"90 N"`}, {`"291 ft3"`, `"100 ft3"`},
		} {
			for _, c := range planned(t, parsed(t, replace...), Options{System: system}).Cautions {
				said++
				if figure := foreign.FindString(c.String()); figure != "" {
					t.Errorf("%s: %q in %q", c.ID, figure, c)
				}
			}
		}
		if said < 10 {
			t.Errorf("%d cautions only", said)
		}
	}
}
