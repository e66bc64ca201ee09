package grib2

import "math"

// The projections of templates 3.10, 3.20 and 3.30 on an ellipsoid of
// eccentricity e, of which a sphere is the case e = 0. Formulas and equation
// numbers are those of [Snyder1987]. Symbols: phi latitude, lambda longitude,
// t the isometric colatitude's tangent, m the radius of a parallel in units of
// the equator's, n the cone constant, rho the distance from the cone's tip.

// eccentricity is e of the figure of the earth.
func (e Earth) eccentricity() float64 {
	ratio := e.Minor / e.Major
	return math.Sqrt(max(0, 1-ratio*ratio))
}

// isometric is t of equation 15-9.
func isometric(phi, e float64) float64 {
	s := e * math.Sin(phi)
	return math.Tan(math.Pi/4-phi/2) / math.Pow((1-s)/(1+s), e/2)
}

// parallel is m of equation 14-15.
func parallel(phi, e float64) float64 {
	s := e * math.Sin(phi)
	return math.Cos(phi) / math.Sqrt(1-s*s)
}

// latitude is the inverse of isometric, equation 7-9. Each round gains a factor
// of about e², 150 on the earth: eight are more than float64 can tell.
func latitude(t, e float64) float64 {
	phi := math.Pi/2 - 2*math.Atan(t)
	for range 8 {
		s := e * math.Sin(phi)
		phi = math.Pi/2 - 2*math.Atan(t*math.Pow((1-s)/(1+s), e/2))
	}
	return phi
}

// cone gives n and F of equations 15-3, 15-8 and 15-10; a polar stereographic
// grid is the cone that has become a plane, n = 1 or -1 (equation 21-34).
func (g Grid) cone(e float64) (n, f float64) {
	const radian = math.Pi / 180
	if g.Template == 20 {
		n = 1
		if g.Centre&0x80 != 0 {
			n = -1
		}
		phi := g.LaD * radian
		if n*phi > math.Pi/2-1e-9 { // true at the pole: equation 21-33
			return n, n * 2 / math.Sqrt(math.Pow(1+e, 1+e)*math.Pow(1-e, 1-e))
		}
		return n, parallel(phi, e) / (n * math.Pow(isometric(phi, e), n))
	}
	phi1, phi2 := g.Latin1*radian, g.Latin2*radian
	n = math.Sin(phi1)
	if math.Abs(phi1-phi2) > 1e-9 {
		n = math.Log(parallel(phi1, e)/parallel(phi2, e)) / math.Log(isometric(phi1, e)/isometric(phi2, e))
	}
	return n, parallel(phi1, e) / (n * math.Pow(isometric(phi1, e), n))
}

// project gives the place of a point i steps along x and j along y.
func (g Grid) project(i, j int) (latDeg, lonDeg float64) {
	const radian = math.Pi / 180
	a, e := g.Earth.Major, g.Earth.eccentricity()
	x, y := float64(i)*g.Dx, float64(j)*g.Dy
	if g.ScanMode&scanWestward != 0 {
		x = -x
	}
	if g.ScanMode&scanNorthward == 0 {
		y = -y
	}
	if g.Template == 10 {
		scale := a * parallel(g.LaD*radian, e)
		t := isometric(g.La1*radian, e) * math.Exp(-y/scale) // equations 7-6 and 7-7
		return latitude(t, e) / radian, wrap(g.Lo1 + x/scale/radian)
	}
	n, f := g.cone(e)
	rho := a * f * math.Pow(isometric(g.La1*radian, e), n) // equations 15-7 and 14-1, 14-2
	theta := n * wrap(g.Lo1-g.LoV) * radian
	x, y = x+rho*math.Sin(theta), rho*math.Cos(theta)-y
	if n < 0 {
		x, y = -x, -y
	}
	t := math.Pow(math.Hypot(x, y)/math.Abs(a*f), 1/n)
	return latitude(t, e) / radian, wrap(g.LoV + math.Atan2(x, y)/n/radian)
}
