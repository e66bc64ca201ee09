package box

import (
	"math"
	"testing"

	"pappus/air/atmosphere"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/record"
)

// digits holds a value to the last printed digit of a table.
func digits(t *testing.T, what string, got, want, last float64) {
	t.Helper()
	if !(math.Abs(got-want) <= last/2*1.0001) {
		t.Errorf("%s: %.6g, want %.6g to half of %g", what, got, want, last)
	}
}

// The worked box: a cube of 0.2 m, foam of
// 25 mm and 0.034 W/mK, a film of 4 W/m2K, a kilogram at 1000 J/kgK. Its figures
// were computed from the formulas by hand.
func TestWorkedBox(t *testing.T) {
	area := Area(record.Size{Edges: [3]float64{0.2, 0.2, 0.2}, Given: true})
	digits(t, "area", area, 0.24, 1e-9)
	wall := WallConductance(0.034, area, 0.025)
	digits(t, "UA", wall, 0.326, 0.001)
	whole := Conductance(wall, area, 4)
	digits(t, "whole", whole, 0.244, 0.001)
	digits(t, "kelvins for a watt", 1/whole, 4.1, 0.1)
	digits(t, "5 W", 5/whole, 20, 2) // printed as a round 20
	digits(t, "minutes", 1000/whole/unit.Minute, 68, 1)
}

// Film coefficients of a body of 0.25 m in 5 m/s, by Whitaker's law in the
// standard atmosphere (printed to one decimal).
func TestFilmByHeight(t *testing.T) {
	for km, want := range map[float64]float64{0: 20.8, 10: 10.0, 20: 4.2, 25: 2.8, 30: 1.9} {
		a := atmosphere.At(geo.AltMSL(km * 1000))
		// Pr is 0.71 here and varies by 2 % with temperature: 0.05 more at the top value.
		digits(t, "film", Film(a.Pressure, a.Temperature, 5, 0.25), want, 0.2)
	}
	digits(t, "radiation at 240 K", RadiantFilm(1, 240), 3.1, 0.1)
}

// A closed box of 8 litres holds 2.27 g of oxygen at sea level, which give 39 kJ.
func TestOxygenLimit(t *testing.T) {
	digits(t, "oxygen", OxygenIn(8*unit.Litre, 101325, 288.15)/unit.Gram, 2.27, 0.01)
	digits(t, "heat", PackLimit(8*unit.Litre, 101325, 288.15)/unit.KiloJoule, 39, 1)
	// 4 Fe + 3 O2: 0.430 g of oxygen and 7.38 kJ for each gram of iron (55.845 g/mol).
	perIron := 0.75 * oxygenMolar / 55.845e-3
	digits(t, "oxygen for iron", perIron, 0.430, 0.001)
	digits(t, "heat for iron", perIron*oxygenEnergy/1e6, 7.38, 0.01)
}

// The pressure of oxygen against the sea's, by which packs burn.
func TestOxygenByHeight(t *testing.T) {
	for km, want := range map[float64]float64{5: 0.53, 10: 0.26, 15: 0.12, 20: 0.055, 30: 0.012} {
		a := atmosphere.At(geo.AltMSL(km * 1000))
		p := packs{heat: 10, energy: 1e9, share: oxygenShare, leak: 1, room: 1}
		last := 0.01
		if want < 0.1 {
			last = 0.001
		}
		// A hole so wide that the air stays fresh within a thousandth.
		digits(t, "rate", p.step(a.Pressure, 0, 288, 1)/10, want, last+0.002*want)
	}
}

// The table of horizons, dips and reaches.
func TestHorizonTable(t *testing.T) {
	for _, row := range []struct{ km, slant, arc, dip, radio float64 }{
		{10, 357.1, 356.7, 3.208, 412.2}, {17, 465.7, 464.9, 4.181, 537.4}, {20, 505.2, 504.2, 4.534, 582.9},
		{30, 619.0, 617.1, 5.549, 713.9}, {35, 668.7, 666.3, 5.992, 771.1},
	} {
		h := row.km * 1000
		digits(t, "slant", SlantHorizon(h)/1000, row.slant, 0.1)
		digits(t, "arc", GroundArc(h)/1000, row.arc, 0.1)
		digits(t, "dip", Dip(h)/unit.Degree, row.dip, 0.001)
		digits(t, "radio", RadioReach(h, 0)/1000, row.radio, 0.1)
		digits(t, "way back", heightFor(RadioReach(h, 2), 2), h, 1e-6)
	}
	// A box on the ground, antenna 1 m, and a receiver at 2 m: 10 km at best.
	digits(t, "on the ground", RadioReach(1, 2)/1000, 10, 1)
}

