package sizing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"pappus/craft/liftgas"
	"pappus/measure/unit"
	"pappus/record"
)

// Offers answers a wish about a flight: changes of its own parts that bring it
// nearer, each as edits of the file.
type Offers struct {
	Wish   string  `json:"wish"` // as it was understood, empty when it was not
	Text   string  `json:"text"`
	Offers []Offer `json:"offers"`
}

// Offer is one changed flight.
type Offer struct {
	Text   string        `json:"text"`
	Flight Outlook       `json:"flight"`
	Change Outlook       `json:"change"` // less the present one
	Short  float64       `json:"gas_missing_ft3,omitempty"`
	Edits  []record.Edit `json:"-"`

	parts *Parts
	moles float64
}

// mostOffers is how many flights a wish is answered with.
const mostOffers = 3

// wishWords are what a wish is known by, each with how it is answered.
var wishWords = []struct {
	name  string
	words []string
	text  string
	kept  func(base, o *Offer) bool
	order func(a, b *Offer) int
	try   func(p *Parts, s *Setting) []Offer
}{
	{"one cylinder", []string{"cylinder", "bottle", "tank"}, "with the gas of the first cylinder alone",
		func(_, o *Offer) bool { return o.Short == 0 }, highest, (*Parts).onOneCylinder},
	{"gentler", []string{"gentl", "soft"}, "a slower landing",
		func(base, o *Offer) bool { return o.Flight.Landing < base.Flight.Landing*0.98 }, leastGas, (*Parts).underCanopies},
	{"cheaper", []string{"cheap", "less gas", "save", "smaller"}, "less gas, and a smaller envelope where that does",
		func(base, o *Offer) bool { return o.Flight.Cubic < base.Flight.Cubic*0.97 }, highest, (*Parts).smallerFlights},
	{"longer", []string{"long"}, "more time aloft",
		func(base, o *Offer) bool { return o.Flight.Aloft > base.Flight.Aloft*1.05 }, leastGas, (*Parts).largerFlights},
	{"higher", []string{"high"}, "a higher burst",
		func(base, o *Offer) bool { return o.Flight.BurstAlt > base.Flight.BurstAlt+300 }, leastGas, (*Parts).largerFlights},
}

func highest(a, b *Offer) int  { return cmp.Compare(b.Flight.BurstAlt, a.Flight.BurstAlt) }
func leastGas(a, b *Offer) int { return cmp.Compare(a.Flight.Cubic, b.Flight.Cubic) }

// Wishes lists the wishes that are understood.
func Wishes() []string {
	return []string{"higher", "cheaper", "gentler", "with one cylinder", "longer"}
}

// Wish answers a wish in a person's words. The parts must be filled.
func (p *Parts) Wish(s *Setting, wish string, system unit.System) *Offers {
	a := &Offers{Offers: []Offer{}}
	said := strings.ToLower(wish)
	for _, w := range wishWords {
		if !slices.ContainsFunc(w.words, func(word string) bool { return strings.Contains(said, word) }) {
			continue
		}
		a.Wish = w.name
		flight, ok := p.outlook(s, p.Craft.GasMoles)
		if !ok {
			a.Text = "The flight as it stands does not rise and come down: mend that first."
			return a
		}
		base := &Offer{Flight: flight, parts: p, moles: p.Craft.GasMoles}
		var found []*Offer
		for _, o := range w.try(p, s) {
			o.Change = o.Flight.minus(flight)
			o.Short = max(0, o.Flight.Cubic-cubicFeetOf(p, p.atHand()))
			if len(p.File.Cylinders) == 0 {
				o.Short = 0
			}
			if w.kept(base, &o) {
				found = append(found, &o)
			}
		}
		slices.SortStableFunc(found, w.order)
		for _, o := range found[:min(len(found), mostOffers)] {
			o.Edits = p.editsTo(o)
			o.Text = p.offerWords(o, system)
			a.Offers = append(a.Offers, *o)
		}
		if a.Text = "Asked: " + w.text + "."; len(found) == 0 {
			a.Text += " None of the usual envelopes, fills and canopies brings these boxes there."
		}
		return a
	}
	a.Text = "That wish is not understood. Ask for one of: " + strings.Join(Wishes(), ", ") + "."
	return a
}

// filledFor is an offer of parts filled for a mean rise.
func (p *Parts) filledFor(s *Setting, rate float64) (Offer, bool) {
	r, ok := p.fillForRate(s, rate)
	if !ok {
		return Offer{}, false
	}
	flight, ok := p.outlook(s, r.moles)
	return Offer{Flight: flight, parts: p, moles: r.moles}, ok
}

