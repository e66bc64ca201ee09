package trajectory

import (
	"math"

	"pappus/measure/logtable"
)

// The nodes along height at which a flight's departures are drawn.
const (
	NodeSpacing = 1000.0 // m
	NodeCount   = 61     // from the sea to 60 km
)

// Law holds what every flight of an ensemble shares: the size of the wind
// error by height and how strongly neighbouring nodes agree.
type Law struct {
	WindSigma       [NodeCount]float64 // one component, m/s
	WindCorrelation [NodeCount]float64 // of node k with node k+1
	RiseSigma       float64            // of the rise rate from layer to layer, a share
	RiseCorrelation [NodeCount]float64
	TimeScale       float64 // e-folding time of the wind error, s
}

// Doubt holds one flight's departures from the forecast along height. All
// nodes have unit variance; Law gives their sizes.
type Doubt struct {
	Law         *Law
	East, North [NodeCount]float64 // on the way up
	FreshEast   [NodeCount]float64 // the part of the way down that the way up does not share
	FreshNorth  [NodeCount]float64
	Rise        [NodeCount]float64

	passed [NodeCount]float64 // when the way up passed each node
}

// spot is a height among the nodes: the node below and the share of the way to
// the next.
type spot struct {
	k     int
	share float64
}

func spotAt(alt float64) spot {
	x := alt / NodeSpacing
	if !(x > 0) {
		return spot{0, 0}
	}
	if x >= NodeCount-1 {
		return spot{NodeCount - 2, 1}
	}
	k := int(x)
	return spot{k, x - float64(k)}
}

// weights answers weights of the two nodes that keep unit variance between
// them, where plain interpolation would lose some.
func (s spot) weights(correlation *[NodeCount]float64) (low, high float64) {
	f := s.share
	g := 1 - f
	scale := 1 / math.Sqrt(g*g+f*f+2*f*g*correlation[s.k])
	return g * scale, f * scale
}

func (s spot) at(values *[NodeCount]float64, low, high float64) float64 {
	return values[s.k]*low + values[s.k+1]*high
}

// sigma is interpolated plainly: it is a size, not a draw.
func (l *Law) sigma(s spot) float64 {
	return l.WindSigma[s.k] + s.share*(l.WindSigma[s.k+1]-l.WindSigma[s.k])
}

// up answers the wind error met on the way up, and the factor on the rise rate.
func (d *Doubt) up(alt float64) (east, north, rateFactor float64) {
	const least = 0.3 // a rise three standard deviations of any size slow is still a rise
	s := spotAt(alt)
	low, high := s.weights(&d.Law.WindCorrelation)
	sigma := d.Law.sigma(s)
	east, north = sigma*s.at(&d.East, low, high), sigma*s.at(&d.North, low, high)
	low, high = s.weights(&d.Law.RiseCorrelation)
	return east, north, max(1+d.Law.RiseSigma*s.at(&d.Rise, low, high), least)
}

// down answers the wind error met on the way down: at the same height the
// error of the way up, faded by the time between, and a fresh part that keeps
// the size.
func (d *Doubt) down(alt, seconds float64) (east, north float64) {
	s := spotAt(alt)
	between := seconds - d.passed[s.k] - s.share*(d.passed[s.k+1]-d.passed[s.k])
	kept := logtable.Exp(-max(between, 0) / d.Law.TimeScale)
	fresh := math.Sqrt(1 - kept*kept)
	low, high := s.weights(&d.Law.WindCorrelation)
	sigma := d.Law.sigma(s)
	return sigma * (kept*s.at(&d.East, low, high) + fresh*s.at(&d.FreshEast, low, high)),
		sigma * (kept*s.at(&d.North, low, high) + fresh*s.at(&d.FreshNorth, low, high))
}

// pass notes when the way up goes through the nodes between two heights in a
// step that begins at an instant and lasts dt.
func (d *Doubt) pass(from, to, seconds, dt float64) {
	for k := max(int(from/NodeSpacing), 0); k < NodeCount && float64(k)*NodeSpacing <= to; k++ {
		if alt := float64(k) * NodeSpacing; alt >= from {
			d.passed[k] = seconds + dt*(alt-from)/max(to-from, 1)
		}
	}
}

// end notes the burst, which stands for the node above it.
func (d *Doubt) end(alt, seconds float64) {
	if k := int(max(alt, 0)/NodeSpacing) + 1; k < NodeCount {
		d.passed[k] = seconds
	}
}

// begin marks every node as passed at the start, for heights never reached.
func (d *Doubt) begin(seconds float64) {
	for k := range d.passed {
		d.passed[k] = seconds
	}
}

// Correlations answers the correlation of each node with the next for an
// e-folding length that may change with height.
func Correlations(length func(alt float64) float64) (c [NodeCount]float64) {
	for k := range c {
		c[k] = math.Exp(-NodeSpacing / length((float64(k)+0.5)*NodeSpacing))
	}
	return c
}
