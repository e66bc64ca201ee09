package landing

import (
	"cmp"
	"math"
	"slices"

	"pappus/measure/geo"
)

// Estimate is the landing density worked out once from a cloud of points, to draw
// several things from. It is never changed after NewEstimate and may be shared.
type Estimate struct {
	cloud   cloud
	frame   frame
	lattice *lattice
	group   []standing // the landings, densest first
}

// standing is a landing with the density that the others alone give at its place.
type standing struct {
	density float64
	node    int32 // lower left of the cell it lies in; a lattice has few cells
	patch   int32 // whose node that is
	weight  float64
	upTo    float64 // weight of this and all denser ones
}

// NewEstimate works out the density of a cloud.
func NewEstimate(p Points) (*Estimate, error) {
	c, err := newCloud(p)
	if err != nil {
		return nil, err
	}
	return c.suggested(), nil
}

// suggested is the estimate with the kernel that suits the cloud's own scale.
func (c cloud) suggested() *Estimate {
	return c.estimate(c.localScale().frame(), math.Pow(c.effective, -1./6))
}

// estimate lays out the density for a kernel that is round in the frame.
func (c cloud) estimate(f frame, bandwidth float64) *Estimate {
	e := &Estimate{cloud: c, frame: f}
	turned := make([]vector, len(c.at))
	for i, a := range c.at {
		turned[i] = f.to(a)
	}
	e.lattice = newLattice(turned, c.weight, bandwidth, 0)
	e.rank(turned)
	return e
}

const (
	// enough landings that some of them lying alone tells of a long tail.
	enough    = 100.0
	doublings = 8 // times the kernel may be doubled
)

// suited answers the estimate to draw a region for a share from: the same, unless the
// share reaches so far into a long tail that landings there lie alone, each outside the
// others' kernels. Then no level would hold it, and the kernel is doubled until one does.
func (e *Estimate) suited(share float64) *Estimate {
	for range doublings {
		if e.cloud.effective < enough || e.lattice.mass(e.honest(share)) <= 1-mostOutside*(1-share) {
			break
		}
		e = e.cloud.estimate(e.frame, 2*e.lattice.bandwidth)
	}
	return e
}

// Median is the geometric median of the landings.
func (e *Estimate) Median() geo.Point { return e.cloud.plane.Centre() }

// Bandwidths are the standard deviations of the kernel along its two axes, the longer
// first, m.
func (e *Estimate) Bandwidths() (longM, shortM float64) {
	return e.lattice.bandwidth * e.frame.scaleX, e.lattice.bandwidth * e.frame.scaleY
}

// rank finds the leave-one-out density of each landing: the share of the density at its
// place that is not its own, as if that landing were the next one to come.
func (e *Estimate) rank(turned []vector) {
	l, k := e.lattice, e.lattice.kernel
	e.group = make([]standing, len(turned))
	for i, u := range turned {
		w := e.cloud.weight[i]
		p := &l.patches[l.home[i]]
		node, fx, fy := l.bin(p, u)
		// What the point itself has put here by way of the same four nodes.
		ownX := float64(k[0]*(float64(fx*fx)+float64((1-fx)*(1-fx)))) + float64(2*k[1]*fx*(1-fx))
		ownY := float64(k[0]*(float64(fy*fy)+float64((1-fy)*(1-fy)))) + float64(2*k[1]*fy*(1-fy))
		own := w * ownX * ownY / (l.step * l.step)
		density := 0.0
		if w < 1 {
			density = math.Max(0, (p.between(node, fx, fy)-own)/(1-w))
		}
		e.group[i] = standing{density: density, node: int32(node), patch: l.home[i], weight: w}
	}
	slices.SortStableFunc(e.group, func(a, b standing) int { return cmp.Compare(b.density, a.density) })
	sum := 0.0
	for i := range e.group {
		sum += e.group[i].weight
		e.group[i].upTo = sum
	}
}

// between is the density inside a cell, bilinear.
func (p *patch) between(node int, fx, fy float64) float64 {
	south := float64(p.density[node]*(1-fx)) + float64(p.density[node+1]*fx)
	north := float64(p.density[node+p.nx]*(1-fx)) + float64(p.density[node+p.nx+1]*fx)
	return float64(south*(1-fy)) + float64(north*fy)
}

// level is the honest one, within bounds.
func (e *Estimate) level(share float64) float64 { return e.bounded(e.honest(share), share) }

// honest is the density above which the share of landings still to come lies. Of n
// landings whose order says nothing, the next one is denser than the k-th densest with
// the chance k/(n+1), so the level is read there.
func (e *Estimate) honest(share float64) float64 {
	n := e.cloud.effective
	want := share * (n + 1) / n
	i, _ := slices.BinarySearchFunc(e.group, want, func(s standing, w float64) int { return cmp.Compare(s.upTo, w) })
	switch i {
	case len(e.group):
		return 0
	case 0:
		return e.group[0].density
	}
	below, above := e.group[i-1], e.group[i]
	part := (want - below.upTo) / above.weight
	return below.density + float64(part*(above.density-below.density))
}

// A level must leave the region a sensible share of the estimate's own mass. In a cloud
// of some dozens of points or more the leave-one-out level lies well within these
// bounds. They rule where it means nothing: landings on one spot (as dense as the peak
// itself, an empty region) and a handful of scattered ones (nothing near them, a region
// without end).
const (
	leastMass   = 0.25 // of the share asked for
	mostOutside = 0.25 // of the share left outside
)

func (e *Estimate) bounded(level, share float64) float64 {
	mass := e.lattice.mass(level)
	low, high := leastMass*share, 1-mostOutside*(1-share)
	switch {
	case mass < low:
		return e.levelOfMass(low)
	case mass > high:
		return e.levelOfMass(high)
	}
	return level // above zero, or its mass would be one
}

// levelOfMass halves its way to the level above which the estimate has a mass.
func (e *Estimate) levelOfMass(mass float64) float64 {
	low, high := 0.0, e.lattice.peak()
	for range 50 {
		mid := (low + high) / 2
		if e.lattice.mass(mid) > mass {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// mass is the integral of the density where it is at least the level.
func (l *lattice) mass(level float64) float64 {
	sum := 0.0
	for i := range l.patches {
		for _, v := range l.patches[i].density {
			if v >= level {
				sum += v
			}
		}
	}
	return sum * l.step * l.step
}

func (l *lattice) peak() float64 {
	peak := 0.0
	for i := range l.patches {
		for _, v := range l.patches[i].density {
			peak = math.Max(peak, v)
		}
	}
	return peak
}
