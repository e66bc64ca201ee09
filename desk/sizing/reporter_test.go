package sizing

import (
	"slices"
	"strings"
	"testing"
)

const messenger = "[[reporter]]\nname = \"messenger\"\nkind = \"satellite\"\n"

func TestReportersOfAFlight(t *testing.T) {
	if c := ReportersOf(parsed(t)); !strings.Contains(c.Text, "No reporter") || len(c.Kinds) != 4 || len(c.Chosen) != 0 {
		t.Errorf("none: %+v", c.Text)
	}
	one := ReportersOf(parsed(t, "[launch]", messenger+"[launch]"))
	// 17 April less two weeks.
	if !strings.Contains(one.Text, "One reporter") || one.Chosen[0].StartBy != "2027-04-03" || !strings.Contains(one.Advice[0], "another kind") {
		t.Errorf("one: %+v", one)
	}
	two := ReportersOf(parsed(t, "[launch]", messenger+"[[reporter]]\nname = \"beacon\"\nkind = \"radio\"\n[launch]"))
	if len(two.Shared) != 1 || !slices.Contains(two.Shared[0].Causes, "power") || slices.Contains(two.Shared[0].Causes, "sky") {
		t.Errorf("messenger and radio share: %+v", two.Shared)
	}
	phone := ReportersOf(parsed(t, "[launch]", "[[reporter]]\nname = \"phone\"\nkind = \"cellular\"\n[launch]"))
	if !strings.Contains(strings.Join(phone.Advice, " "), "nothing here reports in flight") {
		t.Errorf("a telephone alone: %v", phone.Advice)
	}
	for _, k := range two.Kinds {
		if k.LeadDays <= 0 || len(k.Cannot) == 0 || len(k.Needs) == 0 || k.Coverage == "" || k.Cost == "" || k.Sky == "" || k.Effort == "" {
			t.Errorf("%s is not told in full: %+v", k.Kind, k)
		}
		if words := causeWords(k.Fails); words == "" {
			t.Errorf("%s fails with nothing", k.Kind)
		}
	}
}
