package magnetic

import (
	"math"

	"pappus/measure/geo"
)

// The WGS-84 ellipsoid.
const (
	semiMajor  = 6378137.0
	flattening = 1 / 298.257223563
)

// vector sums the spherical harmonics of [WMM2025] eq. 10 to 12 and turns the result from the geocentric to
// the geodetic horizon (eq. 17). In nanotesla. Legend: theta is the colatitude, P the Schmidt semi-normalised
// Legendre functions, dP their derivatives by theta, Q = P / sin theta, which is finite at the poles for m > 0.
func vector(p geo.Point, height, year float64) (north, east, down float64) {
	sinLat, cosLat := math.Sincos(p.LatDeg * degree)
	e2 := flattening * (2 - flattening)
	prime := semiMajor / math.Sqrt(1-e2*sinLat*sinLat)
	rho := (prime + height) * cosLat
	z := (prime*(1-e2) + height) * sinLat
	r := math.Hypot(rho, z)
	sinTheta, cosTheta := rho/r, z/r
	sinLon, cosLon := math.Sincos(p.LonDeg * degree)

	model := coefficients()
	years := year - epochYear
	var x, y, zz float64
	sinM, cosM := 0.0, 1.0 // of m times the longitude
	// diagonalP is P(m, m) and diagonalQ the same over sin theta, so that no division is needed at the poles.
	diagonalP, diagonalQ := 1.0, 0.0
	for m := 0; m <= maxDegree; m++ {
		if m > 0 {
			factor := 1.0
			if m > 1 {
				factor = math.Sqrt((2*float64(m) - 1) / (2 * float64(m)))
			}
			diagonalQ = factor * diagonalP
			diagonalP = diagonalQ * sinTheta
			sinM, cosM = sinM*cosLon+cosM*sinLon, cosM*cosLon-sinM*sinLon
		}
		sumColumn(model, m, r, sinTheta, cosTheta, diagonalP, diagonalQ, years, sinM, cosM, &x, &y, &zz)
	}
	// From the geocentric vertical to the geodetic one: turned by psi = geodetic minus geocentric latitude.
	sinPsi := sinLat*sinTheta - cosLat*cosTheta
	cosPsi := cosLat*sinTheta + sinLat*cosTheta
	return x*cosPsi + zz*sinPsi, y, zz*cosPsi - x*sinPsi
}

// sumColumn adds all degrees of one order m to the geocentric field: x north, y east, z down.
func sumColumn(model *[91]coefficient, m int, r, sinTheta, cosTheta, diagonalP, diagonalQ, years, sinM, cosM float64, x, y, z *float64) {
	p, before := diagonalP, 0.0
	q, qBefore := diagonalQ, 0.0
	scale := math.Pow(referenceRadius/r, float64(m)+2)
	fm := float64(m)
	for n := m; n <= maxDegree; n++ {
		fn := float64(n)
		if n > m {
			// P(n) = ((2n - 1) cos theta P(n-1) - sqrt((n-1)² - m²) P(n-2)) / sqrt(n² - m²), and Q alike.
			root := math.Sqrt(fn*fn - fm*fm)
			rootBefore := math.Sqrt(math.Max(0, (fn-1)*(fn-1)-fm*fm))
			p, before = ((2*fn-1)*cosTheta*p-rootBefore*before)/root, p
			q, qBefore = ((2*fn-1)*cosTheta*q-rootBefore*qBefore)/root, q
			scale *= referenceRadius / r
		}
		if n == 0 {
			continue
		}
		// dP/dtheta = (n cos theta P(n) - sqrt(n² - m²) P(n-1)) / sin theta; with Q there is no division.
		var slope float64
		if m > 0 {
			slope = fn*cosTheta*q - math.Sqrt(fn*fn-fm*fm)*qBefore
		} else {
			slope = zonalSlope(n, sinTheta, cosTheta)
		}
		c := &model[n*(n+1)/2+m]
		g, h := c.g+years*c.gRate, c.h+years*c.hRate
		cosine := g*cosM + h*sinM
		sine := g*sinM - h*cosM
		*x += scale * cosine * slope
		*y += scale * sine * fm * q
		*z -= scale * cosine * (fn + 1) * p
	}
}

// zonalSlope is dP(n, 0)/dtheta = -sin theta P'n(cos theta), by the recurrence P'n = P'(n-2) + (2n - 1) P(n-1).
func zonalSlope(n int, sinTheta, cosTheta float64) float64 {
	p, before := cosTheta, 1.0 // P(1), P(0)
	slope, slopeBefore := 1.0, 0.0
	for k := 2; k <= n; k++ {
		fk := float64(k)
		slope, slopeBefore = slopeBefore+(2*fk-1)*p, slope
		p, before = ((2*fk-1)*cosTheta*p-(fk-1)*before)/fk, p
	}
	return -sinTheta * slope
}
