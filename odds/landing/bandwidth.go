package landing

import "math"

const (
	// narrowest bandwidth, m. Below it the forecast's cells, the terrain and the walk
	// under the last gust are not known anyway (judgement, no source).
	narrowest = 50.0
	// fewest points with which the shape of the cloud can be asked for its own scale.
	fewest = 10.0
	// roundness of the kernel, shorter to longer axis, that so few points allow: how
	// narrow their cloud is they cannot tell (judgement, no source).
	roundness    = 0.25
	refineSteps  = 14
	refineEnough = 0.04 // relative change of the scale that no longer matters
	// stray is the share under which a group apart does not count for the scale: it
	// enters with the square of its density.
	stray          = 0.005
	mostElongation = 16.0 // in variance, per step of the refinement
)

// localScale is a covariance S so that N^(-1/3)·S is a good kernel covariance: for a
// normal cloud its covariance, but for several groups, arcs or rings that of their parts.
//
// It starts from a robust covariance and solves for the bandwidth with the least mean
// integrated square error, h^6 = 1/(2πN ∫(∇²f)²) for the Gaussian kernel in two
// dimensions [Wand1995, section 4.3], in the frame where the gradients of f have no
// preferred direction. The integral is taken from a pilot estimate whose bandwidth
// follows from the scale found so far as it would for a normal cloud,
// g = (3N)^(-1/8): the pilot's own noise then cancels its smoothing, the idea of
// [Sheather1991] carried to the plane.
func (c *cloud) localScale() symmetric {
	n := c.effective
	floor := narrowest * narrowest * math.Cbrt(n)
	if n < fewest {
		s := c.covariance().atLeast(floor)
		large, _, _, _ := s.principal()
		return s.atLeast(roundness * roundness * large)
	}
	s := c.robust(floor)
	pilot := math.Pow(3*n, -1./8)
	turned := make([]vector, len(c.at))
	for range refineSteps {
		f := s.frame()
		for i, a := range c.at {
			turned[i] = f.to(a)
		}
		l := newLattice(turned, c.weight, pilot, stray)
		shape := l.gradients().elongation()
		variance := math.Pow(2*math.Pi*l.curvature(shape), -1./3)
		next := f.carry(symmetric{variance * shape.xx, variance * shape.xy, variance * shape.yy}).atLeast(floor)
		change := relativeChange(s, next)
		s = next
		if change < refineEnough {
			break
		}
	}
	return s
}

// relativeChange is how far the matrix b, seen in the frame of a, is from the unit one.
func relativeChange(a, b symmetric) float64 {
	f := a.frame()
	u := f.to(vector{b.xx, b.xy})
	v := f.to(vector{b.xy, b.yy})
	p, q := f.to(vector{u.x, v.x}), f.to(vector{u.y, v.y})
	return math.Max(math.Max(math.Abs(p.x-1), math.Abs(q.y-1)), math.Abs(p.y))
}

// gradients is ∫∇f∇fᵀ. For a normal cloud it is its inverse covariance, scaled.
func (l *lattice) gradients() (j symmetric) {
	for i := range l.patches {
		p := &l.patches[i]
		for row := 1; row < p.ny-1; row++ {
			for at := row*p.nx + 1; at < (row+1)*p.nx-1; at++ {
				x, y := p.density[at+1]-p.density[at-1], p.density[at+p.nx]-p.density[at-p.nx]
				j.xx += float64(x * x)
				j.xy += float64(x * y)
				j.yy += float64(y * y)
			}
		}
	}
	return j
}

// elongation is the inverse of a gradient matrix, scaled to determinant one: the shape
// of the kernel that suits it.
func (m symmetric) elongation() symmetric {
	large, small, cos, sin := m.principal()
	ratio := math.Sqrt(math.Min(large/math.Max(small, large/mostElongation), mostElongation))
	return compose(1/ratio, ratio, cos, sin)
}

// curvature is ∫(tr(shape·Hessian f))², the squared Laplacian in the frame in which the
// shape is a circle.
func (l *lattice) curvature(shape symmetric) float64 {
	sum := 0.0
	for i := range l.patches {
		p := &l.patches[i]
		d := p.density
		for row := 1; row < p.ny-1; row++ {
			for at := row*p.nx + 1; at < (row+1)*p.nx-1; at++ {
				xx := d[at+1] - 2*d[at] + d[at-1]
				yy := d[at+p.nx] - 2*d[at] + d[at-p.nx]
				xy := (d[at+p.nx+1] - d[at+p.nx-1] - d[at-p.nx+1] + d[at-p.nx-1]) / 4
				t := float64(shape.xx*xx) + float64(2*shape.xy*xy) + float64(shape.yy*yy)
				sum += float64(t * t)
			}
		}
	}
	return sum / (l.step * l.step) // (1/step²)² for the derivatives, step² for the area
}
