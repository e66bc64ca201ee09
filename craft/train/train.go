// Package train is what hangs below the envelope, in order from the top: what
// it weighs, how long it is, and where it parts when it is pulled too hard.
package train

// Role is what a part is for.
type Role uint8

// The roles of parts.
const (
	Line Role = iota
	Parachute
	Reflector
	Box
	Other
)

// Part is one part of the train.
type Part struct {
	Role              Role
	Name              string
	Mass              float64
	Length            float64
	BreakingLoad      float64 // of a line, N
	BreakingLoadKnown bool    // zero is a load, so whether it is known stands apart
}

// Train is the parts in order from the neck down.
type Train []Part

// Mass is that of all parts.
func (t Train) Mass() float64 { return t.massFrom(0) }

func (t Train) massFrom(first int) float64 {
	sum := 0.0
	for _, p := range t[first:] {
		sum += p.Mass
	}
	return sum
}

// MassBelow is all that hangs from the lower end of a part.
func (t Train) MassBelow(part int) float64 { return t.massFrom(part + 1) }

// Length is from the neck to the lowest end, hanging straight.
func (t Train) Length() float64 { return t.Depth(len(t)) }

// Depth is how far below the neck a part begins.
func (t Train) Depth(part int) float64 {
	sum := 0.0
	for _, p := range t[:part] {
		sum += p.Length
	}
	return sum
}

// Canopy is the index of the topmost parachute, or -1.
func (t Train) Canopy() int {
	for i, p := range t {
		if p.Role == Parachute {
			return i
		}
	}
	return -1
}

// HeaviestBox is the index of the heaviest box, the upper of equals, or -1.
func (t Train) HeaviestBox() int {
	heaviest := -1
	for i, p := range t {
		if p.Role == Box && (heaviest < 0 || p.Mass > t[heaviest].Mass) {
			heaviest = i
		}
	}
	return heaviest
}

// weakest is the index of the weakest line of known load between two parts, the
// lower of equals (the doubtful one must not be taken for the safe one), or -1.
func (t Train) weakest(from, to int) int {
	found := -1
	for i := from; i < to; i++ {
		p := t[i]
		if p.Role == Line && p.BreakingLoadKnown && (found < 0 || p.BreakingLoad <= t[found].BreakingLoad) {
			found = i
		}
	}
	return found
}

// WeakestLine is the index of the line that parts first among those whose load
// is known, or -1: its load is the one that separates the payload.
func (t Train) WeakestLine() int { return t.weakest(0, len(t)) }

// LinesOfUnknownLoad lists the lines that no breaking load is given for. While
// there are any, what the other answers say holds for the known lines only.
func (t Train) LinesOfUnknownLoad() []int {
	var unknown []int
	for i, p := range t {
		if p.Role == Line && !p.BreakingLoadKnown {
			unknown = append(unknown, i)
		}
	}
	return unknown
}

// WeakLinkAboveCanopy says whether a line above the parachute is known to part
// before every line below it, so that a snagged or torn flight loses its
// envelope and keeps its parachute. A line of unknown load below the parachute
// denies it: it may be the weaker one. Without a parachute the answer is no.
func (t Train) WeakLinkAboveCanopy() bool {
	canopy := t.Canopy()
	if canopy < 0 {
		return false
	}
	above, below := t.weakest(0, canopy), t.weakest(canopy, len(t))
	if above < 0 {
		return false
	}
	for _, i := range t.LinesOfUnknownLoad() {
		if i > canopy {
			return false
		}
	}
	return below < 0 || t[above].BreakingLoad < t[below].BreakingLoad
}

// WeakLineBelowCanopy is the index of a line below the parachute that would
// part before or together with the weakest known one above it, so that the box
// falls without a parachute; -1 where there is none. Without a known line above,
// nothing can be compared and the answer is -1: WeakLinkAboveCanopy is false then.
func (t Train) WeakLineBelowCanopy() int {
	canopy := t.Canopy()
	if canopy < 0 {
		return -1
	}
	above, below := t.weakest(0, canopy), t.weakest(canopy, len(t))
	if above < 0 || below < 0 || t[below].BreakingLoad > t[above].BreakingLoad {
		return -1
	}
	return below
}
