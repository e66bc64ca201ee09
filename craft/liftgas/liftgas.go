// Package liftgas knows the two gases that lift a sounding balloon: what they
// weigh, how far they compress, and how much of them a cylinder holds.
package liftgas

import "fmt"

// Kind is a lift gas.
type Kind uint8

// The two lift gases.
const (
	Helium Kind = iota
	Hydrogen
)

// String is the gas's name as a flight file writes it.
func (k Kind) String() string {
	switch k {
	case Helium:
		return "helium"
	case Hydrogen:
		return "hydrogen"
	}
	return fmt.Sprintf("gas %d", uint8(k))
}

// ByName finds a gas by the name that String gives.
func ByName(name string) (Kind, error) {
	for _, k := range []Kind{Helium, Hydrogen} {
		if k.String() == name {
			return k, nil
		}
	}
	return 0, fmt.Errorf("%q is no lift gas known here: write \"helium\" or \"hydrogen\"", name)
}

// Constants of the gas law. The gas constant is that of [USSA76], so that gas
// and standard air at one pressure and temperature hold exactly the same moles;
// today's value differs by less than one part in 20,000.
const (
	UniversalGas = 8.31432   // J/(mol K)
	MolarMassAir = 0.0289644 // kg/mol, dry, [USSA76]
)

// MolarMass is that of the pure gas in kg/mol, from the standard atomic
// weights ([IUPAC], from memory).
func (k Kind) MolarMass() float64 {
	if k == Hydrogen {
		return 2.01588e-3
	}
	return 4.002602e-3
}

// Gas is a lift gas as bought.
type Gas struct {
	Kind   Kind
	Purity float64 // share by volume, 0 to 1; the rest counts as dry air
}

// MolarMass is that of the gas with its impurity, in kg/mol.
func (g Gas) MolarMass() float64 {
	return g.Purity*g.Kind.MolarMass() + (1-g.Purity)*MolarMassAir
}

// MarginalLift is what one more mole lifts, in kg, in dry air of the gas's own
// pressure and temperature. It is the same at every height.
func (g Gas) MarginalLift() float64 { return MolarMassAir - g.MolarMass() }