// sized tries the usual envelopes that pass, each with a usual and a slow fill.
func (p *Parts) sized(s *Setting, pass func(mass float64) bool, rates ...float64) []Offer {
	var list []Offer
	masses := []float64{p.Craft.EnvelopeMass}
	for _, mass := range usualEnvelopes() {
		if math.Abs(mass-p.Craft.EnvelopeMass) > 1e-3 {
			masses = append(masses, mass)
		}
	}
	for _, mass := range masses {
		if !pass(mass) {
			continue
		}
		q := p
		if mass != p.Craft.EnvelopeMass {
			q = p.withEnvelope(mass)
		}
		for _, rate := range rates {
			if o, ok := q.filledFor(s, rate); ok {
				list = append(list, o)
				break // the usual rise is offered; the slow one only where that is out of reach
			}
		}
	}
	return list
}

func (p *Parts) largerFlights(s *Setting) []Offer {
	list := p.sized(s, func(mass float64) bool { return mass > p.Craft.EnvelopeMass }, usualRise, soundRise)
	if o, ok := p.filledFor(s, soundRise*1.02); ok { // the same envelope with less gas
		list = append(list, o)
	}
	return list
}

func (p *Parts) smallerFlights(s *Setting) []Offer {
	list := p.sized(s, func(mass float64) bool { return mass <= p.Craft.EnvelopeMass }, usualRise, soundRise)
	if o, ok := p.filledFor(s, soundRise*1.02); ok {
		list = append(list, o)
	}
	return list
}

func (p *Parts) underCanopies(s *Setting) []Offer {
	var list []Offer
	for _, speed := range []float64{5, 4.5, 4} { // m/s; the usual aim is 4.5 to 5.5, slower drifts far near the ground
		diameter := p.canopyFor(s, speed)
		q := p.withCanopy(diameter)
		if moles := q.molesForFree(p.lift(p.Craft.GasMoles, s.launchAir()).free, s.launchAir()); diameter > p.canopyDiameter() {
			if flight, ok := q.outlook(s, moles); ok {
				list = append(list, Offer{Flight: flight, parts: q, moles: moles})
			}
		}
	}
	return list
}

func (p *Parts) onOneCylinder(s *Setting) []Offer {
	cylinders := p.Cylinders()
	if len(cylinders) == 0 {
		return nil
	}
	have := liftgas.MolesAtStandard(p.Craft.Gas.Kind, cylinders[0])
	var list []Offer
	for _, o := range p.sized(s, func(float64) bool { return true }, usualRise, soundRise) {
		if o.moles > have { // no usual fill: all that there is, where that rises soundly
			flight, ok := o.parts.outlook(s, have)
			if !ok || flight.MeanRate < soundRise {
				continue
			}
			o = Offer{Flight: flight, parts: o.parts, moles: have}
		}
		list = append(list, o)
	}
	return list
}

// editsTo writes the change from these parts to an offer's.
func (p *Parts) editsTo(o *Offer) []record.Edit {
	set := func(path, text string) record.Edit { return record.Edit{Kind: record.Set, Path: path, Text: text} }
	var edits []record.Edit
	q := o.parts
	if q.Craft.EnvelopeMass != p.Craft.EnvelopeMass {
		edits = append(edits, set("envelope.mass", grams(q.Craft.EnvelopeMass)), set("envelope.name", ""), set("envelope.price", ""))
		if p.File.Envelope.BurstDiameter.Given {
			edits = append(edits, set("envelope.burst_diameter", fmt.Sprintf("%.2f m", q.Craft.Burst.Median)))
		}
	}
	if i := p.Train.Canopy(); q.Craft.CanopyArea != p.Craft.CanopyArea && i >= 0 {
		row := fmt.Sprintf("train[%d].", i+1)
		diameter := q.canopyDiameter()
		mass := p.Train[i].Mass + canopyMass(diameter) - canopyMass(p.canopyDiameter())
		edits = append(edits, set(row+"rated", ""), set(row+"diameter", fmt.Sprintf("%.2f m", diameter)), set(row+"mass", grams(mass)))
	}
	// The gram is left off rather than added, for gas that is just enough.
	return append(edits, set("gas.fill.free_lift", grams(math.Floor(o.Flight.Free/unit.Gram)*unit.Gram)))
}

func (p *Parts) offerWords(o *Offer, system unit.System) string {
	q := o.parts
	what := "The same parts"
	switch {
	case q.Craft.EnvelopeMass != p.Craft.EnvelopeMass:
		what = "An envelope of " + grams(q.Craft.EnvelopeMass)
	case q.Craft.CanopyArea != p.Craft.CanopyArea:
		what = "A canopy of " + unit.FormatLength(q.canopyDiameter(), system) + " laid flat"
	}
	text := fmt.Sprintf("%s, filled to %s of free lift: rises at %s, bursts at %s, lands at %s, with %s of gas",
		what, unit.FormatMass(o.Flight.Free, system), unit.FormatRate(o.Flight.MeanRate, system), unit.FormatHeight(o.Flight.BurstAlt, system),
		unit.FormatSpeed(o.Flight.Landing, system), cubicFeet(o.Flight.Cubic, system))
	if o.Short > 0 {
		text += fmt.Sprintf(", %s more than is at hand", cubicFeet(o.Short, system))
	}
	return text + "."
}
