package geo

import "math"

// The WGS-84 ellipsoid, by its two defining numbers [WGS84, chapter 3].
const (
	semiMajor  = 6378137.0               // a, m
	flattening = 1 / 298.257223563       // f
	semiMinor  = semiMajor * axes        // b, m
	axes       = 1 - flattening          // b/a
	ecc2       = flattening * (1 + axes) // e², first eccentricity squared
	ecc2Second = ecc2 / (axes * axes)    // e'², second eccentricity squared
	third      = flattening / (1 + axes) // n, third flattening
)

// CurvatureRadii gives the radius of curvature of the ellipsoid along the meridian
// and across it (in the prime vertical): M = a(1-e²)/W³ and N = a/W, with
// W² = 1 - e² sin²φ. Exact at every latitude [Rapp1991].
func CurvatureRadii(latDeg float64) (meridianM, primeVerticalM float64) {
	sin, _ := sincosDeg(latDeg)
	w2 := 1 - ecc2*sin*sin
	w := math.Sqrt(w2)
	return semiMajor * (1 - ecc2) / (w2 * w), semiMajor / w
}
