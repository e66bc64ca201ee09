package geo

import "math"

// Inverse gives the shortest geodesic from a to b: its length, the azimuth in which it
// leaves a, and the back azimuth, in which it leaves b towards a; both in degrees from
// north, clockwise, in [0, 360). Where several are equally short one of them is
// answered. Points in one place give 0, 0, 180.
// The error is that of rounding, some tens of nanometres, also between nearly antipodal
// points [Karney2013, section 4 and 5].
func Inverse(a, b Point) (distanceM, azimuthDeg, backAzimuthDeg float64) {
	p := arrange(a, b)
	var g arc
	switch {
	case p.sinLambda == 0 || p.cosBeta1 == smallest:
		g = p.meridian()
	case p.sinBeta1 == 0 && p.sinBeta2 == 0 && p.halfTurnLess >= flattening*math.Pi:
		g = p.equator()
	default:
		g = p.oblique()
	}
	return p.restore(g)
}

// pair is two points turned so that sin β1 <= 0, |β2| <= |β1| and the longitude
// difference λ is in [0, π] (eq. 44). It remembers how to turn the answer back.
type pair struct {
	sinBeta1, cosBeta1   float64
	sinBeta2, cosBeta2   float64
	sinLambda, cosLambda float64
	lambda               float64 // radians
	halfTurnLess         float64 // π - λ, exact also when small
	swapped              bool
	eastward, northward  float64 // sign factors
}

// arc is a geodesic between the points of a pair.
type arc struct {
	distance             float64 // m
	sinAlpha1, cosAlpha1 float64
	sinAlpha2, cosAlpha2 float64
}

func arrange(a, b Point) pair {
	p := pair{eastward: 1, northward: 1}
	// The difference with what its rounding lost, so that points near one another or
	// nearly opposite keep all their digits.
	difference := b.LonDeg - a.LonDeg
	virtual := difference + a.LonDeg
	lost := (b.LonDeg - virtual) - (a.LonDeg - (virtual - difference))
	difference = math.Remainder(difference, 360)
	if difference < 0 || difference == 0 && lost < 0 {
		difference, lost, p.eastward = -difference, -lost, -1
	}
	lambdaDeg := difference + lost
	lessDeg := (180 - difference) - lost
	if lessDeg < 0 {
		lambdaDeg, lessDeg, p.eastward = 360-lambdaDeg, -lessDeg, -p.eastward
	}
	p.lambda, p.halfTurnLess = lambdaDeg*radian, lessDeg*radian
	if lambdaDeg > 90 {
		p.sinLambda, p.cosLambda = sincosDeg(lessDeg)
		p.cosLambda = -p.cosLambda
	} else {
		p.sinLambda, p.cosLambda = sincosDeg(lambdaDeg)
	}

	lat1, lat2 := a.LatDeg, b.LatDeg
	if math.Abs(lat1) < math.Abs(lat2) {
		lat1, lat2, p.swapped = lat2, lat1, true
		p.eastward = -p.eastward
	}
	if lat1 >= 0 {
		lat1, lat2, p.northward = -lat1, -lat2, -1
	}
	p.sinBeta1, p.cosBeta1 = reduced(lat1)
	p.sinBeta2, p.cosBeta2 = reduced(lat2)
	if lat2 == lat1 { // cancel rounding, which symmetry would feel
		p.sinBeta2, p.cosBeta2 = p.sinBeta1, p.cosBeta1
	} else if lat2 == -lat1 {
		p.sinBeta2, p.cosBeta2 = -p.sinBeta1, p.cosBeta1
	}
	return p
}

// restore turns an arc back into the order and hemisphere that were asked for.
func (p *pair) restore(g arc) (distanceM, azimuthDeg, backAzimuthDeg float64) {
	if g.distance < 1e-100 { // one place, or one pole under two longitudes
		return 0, 0, 180
	}
	ahead1 := atan2Deg(g.sinAlpha1*p.eastward, g.cosAlpha1*p.northward)
	behind2 := atan2Deg(-g.sinAlpha2*p.eastward, -g.cosAlpha2*p.northward)
	if p.swapped {
		ahead1, behind2 = behind2, ahead1
	}
	return g.distance, wrapBearingDeg(ahead1), wrapBearingDeg(behind2)
}

// meridian joins points on one meridian, over the pole if they are on opposite ones,
// or a pole with anything. An oblate ellipsoid has no shorter way (section 4).
func (p *pair) meridian() arc {
	g := arc{sinAlpha1: p.sinLambda, cosAlpha1: p.cosLambda, sinAlpha2: 0, cosAlpha2: 1}
	sin1, cos1 := unitVector(p.sinBeta1, g.cosAlpha1*p.cosBeta1)
	sin2, cos2 := p.sinBeta2, p.cosBeta2
	_, eps := expansion(1)
	a1, c1 := lengthSeries(eps)
	sigma12 := math.Atan2(math.Max(0, sin2*cos1-cos2*sin1), cos2*cos1+sin2*sin1)
	g.distance = semiMinor * a1 * (sigma12 + c1.sines(sin2, cos2) - c1.sines(sin1, cos1))
	return g
}

// equator joins points on the equator that are less than (1-f)·180 degrees apart;
// beyond that a way over higher latitudes is shorter.
func (p *pair) equator() arc {
	return arc{distance: semiMajor * p.lambda, sinAlpha1: 1, sinAlpha2: 1}
}

func unitVector(y, x float64) (sin, cos float64) {
	r := math.Hypot(y, x)
	return y / r, x / r
}
