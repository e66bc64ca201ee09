package record

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
)

// sound is a small flight without a fault; the tests below spoil one line each.
const sound = `format = 1
name = "Meadow Lark 2"
rules = "US"
currency = "USD"

[launch]
place = "Harlan field"
latitude = 40.0961
longitude = -99.2094
elevation = "610 m"
time = 2027-04-17T08:00:00-05:00

[envelope]
mass = "1200 g"
burst_diameter = "8.3 m"
burst_spread = "6 %"
drag = "varying"
made = "2026-09"

[gas]
kind = "helium"
purity = "98 %"
fill = { free_lift = "1100 g" }

[[cylinder]]
content = "291 ft3"
count = 1
price = 340

[[train]]
part = "line"
length = "1.5 m"
mass = "4 g"
breaking_load = "150 N"

[[train]]
part = "parachute"
canopy = "flat circular"
diameter = "1.5 m"
mass = "180 g"
drag = 0.75

[[train]]
part = "reflector"
mass = "60 g"

[[train]]
part = "line"
length = "6 m"
mass = "12 g"
breaking_load = "450 N"

[[train]]
part = "box"
name = "camera box"
mass = "1350 g"
size = ["20 cm", "20 cm", "25 cm"]

[[reporter]]
name = "messenger"
kind = "satellite"
every = "10 min"
delay = "3 min"
height_reported = false
ceiling = "none"
`

// faultsOf parses a text that must have faults.
func faultsOf(t *testing.T, text string) Faults {
	t.Helper()
	f, err := Parse("flight.toml", []byte(text))
	var faults Faults
	if !errors.As(err, &faults) || f != nil {
		t.Fatalf("expected faults, got %v and %v", f, err)
	}
	return faults
}

// spoil replaces the one place where old stands and answers the line it is on.
func spoil(t *testing.T, old, replacement string) (text string, line int) {
	t.Helper()
	if strings.Count(sound, old) != 1 {
		t.Fatalf("%q stands %d times in the sound file", old, strings.Count(sound, old))
	}
	before, _, _ := strings.Cut(sound, old)
	return strings.Replace(sound, old, replacement, 1), 1 + strings.Count(before, "\n")
}

