package geo

import "math"

// Heights that share the metre and must not be swapped.
type (
	// AltMSL is a geometric height above mean sea level, m.
	AltMSL float64
	// AltAGL is a geometric height above the ground, m.
	AltAGL float64
	// AltHAE is a geometric height above the ellipsoid, m: what a satellite receiver
	// measures before it applies its geoid.
	AltHAE float64
	// Geopotential is a height in geopotential metres: work against gravity from mean
	// sea level, divided by the standard 9.80665 m/s². Forecasts and soundings use it.
	Geopotential float64
)

// Gravity numbers of WGS-84 [WGS84, chapters 3 and 4].
const (
	gravityEquator  = 9.7803253359     // γe, m/s²
	somigliana      = 0.00193185265241 // k
	centrifugal     = 0.00344978650684 // m = ω²a²b/GM
	standardGravity = 9.80665          // by definition, m/s²
)

// Gravity is normal gravity at the ellipsoid, m/s², by Somigliana's closed formula
// γ = γe(1 + k sin²φ)/√(1 - e² sin²φ) [WGS84, chapter 4]. Real gravity differs by up to
// some 3e-3 m/s² (common practice, no source).
func Gravity(latDeg float64) float64 {
	sin, _ := sincosDeg(latDeg)
	return somiglianaGravity(sin * sin)
}

func somiglianaGravity(sin2 float64) float64 {
	return gravityEquator * (1 + somigliana*sin2) / math.Sqrt(1-ecc2*sin2)
}

// effectiveRadius is the radius of the sphere over which gravity falls with height as
// it does over the ellipsoid at that latitude, to second order in height:
// R = a/(1 + f + m - 2f sin²φ) [WMO8, Part I, chapter 12; Mahoney2001].
func effectiveRadius(sin2 float64) float64 {
	return semiMajor / (1 + flattening + centrifugal - 2*flattening*sin2)
}

// ToGeopotential is H = γ/9.80665 · R z/(R + z), with gravity γ and effective radius R
// at the latitude [WMO8, Part I, chapter 12]. Against the potential of the ellipsoid it
// is within 0.1 m up to 50 km. Sea level is taken to be the ellipsoid.
func ToGeopotential(z AltMSL, latDeg float64) Geopotential {
	sin, _ := sincosDeg(latDeg)
	r := effectiveRadius(sin * sin)
	return Geopotential(somiglianaGravity(sin*sin) / standardGravity * r * float64(z) / (r + float64(z)))
}

// Geometric is the exact inverse of ToGeopotential: z = R H/(R γ/9.80665 - H).
func Geometric(h Geopotential, latDeg float64) AltMSL {
	sin, _ := sincosDeg(latDeg)
	r := effectiveRadius(sin * sin)
	return AltMSL(r * float64(h) / (r*somiglianaGravity(sin*sin)/standardGravity - float64(h)))
}
