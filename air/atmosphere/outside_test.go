package atmosphere

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"pappus/measure/geo"
)

// table reads a tab-separated file with one heading line.
func table(t *testing.T, path string) [][]string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]string
	for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n")[1:] {
		rows = append(rows, strings.Split(line, "\t"))
	}
	return rows
}

// printed reads a printed number and half a unit of its last digit: the
// tolerance that a correctly rounded table allows.
func printed(t *testing.T, text string) (value, half float64) {
	t.Helper()
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	mantissa, exponent, _ := strings.Cut(text, "e")
	scale := 0
	if exponent != "" {
		if scale, err = strconv.Atoi(exponent); err != nil {
			t.Fatal(err)
		}
	}
	if _, decimals, dot := strings.Cut(mantissa, "."); dot {
		scale -= len(decimals)
	}
	return value, 0.5 * math.Pow10(scale)
}

func checkPrinted(t *testing.T, what string, got float64, text string) {
	t.Helper()
	want, half := printed(t, text)
	// The last bits of the comparison itself get a millionth of the half unit.
	if !(math.Abs(got-want) <= half*(1+1e-6)) {
		t.Errorf("%s: got %.9g, the table prints %s", what, got, text)
	}
}

func TestOutsideUSSA76Table(t *testing.T) {
	rows := table(t, "testdata/ussa76_geometric.tsv")
	if len(rows) != 22 {
		t.Fatalf("%d rows, expected 22", len(rows))
	}
	for _, r := range rows {
		km, _ := printed(t, r[0])
		z := geo.AltMSL(km * 1000)
		air := At(z)
		for i, got := range []float64{
			float64(Geopotential(z)), air.Temperature, air.Pressure, air.Density,
			Viscosity(air.Temperature), SoundSpeed(air.Temperature), Gravity(z), Conductivity(air.Temperature),
		} {
			checkPrinted(t, r[0]+" km, column "+strconv.Itoa(i+1), got, r[i+1])
		}
		if Temperature(z) != air.Temperature {
			t.Errorf("%s km: Temperature differs from At", r[0])
		}
	}
}

func TestOutsideUSSA76Levels(t *testing.T) {
	rows := table(t, "testdata/ussa76_levels.tsv")
	if len(rows) != 16 {
		t.Fatalf("%d rows, expected 16", len(rows))
	}
	for _, r := range rows {
		hectopascal, _ := printed(t, r[0])
		z := PressureAltitude(hectopascal * 100)
		checkPrinted(t, r[0]+" hPa geometric", float64(z), r[2])
		checkPrinted(t, r[0]+" hPa geopotential", float64(Geopotential(z)), r[1])
	}
}

// TestOutsideUSSA76Bases holds the layer bases against [USSA76] table 4 and its
// values at the top (from memory: 186.946 K and 0.3734 Pa at 84.852 km').
func TestOutsideUSSA76Bases(t *testing.T) {
	for _, c := range []struct {
		h                     geo.Geopotential
		pressure, temperature string
	}{
		{0, "101325", "288.15"}, {11000, "22632.06", "216.65"}, {20000, "5474.889", "216.65"},
		{32000, "868.0187", "228.65"}, {47000, "110.9063", "270.65"}, {51000, "66.93887", "270.65"},
		{71000, "3.956420", "214.65"}, {84852, "0.3734", "186.946"},
	} {
		air := AtGeopotential(c.h)
		checkPrinted(t, "base pressure", air.Pressure, c.pressure)
		checkPrinted(t, "base temperature", air.Temperature, c.temperature)
	}
	checkPrinted(t, "86 km in geopotential metres", float64(Geopotential(Top)), "84852")
	checkPrinted(t, "gas constant", GasConstantAir, "287.05307")
}

// TestOutsideSaturation holds the vapour pressure against values worked out
// elsewhere from [MurphyKoop2005], equation 10 (coefficients from memory), the
// vapour over liquid and supercooled water, in Pa. The exponential formula is a fit
// and keeps within 0.37 % of it from -20 to 40 °C; a fit's error, not ours, and
// worth 2e-4 of the air's weight at the worst.
func TestOutsideSaturation(t *testing.T) {
	for _, c := range []struct{ celsius, pascal float64 }{
		{-20, 125.5}, {-10, 286.5}, {0, 611.2}, {10, 1228}, {20, 2339}, {30, 4247}, {40, 7384},
	} {
		if got := SaturationVapourPressure(c.celsius + 273.15); math.Abs(got/c.pascal-1) > 0.004 {
			t.Errorf("%g °C: %g Pa, expected %g", c.celsius, got, c.pascal)
		}
	}
}
