package landing

import "math"

// symmetric is the 2 by 2 matrix (xx xy; xy yy), such as a covariance.
type symmetric struct{ xx, xy, yy float64 }

// principal gives the eigenvalues, the larger first, and the direction of its axis.
func (m symmetric) principal() (large, small, cos, sin float64) {
	half, diff := (m.xx+m.yy)/2, (m.xx-m.yy)/2
	root := math.Hypot(diff, m.xy)
	sin, cos = math.Sincos(math.Atan2(m.xy, diff) / 2)
	return half + root, half - root, cos, sin
}

// compose is the matrix with these eigenvalues and that axis.
func compose(large, small, cos, sin float64) symmetric {
	return symmetric{
		xx: float64(large*cos*cos) + float64(small*sin*sin),
		xy: (large - small) * cos * sin,
		yy: float64(large*sin*sin) + float64(small*cos*cos),
	}
}

// atLeast raises eigenvalues to a floor.
func (m symmetric) atLeast(floor float64) symmetric {
	large, small, cos, sin := m.principal()
	return compose(math.Max(large, floor), math.Max(small, floor), cos, sin)
}

// frame scales and turns the plane so that a covariance becomes the unit matrix.
type frame struct{ cos, sin, scaleX, scaleY float64 }

func (m symmetric) frame() frame {
	large, small, cos, sin := m.principal()
	return frame{cos, sin, math.Sqrt(large), math.Sqrt(small)}
}

func (f frame) to(a vector) vector {
	return vector{
		(float64(f.cos*a.x) + float64(f.sin*a.y)) / f.scaleX,
		(float64(f.cos*a.y) - float64(f.sin*a.x)) / f.scaleY,
	}
}

func (f frame) from(u vector) vector {
	x, y := f.scaleX*u.x, f.scaleY*u.y
	return vector{float64(f.cos*x) - float64(f.sin*y), float64(f.sin*x) + float64(f.cos*y)}
}

// area is the size in the plane of a unit square of the frame.
func (f frame) area() float64 { return f.scaleX * f.scaleY }

// carry takes a matrix given in the frame back to the plane: F m Fᵀ.
func (f frame) carry(m symmetric) symmetric {
	a, b := f.from(vector{m.xx, m.xy}), f.from(vector{m.xy, m.yy}) // F m
	p, q := f.from(vector{a.x, b.x}), f.from(vector{a.y, b.y})     // then from the right
	return symmetric{p.x, (p.y + q.x) / 2, q.y}
}

// covariance is the plain weighted one about the weighted mean.
func (c *cloud) covariance() symmetric {
	var mean vector
	for i, a := range c.at {
		mean.x += float64(c.weight[i] * a.x)
		mean.y += float64(c.weight[i] * a.y)
	}
	var s symmetric
	for i, a := range c.at {
		dx, dy, w := a.x-mean.x, a.y-mean.y, c.weight[i]
		s.xx += float64(w * dx * dx)
		s.xy += float64(w * dx * dy)
		s.yy += float64(w * dy * dy)
	}
	return s
}

const (
	// freedom of the t distribution behind robust; 3 is common practice, no source.
	freedom     = 3
	robustSteps = 12
)

// robust is the scatter of a bivariate t distribution fitted by repeated weighting
// [Kent1991]: far strays count for little, yet elongation and direction are kept. The
// floor keeps it regular when points coincide or lie on a line.
func (c *cloud) robust(floor float64) symmetric {
	s := c.covariance().atLeast(floor)
	var mean vector
	for range robustSteps {
		f := s.frame()
		var next symmetric
		var sum vector
		total := 0.0
		for i, a := range c.at {
			d := vector{a.x - mean.x, a.y - mean.y}
			u := f.to(d)
			w := c.weight[i] * (freedom + 2) / (freedom + float64(u.x*u.x) + float64(u.y*u.y))
			total += w
			sum.x += float64(w * a.x)
			sum.y += float64(w * a.y)
			next.xx += float64(w * d.x * d.x)
			next.xy += float64(w * d.x * d.y)
			next.yy += float64(w * d.y * d.y)
		}
		mean = vector{sum.x / total, sum.y / total}
		s = next.atLeast(floor)
	}
	return s
}
