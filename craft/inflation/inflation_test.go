package inflation

import (
	"math"
	"testing"

	"pappus/air/atmosphere"
	"pappus/craft/liftgas"
	"pappus/measure/geo"
)

func atmosphereHeight(kilometres float64) geo.AltMSL { return geo.AltMSL(kilometres * 1000) }

// Gas and air share one gas constant and one molar mass of air, or lift per
// mole would not be the difference of molar masses.
func TestConstantsAgree(t *testing.T) {
	if liftgas.UniversalGas != atmosphere.UniversalGas || liftgas.MolarMassAir != atmosphere.MolarMassAir {
		t.Error("liftgas and atmosphere disagree on a constant")
	}
}

// Lift is moles: the same at every height of the standard.
func TestLiftPerMoleIsConstant(t *testing.T) {
	for z := 0.0; z <= 45; z += 1.7 {
		state := atmosphere.At(atmosphereHeight(z))
		air := Air{state.Pressure, state.Temperature, state.Density}
		for _, gas := range []liftgas.Gas{helium, hydrogen, {Kind: liftgas.Helium, Purity: 0.95}} {
			near(t, "lift", LiftPerMole(air, gas, 0), gas.MarginalLift(), 1e-16) // some bits of 0.025
		}
	}
}

// Gas 3 K colder than the air fills 1 % less and lifts so much less.
func TestColdGas(t *testing.T) {
	air := dryAir(288.15)
	near(t, "volume", Volume(100, air, -2.8815)/Volume(100, air, 0), 0.99, 1e-12)
	displaced := air.Density * Volume(100, air, 0)
	lost := float64(Gross(100, air, helium, 0) - Gross(100, air, helium, -2.8815))
	near(t, "lift", lost, 0.01*displaced, 1e-12)
}

func TestRoundTrips(t *testing.T) {
	air := dryAir(300)
	moles := MolesForGross(2.35, air, helium, 1.5)
	near(t, "gross", float64(Gross(moles, air, helium, 1.5)), 2.35, 1e-14)
	near(t, "volume", MolesInVolume(Volume(moles, air, 1.5), air, 1.5), moles, 1e-12)
	near(t, "girth", DiameterFromGirth(Girth(1.7)), 1.7, 1e-15)
	near(t, "mass", GasMass(1000, hydrogen), 2.01588, 1e-15)
}

func TestLifts(t *testing.T) {
	gross := FreeLift(1.1).Neck(1.6).Gross(1.2)
	near(t, "gross", float64(gross), 3.9, 1e-15)
	near(t, "neck", float64(gross.Neck(1.2)), 2.7, 1e-15)
	near(t, "free", float64(gross.Neck(1.2).Free(1.6)), 1.1, 1e-15)
}

func TestNoLift(t *testing.T) {
	air := dryAir(288.15)
	if got := MolesForGross(1, air, liftgas.Gas{Kind: liftgas.Helium, Purity: 0}, 0); !math.IsInf(got, 1) {
		t.Errorf("air lifts nothing, yet %v mol would do", got)
	}
}

func TestNoAllocation(t *testing.T) {
	air, sum := dryAir(250), 0.0
	allocations := testing.AllocsPerRun(100, func() {
		sum += float64(Gross(Volume(3, air, 1), air, helium, 1)) + MolesForGross(2, air, helium, 0)
	})
	if allocations != 0 || sum == 0 {
		t.Errorf("%v allocations per call, expected none", allocations)
	}
}
