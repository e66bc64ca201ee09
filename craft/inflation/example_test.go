package inflation_test

import (
	"fmt"

	"pappus/craft/envelope"
	"pappus/craft/inflation"
	"pappus/craft/liftgas"
)

func ExampleMolesForGross() {
	air := inflation.Air{Pressure: 101325, Temperature: 288.15, Density: 1.2250}
	gas := liftgas.Gas{Kind: liftgas.Hydrogen, Purity: 1}
	gross := inflation.FreeLift(1.1).Neck(0.25).Gross(1.0)
	moles := inflation.MolesForGross(gross, air, gas, 0)
	volume := inflation.Volume(moles, air, 0)
	fmt.Printf("%.2f kg need %.2f m³, %.2f m across\n", float64(gross), volume, envelope.Diameter(volume))
	// Output: 2.35 kg need 2.06 m³, 1.58 m across
}