func TestEveryFaultNamesItsLine(t *testing.T) {
	for _, c := range []struct {
		old, replacement string
		further          int // lines below the spoiled place
		key, word        string
	}{
		// Unknown keys and words.
		{`burst_diameter =`, `burst_diametre =`, 0, "envelope.burst_diametre", "did you mean burst_diameter?"},
		{`place = "Harlan`, `colour = "Harlan`, 0, "launch.colour", "expected one of place, latitude"},
		{`[[cylinder]]`, `[[cylindre]]`, 0, "cylindre", "did you mean cylinder?"},
		{`rules = "US"`, `rules = "UK"`, 0, "rules", `"US", "ICAO"`},
		{`kind = "helium"`, `kind = "heliun"`, 0, "gas.kind", `did you mean "helium"?`},
		{`kind = "satellite"`, `kind = "pigeon"`, 0, "reporter[1].kind", `"satellite", "radio"`},
		{`part = "reflector"`, `part = "mirror"`, 0, "train[3].part", `"parachute", "reflector"`},
		{`canopy = "flat circular"`, `canopy = "square"`, 0, "train[2].canopy", `"flat circular", "conical"`},
		{`format = 1`, `format = 2`, 0, "format", "from 1 to 1"},
		// Units.
		{`mass = "1200 g"`, `mass = "1200"`, 0, "envelope.mass", "no unit"},
		{`mass = "1200 g"`, `mass = "1200 m"`, 0, "envelope.mass", "not a unit of mass"},
		{`elevation = "610 m"`, `elevation = "610 kg"`, 0, "launch.elevation", "not a unit of length"},
		{`"8.3 m"`, `"8,3 m"`, 0, "envelope.burst_diameter", "comma"},
		{`every = "10 min"`, `every = "10 m"`, 0, "reporter[1].every", "not a unit of time"},
		{`ceiling = "none"`, `ceiling = "18"`, 0, "reporter[1].ceiling", `"none" or a height`},
		// Impossible values.
		{`mass = "1200 g"`, `mass = "-1200 g"`, 0, "envelope.mass", "impossible"},
		{`mass = "1200 g"`, `mass = "0 g"`, 0, "envelope.mass", "impossible"},
		{`mass = "1200 g"`, `mass = 1200`, 0, "envelope.mass", "at most 20 kg"},
		{`"8.3 m"`, `"0.9 m"`, 0, "envelope.burst_diameter", "before it stretches"},
		{`"8.3 m"`, `"830 m"`, 0, "envelope.burst_diameter", "at most 50 m"},
		{`"6 %"`, `6`, 0, "envelope.burst_spread", "from 0 % to 50 %"},
		{`drag = "varying"`, `drag = 0`, 0, "envelope.drag", `"varying"`},
		{`drag = "varying"`, `drag = "0.3"`, 0, "envelope.drag", `"varying"`},
		{`made = "2026-09"`, `made = "2026-13"`, 0, "envelope.made", `"2026-09"`},
		{`purity = "98 %"`, `purity = "101 %"`, 0, "gas.purity", "at most 100 %"},
		{`purity = "98 %"`, `purity = 98`, 0, "gas.purity", "at most 100 %"},
		{`latitude = 40.0961`, `latitude = 90.1`, 0, "launch.latitude", "-90 (south) to 90 (north)"},
		{`latitude = 40.0961`, `latitude = "40.0961"`, 0, "launch.latitude", "without quotes"},
		{`longitude = -99.2094`, `longitude = 360.5`, 0, "launch.longitude", "-180 to 360"},
		{`elevation = "610 m"`, `elevation = "61000 m"`, 0, "launch.elevation", "9000 m"},
		{`breaking_load = "150 N"`, `breaking_load = "0 N"`, 0, "train[1].breaking_load", "above 0"},
		{`mass = "60 g"`, `mass = "-60 g"`, 0, "train[3].mass", "impossible"},
		{`diameter = "1.5 m"`, `diameter = "0 m"`, 0, "train[2].diameter", "above 0"},
		{`drag = 0.75`, `drag = -1`, 0, "train[2].drag", "above 0"},
		{`drag = 0.75`, `drag = nan`, 0, "train[2].drag", "above 0"},
		{`drag = 0.75`, `drag = inf`, 0, "train[2].drag", "above 0"},
		{`count = 1`, `count = 1.5`, 0, "cylinder[1].count", "whole number"},
		{`count = 1`, `count = -1`, 0, "cylinder[1].count", "whole number"},
		{`price = 340`, `price = -340`, 0, "cylinder[1].price", "0 or more"},
		{`price = 340`, `price = "340 USD"`, 0, "cylinder[1].price", "bare number"},
		{`"20 cm", "20 cm", "25 cm"`, `"20 cm", "20 cm"`, 0, "train[5].size", "three edges"},
		{`"20 cm", "20 cm", "25 cm"`, `"20 cm", "0 cm", "25 cm"`, 0, "train[5].size[2]", "above 0"},
		{`["20 cm", "20 cm", "25 cm"]`, "[\"20 cm\",\n\"20 kg\", \"25 cm\"]", 1, "train[5].size[2]", "not a unit of length"},
		// Wrong types.
		{`name = "Meadow Lark 2"`, `name = 2`, 0, "name", "expected text in quotes, not a number"},
		{`mass = "1200 g"`, `mass = true`, 0, "envelope.mass", "quantity in quotes"},
		{`mass = "1200 g"`, `mass = ["1200 g"]`, 0, "envelope.mass", "quantity in quotes"},
		{`height_reported = false`, `height_reported = "no"`, 0, "reporter[1].height_reported", "true or false"},
		{`name = "Meadow Lark 2"`, `name = "Meadow\nLark"`, 0, "name", "one line"},
		{`name = "Meadow Lark 2"`, `name = "\u001b[31m"`, 0, "name", "control characters"},
		// Times.
		{`2027-04-17T08:00:00-05:00`, `2027-04-17T08:00:00`, 0, "launch.time", "offset from UTC is missing"},
		{`2027-04-17T08:00:00-05:00`, `"tomorrow at eight"`, 0, "launch.time", "expected a date and time"},
		{`2027-04-17T08:00:00-05:00`, `2027-02-30T08:00:00Z`, 0, "launch.time", "no such time"},
		{`2027-04-17T08:00:00-05:00`, `0027-04-17T08:00:00Z`, 0, "launch.time", "1900"},
		// Missing keys stand at their table's header.
		{"latitude = 40.0961\n", "", -2, "launch.latitude", "missing"},
		{"elevation = \"610 m\"\n", "", -4, "launch.elevation", "missing"},
		{"mass = \"1200 g\"\n", "", -1, "envelope.mass", "missing"},
		{"kind = \"helium\"\n", "", -1, "gas.kind", "missing"},
		{"fill = { free_lift = \"1100 g\" }\n", "", -3, "gas.fill", "missing"},
		{"mass = \"1350 g\"\n", "", -3, "train[5].mass", "missing"},
		{"part = \"reflector\"\n", "", -1, "train[3].part", "missing"},
		{"diameter = \"1.5 m\"\n", "", -3, "train[2].diameter", "missing"},
		{"kind = \"satellite\"\n", "", -2, "reporter[1].kind", "missing"},
		// Exactly one of several.
		{`{ free_lift = "1100 g" }`, `{ free_lift = "1100 g", volume = "4 m3" }`, 0, "gas.fill", "exactly one"},
		{`{ free_lift = "1100 g" }`, `{ }`, 0, "gas.fill", "exactly one"},
		{`{ free_lift = "1100 g" }`, `"1100 g"`, 0, "gas.fill", "exactly one"},
		{`{ free_lift = "1100 g" }`, `{ freelift = "1100 g" }`, 0, "gas.fill.freelift", "did you mean free_lift?"},
		{`{ free_lift = "1100 g" }`, `{ free_lift = "1100" }`, 0, "gas.fill.free_lift", "no unit"},
		{`{ free_lift = "1100 g" }`, `{ ascent_rate = "0 m/s" }`, 0, "gas.fill.ascent_rate", "above 0"},
		{`content = "291 ft3"`, "content = \"291 ft3\"\nwater_volume = \"49 L\"", -1, "cylinder[1]", "either content"},
		{`content = "291 ft3"`, `water_volume = "49 L"`, -1, "cylinder[1].pressure", "missing beside water_volume"},
		{`content = "291 ft3"`, `pressure = "2640 psi"`, -1, "cylinder[1].water_volume", "missing beside pressure"},
		{"content = \"291 ft3\"\n", "", -1, "cylinder[1]", "nothing says what it holds"},
		{`diameter = "1.5 m"`, "diameter = \"1.5 m\"\nrated = { mass = \"2 kg\", speed = \"5 m/s\" }", -3, "train[2]", "either diameter"},
		{`diameter = "1.5 m"`, `rated = { mass = "2 kg", speed = "5 m/s" }`, 2, "train[2].drag", "a rating holds the drag"},
		// Keys of another kind of part.
		{`part = "reflector"`, "part = \"reflector\"\nbreaking_load = \"9 N\"", 1, "train[3].breaking_load", "not a key"},
		{`part = "box"`, "part = \"box\"\nlength = \"9 m\"", 1, "train[5].length", "not a key"},
		// Tables.
		{`[[cylinder]]`, `[cylinder]`, 0, "cylinder", "[[cylinder]] in double brackets"},
		{`[launch]`, `[[launch]]`, 0, "launch", "single brackets"},
		{"[gas]\n", "[launch]\n[gas]\n", 0, "launch", "already stands on line 6"},
		{`mass = "1200 g"`, "mass = \"1200 g\"\nmass = \"1300 g\"", 1, "envelope.mass", "stands twice: first on line 14"},
		{`format = 1`, "format = 1\nflown = 1", 1, "flown", "a table [flown], not a number"},
		// Lines that are not TOML.
		{`mass = "1200 g"`, `mass = 1200 g`, 0, "envelope.mass", `quotes: mass = "1200 g"`},
		{`kind = "helium"`, `kind = helium`, 0, "gas.kind", `quotes: kind = "helium"`},
		{`"8.3 m"`, `8,3`, 0, "envelope.burst_diameter", "comma"},
		{`height_reported = false`, `height_reported = False`, 0, "reporter[1].height_reported", "in small letters"},
		{`price = 340`, `price =`, 0, "cylinder[1].price", "nothing stands after"},
		{`price = 340`, `price 340`, 0, "", "expected key = value"},
		{`name = "Meadow Lark 2"`, `name = "Meadow Lark 2`, 0, "name", "not TOML"},
		{`[envelope]`, `[envelope`, 0, "envelope", "not a table name"},
		{`["20 cm", "20 cm", "25 cm"]`, `["20 cm" "20 cm", "25 cm"]`, 0, "train[5].size", "not TOML"},
	} {
		text, line := spoil(t, c.old, c.replacement)
		faults := faultsOf(t, text)
		f := faults[0]
		if len(faults) != 1 || f.Line != line+c.further || f.Key != c.key || !strings.Contains(f.Message, c.word) || f.File != "flight.toml" {
			t.Errorf("%q for %q: expected one fault, line %d, %s: %s; got\n%v", c.replacement, c.old, line+c.further, c.key, c.word, faults)
		}
	}
}

