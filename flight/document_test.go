package flight

import (
	"strings"
	"testing"
)

func TestStartsCanBeReadAndRenamed(t *testing.T) {
	starts, err := Starts()
	if err != nil || len(starts) == 0 {
		t.Fatal(starts, err)
	}
	for _, start := range starts {
		s := Describe(start.Document)
		if s.Name == "" || s.Launch == nil || s.Launch.Time.IsZero() || len(s.Missing) > 0 || start.Text == "" {
			t.Errorf("%s: %+v", start.Kind, s)
		}
		for _, name := range []string{"Plain", `Back\slash "quoted"`, "Łódź 7"} {
			renamed, err := Rename(start.Document, name)
			if err != nil {
				t.Fatal(err)
			}
			if got := Describe(renamed).Name; got != name {
				t.Errorf("%s renamed to %q reads as %q", start.Kind, name, got)
			}
			if a, b := strings.Count(string(renamed), "\n"), strings.Count(string(start.Document), "\n"); a != b {
				t.Errorf("%s renamed has %d lines, had %d", start.Kind, a, b)
			}
		}
	}
}

func TestDescribeNamesTheLine(t *testing.T) {
	s := Describe([]byte("format = 1\nname = \"Lark\"\nwingspan = 3\n"))
	if len(s.Missing) == 0 || s.Name != "" {
		t.Fatalf("%+v", s)
	}
	for _, m := range s.Missing {
		if m.Key == "wingspan" && m.Line == 3 {
			return
		}
	}
	t.Errorf("no fault names wingspan in line 3: %+v", s.Missing)
}
