package inflation

import (
	"math"
	"testing"

	"pappus/air/atmosphere"
	"pappus/craft/envelope"
	"pappus/craft/liftgas"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, expected %g ± %g", what, got, want, tolerance)
	}
}

// dryAir is dry air at one standard atmosphere.
func dryAir(temperature float64) Air {
	return Air{101325, temperature, atmosphere.Density(101325, temperature)}
}

var (
	helium   = liftgas.Gas{Kind: liftgas.Helium, Purity: 1}
	hydrogen = liftgas.Gas{Kind: liftgas.Hydrogen, Purity: 1}
)

// TestOutsideDensities holds densities and lifts per cubic metre against a
// table of ideal gases at one atmosphere worked out elsewhere, to its printed
// digits. A thousandth of a digit more is left to the rounding of 21.11 °C.
func TestOutsideDensities(t *testing.T) {
	for _, c := range [][6]float64{
		{0, 1.2923, 0.17858, 0.08994, 1.1137, 1.2023},
		{15, 1.2250, 0.16928, 0.08526, 1.0557, 1.1397},
		{20, 1.2041, 0.16640, 0.08380, 1.0377, 1.1203},
		{21.1111, 1.1996, 0.16577, 0.08349, 1.0338, 1.1161},
		{25, 1.1839, 0.16361, 0.08240, 1.0203, 1.1015},
	} {
		air := dryAir(c[0] + 273.15)
		moles := MolesInVolume(1, air, 0)
		near(t, "air", air.Density, c[1], 0.5001e-4)
		near(t, "helium", GasMass(moles, helium), c[2], 0.5001e-5)
		near(t, "hydrogen", GasMass(moles, hydrogen), c[3], 0.5001e-5)
		near(t, "helium lift", float64(Gross(moles, air, helium, 0)), c[4], 0.5001e-4)
		near(t, "hydrogen lift", float64(Gross(moles, air, hydrogen, 0)), c[5], 0.5001e-4)
	}
}

// TestOutsideHumidLift: saturated air of 30 °C cuts helium's lift by about
// 1.8 % (from memory and arithmetic, to one digit).
func TestOutsideHumidLift(t *testing.T) {
	dry := dryAir(303.15)
	humid := dry
	humid.Density = atmosphere.Density(101325, atmosphere.VirtualTemperature(303.15, 101325, 1))
	near(t, "loss", 1-LiftPerMole(humid, helium, 0)/LiftPerMole(dry, helium, 0), 0.018, 0.0005)
}

// TestOutsideWMORelease holds the diameter that hydrogen needs at release
// against the rows of [WMO8]'s table of typical performance (from memory):
// grams of balloon, payload and free lift, and the diameter worked out elsewhere
// in standard sea-level air, three decimals.
func TestOutsideWMORelease(t *testing.T) {
	air := dryAir(288.15)
	for _, c := range [][4]float64{
		{10, 0, 5, 0.293}, {30, 0, 60, 0.532}, {100, 0, 300, 0.875},
		{350, 250, 600, 1.262}, {1000, 250, 1100, 1.579}, {3000, 1000, 1700, 2.122},
	} {
		gross := FreeLift(c[2] / 1000).Neck(c[1] / 1000).Gross(c[0] / 1000)
		moles := MolesForGross(gross, air, hydrogen, 0)
		near(t, "diameter", envelope.Diameter(Volume(moles, air, 0)), c[3], 0.0005)
	}
}

// wmoFlights are rows of the same table: grams of balloon, payload and free
// lift, printed release diameter in centimetres, rate in m/min, maximum height in
// km; then the drag that the rate implies on the printed diameter (four decimals)
// and the diameter at the maximum height (two), both worked out elsewhere.
var wmoFlights = [][8]float64{
	{10, 0, 5, 30, 60, 12, 1.1325, 0.46},
	{30, 0, 60, 50, 150, 13, 0.7828, 0.88},
	{100, 0, 300, 90, 250, 20, 0.4349, 2.10},
	{350, 250, 600, 130, 300, 26, 0.2895, 4.16},
	{1000, 250, 1100, 160, 300, 34, 0.3504, 7.87},
	{3000, 1000, 1700, 210, 300, 38, 0.3143, 12.97},
}

func TestOutsideWMOTop(t *testing.T) {
	ground := dryAir(288.15)
	for _, r := range wmoFlights {
		free := FreeLift(r[2] / 1000)
		moles := MolesForGross(free.Neck(r[1]/1000).Gross(r[0]/1000), ground, hydrogen, 0)
		state := atmosphere.At(atmosphereHeight(r[5]))
		top := Air{state.Pressure, state.Temperature, state.Density}
		near(t, "diameter at the top", envelope.Diameter(Volume(moles, top, 0)), r[7], 0.005)
		release, speed := r[3]/100, r[4]/60
		drag := 2 * float64(free) * 9.80665 / (ground.Density * speed * speed * math.Pi / 4 * release * release)
		near(t, "implied drag", drag, r[6], 0.00005)
	}
}
