package trajectory

import "math"

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
	faded  int                // the node at which kept and fresh were worked out, plus 1
	kept   float64            // share of the way up's error that is left there
	fresh  float64            // share of the fresh part that keeps the size
}

// between finds the node below a height and weights that keep unit variance
// between nodes, where plain interpolation would lose some.
func between(alt float64, correlation *[NodeCount]float64) (k int, low, high float64) {
	x := alt / NodeSpacing
	if x <= 0 {
		return 0, 1, 0
	}
	if x >= NodeCount-1 {
		return NodeCount - 2, 0, 1
	}
	k = int(x)
	f := x - float64(k)
	g := 1 - f
	scale := 1 / math.Sqrt(g*g+f*f+2*f*g*correlation[k])
	return k, g * scale, f * scale
}

func at(values *[NodeCount]float64, k int, low, high float64) float64 {
	return values[k]*low + values[k+1]*high
}

// sigma is interpolated plainly: it is a size, not a draw.
func (l *Law) sigma(alt float64) float64 {
	x := min(max(alt/NodeSpacing, 0), NodeCount-1)
	k := min(int(x), NodeCount-2)
	f := x - float64(k)
	return l.WindSigma[k] + f*(l.WindSigma[k+1]-l.WindSigma[k])
}

// windUp answers the wind error met on the way up.
func (d *Doubt) windUp(alt float64) (east, north float64) {
	k, low, high := between(alt, &d.Law.WindCorrelation)
	s := d.Law.sigma(alt)
	return s * at(&d.East, k, low, high), s * at(&d.North, k, low, high)
}

// windDown answers the wind error met on the way down: at the same height the
// error of the way up, faded by the time between, and a fresh part that keeps
// the size.
func (d *Doubt) windDown(alt, seconds float64) (east, north float64) {
	k, low, high := between(alt, &d.Law.WindCorrelation)
	if d.faded != k+1 { // once a node: within it the time between changes by minutes of 12 hours
		d.faded = k + 1
		d.kept = math.Exp(-math.Max(seconds-d.passed[k], 0) / d.Law.TimeScale)
		d.fresh = math.Sqrt(1 - d.kept*d.kept)
	}
	s := d.Law.sigma(alt)
	return s * (d.kept*at(&d.East, k, low, high) + d.fresh*at(&d.FreshEast, k, low, high)),
		s * (d.kept*at(&d.North, k, low, high) + d.fresh*at(&d.FreshNorth, k, low, high))
}

// rateFactor answers the factor on the rise rate at a height.
func (d *Doubt) rateFactor(alt float64) float64 {
	const least = 0.3 // a rise three standard deviations of any size slow is still a rise
	k, low, high := between(alt, &d.Law.RiseCorrelation)
	return max(1+d.Law.RiseSigma*at(&d.Rise, k, low, high), least)
}

// pass notes when the way up goes through the nodes between two heights.
func (d *Doubt) pass(from, to, seconds float64) {
	for k := max(int(from/NodeSpacing), 0); k < NodeCount && float64(k)*NodeSpacing <= to; k++ {
		if float64(k)*NodeSpacing >= from {
			d.passed[k] = seconds
		}
	}
}

// begin marks every node as passed at the start, for heights never reached.
func (d *Doubt) begin(seconds float64) {
	d.faded = 0
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