func TestSoundFileHasNoFault(t *testing.T) {
	if _, err := Parse("flight.toml", []byte(sound)); err != nil {
		t.Fatal(err)
	}
}

func TestAllFaultsInOneGo(t *testing.T) {
	text := sound
	for _, change := range [][2]string{
		{`rules = "US"`, `rules = "UK"`},
		{`elevation = "610 m"`, `elevation = 610 m`},
		{`purity = "98 %"`, `purity = "102 %"`},
		{`part = "reflector"`, `part = "reflektor"`},
		{`ceiling = "none"`, `cieling = "none"`},
	} {
		text = strings.Replace(text, change[0], change[1], 1)
	}
	faults := faultsOf(t, text)
	var lines []string
	for _, f := range faults {
		lines = append(lines, fmt.Sprintf("%d %s", f.Line, f.Key))
	}
	want := "3 rules; 10 launch.elevation; 22 gas.purity; 44 train[3].part; 65 reporter[1].cieling"
	if got := strings.Join(lines, "; "); got != want {
		t.Errorf("got  %s\nwant %s\n%v", got, want, faults)
	}
	if lines := strings.Split(faults.Error(), "\n"); len(lines) != 5 || !strings.HasPrefix(lines[0], "flight.toml:3: rules: ") {
		t.Errorf("expected one line each:\n%v", faults)
	}
}

