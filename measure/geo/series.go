package geo

import "math"

// The series of [Karney2013] for a geodesic on an ellipsoid of revolution, to sixth
// order. The expansion parameter eps is at most 0.0017 on WGS-84, so the first term
// left out is below 1e-19 of the Earth's radius.

// order is the number of sine terms kept.
const order = 6

// coefficients of sin 2σ, sin 4σ, ... sin 12σ.
type coefficients [order]float64

// sines sums c[0] sin 2x + c[1] sin 4x + ... by Clenshaw's recurrence, from the sine
// and cosine of x.
func (c *coefficients) sines(sin, cos float64) float64 {
	double := 2 * (cos - sin) * (cos + sin) // 2 cos 2x
	var next, afterNext float64
	for i := order - 1; i >= 0; i-- {
		next, afterNext = double*next-afterNext+c[i], next
	}
	return 2 * sin * cos * next
}

// expansion gives eps for the great circle that crosses the equator at an azimuth
// whose cosine is cosAlpha0: k = e' cos α0 (eq. 9) and eq. 16.
func expansion(cosAlpha0 float64) (k2, eps float64) {
	k2 = ecc2Second * cosAlpha0 * cosAlpha0
	return k2, k2 / (2*(1+math.Sqrt(1+k2)) + k2)
}

// lengthSeries gives A1 - 1 and C1 of eqs. 17 and 18: the distance along the geodesic is
// b·A1·(σ + Σ C1 sin 2lσ).
func lengthSeries(eps float64) (a1 float64, c coefficients) {
	e2 := eps * eps
	a1 = (1 + e2*(1./4+e2*(1./64+e2/256))) / (1 - eps)
	p := eps
	c[0] = p * (-1./2 + e2*(3./16-e2/32))
	p *= eps
	c[1] = p * (-1./16 + e2*(1./32-e2*9/2048))
	p *= eps
	c[2] = p * (-1./48 + e2*3/256)
	p *= eps
	c[3] = p * (-5./512 + e2*3/512)
	p *= eps
	c[4] = p * (-7. / 1280)
	p *= eps
	c[5] = p * (-7. / 2048)
	return a1, c
}

// lengthReverted gives C1' of eq. 21: σ = τ + Σ C1' sin 2lτ, where τ = s/(b·A1).
func lengthReverted(eps float64) (c coefficients) {
	e2 := eps * eps
	p := eps
	c[0] = p * (1./2 + e2*(-9./32+e2*205/1536))
	p *= eps
	c[1] = p * (5./16 + e2*(-37./96+e2*1335/4096))
	p *= eps
	c[2] = p * (29./96 - e2*75/128)
	p *= eps
	c[3] = p * (539./1536 - e2*2391/2560)
	p *= eps
	c[4] = p * (3467. / 7680)
	p *= eps
	c[5] = p * (38081. / 61440)
	return c
}

// reducedSeries gives A2 and C2 of eqs. 42 and 43, for the reduced length.
func reducedSeries(eps float64) (a2 float64, c coefficients) {
	e2 := eps * eps
	a2 = (1 - eps) * (1 + e2*(1./4+e2*(9./64+e2*25/256)))
	p := eps
	c[0] = p * (1./2 + e2*(1./16+e2/32))
	p *= eps
	c[1] = p * (3./16 + e2*(1./32+e2*35/2048))
	p *= eps
	c[2] = p * (5./48 + e2*5/256)
	p *= eps
	c[3] = p * (35./512 + e2*7/512)
	p *= eps
	c[4] = p * (63. / 1280)
	p *= eps
	c[5] = p * (77. / 2048)
	return a2, c
}

// longitudeSeries gives A3 and C3 of eqs. 24 and 25: the longitude runs behind that on
// the auxiliary sphere by f sin α0 A3 (σ + Σ C3 sin 2lσ).
func longitudeSeries(eps float64) (a3 float64, c coefficients) {
	const n, n2 = third, third * third
	a3 = 1 - eps*((1./2-n/2)+eps*((1./4+n/8-n2*3/8)+eps*((1./16+n*3/16+n2/16)+eps*((3./64+n/32)+eps*3/128))))
	p := eps
	c[0] = p * ((1./4 - n/4) + eps*((1./8-n2/8)+eps*((3./64+n*3/64-n2/64)+eps*((5./128+n/64)+eps*3/128))))
	p *= eps
	c[1] = p * ((1./16 - n*3/32 + n2/32) + eps*((3./64-n/32-n2*3/64)+eps*((3./128+n/128)+eps*5/256)))
	p *= eps
	c[2] = p * ((5./192 - n*3/64 + n2*5/192) + eps*((3./128-n*5/192)+eps*7/512))
	p *= eps
	c[3] = p * ((7./512 - n*7/256) + eps*7/512)
	p *= eps
	c[4] = p * (21. / 2560)
	return a3, c
}
