package liftgas

import "math"

// Compressibility is the ratio Z of the real to the ideal molar volume of the
// pure gas at an absolute pressure and temperature: 1 for an ideal gas, about
// 1.1 in a full cylinder.
//
// Helium is within 0.0005 of the reference equation of state [OrtizVega2023] for
// 250 to 330 K up to 300 bar; hydrogen is within 0.01 % of its own for 220 to
// 1000 K up to 700 bar ([Lemmon2008], from memory). Beyond that the formulas run on.
func Compressibility(k Kind, pressure, temperature float64) float64 {
	if k == Hydrogen {
		return hydrogenZ(pressure, temperature)
	}
	return heliumZ(pressure, temperature)
}

// Virial coefficients of helium, straight lines in temperature about 300 K;
// [Cencek2012] and [Garberoglio2011] give about 11.83 cm³/mol and 110 cm⁶/mol²
// there (from memory). Both fall slowly as helium warms.
const (
	heliumB     = 11.83e-6  // m³/mol at 300 K
	heliumSlope = -3.9e-9   // m³/(mol K)
	heliumC     = 110e-12   // m⁶/mol² at 300 K
	heliumBend  = -0.13e-12 // m⁶/(mol² K)
)

// heliumZ is the virial equation to the third coefficient turned from density
// to pressure: Z = 1 + B x + (C - B²) x², x = p/(R T).
func heliumZ(pressure, temperature float64) float64 {
	b := heliumB + heliumSlope*(temperature-300)
	c := heliumC + heliumBend*(temperature-300)
	x := pressure / (UniversalGas * temperature)
	return 1 + b*x + (c-b*b)*x*x
}

// hydrogenTerms are a, b and c of [Lemmon2008] table 1.
var hydrogenTerms = [9][3]float64{
	{0.05888460, 1.325, 1},
	{-0.06136111, 1.87, 1},
	{-0.002650473, 2.5, 2},
	{0.002731125, 2.8, 2},
	{0.001802374, 2.938, 2.42},
	{-0.001150707, 3.14, 2.63},
	{9.588528e-5, 3.37, 3},
	{-1.109040e-7, 3.75, 4},
	{1.264403e-10, 4, 5},
}

// hydrogenZ is [Lemmon2008] equation 1:
// Z = 1 + Σ a (100 K/T)^b (p/1 MPa)^c.
func hydrogenZ(pressure, temperature float64) float64 {
	logT, logP := math.Log(100/temperature), math.Log(pressure/1e6)
	z := 1.0
	for _, t := range hydrogenTerms {
		z += t[0] * math.Exp(t[1]*logT+t[2]*logP)
	}
	return z
}