// The true curve, as a share of the width and in pixels of 4000.
func TestCurveTable(t *testing.T) {
	for _, row := range []struct{ km, share60, px60, share90, px90 float64 }{
		{10, 0.75, 30, 1.16, 46}, {17, 0.98, 39, 1.52, 61}, {20, 1.06, 43, 1.64, 66}, {30, 1.30, 52, 2.02, 81},
	} {
		narrow := HorizonSag(row.km*1000, 60*unit.Degree, "rectilinear")
		broad := HorizonSag(row.km*1000, 90*unit.Degree, "rectilinear")
		digits(t, "60 deg", narrow*100, row.share60, 0.01)
		digits(t, "60 deg in pixels", narrow*4000, row.px60, 1)
		digits(t, "90 deg", broad*100, row.share90, 0.01)
		digits(t, "90 deg in pixels", broad*4000, row.px90, 1)
	}
	// Small fields tell lenses apart by nothing, and the sag is then that of a circle:
	// width x dip-angle / 8 to first order, as tan(dip) (fov)^2 / 8 over fov.
	fov := 2 * unit.Degree
	want := math.Tan(Dip(30000)) * fov / 8
	for _, lens := range []string{"rectilinear", "fisheye"} {
		if got := HorizonSag(30000, fov, lens); math.Abs(got/want-1) > 1e-3 {
			t.Errorf("%s: %.3g, want %.3g", lens, got, want)
		}
	}
}

// A straight line through an equidistant lens of 90 degrees, an eighth and more of
// it up: computed from the map of angles by hand. offset 16.875 deg; at the side
// the line's end has x = 45 deg.
func TestBarrelBow(t *testing.T) {
	if BarrelBow(90*unit.Degree, "rectilinear") != 0 {
		t.Error("a straight lens bends a line")
	}
	bow := BarrelBow(90*unit.Degree, "fisheye")
	// With the ray at azimuth a: x = theta sin a / s, y = theta cos a sin(o) / s, s =
	// sqrt(1 - cos2 a cos2 o), theta = acos(cos a cos o). For a = 47.54 deg: cos a
	// = 0.67507, cos o = 0.95694, theta = 49.763 deg, s = 0.76336, x = 48.09: a bit
	// far; a = 44.4 deg: cos a .71447, theta 46.87, s .72974, x = 44.94, y = 13.32.
	// so that the line sinks 16.875 - 13.3 = 3.57 deg of 90: 4.0 %.
	digits(t, "bow", bow*100, 4.0, 0.1)
	// It fakes more than the true curve at 30 km.
	if bow < HorizonSag(30000, 90*unit.Degree, "fisheye") {
		t.Errorf("bow %.4f", bow)
	}
}

// HFOV = 2 atan(w / 2f), and the pixel is h pitch / f: a sensor of 6.17 mm with
// 4000 pixels behind 4.45 mm from 30 km sees 10.4 m.
func TestGroundPixel(t *testing.T) {
	fov := 2 * math.Atan(6.17/2/4.45)
	digits(t, "pixel", GroundPixel(30000, fov, 4000, "rectilinear"), 30000*6.17e-3/4000/4.45e-3, 1e-6)
}

// Shares that cells keep in the cold lie in the printed ranges.
func TestCellsInTheCold(t *testing.T) {
	for _, row := range []struct {
		name           string
		deg, low, high float64
	}{
		{"lithium iron disulfide", -20, 0.85, 0.90}, {"lithium iron disulfide", -40, 0.50, 0.60}, {"alkaline", -20, 0.25, 0.50},
		{"alkaline", -40, 0, 0.01}, {"lithium ion", -20, 0.70, 0.80}, {"nickel metal hydride", -20, 0.60, 0.80}, {"lithium ion", 25, 1, 1},
		{"something else", -40, 0, 0.01},
	} {
		if got := ChemistryOf(row.name).Share(unit.FromCelsius(row.deg)); got < row.low || got > row.high {
			t.Errorf("%s at %.0f: %.3f", row.name, row.deg, got)
		}
	}
	for _, c := range chemistries() {
		for deg := -80.0; deg < 40; deg++ {
			if a, b := c.Share(unit.FromCelsius(deg)), c.Share(unit.FromCelsius(deg+1)); a > b || a < 0 || b > 1 {
				t.Errorf("%s: %.3f at %.0f, then %.3f", c.Name, a, deg, b)
			}
		}
	}
}

// Foam in the cold: 0.0345 at 10 degrees is 0.026 to 0.028 at -50.
func TestFoamInTheCold(t *testing.T) {
	if k := Conductivity(0.0345, unit.FromCelsius(-50)); k < 0.026 || k > 0.028 {
		t.Errorf("%.4f", k)
	}
	if k := Conductivity(0.0345, 283.15); k != 0.0345 {
		t.Errorf("%.4f", k)
	}
}
