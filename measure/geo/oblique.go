package geo

import "math"

const (
	// shortest arc (radians, 0.2 m) from which on azimuths are solved for; below it
	// rounding would spoil them, and the sphere of the mean latitude is exact to
	// rounding (section 5).
	shortArc = 3e-8
	// newtonSteps usually suffice thrice over; the halving steps after them end the
	// search whatever happens.
	newtonSteps  = 20
	halvingSteps = 60
	// closeEnough is one rounding of an angle of about a radian.
	closeEnough = 2.2e-16
)

// oblique finds the azimuth at the first point whose geodesic meets the second
// parallel at the wanted longitude: Newton's method kept inside a bracket (section 4).
func (p *pair) oblique() arc {
	g, solved := p.start()
	if solved {
		return g
	}
	lowS, lowC, highS, highC := smallest, 1.0, smallest, -1.0
	var t trial
	settled := false
	for step := 0; step < newtonSteps+halvingSteps; step++ {
		t = p.try(g.sinAlpha1, g.cosAlpha1)
		missed := math.Abs(t.miss)
		if !(missed > closeEnough) || settled && missed <= 8*closeEnough { // true also for NaN
			break
		}
		settled = missed <= 16*closeEnough // one more step, then rounding rules
		if t.miss > 0 {
			highS, highC = g.sinAlpha1, g.cosAlpha1
		} else {
			lowS, lowC = g.sinAlpha1, g.cosAlpha1
		}
		if step < newtonSteps && t.slope > 0 {
			turn := -t.miss / t.slope
			sin, cos := math.Sincos(turn)
			s := g.sinAlpha1*cos + g.cosAlpha1*sin
			c := g.cosAlpha1*cos - g.sinAlpha1*sin
			between := s*lowC-c*lowS > 0 && s*highC-c*highS < 0
			if s > 0 && math.Abs(turn) < math.Pi && between {
				g.sinAlpha1, g.cosAlpha1 = unitVector(s, c)
				continue
			}
		}
		s, c := unitVector((lowS+highS)/2, (lowC+highC)/2)
		if s == g.sinAlpha1 && c == g.cosAlpha1 {
			break
		}
		g.sinAlpha1, g.cosAlpha1 = s, c
	}
	g.sinAlpha2, g.cosAlpha2 = t.sinAlpha2, t.cosAlpha2
	g.distance = t.length() + 0*t.miss // a longitude of NaN must show
	return g
}

// start guesses the azimuth at the first point; over short arcs the guess is the answer.
func (p *pair) start() (g arc, solved bool) {
	// The sphere whose radius fits the mean latitude (eqs. 48 to 51).
	mean := (p.cosBeta1 + p.cosBeta2) / 2
	w := math.Sqrt(1 - ecc2*mean*mean)
	sinOmega, cosOmega := math.Sincos(p.lambda / w)
	if p.lambda > w*math.Pi {
		sinOmega, cosOmega = 0, -1
	}
	// sin(β2-β1) plus what bends away keeps small differences.
	sinDiff := p.sinBeta2*p.cosBeta1 - p.cosBeta2*p.sinBeta1
	versine := 1 - cosOmega
	if cosOmega > 0 {
		versine = sinOmega * sinOmega / (1 + cosOmega)
	}
	x1, y1 := sinDiff+p.sinBeta1*p.cosBeta2*versine, p.cosBeta2*sinOmega
	x2, y2 := sinDiff-p.cosBeta1*p.sinBeta2*versine, p.cosBeta1*sinOmega
	sinSigma := math.Hypot(x1, y1)
	cosSigma := p.sinBeta1*p.sinBeta2 + p.cosBeta1*p.cosBeta2*cosOmega
	g.sinAlpha1, g.cosAlpha1 = unitVector(y1, x1)
	if sinSigma < shortArc && cosSigma > 0 {
		g.sinAlpha2, g.cosAlpha2 = unitVector(y2, x2)
		g.distance = semiMajor * w * math.Atan2(sinSigma, cosSigma)
		return g, true
	}
	if cosSigma < 0 && sinSigma < 6*flattening*math.Pi*p.cosBeta1*p.cosBeta1 {
		g.sinAlpha1, g.cosAlpha1 = p.nearAntipode()
	}
	if !(g.sinAlpha1 > 0) {
		g.sinAlpha1, g.cosAlpha1 = 1, 0
	}
	return g, false
}

// nearAntipode guesses the azimuth where the sphere cannot: near the antipode the
// geodesics envelop an astroid (section 5, eqs. 53 to 57).
func (p *pair) nearAntipode() (sinAlpha1, cosAlpha1 float64) {
	_, eps := expansion(math.Abs(p.sinBeta1))
	a3, _ := longitudeSeries(eps)
	across := flattening * a3 * math.Pi * p.cosBeta1 // of the astroid, in longitude
	x := -p.halfTurnLess / across
	sinSum := p.sinBeta2*p.cosBeta1 + p.cosBeta2*p.sinBeta1
	y := sinSum / (across * p.cosBeta1)
	if y > -1e-13 && x > -1-1e-7 {
		return unitVector(-x, -math.Sqrt(math.Max(0, 1-x*x)))
	}
	mu := astroid(x, y)
	return unitVector(-x/(1+mu), y/mu)
}

