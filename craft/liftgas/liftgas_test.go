package liftgas

import (
	"strings"
	"testing"
)

func TestGasMixes(t *testing.T) {
	near(t, "pure", Gas{Hydrogen, 1}.MolarMass(), 2.01588e-3, 0)
	near(t, "air", Gas{Helium, 0}.MolarMass(), MolarMassAir, 0)
	near(t, "half air lifts half", Gas{Helium, 0.5}.MarginalLift(), Gas{Helium, 1}.MarginalLift()/2, 1e-17)
}

func TestStandardInverts(t *testing.T) {
	for _, k := range []Kind{Helium, Hydrogen} {
		near(t, k.String(), StandardVolume(k, MolesAtStandard(k, 8.24)), 8.24, 1e-14)
	}
}

func TestIdealAtNoPressure(t *testing.T) {
	for _, k := range []Kind{Helium, Hydrogen} {
		near(t, k.String(), Compressibility(k, 1, 290), 1, 1e-8)
	}
}

func TestCylinder(t *testing.T) {
	stated := Cylinder{Content: 5}
	near(t, "stated content", stated.StandardContent(Helium), 5, 1e-14)
	near(t, "stated moles", stated.Moles(Helium), MolesAtStandard(Helium, 5), 0)
	empty := Cylinder{WaterVolume: 0.049}
	near(t, "an empty bottle gives nothing", empty.Moles(Helium), 0, 0)
	cold := Cylinder{WaterVolume: 0.049, Gauge: 150e5, Temperature: 263.15}
	warm := Cylinder{WaterVolume: 0.049, Gauge: 150e5}
	if !(cold.Moles(Helium) > warm.Moles(Helium)) {
		t.Error("the same gauge on a colder bottle means more gas")
	}
}

func TestByName(t *testing.T) {
	for _, k := range []Kind{Helium, Hydrogen} {
		if got, err := ByName(k.String()); err != nil || got != k {
			t.Errorf("%v: %v, %v", k, got, err)
		}
	}
	if _, err := ByName("methane"); err == nil || !strings.Contains(err.Error(), "hydrogen") {
		t.Errorf("methane: %v, expected the names to choose from", err)
	}
	if Kind(9).String() != "gas 9" {
		t.Error(Kind(9))
	}
}

func TestNoAllocation(t *testing.T) {
	sum := 0.0
	allocations := testing.AllocsPerRun(100, func() {
		sum += Gas{Helium, 0.98}.MolarMass() + Compressibility(Hydrogen, 1e7, 280) + MolesAtStandard(Helium, 1)
	})
	if allocations != 0 || sum == 0 {
		t.Errorf("%v allocations per call, expected none", allocations)
	}
}
