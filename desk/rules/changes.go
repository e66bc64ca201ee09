package rules

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"pappus/measure/unit"
)

// Judgements of the changes. A further box brings its own foam and cord; taking
// more than a twentieth off a box usually means leaving a device at home.
const (
	secondBoxMass = 150 * unit.Gram
	easyShare     = 0.05
	mostBoxes     = 4 // one box is split into at most so many
	linkStep      = 5 // N, a weak link is named in whole fives
	mostSteps     = 24
)

// option is a change before it is known to work.
type option struct {
	change   Change
	facts    Facts
	step     string // the change without what it leads to
	cost     int    // order of effort, least first: a judgement
	exceeded int    // verdicts still exceeded or unknown after it
	worse    int    // paragraphs exceeded after it that were not before
}

// changes lists, for every finding that is exceeded or near, what takes it under its
// limit, least effort first, each tried by the same arithmetic.
func (t text) changes(f Facts) []Change {
	list := []Change{}
	exceeded := 0
	for _, p := range t.paragraphs {
		for _, v := range p.each(f) {
			if v.exceeded {
				exceeded++
			}
			for i, o := range t.options(v, f) {
				o.change.Cheapest = i == 0
				list = append(list, o.change)
			}
		}
	}
	if together, ok := t.together(f); ok && exceeded > 1 {
		list = append(list, together)
	}
	return list
}

// options are the changes that clear one verdict, least effort first, but those that
// run into another limit after those that do not.
func (t text) options(v verdict, f Facts) []option {
	if !v.exceeded && !v.near {
		return nil
	}
	var tried []option
	if v.paragraph.perPackage() {
		tried = append(tried, t.lighten(v, f), t.enlarge(v, f))
		if v.exceeded { // nobody splits a box for being near a limit
			tried = append(tried, t.split(v, f))
		}
	} else if v.deciding.quantity == payloadMass {
		tried = append(tried, t.lightenAll(v, f))
	} else {
		tried = append(tried, t.weakLink(v, f))
	}
	var good []option
	for _, o := range tried {
		if o.change.ID == "" || !clears(v, o.facts, len(f.Packages)) {
			continue
		}
		o.change.Paragraph, o.change.After = v.paragraph.id, t.after(o.facts)
		if v.of >= 0 {
			o.change.Package = f.Packages[v.of].Name
		}
		o.exceeded, o.worse = t.open(o.facts), t.newly(f, o.facts)
		o.step = o.change.Text
		o.change.Text += t.leaves(o.facts)
		good = append(good, o)
	}
	slices.SortStableFunc(good, func(a, b option) int {
		return cmp.Or(a.worse-b.worse, a.cost-b.cost)
	})
	return good
}

// clears holds the paragraph against the changed flight: against the package that
// was changed and the ones that were split off it, which stand after those before.
func clears(v verdict, changed Facts, before int) bool {
	for _, now := range v.paragraph.each(changed) {
		if v.of >= 0 && now.of != v.of && now.of < before {
			continue
		}
		if now.exceeded || !now.known || !v.exceeded && now.near {
			return false
		}
	}
	return true
}

// open counts the verdicts that are exceeded or not known.
func (t text) open(f Facts) int {
	n := 0
	for _, p := range t.paragraphs {
		for _, v := range p.each(f) {
			if v.exceeded || !v.known {
				n++
			}
		}
	}
	return n
}

// newly counts the paragraphs that a change runs into.
func (t text) newly(before, after Facts) int {
	n := 0
	for _, p := range t.paragraphs {
		if worst(p.each(after)).exceeded && !worst(p.each(before)).exceeded {
			n++
		}
	}
	return n
}

func (t text) leaves(f Facts) string {
	became, because, undecided := t.outcomeOf(f)
	var words string
	switch {
	case t.byClass:
		words = fmt.Sprintf(" The numbers then make it %s, with %s in %d %s.", became.class(), t.mass(f.payload()), len(f.Packages), plural(len(f.Packages), "box", "boxes"))
	case became == applies:
		words = fmt.Sprintf(" The part then still applies, by %s.", strings.Join(because, ", "))
	case len(undecided) == 0:
		words = fmt.Sprintf(" No number then exceeds a limit; the boxes weigh %s in all.", t.mass(f.payload()))
	default:
		words = " No number given then exceeds a limit."
	}
	if len(undecided) > 0 {
		words += fmt.Sprintf(" Still not known: %s.", strings.Join(undecided, ", "))
	}
	return words
}

