package liftgas_test

import (
	"fmt"

	"pappus/craft/liftgas"
	"pappus/measure/unit"
)

func ExampleCylinder() {
	bottle := liftgas.Cylinder{WaterVolume: 49 * unit.Litre, Gauge: 2640 * unit.PSI}
	moles := bottle.Moles(liftgas.Helium)
	fmt.Printf("%.0f cubic feet, %.2f kg of lift\n",
		liftgas.StandardCubicFeet(liftgas.Helium, moles),
		moles*liftgas.Gas{Kind: liftgas.Helium, Purity: 0.98}.MarginalLift())
	// Output: 286 cubic feet, 8.20 kg of lift
}

func ExampleCompressibility() {
	fmt.Printf("%.3f\n", liftgas.Compressibility(liftgas.Helium, 200*unit.Bar, 288.15))
	// Output: 1.097
}
