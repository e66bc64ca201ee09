package rules

import "pappus/measure/unit"

// quantity is what a limit is compared with.
type quantity int

const (
	packageMass    quantity = iota // kg, of one package
	packageDensity                 // kg/m², mass over the smallest surface
	payloadMass                    // kg, all packages
	separationLoad                 // N, the weakest line's
)

func (q quantity) unit() string {
	return [...]string{"kg", "kg/m2", "kg", "N"}[q]
}

// perPackage tells whether each package is held against the limit by itself.
func (q quantity) perPackage() bool { return q == packageMass || q == packageDensity }

// band is the share of a limit within which a finding is near it. A scale and a
// forgotten cable make up 3 %; labels, knots and impact make up 30 % of a line's
// load. Both are judgements.
func (q quantity) band() float64 {
	if q == separationLoad {
		return 0.30
	}
	return 0.03
}

// limb is one comparison; strict means "more than", else "or more".
type limb struct {
	quantity quantity
	limit    float64
	strict   bool
}

// paragraph is met when all its limbs are. outcome is what the flight becomes.
type paragraph struct {
	id       string
	limbs    []limb
	packages int // it speaks of at least so many packages
	outcome  outcome
	source   Source
}

// outcome orders what a met paragraph makes of the flight; the highest counts.
type outcome int

const (
	nothing outcome = iota // outside the part, or light
	medium
	heavy
	applies
)

func (o outcome) class() string {
	return [...]string{"light", "medium", "heavy", ""}[o]
}

// occasion limits a duty to some flights.
type occasion int

const (
	everyFlight occasion = iota
	byNight              // also when it is not known whether the flight touches the night
	longLine             // the lines are longer than the text allows without marking
)

type dutyRule struct {
	id     string
	from   outcome // the least outcome that brings this duty
	when   occasion
	source Source
	text   string
}

// text is one rule text as data.
type text struct {
	name, title     string
	readOn, readHow string
	byClass         bool // light, medium, heavy; else applies or not
	imperial        bool // its own units come first in sentences
	lowest          string
	paragraphs      []paragraph
	markedFrom      float64 // m of suspension beyond which it must be marked
	duties          []dutyRule
	always          []Duty
	customary       *Customary
	cautions        func(Facts) []Caution
}

// texts lists what can be read; a further country is one more entry.
func texts() []text { return []text{us(), icao()} }

// Area densities in kg/m²; the factors come from the unit package.
const (
	ouncePerSquareInch      = unit.Ounce / unit.SquareInch
	gramPerSquareCentimetre = unit.Gram / unit.SquareCentimetre
)
