package record

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"pappus/measure/unit"
)

// manual is the page about the flight file.
func manual(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile("../doc/flight-file.md")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// TestManualNamesEveryKey holds the page against the keys that are read, table by table.
func TestManualNamesEveryKey(t *testing.T) {
	page := manual(t)
	var parts []field
	for kind := range partKinds {
		p := Part{Kind: PartKind(kind)}
		parts = append(parts, p.fields()...)
	}
	for heading, fields := range map[string][]field{
		"## Top of the file":  (&Flight{}).fields(),
		"## [launch]":         (&Launch{}).fields(),
		"## [envelope]":       (&Envelope{}).fields(),
		"## [gas]":            (&Gas{}).fields(),
		"## [[cylinder]]":     (&Cylinder{}).fields(),
		"## [[train]]":        parts,
		"## [[train.item]]":   (&Item{}).fields(),
		"## [[reporter]]":     (&Reporter{}).fields(),
		"**[[site]]**":        (&Site{}).fields(),
		"**[limits]**":        (&Limits{}).fields(),
		"**[[contact]]**":     (&Contact{}).fields(),
		"**[remains]**":       (&Remains{}).fields(),
		"**[[test]]**":        (&Test{}).fields(),
		"**[[spare]]**":       (&Spare{}).fields(),
		"**[cost]**":          (&Cost{}).fields(),
		"**[recovery]**":      (&Recovery{}).fields(),
		"**[flown]**":         (&Flown{}).fields(),
		"| way to state the ": {{key: fillKeys[0].key}, {key: fillKeys[1].key}, {key: fillKeys[2].key}, {key: fillKeys[3].key}, {key: fillKeys[4].key}},
	} {
		_, section, found := strings.Cut(page, "\n"+heading)
		if !found {
			t.Errorf("the page has no section %s", heading)
			continue
		}
		if end := regexp.MustCompile(`\n## |\n\*\*\[`).FindStringIndex(section); end != nil {
			section = section[:end[0]]
		}
		for _, f := range fields {
			if f.key != "note" && !strings.Contains(section, "`"+f.key+"`") {
				t.Errorf("the section %s does not name the key %s", heading, f.key)
			}
		}
		if f := regexp.MustCompile("(?m)^\\| `([a-z_]+)` \\|").FindAllStringSubmatch(section, -1); f != nil {
			for _, key := range f {
				known := false
				for _, field := range fields {
					known = known || field.key == key[1]
				}
				if !known && heading != "## [gas]" {
					t.Errorf("the section %s names %s, which no flight file has", heading, key[1])
				}
			}
		}
	}
}

// TestManualExamplesParse holds that what the page shows can be written so.
func TestManualExamplesParse(t *testing.T) {
	page := manual(t)
	_, example, _ := strings.Cut(page, "```toml\n")
	example, _, found := strings.Cut(example, "```")
	if !found {
		t.Fatal("the page has no example")
	}
	f, err := Parse("example.toml", []byte(example))
	if err != nil {
		t.Fatalf("the example has faults:\n%v", err)
	}
	comesBack(t, f)
	// The faults that the page shows are those that one gets.
	spoiled, _ := spoil(t, `mass = "1200 g"`, `mass = 1200 g`)
	spoiled = strings.Replace(spoiled, `purity = "98 %"`, `purity = "101 %"`, 1)
	spoiled = strings.Replace(spoiled, `ceiling =`, `cieling =`, 1)
	_, err = Parse("meadow.toml", []byte(spoiled))
	if err == nil {
		t.Fatal("a spoiled file was read")
	}
	for _, line := range strings.Split(err.Error(), "\n") {
		if !strings.Contains(page, "    "+line+"\n") {
			t.Errorf("the page does not show the fault as it is told: %s", line)
		}
	}
}

// TestUnitsOfTheManual reads every unit in the page's table.
func TestUnitsOfTheManual(t *testing.T) {
	_, rows, _ := strings.Cut(manual(t), "| quantity | units | bare number |\n| --- | --- | --- |\n")
	rows, _, _ = strings.Cut(rows, "\n\n")
	kinds := unitsByName()
	for _, row := range strings.Split(rows, "\n") {
		cells := strings.Split(row, "|")
		names := strings.Split(strings.TrimSpace(cells[1]), ", ")
		kind, known := kinds[names[0]]
		if !known {
			t.Errorf("the table has a quantity %q", names[0])
			continue
		}
		words := regexp.MustCompile(`\([^)]*\)`).ReplaceAllString(cells[2], "")
		for _, name := range regexp.MustCompile(`[,;]\s*`).Split(strings.TrimSpace(words), -1) {
			if err := readsUnit(strings.TrimSpace(name), kind); err != nil {
				t.Errorf("%s: %v", names[0], err)
			}
		}
	}
}

// unitsByName finds a kind by the word that the page has for it.
func unitsByName() map[string]unit.Kind {
	return map[string]unit.Kind{
		"mass": unit.Mass, "length": unit.Length, "volume": unit.Volume, "pressure": unit.Pressure, "speed": unit.Speed,
		"time": unit.Time, "force": unit.Force, "share": unit.Share, "temperature": unit.Temperature, "energy": unit.Energy,
		"power": unit.Power, "charge": unit.Charge, "voltage": unit.Voltage, "thermal conductivity": unit.Conductivity,
		"angle": unit.Angle, "amount of data": unit.DataSize, "data rate": unit.DataRate, "frequency": unit.Frequency,
	}
}

func readsUnit(name string, kind unit.Kind) error {
	_, err := unit.Parse("1 "+name, kind)
	return err
}
