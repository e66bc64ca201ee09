package box

import (
	"math"
	"math/rand/v2"

	"pappus/measure/unit"
	"pappus/record"
)

// Sizes of the doubts, one standard deviation as a share unless said otherwise.
// Each is a judgement, to be replaced by a ground test.
const (
	usualWall    = 0.20 // lids, holes and corners; a freezer soak replaces it
	usualFilm    = 0.20 // a tumbling box is no sphere
	usualLight   = 0.15 // coatings age and get dirty
	usualContact = 0.30 // how things lie against each other
	usualLoad    = 0.15 // what devices really take
	usualContent = 0.10 // what cells really hold
	usualAir     = 3.0  // K, the air and the forecast of it
	usualStart   = 3.0  // K, the room in which it is packed
	lowAlbedo    = 0.20 // clear land and sea
	highAlbedo   = 0.70 // cloud and snow; drawn evenly up to it
	usualLeak    = 30 * unit.Minute
	leakSpread   = 0.7 // of its logarithm: 10 min to 2 h
)

// Contacts of things in a box, W/(m² K) of their surface, and how it is guessed from
// their mass; judgements.
const (
	touching  = 6.0    // radiation to the walls and touch
	stirring  = 4.0    // by the box's own air at sea level; it fades with the root of pressure
	thickness = 1500.0 // kg/m³ of devices and cells
)

// draw is one flight's departures from the middle.
type draw struct {
	wall, film, light, contact, load, content float64
	air, start                                float64
	albedo, leak                              float64
}

func middleDraw() draw {
	return draw{1, 1, 1, 1, 1, 1, 0, 0, meanAlbedo, usualLeak}
}

// drawOf answers the departures of a member; the same for the same seed.
func drawOf(seed uint64, member int, wallError float64) draw {
	const stream = 0x6b6f78 // apart from the flights' own draws
	r := rand.New(rand.NewPCG(seed, uint64(member)<<24^stream))
	factor := func(size float64) float64 { return math.Exp(size * r.NormFloat64()) }
	d := draw{
		wall: factor(wallError), film: factor(usualFilm), light: factor(usualLight), contact: factor(usualContact),
		load: factor(usualLoad), content: factor(usualContent),
	}
	d.air, d.start = usualAir*r.NormFloat64(), usualStart*r.NormFloat64()
	d.albedo = lowAlbedo + (highAlbedo-lowAlbedo)*r.Float64()
	d.leak = usualLeak * factor(leakSpread)
	return d
}

// contactOf is the tie of something of a mass to the inside, W/K at sea level.
func contactOf(mass float64, count int) float64 {
	side := math.Cbrt(mass / thickness)
	return (touching + stirring) * 6 * side * side * float64(count)
}

// thinContact is the factor that thin air leaves of it.
func thinContact(pressure float64) float64 {
	return (touching + stirring*math.Sqrt(pressure/seaPressure)) / (touching + stirring)
}

// inventory is a box as the file has it: what is in it and what feeds what.
type inventory struct {
	part     *record.Part
	shell    shell
	walled   bool
	items    []record.Item
	others   bool // a last body for what is not listed
	supplies []supply
	pack     packs
}

func inventoryOf(p *record.Part, s shell, walled bool) inventory {
	v := inventory{part: p, shell: s, walled: walled, items: p.Items}
	for i := range p.Items {
		item := &p.Items[i]
		if item.Kind == "heat pack" && item.Heat.Given {
			v.pack.heat += item.Heat.Value * float64(item.Count)
			switch {
			case item.Energy.Given:
				v.pack.energy += item.Energy.Value * float64(item.Count)
			case item.Lasts.Given:
				v.pack.energy += item.Heat.Value * item.Lasts.Value * float64(item.Count)
			default:
				v.pack.energy = math.Inf(1)
			}
		}
		energy, known := content(item)
		if !known || energy <= 0 {
			continue
		}
		cells := supply{cells: i, energy: energy, chemistry: ChemistryOf(item.Chemistry)}
		for j := range p.Items {
			fed := p.Items[j].Supply == item.Name && item.Name != ""
			own := j == i && item.Supply == "" && item.Power.Given
			if p.Items[j].Power.Given && (fed || own) {
				cells.feeds = append(cells.feeds, j)
			}
		}
		if len(cells.feeds) > 0 {
			v.supplies = append(v.supplies, cells)
		}
	}
	v.pack.room, v.pack.share = s.room, oxygenShare
	return v
}

// network sets the box up as a star of bodies.
func (v *inventory) network(d draw) *network {
	s := &v.shell
	half := s.foamMass * foamHeat / 2
	const airHeat = 1200.0 // J/(m³ K) near the sea; the foam beside it holds ten times that
	n := &network{
		area: s.area, wall: s.wall * d.wall, emits: s.coat.emits,
		skinHeat: half, insideHeat: half + airHeat*s.room,
	}
	for i := range v.items {
		item := &v.items[i]
		mass := item.Mass * float64(item.Count)
		if mass == 0 { // weighed with something else: a gram keeps the star whole
			mass = unit.Gram
		}
		n.bodies = append(n.bodies, body{mass * usualHeat, contactOf(max(item.Mass, unit.Gram), item.Count) * d.contact})
	}
	rest := v.part.Mass.Value - s.foamMass
	if len(v.items) == 0 {
		rest = contents(v.part, s.foamMass) / usualHeat
	}
	if rest > 0 {
		v.others = true
		n.bodies = append(n.bodies, body{rest * usualHeat, contactOf(rest, 1) * d.contact})
	}
	return n
}
