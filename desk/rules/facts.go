package rules

import (
	"fmt"
	"math"
	"slices"
)

// Facts are the numbers of one flight that the rule texts compare, in SI units.
type Facts struct {
	Packages  []Package
	Lines     []Line // every line of the train, in order from the envelope down
	Reporters []Reporter
	// Hung is the mass of all that hangs below the envelope, packages included;
	// zero when it is not known. The texts speak of packages, so it only warns.
	Hung float64
	// Night says whether some of the flight falls between sunset and sunrise; nil
	// when the launch time has not been held against the sun.
	Night *bool
}

// Package is one box with everything in it.
type Package struct {
	Name string
	Mass float64    // kg
	Size [3]float64 // m, outside; all zero when not known
}

// Line is one piece of cord.
type Line struct {
	Name         string
	Length       float64 // m
	BreakingLoad float64 // N; zero when not stated
	AboveCanopy  bool    // between the envelope and the parachute
}

// Reporter is one device that tells its place: "satellite", "radio", "cellular" or "other".
type Reporter struct {
	Name string
	Kind string
}

// mostPackages bounds the work asked for by a file; a train of so many boxes is
// a slip of the pen.
const mostPackages = 100

// check refuses what no arithmetic can be done on.
func (f Facts) check() error {
	if len(f.Packages) == 0 {
		return fmt.Errorf("no box in the train: the rule texts weigh packages, so give at least one box with its mass")
	}
	if len(f.Packages) > mostPackages || len(f.Lines) > mostPackages {
		return fmt.Errorf("%d boxes and %d lines in one train: at most %d of each can be held against a rule text", len(f.Packages), len(f.Lines), mostPackages)
	}
	for i, p := range f.Packages {
		if !(p.Mass > 0) || math.IsInf(p.Mass, 0) {
			return fmt.Errorf("box %s has a mass of %g kg: give a mass above zero", p.label(i), p.Mass)
		}
		for _, side := range p.Size {
			if !(side >= 0) || math.IsInf(side, 0) {
				return fmt.Errorf("box %s has a side of %g m: give its three outer sides, each above zero", p.label(i), side)
			}
		}
	}
	for i, l := range f.Lines {
		if !(l.BreakingLoad >= 0) || math.IsInf(l.BreakingLoad, 0) || !(l.Length >= 0) || math.IsInf(l.Length, 0) {
			return fmt.Errorf("line %d has a length of %g m and a breaking load of %g N: neither can be below zero", i+1, l.Length, l.BreakingLoad)
		}
	}
	if !(f.Hung >= 0) || math.IsInf(f.Hung, 0) {
		return fmt.Errorf("all that hangs weighs %g kg: give a mass of zero or more", f.Hung)
	}
	return nil
}

func (p Package) label(i int) string {
	if p.Name == "" {
		return fmt.Sprintf("number %d", i+1)
	}
	return fmt.Sprintf("%q", p.Name)
}

// smallestFace is the area in m² of the smallest side of the box.
func (p Package) smallestFace() (area float64, known bool) {
	sides := p.Size
	slices.Sort(sides[:])
	return sides[0] * sides[1], sides[0] > 0
}

func (f Facts) payload() float64 {
	total := 0.0
	for _, p := range f.Packages {
		total += p.Mass
	}
	return total
}

// weakest is the line that parts first among those with a stated load; at equal
// load the lower one counts, since it may be the one that parts. unstated counts
// the lines without a load, any of which may be weaker still.
func (f Facts) weakest() (weakest *Line, unstated int) {
	for i := range f.Lines {
		l := &f.Lines[i]
		switch {
		case l.BreakingLoad == 0:
			unstated++
		case weakest == nil || l.BreakingLoad < weakest.BreakingLoad,
			l.BreakingLoad == weakest.BreakingLoad && weakest.AboveCanopy:
			weakest = l
		}
	}
	return weakest, unstated
}

// suspension is the length of all lines, the size the marking duties look at.
func (f Facts) suspension() float64 {
	total := 0.0
	for _, l := range f.Lines {
		total += l.Length
	}
	return total
}

// clone lets a change be tried without touching the flight.
func (f Facts) clone() Facts {
	f.Packages = slices.Clone(f.Packages)
	f.Lines = slices.Clone(f.Lines)
	return f
}
