package envelope

import "math"

// BurstLaw says how burst diameters of one kind of envelope scatter: a Weibull
// law with its median at the rated diameter, mixed with a share of early
// failures, uniform in diameter between EarlyFrom times the release diameter
// and EarlyTo of the rated one. That a Weibull law fits is common practice
// without a source; the early share is judgement.
type BurstLaw struct {
	Median     float64 // rated diameter
	Variation  float64 // standard deviation over mean of the Weibull part; zero is no scatter
	EarlyShare float64 // 0 to 1

	shape float64 // of the Weibull law, worked out by NewBurstLaw
}

// Bounds of early failures, as judged: above the size at release and well below
// the rating.
const (
	EarlyFrom = 1.3
	EarlyTo   = 2.0 / 3
)

// NewBurstLaw works out the shape once; a BurstLaw written out by hand works it
// out anew at each call.
func NewBurstLaw(median, variation, earlyShare float64) BurstLaw {
	return BurstLaw{Median: median, Variation: variation, EarlyShare: earlyShare, shape: WeibullShape(variation)}
}

// EarlyShare is the share of flights that burst early: 5 %, or 8 % when the
// maker's date is unknown or over two years back. A judgement, in the range of
// common practice (5 % to 10 %); storage of no more than about two years is
// [WMO8]'s advice.
func EarlyShare(madeKnown bool, ageYears float64) float64 {
	if !madeKnown || ageYears > 2 {
		return 0.08
	}
	return 0.05
}

// WeibullShape finds the shape k whose coefficient of variation is the given
// one: sqrt(Γ(1+2/k)/Γ(1+1/k)² - 1). It answers between 0.5 (a variation of
// 2.24) and 1e5 (of 1.3e-5), and the nearer of them outside. 6 % gives about 20.
func WeibullShape(variation float64) float64 {
	low, high := math.Log(0.5), math.Log(1e5)
	for range 60 {
		middle := (low + high) / 2
		if weibullVariation(math.Exp(middle)) > variation {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Exp((low + high) / 2)
}

func weibullVariation(shape float64) float64 {
	twice, _ := math.Lgamma(1 + 2/shape)
	once, _ := math.Lgamma(1 + 1/shape)
	return math.Sqrt(math.Max(math.Expm1(twice-2*once), 0))
}

func (l BurstLaw) shapeOrSolved() float64 {
	if l.shape > 0 {
		return l.shape
	}
	return WeibullShape(l.Variation)
}

// early gives the bounds of early failures. Where a large fill leaves no room
// between them they meet at the lower one, never above the rating.
func (l BurstLaw) early(releaseDiameter float64) (from, to float64) {
	from = math.Min(EarlyFrom*releaseDiameter, l.Median)
	return from, math.Max(EarlyTo*l.Median, from)
}

// hazard is the Weibull law's cumulated hazard at a diameter: ln 2 at the median.
func (l BurstLaw) hazard(diameter, shape float64) float64 {
	return math.Ln2 * math.Pow(diameter/l.Median, shape)
}

func (l BurstLaw) diameterAt(hazard, shape float64) float64 {
	return l.Median * math.Pow(hazard/math.Ln2, 1/shape)
}

// Survival is the chance that the envelope is still whole at a diameter.
func (l BurstLaw) Survival(diameter, releaseDiameter float64) float64 {
	from, to := l.early(releaseDiameter)
	return l.survival(diameter, from, to, l.shapeOrSolved())
}

func (l BurstLaw) survival(diameter, from, to, shape float64) float64 {
	normal := 0.0
	switch {
	case l.Variation > 0:
		normal = math.Exp(-l.hazard(diameter, shape))
	case diameter < l.Median:
		normal = 1
	}
	early := 0.0
	switch {
	case diameter < from:
		early = 1
	case diameter < to:
		early = (to - diameter) / (to - from)
	}
	return (1-l.EarlyShare)*normal + l.EarlyShare*early
}

// Quantile turns a number from 0 up to but not including 1 into a burst diameter:
// the exact inverse of the mixture, rising with u. u = 0.5 is a little below the rated
// diameter, for early failures push the middle down.
func (l BurstLaw) Quantile(u, releaseDiameter float64) float64 {
	return l.QuantileAbove(u, releaseDiameter, 0)
}

// QuantileAbove is Quantile for an envelope that is known to be still whole at
// a diameter: the answer is never below that.
func (l BurstLaw) QuantileAbove(u, releaseDiameter, whole float64) float64 {
	shape := l.shapeOrSolved()
	from, to := l.early(releaseDiameter)
	whole = math.Max(whole, 0)
	if whole >= to || l.EarlyShare <= 0 {
		return l.normalAbove(u, whole, shape)
	}
	// The target is the share still whole at the diameter sought.
	target := l.survival(whole, from, to, shape) * (1 - u)
	normalShare := 1 - l.EarlyShare
	if target < l.survival(to, from, to, shape) {
		if l.Variation <= 0 {
			return l.Median
		}
		return math.Max(l.diameterAt(-math.Log(target/normalShare), shape), to)
	}
	low, high := whole, to
	for range 60 {
		middle := (low + high) / 2
		if l.survival(middle, from, to, shape) > target {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// normalAbove inverts the Weibull part alone, in hazards, where even the far
// tail keeps its digits.
func (l BurstLaw) normalAbove(u, whole, shape float64) float64 {
	if l.Variation <= 0 {
		return math.Max(l.Median, whole)
	}
	return math.Max(l.diameterAt(l.hazard(whole, shape)-math.Log1p(-u), shape), whole)
}