func TestMissingTables(t *testing.T) {
	faults := faultsOf(t, "format = 1\nname = \"x\"\n")
	var keys []string
	for _, f := range faults {
		keys = append(keys, f.Key)
	}
	if got := strings.Join(keys, " "); got != "launch envelope gas train train" {
		t.Errorf("got %s:\n%v", got, faults)
	}
}

func TestItems(t *testing.T) {
	item := "\n[[train.item]]\nname = \"cells\"\nkind = \"cell\"\nmass = \"15 g\"\ncount = 4\n"
	reflector := strings.Replace(sound, "mass = \"60 g\"\n", "mass = \"60 g\"\n"+item, 1)
	faults := faultsOf(t, reflector)
	if len(faults) != 1 || faults[0].Key != "train[3].item" || !strings.Contains(faults[0].Message, "items go into a box") {
		t.Errorf("items under a reflector: %v", faults)
	}
	box := `size = ["20 cm", "20 cm", "25 cm"]` + "\n"
	added := strings.Replace(sound, box, box+item, 1)
	f, err := Parse("flight.toml", []byte(added))
	if err != nil {
		t.Fatal(err)
	}
	// 1350 g of bare box and four cells of 15 g; the tolerance is the rounding of a sum.
	if total := f.Train[4].Total(); total < 1.41-1e-12 || total > 1.41+1e-12 {
		t.Errorf("box with items weighs %g kg, want 1.410", total)
	}
	f, err = Parse("flight.toml", []byte(strings.Replace(added, "mass = \"1350 g\"\n", "", 1)))
	if err != nil {
		t.Fatal(err)
	}
	if total := f.Train[4].Total(); total < 0.06-1e-12 || total > 0.06+1e-12 {
		t.Errorf("items alone weigh %g kg, want 0.060", total)
	}
	lost := strings.Replace(sound, box, box+item+"supply = \"mains\"\n", 1)
	if faults := faultsOf(t, lost); faults[0].Key != "train[5].item[1].supply" || !strings.Contains(faults[0].Message, `named "mains"`) {
		t.Errorf("a supply that is not there: %v", faults)
	}
	weightless := strings.Replace(sound, box, box+"\n[[train.item]]\nname = \"card\"\n", 1)
	if faults := faultsOf(t, weightless); len(faults) != 1 || faults[0].Key != "train[5].item[1].mass" {
		t.Errorf("an item without a mass: %v", faults)
	}
	early := "[[train.item]]\nmass = 1\n" + "[launch]\n"
	if faults := faultsOf(t, early); len(faults) == 0 {
		t.Error("an item before any part")
	}
}

