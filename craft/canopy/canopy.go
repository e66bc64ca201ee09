// Package canopy is the parachute: its drag area, the speed that it falls at,
// and what its opening does to the cords.
package canopy

import (
	"fmt"
	"math"
	"strings"

	"pappus/measure/unit"
)

// Kind is a type of parachute canopy with its typical figures, [Knacke1991]
// tables 5-1 and 5-2 (from memory). Coefficients refer to the nominal area
// π D0²/4, the canopy laid flat; makers who quote them on the projected area give
// figures about 1.3 to 1.5 times larger for the same flat circular canopy.
type Kind struct {
	Name                                  string
	DragLow, DragHigh                     float64
	OpeningForce                          float64 // largest force over steady drag at the speed of opening, for a heavy load
	OscillationLowDeg, OscillationHighDeg float64 // to either side, in still air
}

// Drag is the typical drag coefficient: the middle of the range.
func (k Kind) Drag() float64 { return (k.DragLow + k.DragHigh) / 2 }

// kinds is the table in the source's order. Where it gives a range of opening
// force, the greater stands.
var kinds = [...]Kind{
	{"flat circular", 0.75, 0.80, 1.7, 10, 40},
	{"conical", 0.75, 0.90, 1.8, 10, 30},
	{"bi-conical", 0.75, 0.92, 1.8, 10, 30},
	{"tri-conical", 0.80, 0.96, 1.8, 10, 20},
	{"extended skirt flat", 0.78, 0.87, 1.4, 10, 15},
	{"extended skirt full", 0.75, 0.90, 1.4, 10, 15},
	{"hemispherical", 0.62, 0.77, 1.6, 10, 15},
	{"annular", 0.85, 0.95, 1.4, 0, 6},
	{"cross", 0.60, 0.85, 1.2, 0, 3},
	{"flat ribbon", 0.45, 0.50, 1.05, 0, 3},
	{"ringslot", 0.56, 0.65, 1.05, 0, 5},
	{"ringsail", 0.75, 0.90, 1.1, 5, 10},
	{"disk-gap-band", 0.52, 0.58, 1.3, 10, 15},
}

// Kinds lists all canopies known here.
func Kinds() []Kind { return append([]Kind(nil), kinds[:]...) }

// FlatCircular is the canopy of most small flights.
func FlatCircular() Kind { return kinds[0] }

// ByName finds a canopy by its name, in any mix of capitals.
func ByName(name string) (Kind, error) {
	names := make([]string, len(kinds))
	for i, k := range kinds {
		if strings.EqualFold(strings.TrimSpace(name), k.Name) {
			return k, nil
		}
		names[i] = k.Name
	}
	return Kind{}, fmt.Errorf("canopy %q is not known here: write one of %s, and the maker's drag coefficient where it has one",
		name, strings.Join(names, ", "))
}

// SeaLevelDensity is the air's density for which parachutes are rated, kg/m³:
// [USSA76] at sea level.
const SeaLevelDensity = 1.2250

// ratingGravity is standard gravity, which ratings mean.
const ratingGravity = unit.StandardGravity

// Canopy is one parachute.
type Canopy struct {
	Area float64 // nominal, π D0²/4
	Drag float64 // coefficient on that area
}

// FromDiameter makes a canopy from its nominal diameter, laid flat. A drag
// coefficient of zero takes the kind's typical one.
func FromDiameter(kind Kind, diameter, drag float64) Canopy {
	if drag == 0 {
		drag = kind.Drag()
	}
	return Canopy{Area: math.Pi / 4 * diameter * diameter, Drag: drag}
}

// FromRating makes a canopy from what its maker says that it carries and how
// fast that falls at sea level. Only the drag area follows from a rating; it is
// split into area and coefficient as of a flat circular canopy.
func FromRating(mass, speed float64) Canopy {
	drag := FlatCircular().Drag()
	return Canopy{Area: 2 * mass * ratingGravity / (SeaLevelDensity * speed * speed * drag), Drag: drag}
}

// DragArea is area times coefficient.
func (c Canopy) DragArea() float64 { return c.Area * c.Drag }

// Diameter is the nominal diameter, laid flat.
func (c Canopy) Diameter() float64 { return math.Sqrt(4 / math.Pi * c.Area) }

// TerminalSpeed is the steady speed of fall: sqrt(2 m g/(ρ Cd S)), m all that
// falls. Exact once weight and drag are in balance; in thin air a fall lags
// behind it by some seconds.
func TerminalSpeed(mass, dragArea, density, gravity float64) float64 {
	return math.Sqrt(2 * mass * gravity / (density * dragArea))
}

// DiameterFor is the nominal diameter that brings a mass to a steady speed at
// sea level, with a drag coefficient.
func DiameterFor(mass, speed, drag float64) float64 {
	return math.Sqrt(8 * mass * ratingGravity / (math.Pi * SeaLevelDensity * drag * speed * speed))
}

// FallingEnergy is the kinetic energy of a mass at a speed, in joules.
func FallingEnergy(mass, speed float64) float64 { return mass * speed * speed / 2 }
