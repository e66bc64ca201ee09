package record

import (
	"strings"
	"testing"
)

func apply(t *testing.T, data string, edits ...Edit) string {
	t.Helper()
	out, err := Apply([]byte(data), edits)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

const edited = `# mine
format = 1
name = "Lark"

[launch]
latitude = 40.1
longitude = -99.2   # east positive
elevation = "610 m"
time = 2027-04-17T08:00:00-05:00

[envelope]
mass = "1200 g"     # of the empty one
[gas]
kind = "helium"
fill = { free_lift = "1100 g" }  # one way

# What hangs.
[[train]]
part = "parachute"
rated = { mass = "2 kg", speed = "5 m/s" }

[[train]]
part = "box"   # the camera
mass = "900 g"
size = ["20 cm", # long
  "20 cm",
  "25 cm"]
note = '''two
lines'''
[[train.item]]
name = "camera"
mass = "150 g"
# the end`

// Each edit changes its own lines and no other.
func TestApplyTouchesOnlyItsLines(t *testing.T) {
	for _, c := range []struct {
		edit       Edit
		gone, come string // lines, joined
	}{
		{Edit{Kind: Set, Path: "envelope.mass", Text: "1500 g"}, `mass = "1200 g"     # of the empty one`, `mass = "1500 g"     # of the empty one`},
		{Edit{Kind: Set, Path: "envelope.mass", Text: "800"}, `mass = "1200 g"     # of the empty one`, `mass = "800 g"      # of the empty one`},
		{Edit{Kind: Set, Path: "envelope.burst_diameter", Text: "8.3 m"}, ``, `burst_diameter = "8.3 m"`},
		{Edit{Kind: Set, Path: "launch.longitude", Text: "-100.25"}, `longitude = -99.2   # east positive`, `longitude = -100.25  # east positive`},
		{Edit{Kind: Set, Path: "launch.latitude", Text: "north"}, `latitude = 40.1`, `latitude = "north"`},
		{Edit{Kind: Set, Path: "launch.time", Text: "2027-05-01T07:30:00-05:00"}, `time = 2027-04-17T08:00:00-05:00`, `time = 2027-05-01T07:30:00-05:00`},
		{Edit{Kind: Set, Path: "gas.fill.neck_lift", Text: "3 kg"}, `fill = { free_lift = "1100 g" }  # one way`, `fill = { neck_lift = "3 kg" }    # one way`},
		{Edit{Kind: Set, Path: "gas.purity", Text: "98 %"}, ``, `purity = "98 %"`},
		{Edit{Kind: Set, Path: "train[1].rated.speed", Text: "6"}, `rated = { mass = "2 kg", speed = "5 m/s" }`, `rated = { mass = "2 kg", speed = "6 m/s" }`},
		{Edit{Kind: Set, Path: "train[2].size", Text: "1 ft x 1 ft × 2 ft"}, `size = ["20 cm", # long|  "20 cm",|  "25 cm"]`, `size = ["1 ft", "1 ft", "2 ft"]`},
		{Edit{Kind: Set, Path: "train[2].note", Text: ""}, `note = '''two|lines'''`, ``},
		{Edit{Kind: Set, Path: "train[2].item[1].mass", Text: "0.4 lb"}, `mass = "150 g"`, `mass = "0.4 lb"`},
		{Edit{Kind: Set, Path: "name", Text: `7 "larks"`}, `name = "Lark"`, `name = "7 \"larks\""`},
		{Edit{Kind: Set, Path: "rules", Text: "US"}, ``, `rules = "US"`},
		{Edit{Kind: Set, Path: "limits.landing_speed", Text: "5 m/s"}, ``, `[limits]|landing_speed = "5 m/s"`},
		{Edit{Kind: Set, Path: "limits.landing_speed", Text: ""}, ``, ``},
	} {
		after := apply(t, edited, c.edit)
		before := strings.Split(edited, "\n")
		var gone, come []string
		lines := strings.Split(after, "\n")
		for _, l := range before {
			if !contains(lines, l) {
				gone = append(gone, l)
			}
		}
		for _, l := range lines {
			if !contains(before, l) && l != "" {
				come = append(come, l)
			}
		}
		if g, k := strings.Join(gone, "|"), strings.Join(come, "|"); g != c.gone || k != c.come {
			t.Errorf("%+v:\n gone %s, want %s\n come %s, want %s", c.edit, g, c.gone, k, c.come)
		}
	}
}

func contains(lines []string, line string) bool {
	for _, l := range lines {
		if l == line {
			return true
		}
	}
	return false
}

// kinds lists the parts of a train in order.
func kinds(t *testing.T, text string) string {
	t.Helper()
	var names []string
	for _, w := range Outline([]byte(text)) {
		if strings.HasSuffix(w.Path, ".part") || strings.HasSuffix(w.Path, ".item[1].name") {
			names = append(names, w.Text)
		}
	}
	return strings.Join(names, " ")
}

func TestApplyRows(t *testing.T) {
	row := []KeyText{{"part", "line"}, {"length", "2 m"}, {"mass", "6 g"}}
	for _, c := range []struct {
		edit Edit
		want string
	}{
		{Edit{Kind: Add, Path: "train[1]", Row: row}, "line parachute box camera"},
		{Edit{Kind: Add, Path: "train[2]", Row: row}, "parachute line box camera"},
		{Edit{Kind: Add, Path: "train[3]", Row: row}, "parachute box camera line"},
		{Edit{Kind: Remove, Path: "train[1]"}, "box camera"},
		{Edit{Kind: Remove, Path: "train[2]"}, "parachute"},
		{Edit{Kind: Move, Path: "train[1]", To: 2}, "box camera parachute"},
		{Edit{Kind: Move, Path: "train[2]", To: 1}, "box camera parachute"},
	} {
		after := apply(t, edited, c.edit)
		if got := kinds(t, after); got != c.want {
			t.Errorf("%+v: %s, want %s\n%s", c.edit, got, c.want, after)
		}
		for _, comment := range []string{"# mine", "# What hangs.", "# the end"} {
			if !strings.Contains(after, comment) {
				t.Errorf("%+v lost %q", c.edit, comment)
			}
		}
	}
	if got := apply(t, edited, Edit{Kind: Add, Path: "cylinder[1]", Row: []KeyText{{"content", "137 ft3"}, {"count", "2"}}}); !strings.HasSuffix(got, "# the end\n\n[[cylinder]]\ncontent = \"137 ft3\"\ncount = 2\n") {
		t.Errorf("a cylinder is written as %s", got)
	}
}

func TestApplyRefuses(t *testing.T) {
	for _, e := range []Edit{
		{Kind: Set, Path: "train[3].mass", Text: "1 g"}, {Kind: Set, Path: "train[1]", Text: "1 g"}, {Kind: Set, Path: "a b", Text: "1"},
		{Kind: Set, Path: "", Text: "1"}, {Kind: Remove, Path: "train[3]"}, {Kind: Move, Path: "train[1]", To: 3}, {Kind: Add, Path: "train[9]"},
		{Kind: "burn", Path: "train[1]"}, {Kind: Set, Path: "wings.span", Text: ""}, {Kind: Add, Path: "train[1]", Row: []KeyText{{"x = 1\n", "y"}}},
	} {
		out, err := Apply([]byte(edited), []Edit{e})
		if err == nil && string(out) != edited {
			t.Errorf("%+v is taken: %s", e, out)
		}
	}
}

// Whatever a key of a starting file reads, writing the same again changes no
// meaning; taking it away and the rest of the file still reads.
func TestApplyKeepsStartingFiles(t *testing.T) {
	for _, kind := range TemplateKinds() {
		data, err := Template(kind)
		if err != nil {
			t.Fatal(err)
		}
		f, err := Parse("x", data)
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range Outline(data) {
			if strings.HasSuffix(w.Path, "]") {
				continue
			}
			again, err := Apply(data, []Edit{{Kind: Set, Path: w.Path, Text: w.Text}})
			if err != nil {
				t.Fatalf("%s: %v", w.Path, err)
			}
			g, err := Parse("x", again)
			if err != nil || g.Revision() != f.Revision() || len(again) != len(data) {
				t.Errorf("%s written again as %q: %v", w.Path, w.Text, err)
			}
			less, err := Apply(data, []Edit{{Kind: Set, Path: w.Path}})
			if err != nil || len(Outline(less)) != len(Outline(data))-1 {
				t.Errorf("%s cannot be taken away: %v\n%s", w.Path, err, less)
			}
		}
	}
}

func FuzzApply(f *testing.F) {
	f.Add([]byte(edited), "train[2].size", "3 m", uint8(0))
	f.Add([]byte("a = [1, # x"), "a", "", uint8(0))
	f.Add([]byte("[[train]]\npart = \"\"\"a"), "train[1]", "", uint8(2))
	kinds := []EditKind{Set, Add, Remove, Move}
	f.Fuzz(func(t *testing.T, data []byte, path, text string, kind uint8) {
		out, err := Apply(data, []Edit{{Kind: kinds[int(kind)%len(kinds)], Path: path, Text: text, To: 1}})
		if err == nil && len(out) > len(data)*2+len(text)*8+len(path)+64 {
			t.Errorf("%d octets became %d", len(data), len(out))
		}
	})
}
