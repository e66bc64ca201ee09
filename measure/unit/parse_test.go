package unit

import (
	"math"
	"strings"
	"testing"
)

// TestParse holds texts against values worked out by hand from the definitions
// of the units: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g0 = 9.80665 m/s².
func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		kind Kind
		want float64
	}{
		{"1200 g", Mass, 1.2},
		{"1200g", Mass, 1.2},
		{"  4 lb ", Mass, 1.81436948},
		{"4 lbs", Mass, 1.81436948},
		{"4 lb 8 oz", Mass, 2.041165665},
		{"16 oz", Mass, 0.45359237},
		{"1.2e3 g", Mass, 1.2},
		{"2 KG", Mass, 2},
		{"0 g", Mass, 0},
		{"-5 g", Mass, -0.005},
		{"\u22125 g", Mass, -0.005},
		{".5 kg", Mass, 0.5},
		{"8.3 m", Length, 8.3},
		{"5 ft 6 in", Length, 1.6764},
		{"100000 ft", Length, 30480},
		{"-5 ft 6 in", Length, -1.6764},
		{"-0 ft 6 in", Length, -0.1524},
		{"20\u00a0cm", Length, 0.2},
		{"5 um", Length, 5e-6},
		{"5 μm", Length, 5e-6},
		{"5 µm", Length, 5e-6},
		{"1 NM", Length, 1852},
		{"1 mi", Length, 1609.344},
		{"291 ft3", Volume, 8.240202358272},
		{"291 ft³", Volume, 8.240202358272},
		{"291 ft^3", Volume, 8.240202358272},
		{"291 cu ft", Volume, 8.240202358272},
		{"9.1 m³", Volume, 9.1},
		{"49 L", Volume, 0.049},
		{"49 l", Volume, 0.049},
		// 2640 lbf on a square inch: 2640 * 4.4482216152605 N / 0.00064516 m².
		{"2640 psi", Pressure, 18202159.253964473},
		{"200 bar", Pressure, 2e7},
		{"1013.25 hPa", Pressure, 101325},
		{"6 %", Share, 0.06},
		{"98%", Share, 0.98},
		{"10 min", Time, 600},
		{"1 h 20 min", Time, 4800},
		{"1h20min", Time, 4800},
		{"2 d 3 h 4 min 5 s", Time, 183845},
		{"5 m/s", Speed, 5},
		{"1000 ft/min", Speed, 5.08},
		{"12 kt", Speed, 6.173333333333333},
		{"60 mph", Speed, 26.8224},
		{"5 m s-1", Speed, 5},
		{"5 m s⁻¹", Speed, 5},
		{"150 N", Force, 150},
		{"50 lbf", Force, 222.411080763025},
		{"20 degC", Temperature, 293.15},
		{"-56.5 °C", Temperature, 216.65},
		{"70 F", Temperature, 294.26111111111111},
		{"-40 F", Temperature, 233.15},
		{"288.15 K", Temperature, 288.15},
		{"3000 mAh", Charge, 10800},
		{"11 Wh", Energy, 39600},
		{"2.5 W", Power, 2.5},
		{"30 kg/m3", Density, 30},
		{"0.034 W/mK", Conductivity, 0.034},
		{"0.034 W/(m K)", Conductivity, 0.034},
		{"180 deg", Angle, math.Pi},
		{"64 GB", DataSize, 64e9},
		{"60 Mbit/s", DataRate, 7.5e6},
		{"144.39 MHz", Frequency, 144.39e6},
		{"1 m2", Area, 1},
		{"1 ft2", Area, 0.09290304},
	} {
		got, err := Parse(c.text, c.kind)
		if err != nil {
			t.Errorf("%q as %s: %v", c.text, c.kind, err)
			continue
		}
		// Factors are exact, so only the rounding of a few operations remains.
		if math.Abs(got-c.want) > 4e-15*math.Abs(c.want)+1e-300 {
			t.Errorf("%q as %s: %.17g, want %.17g", c.text, c.kind, got, c.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		kind Kind
		word string
	}{
		{"", Mass, "empty"},
		{"g", Mass, "not a number"},
		{"heavy", Mass, "not a number"},
		{"1200", Mass, "no unit"},
		{"1200", Mass, "g, kg, oz or lb"},
		{"1200 m", Mass, "not a unit of mass"},
		{"8,3 m", Length, "comma"},
		{"1,200 g", Mass, "comma"},
		{"4 lb 8", Mass, "no unit"},
		{"8 oz 4 lb", Mass, "large unit to the small"},
		{"4 lb -8 oz", Mass, "without a sign"},
		{"4 lb 4 lb", Mass, "large unit to the small"},
		{"20 C 3 K", Temperature, "two parts"},
		{"5 %  3 %", Share, "two parts"},
		{"10 m", Time, "not a unit of time"},
		{"5 knots/s", Speed, "not a unit of speed"},
		{"NaN g", Mass, "not a number"},
		{"Inf g", Mass, "not a number"},
		{"1e999 g", Mass, "not a number"},
		{"1e306 t", Mass, "beyond"},
		{"- 5 g", Mass, "not a number"},
		{"5 MB/S", DataRate, "upper and lower case"},
		{strings.Repeat("1", 200) + " g", Mass, "too long"},
	} {
		got, err := Parse(c.text, c.kind)
		if err == nil {
			t.Errorf("%q as %s was read as %g", c.text, c.kind, got)
		} else if !strings.Contains(err.Error(), c.word) {
			t.Errorf("%q as %s: %q does not say %q", c.text, c.kind, err, c.word)
		}
	}
}

func TestParseTellsCasesApart(t *testing.T) {
	if milli, err := Parse("5 mW", Power); err != nil || milli != 0.005 {
		t.Errorf("5 mW: %g, %v", milli, err)
	}
	if value, err := Parse("5 MPA", Pressure); err != nil || value != 5e6 {
		t.Errorf("5 MPA: %g, %v; only one unit of pressure is spelled so", value, err)
	}
	if _, err := Parse("5 Mb/S", DataRate); err == nil || !strings.Contains(err.Error(), "upper and lower case") {
		t.Errorf("5 Mb/S could be bits or octets, got %v", err)
	}
}

func TestParseRange(t *testing.T) {
	for _, c := range []struct {
		text      string
		low, high float64
		fault     string
	}{
		{"10 % to 90 %", 0.1, 0.9, ""},
		{"10 to 90 %", 0.1, 0.9, ""},
		{"30 %", 0.3, 0.3, ""},
		{"90 % to 10 %", 0, 0, "smaller first"},
		{"10 % to 90", 0, 0, "no unit"},
		{"10 % to", 0, 0, "not a unit"},
		{"10 kg to 90 %", 0, 0, "not a unit"},
	} {
		low, high, err := ParseRange(c.text, Share)
		switch {
		case c.fault != "" && (err == nil || !strings.Contains(err.Error(), c.fault)):
			t.Errorf("%q: %v does not say %q", c.text, err, c.fault)
		case c.fault == "" && (err != nil || low != c.low || high != c.high):
			t.Errorf("%q: %g to %g, %v", c.text, low, high, err)
		}
	}
}

func TestTextComesBack(t *testing.T) {
	for _, c := range []struct {
		text string
		kind Kind
	}{
		{"1200 g", Mass}, {"1350 g", Mass}, {"4 lb", Mass}, {"7.5 lb", Mass}, {"0 g", Mass}, {"12 g", Mass},
		{"8.3 m", Length}, {"20 cm", Length}, {"1.5 m", Length}, {"610 m", Length}, {"2001 ft", Length}, {"6 ft", Length},
		{"291 ft3", Volume}, {"49 L", Volume}, {"2640 psi", Pressure}, {"200 bar", Pressure},
		{"6 %", Share}, {"98 %", Share}, {"99.995 %", Share}, {"10 min", Time}, {"3 min", Time}, {"90 s", Time},
		{"5 m/s", Speed}, {"1000 ft/min", Speed}, {"150 N", Force}, {"50 lbf", Force},
		{"20 degC", Temperature}, {"-56.5 degC", Temperature}, {"70 degF", Temperature},
		{"3000 mAh", Charge}, {"11 Wh", Energy}, {"90 deg", Angle}, {"64 GB", DataSize}, {"60 Mbit/s", DataRate}, {"144.39 MHz", Frequency},
	} {
		value, err := Parse(c.text, c.kind)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if got, ok := Text(value, c.kind); !ok || got != c.text {
			t.Errorf("%q was written back as %q (%v)", c.text, got, ok)
		}
	}
	if _, ok := Text(math.NaN(), Mass); ok {
		t.Error("no text stands for NaN")
	}
}

func TestEveryKindHasATable(t *testing.T) {
	for k := Kind(0); k < kinds; k++ {
		table := k.table()
		seen := map[string]bool{}
		for _, s := range table.scales {
			for _, name := range s.names {
				if seen[name] {
					t.Errorf("%s: %q stands twice", table.name, name)
				}
				seen[name] = true
				if _, err := Parse("1 "+name, k); err != nil {
					t.Errorf("%s: its own unit %q is refused: %v", table.name, name, err)
				}
			}
		}
		if k != Frequency && table.name == "frequency" {
			t.Errorf("kind %d has no table of its own", k)
		}
		example := table.expected[strings.Index(table.expected, `"`)+1:]
		if _, err := Parse(example[:strings.Index(example, `"`)], k); err != nil {
			t.Errorf("%s: the example in the error is refused: %v", table.name, err)
		}
	}
}

// FuzzParse holds that whatever is read can be written and read again exactly.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{"1200 g", "4 lb 6 oz", "8,3 m", "1h20min", "-5 °C", "5e g", "5e3 g", "291 ft³", "10 % to 90 %", "\u22125 K", "5 ft2 3"} {
		f.Add(seed, 0)
	}
	f.Fuzz(func(t *testing.T, text string, number int) {
		kind := Kind(((number % int(kinds)) + int(kinds)) % int(kinds))
		value, err := Parse(text, kind)
		if err != nil {
			return
		}
		written, ok := Text(value, kind)
		if !ok {
			return
		}
		if back, err := Parse(written, kind); err != nil || back != value {
			t.Errorf("%q is %g, written %q, read %g (%v)", text, value, written, back, err)
		}
	})
}
