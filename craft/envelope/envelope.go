// Package envelope is the latex balloon itself: how large it may grow before it
// bursts, how the air drags at it, and how hard its film presses on the gas.
package envelope

import (
	"math"

	"pappus/measure/logtable"
)

// Diameter is that of a sphere of a volume.
func Diameter(volume float64) float64 { return math.Cbrt(6 / math.Pi * volume) }

// Volume is that of a sphere of a diameter.
func Volume(diameter float64) float64 { return math.Pi / 6 * diameter * diameter * diameter }

// TypicalBurstDiameter is a brand-free burst diameter for an envelope's mass:
// 0.169 m_g^0.549 m with the mass in grams, a fit to the typical performance
// table of [WMO8], volume III, chapter on balloon techniques (table from memory;
// size worked out from hydrogen fill and maximum height). It holds for 30 g to
// 3 kg; a make can differ from it by 15 %, so a data sheet's figure goes first.
func TypicalBurstDiameter(mass float64) float64 { return 0.169 * math.Pow(mass*1000, 0.549) }

// Drag is how the air drags at the rising envelope, on the area π d²/4.
type Drag struct {
	Constant float64 // one coefficient for the whole flight; zero means varying by Reynolds number
}

// Coefficient is the drag coefficient at a Reynolds number.
func (d Drag) Coefficient(reynolds float64) float64 {
	if d.Constant > 0 {
		return d.Constant
	}
	return DragCoefficient(reynolds)
}

// The Reynolds numbers between which the varying drag was fitted.
const (
	LowestReynolds  = 4e4
	HighestReynolds = 1e6
)

// DragCoefficient is the mean drag of real rising balloons by Reynolds number
// (air's density x speed x diameter / viscosity): 0.04808 ln²Re - 1.406 ln Re +
// 10.490, the fit of [Gallice2011] (from memory). It holds for 4e4 to 1e6; outside, the
// value at the nearer end is kept (0.990 and 0.242), since the parabola would
// turn up again. Single flights scatter by 20 to 30 % about it.
func DragCoefficient(reynolds float64) float64 {
	cd, _ := DragCurve(reynolds)
	return cd
}

// DragCurve is DragCoefficient with its slope: the change of the coefficient
// with the logarithm of the Reynolds number, zero where the coefficient is held.
func DragCurve(reynolds float64) (cd, slope float64) {
	l := logtable.Log(min(max(reynolds, LowestReynolds), HighestReynolds))
	cd = (0.04808*l-1.406)*l + 10.490
	if reynolds > LowestReynolds && reynolds < HighestReynolds {
		slope = 2*0.04808*l - 1.406
	}
	return cd, slope
}
