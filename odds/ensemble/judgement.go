package ensemble

import (
	"math"
	"time"

	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/motion/trajectory"
)

// Spread holds the size of every doubt. Each is a judgement with its reason
// beside it, to be replaced by a flyer's own score where there is one.
type Spread struct {
	Drag      float64 // of the drag coefficient from flight to flight, a share
	Lift      float64 // of the lift weighed at the neck, a share
	GasOffset float64 // of the gas's temperature about the air's, K
	Canopy    float64 // of the canopy's drag area, a share
	Fouled    float64 // share of flights whose canopy is fouled
	FouledLow float64 // a fouled canopy keeps between these shares of its drag
	FouledTop float64
	Start     float64 // release within this time either side of the plan, s
	Layer     float64 // of the rise rate from layer to layer, a share
	LayerFold float64 // e-folding height of the layer scatter, m
	WindScale float64 // factor on the wind error; 1 as judged
	FoldScale float64 // factor on the wind error's e-folding height; 1 as judged
}

// UsualSpread is the doubt of a careful crew.
func UsualSpread() Spread {
	return Spread{
		// Single flights scatter by 20 to 30 % about the mean drag [Gallice2011]
		// (from memory), of which lift, gas and layers carry part.
		Drag: 0.10,
		// A spring scale in a light wind; common practice, no source.
		Lift: 0.05,
		// Sun warms and expansion cools the gas by some kelvins; judgement.
		GasOffset: 5,
		// The range of one canopy kind in [Knacke1991] table 5-1 is 5 to 10 % either side.
		Canopy: 0.10,
		// Rags of the envelope in the canopy keep 40 to 70 % of its drag; common practice, no source.
		Fouled: 0.03, FouledLow: 0.4, FouledTop: 0.7,
		// Crews are seldom more than ten minutes off the hour they planned; judgement.
		Start: 600,
		// 24 real soundings scatter by 8 to 9 % about a smooth rise in layers of 5 km.
		Layer: 0.08, LayerFold: 4000,
		WindScale: 1, FoldScale: 1,
	}
}

// windAnchors are the wind error of one component at 24 hours' lead, at the
// pressures of centre verification reports (from memory, low confidence).
var windAnchors = []struct{ pressure, sigma float64 }{
	{85000, 2.3}, {25000, 3.5}, {10000, 2.3}, {5000, 2.3}, {1000, 3.0},
}

// leadAnchors scale the wind error by the age of the forecast (same source).
var leadAnchors = []struct{ hours, factor float64 }{
	{6, 0.75}, {24, 1}, {48, 1.3}, {72, 1.75}, {120, 2.6},
}

const (
	aboveTopGrowth = 1.0 / 3000 // m/s per m above the top level of the files
	foldBelow      = 3000.0     // e-folding height of the wind error below the tropopause, m
	foldAbove      = 4000.0     // and above it
	timeFold       = 12 * 3600  // e-folding time of the wind error, s
	// A grid cannot carry gusts and waves smaller than itself: with real members
	// at least this much of each component's error is left to draw (1 to 2 m/s
	// of sub-grid wind, from memory).
	leastWind = 1.0
)

// windSigma answers the wind error at a pressure and 24 hours' lead, linear
// in the logarithm of pressure and held beyond the anchors.
func windSigma(pressure float64) float64 {
	last := len(windAnchors) - 1
	if pressure >= windAnchors[0].pressure {
		return windAnchors[0].sigma
	}
	for i := range last {
		low, high := windAnchors[i], windAnchors[i+1]
		if pressure > high.pressure {
			f := math.Log(low.pressure/pressure) / math.Log(low.pressure/high.pressure)
			return low.sigma + f*(high.sigma-low.sigma)
		}
	}
	return windAnchors[last].sigma
}

// LeadFactor scales the wind error by the lead in hours: linear between the
// anchors, held below 6 hours, carried on beyond 120.
func LeadFactor(hours float64) float64 {
	if hours <= leadAnchors[0].hours {
		return leadAnchors[0].factor
	}
	last := len(leadAnchors) - 1
	for i := range last {
		low, high := leadAnchors[i], leadAnchors[i+1]
		if hours <= high.hours || i == last-1 {
			return low.factor + (hours-low.hours)/(high.hours-low.hours)*(high.factor-low.factor)
		}
	}
	return leadAnchors[last].factor
}

// lawFor sets the sizes and correlations that all flights of a run share.
func lawFor(spread Spread, sky *forecast.Cube, at geo.Point, seconds, leadHours float64) *trajectory.Law {
	law := &trajectory.Law{TimeScale: timeFold, RiseSigma: spread.Layer}
	tropopause := float64(sky.Tropopause(at, seconds))
	law.WindCorrelation = trajectory.Correlations(func(alt float64) float64 {
		if alt < tropopause {
			return foldBelow * spread.FoldScale
		}
		return foldAbove * spread.FoldScale
	})
	law.RiseCorrelation = trajectory.Correlations(func(float64) float64 { return spread.LayerFold })
	if sky.Info().Kind == forecast.Standard {
		return law // no wind, so no wind error
	}
	lead := LeadFactor(leadHours)
	top := sky.TopPressure()
	topAlt, topSigma := 0.0, 0.0
	sampler := sky.Sampler(0)
	for k := range law.WindSigma {
		alt := float64(k) * trajectory.NodeSpacing
		pressure := sampler.At(at.LatDeg, at.LonDeg, alt, seconds).Pressure
		sigma := windSigma(pressure) * lead
		if pressure >= top {
			topAlt, topSigma = alt, sigma
		} else {
			sigma = topSigma + (alt-topAlt)*aboveTopGrowth
		}
		if carried := sky.Spread(at, geo.AltMSL(alt), seconds); carried > 0 {
			sigma = math.Sqrt(max(sigma*sigma-carried*carried, leastWind*leastWind))
		}
		law.WindSigma[k] = sigma * spread.WindScale
	}
	return law
}

// Lead answers the age of the forecast at a launch in hours: from its cycle,
// and with one step alone also the time between that step and the launch. A
// sky without a cycle counts as a day old.
func Lead(sky *forecast.Cube, launch time.Time) float64 {
	const unknown = 24.0
	cycle := sky.Info().Cycle
	if cycle.IsZero() {
		return unknown
	}
	hours := launch.Sub(cycle).Hours()
	if sky.Frozen() {
		hours += math.Abs(launch.Sub(sky.Epoch()).Hours())
	}
	return hours
}
