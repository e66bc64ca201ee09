// Package box follows the box along the flight: how warm it is inside from packing
// to hours after the landing, what its cells and cards last for, when nothing is
// heard of it, and what its camera sees.
package box

import (
	"math"
	"strings"

	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/record"
)

// foam is what a wall is of.
type foam struct {
	conductivity float64 // W/(m K) at 10 °C
	density      float64 // kg/m³
	known        bool    // false: a usual foam stands in
}

const (
	// Declared values of extruded polystyrene are 0.030 to 0.036 (EN 13164), of
	// expanded 0.033 to 0.038.
	extrudedConductivity = 0.034
	expandedConductivity = 0.036
	foamHeat             = 1450.0 // J/(kg K), extruded polystyrene; the same is taken for others
	coldFoam             = 0.004  // share of the conductivity lost for each kelvin below 10 °C (from memory)
	foamReference        = 283.15 // K, 10 °C, at which conductivities are declared
	leastFoam            = 0.6    // of the declared conductivity; what gas and radiation leave, judgement
)

func foamOf(name string) foam {
	switch strings.ToUpper(strings.TrimSpace(name)) {
	case "XPS":
		return foam{extrudedConductivity, 35, true}
	case "EPS":
		return foam{expandedConductivity, 20, true}
	}
	return foam{expandedConductivity, 30, false}
}

// Conductivity answers that of a foam at a mean temperature of the wall, from the
// one declared at 10 °C: it falls by 0.4 % for each kelvin of cold. Closed cells
// keep their gas for hours, so that thin air changes it little down to some hPa.
func Conductivity(declared, mean float64) float64 {
	return declared * max(1+coldFoam*(mean-foamReference), leastFoam)
}

// finish is how the outside takes and gives radiation.
type finish struct{ absorbs, emits float64 }

// finishOf holds usual values of coatings (spacecraft thermal control tables, from
// memory). A finish that the file does not name counts as bare foam.
func finishOf(name string) finish {
	switch name {
	case "white":
		return finish{0.25, 0.88}
	case "foil":
		return finish{0.15, 0.05}
	case "black":
		return finish{0.95, 0.90}
	}
	return finish{0.45, 0.85}
}

// Area is the outside of a box, m².
func Area(s record.Size) float64 {
	e := s.Edges
	return 2 * (e[0]*e[1] + e[1]*e[2] + e[2]*e[0])
}

// room is what is free inside the walls, m³; never under a tenth of the outside.
func room(s record.Size, wall float64) float64 {
	inner, outer := 1.0, 1.0
	for _, e := range s.Edges {
		inner *= max(e-2*wall, 0)
		outer *= e
	}
	return max(inner, 0.1*outer)
}

// WallConductance is k A / thickness in W/K, A being the outside. A perfect box
// would lose a third less through its edges and corners; lids, lens holes and
// cables take about as much back. That is a judgement; a freezer soak settles it.
func WallConductance(conductivity, area, thickness float64) float64 {
	return conductivity * area / thickness
}

// Conductance is that of the wall and of the film of air outside it in a row.
func Conductance(wall, area, film float64) float64 { return 1 / (1/wall + 1/(film*area)) }

// shell is the box without its contents.
type shell struct {
	name       string
	area       float64
	length     float64 // m, of the sphere of the same outside
	wall       float64 // W/K at 10 °C mean
	measured   bool    // by a freezer soak
	error      float64 // one standard deviation, a share
	foamMass   float64
	room       float64 // m³
	coat       finish
	known      foam
	thickness  float64
	conductive float64 // W/(m K), declared
}

// shellOf answers the walls of a box; false where the file does not say them.
func shellOf(p *record.Part, measured *sizing.Soak) (shell, bool) {
	if !p.Size.Given || !p.Wall.Thickness.Given || p.Wall.Thickness.Value <= 0 {
		return shell{}, false
	}
	f := foamOf(p.Wall.Foam)
	s := shell{
		name: p.Name, area: Area(p.Size), thickness: p.Wall.Thickness.Value, coat: finishOf(p.Wall.Finish),
		known: f, conductive: f.conductivity, error: usualWall,
	}
	if p.Wall.Conductivity.Given {
		s.conductive = p.Wall.Conductivity.Value
	}
	s.length = math.Sqrt(s.area / math.Pi)
	s.foamMass = s.area * s.thickness * f.density
	s.room = room(p.Size, s.thickness)
	s.wall = WallConductance(s.conductive, s.area, s.thickness)
	if measured != nil {
		s.measured = true
		s.error = measured.Error
		s.wall = s.fromSoak(measured, contents(p, s.foamMass))
	}
	return s, true
}

// soakFilm is the film on a box in a freezer: still air, convection and radiation
// together; common practice.
const soakFilm = 8.0 // W/(m² K)

// fromSoak turns the time constant or the power of a freezer soak into the
// conductance of the wall at 10 °C.
func (s *shell) fromSoak(m *sizing.Soak, capacity float64) float64 {
	whole := m.Conductance
	if whole == 0 {
		whole = (capacity + s.foamMass*foamHeat/2) / m.TimeConstant
	}
	// What is measured holds the film too; without it the wall alone is left. A
	// loss that no film of the box could carry is taken as the wall's.
	rest := 1/whole - 1/(soakFilm*s.area)
	if rest <= 0 {
		rest = 1 / whole
	}
	return 1 / rest / (Conductivity(1, m.Mean))
}

// contents is the heat that what is in a box holds, J/K.
func contents(p *record.Part, foamMass float64) float64 {
	return usualHeat * max(p.Total()-foamMass, 0.1*p.Total())
}

// usualHeat is the specific heat of devices and cells; makers seldom state it and
// 800 to 1100 is usual (judgement).
const usualHeat = 1000.0 // J/(kg K)

// celsius is a temperature of a table, in kelvin.
func celsius(deg float64) float64 { return unit.FromCelsius(deg) }
