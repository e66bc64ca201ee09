package geo

import "math"

// smallest stands for the cosine of the latitude at a pole, so that azimuths there
// keep their meaning as the limit along the pole's stated longitude.
const smallest = 1e-150

// reduced gives the sine and cosine of the reduced latitude β, tan β = (1-f) tan φ.
func reduced(latDeg float64) (sin, cos float64) {
	sin, cos = sincosDeg(latDeg)
	sin *= axes
	scale := math.Hypot(sin, cos)
	return sin / scale, math.Max(cos/scale, smallest)
}

// Direct goes a distance along the geodesic that leaves a at an azimuth (degrees from
// north, clockwise). It answers the end and the azimuth there, still going forward, in
// [0, 360). Distances may be negative or longer than half the globe.
// The error is that of rounding, some nanometres [Karney2013, section 2 and 3].
func Direct(a Point, azimuthDeg, distanceM float64) (Point, float64) {
	sinBeta1, cosBeta1 := reduced(a.LatDeg)
	sinAlpha1, cosAlpha1 := sincosDeg(azimuthDeg)

	// The great circle on the auxiliary sphere (eqs. 5 and 10 to 12).
	sinAlpha0 := sinAlpha1 * cosBeta1
	cosAlpha0 := math.Hypot(cosAlpha1, sinAlpha1*sinBeta1)
	sinSigma1, cosSigma1 := sinBeta1, cosAlpha1*cosBeta1
	if sinSigma1 == 0 && cosSigma1 == 0 {
		cosSigma1 = 1 // along the equator σ counts from the start
	}
	sinOmega1, cosOmega1 := sinAlpha0*sinBeta1, cosSigma1
	scale := math.Hypot(sinSigma1, cosSigma1)
	sinSigma1, cosSigma1 = sinSigma1/scale, cosSigma1/scale

	_, eps := expansion(cosAlpha0)
	a1, c1 := lengthSeries(eps)
	back := lengthReverted(eps)

	// Distance to arc: τ2 = τ1 + s/(b·A1), then reverted (eqs. 7, 15, 20).
	start := c1.sines(sinSigma1, cosSigma1)
	sinB, cosB := math.Sincos(start)
	sinTau1, cosTau1 := sinSigma1*cosB+cosSigma1*sinB, cosSigma1*cosB-sinSigma1*sinB
	tau12 := distanceM / (semiMinor * a1)
	sinT, cosT := math.Sincos(tau12)
	sinTau2, cosTau2 := sinTau1*cosT+cosTau1*sinT, cosTau1*cosT-sinTau1*sinT
	sigma12 := tau12 + back.sines(sinTau2, cosTau2) + start
	sinS, cosS := math.Sincos(sigma12)
	sinSigma2, cosSigma2 := sinSigma1*cosS+cosSigma1*sinS, cosSigma1*cosS-sinSigma1*sinS

	// Latitude and azimuth at the end (eqs. 13 and 14).
	sinBeta2 := cosAlpha0 * sinSigma2
	cosBeta2 := math.Hypot(sinAlpha0, cosAlpha0*cosSigma2)
	if cosBeta2 == 0 {
		cosBeta2, cosSigma2 = smallest, smallest
	}
	azimuth2 := atan2Deg(sinAlpha0, cosAlpha0*cosSigma2)

	// Longitude: on the sphere, less what the ellipsoid runs behind (eqs. 8 and 12).
	sinOmega2, cosOmega2 := sinAlpha0*sinSigma2, cosSigma2
	omega12 := math.Atan2(sinOmega2*cosOmega1-cosOmega2*sinOmega1, cosOmega2*cosOmega1+sinOmega2*sinOmega1)
	a3, c3 := longitudeSeries(eps)
	lambda12 := omega12 - flattening*sinAlpha0*a3*
		(sigma12+c3.sines(sinSigma2, cosSigma2)-c3.sines(sinSigma1, cosSigma1))

	end := Point{
		LatDeg: atan2Deg(sinBeta2, axes*cosBeta2),
		LonDeg: WrapLonDeg(a.LonDeg + lambda12/radian),
	}
	return end, wrapBearingDeg(azimuth2)
}