// goal is the value to come down to: the limit, or the lower edge of the band when
// the finding is only near it.
func goal(l limb, v verdict) float64 {
	if v.exceeded {
		return l.limit
	}
	return (1 - l.quantity.band()) * l.limit
}

// gramsOff is the least whole number of grams, in kg, that brings a mass from value
// to allowed; one gram more where the limit itself is already too much.
func gramsOff(value, allowed float64, orMore bool) float64 {
	excess := (value - allowed) / unit.Gram
	// Half a microgram of slack keeps the noise of the division from costing a gram.
	const slack = 5e-7
	if orMore {
		return (math.Floor(excess+slack) + 1) * unit.Gram
	}
	return math.Ceil(excess-slack) * unit.Gram
}

// lighten takes mass off one box until one limb of the paragraph is not met.
func (t text) lighten(v verdict, f Facts) option {
	box := f.Packages[v.of]
	least, roomy := math.Inf(1), math.Inf(1)
	for _, l := range v.paragraph.limbs {
		scale := 1.0
		if l.quantity == packageDensity {
			area, known := box.smallestFace()
			if !known {
				continue
			}
			scale = area
		}
		least = min(least, gramsOff(box.Mass, goal(l, v)*scale, !l.strict || !v.exceeded))
		roomy = min(roomy, gramsOff(box.Mass, (1-l.quantity.band())*l.limit*scale, true))
	}
	if !(least > 0) || least >= box.Mass {
		return option{}
	}
	changed := f.clone()
	changed.Packages[v.of].Mass = box.Mass - least
	words := fmt.Sprintf("Take %s off the box %s", t.grams(least), box.label(v.of))
	if roomy > least {
		words += fmt.Sprintf(", or %s to be out of the scale's doubt too", t.grams(roomy))
	}
	cost := 1
	if least > easyShare*box.Mass {
		cost = 4
	}
	return option{change: Change{ID: "lighten", Amount: least, Unit: "kg", Text: words + "."}, facts: changed, cost: cost}
}

// lightenAll takes mass off all boxes together, each by the same share.
func (t text) lightenAll(v verdict, f Facts) option {
	l, total := v.deciding, f.payload()
	least := gramsOff(total, goal(l, v), !l.strict || !v.exceeded)
	if !(least > 0) || least >= total {
		return option{}
	}
	changed := f.clone()
	for i := range changed.Packages {
		changed.Packages[i].Mass *= (total - least) / total
	}
	words := fmt.Sprintf("Take %s in all off the boxes", t.grams(least))
	if roomy := gramsOff(total, (1-l.quantity.band())*l.limit, true); roomy > least {
		words += fmt.Sprintf(", or %s to be out of the scale's doubt too", t.grams(roomy))
	}
	words += ", or fly one of them under a second balloon."
	return option{change: Change{ID: "lighten", Amount: least, Unit: "kg", Text: words}, facts: changed, cost: 4}
}

// enlarge makes the smallest side of the box larger, in whole millimetres, so that
// the same mass lies on more area.
func (t text) enlarge(v verdict, f Facts) option {
	box := f.Packages[v.of]
	for _, l := range v.paragraph.limbs {
		if l.quantity != packageDensity {
			continue
		}
		before, known := box.smallestFace()
		area := box.Mass / goal(l, v)
		if !known || area <= before {
			return option{}
		}
		changed := f.clone()
		changed.Packages[v.of].Size = grown(box.Size, area)
		now, _ := changed.Packages[v.of].smallestFace()
		side := t.length(math.Sqrt(now))
		return option{
			change: Change{ID: "larger face", Amount: now, Unit: "m2", Text: fmt.Sprintf("At the same mass make the smallest side of the box %s as large as a square of %s by %s, for example outer sides of %s.",
				box.label(v.of), side, side, t.sides(changed.Packages[v.of].Size))},
			facts: changed, cost: 3,
		}
	}
	return option{}
}

