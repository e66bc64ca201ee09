package ensemble

import (
	"context"
	"math"
	"testing"
	"time"

	"pappus/air/atmosphere"
	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/motion/trajectory"
	"pappus/odds/landing"
)

var cycle = time.Date(2027, 4, 17, 0, 0, 0, 0, time.UTC)

// jetSky is an invented sky: a westerly jet with a moving meander, easterlies
// above, turning winds below.
func jetSky() *forecast.Cube {
	shape := forecast.Shape{South: 28, West: -112, LatStep: 1, LonStep: 1, Rows: 25, Cols: 31, Cycle: cycle, Source: "invented jet"}
	for h := 6; h <= 24; h += 6 {
		shape.Times = append(shape.Times, cycle.Add(time.Duration(h)*time.Hour))
	}
	for _, hPa := range []float64{1000, 925, 850, 700, 600, 500, 400, 300, 250, 200, 150, 100, 70, 50, 30, 20, 10, 7} {
		shape.Pressures = append(shape.Pressures, hPa*100)
	}
	return forecast.Invent(shape, func(latDeg, lonDeg, p, seconds float64, _ int) forecast.Node {
		z := atmosphere.PressureAltitude(p)
		phase := (lonDeg+seconds/3600)*0.3 + latDeg*0.2
		core := math.Exp(-math.Pow((float64(z)-11000)/4000, 2))
		return forecast.Node{
			Height: geo.ToGeopotential(z, latDeg), Temperature: atmosphere.Temperature(z),
			East:  4 + 40*core*(1+0.3*math.Sin(phase)) - 10*math.Tanh((float64(z)-24000)/4000),
			North: 12*math.Cos(phase)*core + 3*math.Sin(float64(z)/2000),
		}
	})
}

// binomialBand answers how many of n must fall in a region of probability p
// so that a right region fails once in a hundred (normal approximation).
func binomialBand(n int, p float64) (low, high float64) {
	const z99 = 2.576
	half := z99*math.Sqrt(float64(n)*p*(1-p)) + 0.5
	return float64(n)*p - half, float64(n)*p + half
}

// Truths drawn from the model's own doubts, from generators of their own, must
// fall in the regions as often as these say. This proves the regions and the
// drawing, not the sizes of the doubts: those are judgements. What happens
// when the judgements are wrong is reported beside it and not asserted.
func TestRegionsHoldTheirShareIfTheDoubtsAreRight(t *testing.T) {
	const launches, perLaunch = 4, 100
	wrong := map[string]func(*Spread){
		"as judged":                  func(*Spread) {},
		"twice the e-folding height": func(s *Spread) { s.FoldScale = 2 },
		"1.5 times the wind error":   func(s *Spread) { s.WindScale = 1.5 },
	}
	inside := map[string]*[2]int{}
	for name := range wrong {
		inside[name] = new([2]int)
	}
	sky := jetSky()
	for i := range launches {
		q := request(2000)
		q.Sky, q.LeadHours, q.Seed = sky, 12, uint64(i+1)
		q.Start = trajectory.Place{LatDeg: 38 + float64(i), LonDeg: -101, Alt: 300, Seconds: float64(i+1) * 7200}
		q.Ground = trajectory.Flat(300)
		result, err := Run(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		lat, lon := result.Places()
		odds, err := landing.Summarise(landing.Points{LatDeg: lat, LonDeg: lon}, []float64{0.5, 0.9})
		if err != nil {
			t.Fatal(err)
		}
		for name, change := range wrong {
			truth := q
			truth.Members, truth.Seed = perLaunch, uint64(1e9)+uint64(i)
			change(&truth.Spread)
			truths, err := Run(context.Background(), truth)
			if err != nil {
				t.Fatal(err)
			}
			for _, l := range truths.Landings {
				for r, region := range odds.Regions {
					if region.Contains(geo.Point{LatDeg: l.Lat, LonDeg: l.Lon}) {
						inside[name][r]++
					}
				}
			}
		}
	}
	const n = launches * perLaunch
	for name, hits := range inside {
		t.Logf("%s: %.1f %% in the 50 %% regions, %.1f %% in the 90 %% regions", name, 100*float64(hits[0])/n, 100*float64(hits[1])/n)
	}
	for r, p := range []float64{0.5, 0.9} {
		low, high := binomialBand(n, p)
		if got := float64(inside["as judged"][r]); got < low || got > high {
			t.Errorf("%.0f of %d truths in the %.0f %% regions, want %.0f to %.0f", got, n, 100*p, low, high)
		}
	}
}

func TestWindErrorLaw(t *testing.T) {
	for _, c := range []struct{ pressure, want float64 }{
		{100000, 2.3}, {85000, 2.3}, {25000, 3.5}, {7000, 2.3}, {1000, 3.0}, {300, 3.0},
	} {
		if got := windSigma(c.pressure); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("wind error at %g Pa is %g, want %g", c.pressure, got, c.want)
		}
	}
	for _, c := range []struct{ hours, want float64 }{{0, 0.75}, {6, 0.75}, {15, 0.875}, {24, 1}, {48, 1.3}, {72, 1.75}, {120, 2.6}} {
		if got := LeadFactor(c.hours); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("lead factor at %g h is %g, want %g", c.hours, got, c.want)
		}
	}
	if got := LeadFactor(168); got <= 2.6 {
		t.Errorf("lead factor after a week is %g: it must go on growing", got)
	}
}

// Above the top level of the files the doubt grows by 1 m/s every 3 km.
func TestWindErrorGrowsAboveTheTop(t *testing.T) {
	law := lawFor(UsualSpread(), jetSky(), geo.Point{LatDeg: 40, LonDeg: -100}, 3600, 24)
	top := 0
	for k := range law.WindSigma {
		if k > 40 && law.WindSigma[k]-law.WindSigma[k-1] < 0.333 {
			t.Errorf("at %d km the wind error is %.3f m/s after %.3f", k, law.WindSigma[k], law.WindSigma[k-1])
		}
		if law.WindSigma[k] == 3 {
			top = k
		}
	}
	if top < 31 || top > 34 { // 7 hPa stands at 33.6 km in the standard
		t.Errorf("the error at the anchors ends at %d km", top)
	}
}

// A profile must have unit variance at every node and between nodes.
func TestDrawnProfilesKeepUnitVariance(t *testing.T) {
	g := newGenerator()
	law := trajectory.Law{WindCorrelation: trajectory.Correlations(func(float64) float64 { return foldBelow })}
	const n = 20000
	var at, next, both float64
	for i := range n {
		g.seed(7, i)
		var nodes [trajectory.NodeCount]float64
		drawProfile(g.rand, &nodes, &law.WindCorrelation)
		at += nodes[20] * nodes[20]
		next += nodes[23] * nodes[23]
		both += nodes[20] * nodes[23]
	}
	// The variance of n draws is known to sqrt(2/n), 1 %; three of that.
	if math.Abs(at/n-1) > 0.03 || math.Abs(next/n-1) > 0.03 || math.Abs(both/n-math.Exp(-1)) > 0.03 {
		t.Errorf("variances %.3f %.3f, correlation over 3 km %.3f, want 1, 1, %.3f", at/n, next/n, both/n, math.Exp(-1))
	}
}