func TestEditorsOfEveryKind(t *testing.T) {
	if _, err := Parse("x", []byte("\ufeff"+strings.ReplaceAll(sound, "\n", "\r\n"))); err != nil {
		t.Errorf("BOM and CRLF: %v", err)
	}
	spoiled, line := spoil(t, `purity = "98 %"`, `purity = "980 %"`)
	faults := faultsOf(t, "\ufeff"+strings.ReplaceAll(spoiled, "\n", "\r\n"))
	if faults[0].Line != line {
		t.Errorf("CRLF shifts lines: %v", faults)
	}
	for name, data := range map[string]string{
		"UTF-16":         "\xff\xfef\x00o\x00r\x00",
		"UTF-16 ":        "\xfe\xff\x00f\x00o\x00r",
		"saved as UTF-1": "f\x00o\x00r\x00m\x00",
	} {
		faults := faultsOf(t, data)
		if len(faults) != 1 || !strings.Contains(faults[0].Message, strings.TrimSpace(name)) {
			t.Errorf("%q: %v", data, faults)
		}
	}
	latin := faultsOf(t, "format = 1\n# 20 \xb0C\n")
	if len(latin) != 1 || latin[0].Line != 2 || !strings.Contains(latin[0].Message, "not UTF-8") {
		t.Errorf("Latin-1: %v", latin)
	}
	if long := faultsOf(t, strings.Repeat("#", longestFile+1)); !strings.Contains(long[0].Message, "is it a flight file?") {
		t.Errorf("long file: %v", long)
	}
	if empty := faultsOf(t, ""); len(empty) != 5 {
		t.Errorf("empty file: %v", empty)
	}
	if prose := faultsOf(t, strings.Repeat("Dear diary, today we flew\n", 5000)); len(prose) > mostFaults+1 {
		t.Errorf("prose gives %d faults", len(prose))
	}
	if comment := faultsOf(t, "# a\x01b\n"+sound); comment[0].Line != 1 {
		t.Errorf("control character in a comment: %v", comment)
	}
}

// TestHugeFilesAreRefusedQuickly holds that a file made to be slow is not: each
// is just under the size that is read. The bound is far above what a slow
// machine needs for work that grows with the size, far below its square.
func TestHugeFilesAreRefusedQuickly(t *testing.T) {
	numbered := func(format string) string {
		var b strings.Builder
		for i := 0; b.Len() < longestFile-40; i++ {
			fmt.Fprintf(&b, format, i)
		}
		return b.String()
	}
	fill := func(text string) string { return strings.Repeat(text, (longestFile-1)/len(text)) }
	for name, text := range map[string]string{
		"unknown keys":   numbered("k%d=1\n"),
		"same key":       fill("a=1\n"),
		"parts":          fill("[[train]]\n"),
		"items":          "[[train]]\npart=\"box\"\n" + fill("[[train.item]]\n")[:900000],
		"torn lines":     fill("a=\n"),
		"one long line":  fill("a"),
		"deep lists":     "a=" + fill("["),
		"deep tables":    "a=" + fill("{a="),
		"dotted key":     fill("a."),
		"headers":        numbered("[t%d]\n"),
		"reporter names": fill("[[reporter]]\nname='a'\n"),
		"supplies":       "[[train]]\npart=\"box\"\n" + fill("[[train.item]]\nsupply='b'\nname='a'\n")[:900000],
	} {
		start := time.Now()
		faults := faultsOf(t, text)
		if took := time.Since(start); took > time.Minute { // catches hanging, not slowness
			t.Errorf("%s: took %v", name, took)
		}
		if len(faults) > mostFaults+1 {
			t.Errorf("%s: %d faults", name, len(faults))
		}
	}
}

func TestDoubtfulIsNoFault(t *testing.T) {
	for _, change := range [][2]string{
		{`"8.3 m"`, `"3 m"`},
		{`diameter = "1.5 m"`, `diameter = "20 cm"`},
		{`{ free_lift = "1100 g" }`, `{ free_lift = "0 g" }`},
		{`{ free_lift = "1100 g" }`, `{ burst_altitude = "80 km" }`},
		{`elevation = "610 m"`, `elevation = "0 m"`},
		{`burst_spread = "6 %"`, `burst_spread = "0 %"`},
		{`purity = "98 %"`, `purity = 1`},
		{`time = 2027-04-17T08:00:00-05:00`, `time = "1999-04-17 08:00:00z"`},
		{`longitude = -99.2094`, `longitude = 260`},
		{`drag = 0.75`, `drag = 1`},
		{`count = 1`, `count = 0`},
		{`mass = "1200 g"`, `mass = 1`},
		{"breaking_load = \"150 N\"\n", ""},
	} {
		text, _ := spoil(t, change[0], change[1])
		if _, err := Parse("flight.toml", []byte(text)); err != nil {
			t.Errorf("%s: %v", change[1], err)
		}
	}
}