func (t text) sides(size [3]float64) string {
	return fmt.Sprintf("%s, %s and %s", t.length(size[0]), t.length(size[1]), t.length(size[2]))
}

// grown lengthens the shortest side, then the two shortest, then all, until the
// smallest face has the area; sides are rounded up to whole millimetres.
func grown(size [3]float64, area float64) [3]float64 {
	up := func(side float64) float64 { return math.Ceil(side/unit.Millimetre-1e-9) * unit.Millimetre }
	order := []int{0, 1, 2}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(size[a], size[b]) })
	short, middle, long := order[0], order[1], order[2]
	if side := area / size[middle]; side <= size[long] {
		size[short] = up(side)
		return size
	}
	side := up(math.Sqrt(area))
	size[short], size[middle], size[long] = side, side, max(side, size[long])
	return size
}

// split puts the contents of one box into the fewest that clear the paragraph, each
// of the old outer size; every further box adds its own mass.
func (t text) split(v verdict, f Facts) option {
	box := f.Packages[v.of]
	for n := 2; n <= mostBoxes; n++ {
		changed := f.clone()
		part := box
		part.Mass = (box.Mass + float64(n-1)*secondBoxMass) / float64(n)
		changed.Packages[v.of] = part
		for range n - 1 {
			changed.Packages = append(changed.Packages, part)
		}
		if clears(v, changed, len(f.Packages)) {
			return option{
				change: Change{ID: "split", Amount: float64(n), Unit: "boxes", Text: fmt.Sprintf("Split the box %s into %d of %s each (each further box is reckoned at %s of its own, a judgement), each no smaller than the box is now.",
					box.label(v.of), n, t.mass(part.Mass), t.grams(secondBoxMass))},
				facts: changed, cost: 2,
			}
		}
	}
	return option{}
}

// weakLink puts a link above the canopy that parts well below the limit. A line
// below the canopy is never weakened: what parts there falls without a parachute.
func (t text) weakLink(v verdict, f Facts) option {
	l := v.deciding
	load := math.Floor((1-l.quantity.band())*l.limit/linkStep) * linkStep
	weight := max(f.Hung, f.payload()) * unit.StandardGravity
	if load <= weight {
		return option{} // it would part under the train's own weight
	}
	changed := f.clone()
	changed.Lines = slices.Insert(changed.Lines, 0, Line{Name: "weak link", BreakingLoad: load, AboveCanopy: true})
	words := fmt.Sprintf("Put a weak link of at most %s above the parachute, between it and the envelope, and pull-test it as tied. It has to bear the train's weight of %s and the jerks of wind and burst.", t.force(load), t.force(weight))
	if line, _ := f.weakest(); !line.AboveCanopy {
		words += fmt.Sprintf(" Leave %s, below the parachute, as strong as it is: never weaken a line there.", lineName(*line))
	}
	return option{change: Change{ID: "weak link", Amount: load, Unit: "N", Text: words}, facts: changed, cost: 0}
}

// together follows, for the first exceeded paragraph, the change that leaves the least
// exceeded, then judges again, until nothing is. Only the last step says what the
// numbers make of the flight.
func (t text) together(f Facts) (Change, bool) {
	words, steps := "Together:", 0
	for ; steps < mostSteps; steps++ {
		o, found := t.firstOption(f)
		if !found {
			break
		}
		words += fmt.Sprintf(" %d. %s", steps+1, o.step)
		f = o.facts
	}
	words += t.leaves(f)
	became, because, undecided := t.outcomeOf(f)
	if steps < 2 || became != nothing || len(undecided) > 0 {
		return Change{}, false
	}
	paragraph := ""
	if len(because) > 0 {
		paragraph = because[0]
	}
	return Change{ID: "together", Paragraph: paragraph, Amount: float64(steps), Unit: "changes", Text: words, After: t.after(f)}, true
}

func (t text) firstOption(f Facts) (option, bool) {
	for _, p := range t.paragraphs {
		for _, v := range p.each(f) {
			if !v.exceeded {
				continue
			}
			if options := t.options(v, f); len(options) > 0 {
				return slices.MinFunc(options, func(a, b option) int {
					return cmp.Or(a.exceeded-b.exceeded, a.cost-b.cost)
				}), true
			}
		}
	}
	return option{}, false
}