// astroid answers the positive root μ of x²/(1+μ)² + y²/μ² = 1, which is eq. 55
// (μ⁴+2μ³+(1-x²-y²)μ²-2y²μ-y² = 0) before its denominators were cleared. The left side
// falls and is convex, so Newton's method from below climbs to the root.
func astroid(x, y float64) float64 {
	mu := math.Max(math.Max(math.Abs(y), math.Abs(x)-1), 1e-15)
	for range 30 {
		u, v := x/(1+mu), y/mu
		excess := u*u + v*v - 1
		step := excess / (2 * (u*u/(1+mu) + v*v/mu))
		mu += step
		if !(step > 1e-9*mu) {
			break
		}
	}
	return mu
}

// trial is the geodesic that leaves the first point at a tried azimuth, up to where it
// meets the second parallel going north.
type trial struct {
	sinAlpha2, cosAlpha2 float64
	sinSigma1, cosSigma1 float64
	sinSigma2, cosSigma2 float64
	sigma12              float64
	eps                  float64
	miss                 float64 // longitude reached less longitude wanted, radians
	slope                float64 // of miss with the azimuth
}

func (p *pair) try(sinAlpha1, cosAlpha1 float64) (t trial) {
	if p.sinBeta1 == 0 && cosAlpha1 == 0 {
		cosAlpha1 = -smallest // leave the equator, if by nothing
	}
	sinAlpha0 := sinAlpha1 * p.cosBeta1
	cosAlpha0 := math.Hypot(cosAlpha1, sinAlpha1*p.sinBeta1)
	t.sinSigma1, t.cosSigma1 = unitVector(p.sinBeta1, cosAlpha1*p.cosBeta1)
	sinOmega1, cosOmega1 := sinAlpha0*t.sinSigma1, t.cosSigma1

	// Azimuth at the second parallel (eqs. 5 and 45).
	t.sinAlpha2, t.cosAlpha2 = sinAlpha1, math.Abs(cosAlpha1)
	if p.cosBeta2 != p.cosBeta1 || math.Abs(p.sinBeta2) != -p.sinBeta1 {
		t.sinAlpha2 = sinAlpha0 / p.cosBeta2
		gain := (p.sinBeta1 - p.sinBeta2) * (p.sinBeta1 + p.sinBeta2)
		if p.cosBeta1 < -p.sinBeta1 {
			gain = (p.cosBeta2 - p.cosBeta1) * (p.cosBeta1 + p.cosBeta2)
		}
		along := cosAlpha1 * p.cosBeta1
		t.cosAlpha2 = math.Sqrt(math.Max(0, along*along+gain)) / p.cosBeta2
	}
	t.sinSigma2, t.cosSigma2 = unitVector(p.sinBeta2, t.cosAlpha2*p.cosBeta2)
	sinOmega2, cosOmega2 := sinAlpha0*t.sinSigma2, t.cosSigma2

	t.sigma12 = math.Atan2(math.Max(0, t.sinSigma2*t.cosSigma1-t.cosSigma2*t.sinSigma1),
		t.cosSigma2*t.cosSigma1+t.sinSigma2*t.sinSigma1)
	sinOmega := math.Max(0, sinOmega2*cosOmega1-cosOmega2*sinOmega1)
	cosOmega := cosOmega2*cosOmega1 + sinOmega2*sinOmega1
	// ω - λ from its own sine and cosine, so that a half turn cancels exactly.
	over := math.Atan2(sinOmega*p.cosLambda-cosOmega*p.sinLambda, cosOmega*p.cosLambda+sinOmega*p.sinLambda)
	k2, eps := expansion(cosAlpha0)
	t.eps = eps
	a3, c3 := longitudeSeries(eps)
	t.miss = over - flattening*sinAlpha0*a3*(t.sigma12+
		c3.sines(t.sinSigma2, t.cosSigma2)-c3.sines(t.sinSigma1, t.cosSigma1))
	if t.cosAlpha2 == 0 {
		// Both ends at the vertex, where eq. 46 is 0/0.
		t.slope = -2 * math.Sqrt(1-ecc2*p.cosBeta1*p.cosBeta1) / p.sinBeta1
		return t
	}
	t.slope = t.reducedLength(k2) * axes / (t.cosAlpha2 * p.cosBeta2) // eq. 46
	return t
}

// length is the distance along the trial (eqs. 7 and 15).
func (t *trial) length() float64 {
	a1, c1 := lengthSeries(t.eps)
	return semiMinor * a1 * (t.sigma12 + c1.sines(t.sinSigma2, t.cosSigma2) - c1.sines(t.sinSigma1, t.cosSigma1))
}

// reducedLength is m12/b (eqs. 38 to 40): how far a neighbouring geodesic would be off
// at the end, for each radian at the start.
func (t *trial) reducedLength(k2 float64) float64 {
	a1, c1 := lengthSeries(t.eps)
	a2, c2 := reducedSeries(t.eps)
	j := a1*(t.sigma12+c1.sines(t.sinSigma2, t.cosSigma2)-c1.sines(t.sinSigma1, t.cosSigma1)) -
		a2*(t.sigma12+c2.sines(t.sinSigma2, t.cosSigma2)-c2.sines(t.sinSigma1, t.cosSigma1))
	return math.Sqrt(1+k2*t.sinSigma2*t.sinSigma2)*t.cosSigma1*t.sinSigma2 -
		math.Sqrt(1+k2*t.sinSigma1*t.sinSigma1)*t.sinSigma1*t.cosSigma2 -
		t.cosSigma1*t.cosSigma2*j
}
