package liftgas

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, expected %g ± %g", what, got, want, tolerance)
	}
}

// TestOutsideHeliumEquation holds helium against the reference equation of
// state, over the whole range that is promised.
func TestOutsideHeliumEquation(t *testing.T) {
	text, err := os.ReadFile("testdata/helium_z.tsv")
	if err != nil {
		t.Fatal(err)
	}
	rows := strings.Split(strings.TrimSpace(string(text)), "\n")[1:]
	if len(rows) != 35 {
		t.Fatalf("%d rows, expected 35", len(rows))
	}
	for _, row := range rows {
		var v [3]float64
		for i, cell := range strings.Split(row, "\t") {
			if v[i], err = strconv.ParseFloat(cell, 64); err != nil {
				t.Fatal(err)
			}
		}
		// The promise is 0.0005: a twentieth of a per cent of a cylinder.
		near(t, row, Compressibility(Helium, v[1]*1e5, v[0]), v[2], 0.0005)
	}
}

// TestOutsideHeliumTable holds helium against a printed table of older
// measurements. It lies 0.0006 below today's reference at 200 bar (see
// testdata/SOURCE.md), and so may we, plus half its last digit.
func TestOutsideHeliumTable(t *testing.T) {
	for celsius, rows := range map[float64][][2]float64{
		15: {{1, 1.0005}, {5, 1.0024}, {10, 1.0049}, {20, 1.0098}, {30, 1.0147}, {50, 1.0244}, {100, 1.0487}, {150, 1.0727}, {200, 1.0965}},
		50: {{1, 1.0004}, {5, 1.0022}, {10, 1.0043}, {20, 1.0086}, {30, 1.0129}, {100, 1.0429}, {150, 1.0641}, {200, 1.0851}},
	} {
		for _, r := range rows {
			near(t, "helium", Compressibility(Helium, r[0]*1e5, celsius+273.15), r[1], 0.00065)
		}
	}
}

// TestOutsideHydrogen holds hydrogen against the five check values of
// [Lemmon2008], table 2, to their last digit.
func TestOutsideHydrogen(t *testing.T) {
	for _, c := range [][3]float64{
		{200, 1, 1.00675450}, {300, 10, 1.05985282}, {400, 50, 1.24304763}, {500, 200, 1.74461629}, {200, 200, 2.85953449},
	} {
		near(t, "hydrogen", Compressibility(Hydrogen, c[1]*1e6, c[0]), c[2], 0.5e-8)
	}
	// Values worked out from the same paper's equation elsewhere, four decimals.
	for _, c := range [][3]float64{
		{15, 100, 1.0615}, {15, 150, 1.0936}, {15, 200, 1.1264}, {20, 100, 1.0608}, {20, 150, 1.0925}, {20, 200, 1.1248},
	} {
		near(t, "hydrogen", Compressibility(Hydrogen, c[1]*1e5, c[0]+273.15), c[2], 0.00005)
	}
}

// TestOutsideCylinders holds contents against the usual steel cylinders for
// helium: water volume, gauge at 70 F, content in cubic feet. The contents are
// worked out elsewhere with Z = 1 + 4.83e-4 p/bar, a line drawn at 15 to 20 C that
// is up to 0.0017 above the reference equation at 70 F, and printed to one cubic
// foot: so 0.2 % and half a foot. The catalogues' own contents differ from them by up to 2 %.
func TestOutsideCylinders(t *testing.T) {
	const psi = 6894.757293168 // [SI] appendix: 0.45359237 x 9.80665 / 0.0254²
	for _, c := range []struct{ litres, psig, cubicFeet, catalogue float64 }{
		{49, 2640, 287, 291}, {43.8, 2265, 223, 219}, {29.5, 2265, 150, 150}, {16, 2265, 81, 80},
	} {
		moles := MolesInBottle(Helium, c.litres/1000, c.psig*psi, StandardTemperature)
		content := StandardCubicFeet(Helium, moles)
		near(t, "content", content, c.cubicFeet, 0.5+0.002*c.cubicFeet)
		near(t, "catalogue", content, c.catalogue, 0.02*c.catalogue)
		given := Cylinder{WaterVolume: c.litres / 1000, Gauge: c.psig * psi}.Moles(Helium)
		near(t, "what can be had", MolesAtStandard(Helium, c.litres/1000)+given, moles, 1e-9*moles)
	}
	european := StandardVolume(Helium, MolesInBottle(Helium, 0.050, 2886*psi, StandardTemperature))
	near(t, "50 L at 200 bar", european, 9.0, 0.05)
	// The ideal law over-states a 200 bar bottle by 9 % (helium), 12 % (hydrogen).
	near(t, "helium, ideal", Compressibility(Helium, 200e5, 288.15)-1, 0.09, 0.01)
	near(t, "hydrogen, ideal", Compressibility(Hydrogen, 200e5, 288.15)-1, 0.12, 0.01)
}

// TestOutsideStandardFoot: one cubic foot at 70 F and 1 atm lifts 29.27 g when
// pure and 28.40 g at 97 % by the ideal law; a real gas holds 0.05 % less.
func TestOutsideStandardFoot(t *testing.T) {
	foot := MolesAtStandard(Helium, 0.028316846592)
	near(t, "pure", 1000*foot*Gas{Helium, 1}.MarginalLift(), 29.27, 0.005+0.0005*29.27)
	near(t, "97 %", 1000*foot*Gas{Helium, 0.97}.MarginalLift(), 28.40, 0.005+0.0005*28.40)
	// Real densities at 0 C and 1 atm: 0.1785 and 0.0899 kg/m³.
	for kind, density := range map[Kind]float64{Helium: 0.1785, Hydrogen: 0.0899} {
		moles := MolesInBottle(kind, 1, 0, 273.15)
		near(t, kind.String(), moles*kind.MolarMass(), density, 0.00005)
	}
}
