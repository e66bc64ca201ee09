package forecast

import (
	"math"

	"pappus/air/atmosphere"
	"pappus/measure/logtable"
)

// Air is what the sky holds at one point.
type Air struct {
	Pressure    float64
	Temperature float64
	Density     float64 // humid where the files give humidity
	WindEast    float64
	WindNorth   float64
}

// Held is a set of edges at which a value was held, and not forecast.
type Held uint8

// The edges of a cube.
const (
	AboveTop Held = 1 << iota // higher than the top level of the files
	BelowBottom
	BeforeFirst // earlier than the first step
	AfterLast
	OutsideArea
)

// HeldEdges lists the edges in the order in which they are reported.
var heldEdges = [...]Held{AboveTop, BelowBottom, BeforeFirst, AfterLast, OutsideArea}

// HeldEdges answers every edge that can be held, in the order of reports.
func HeldEdges() []Held { return heldEdges[:] }

// Sampler reads one member of a cube. It remembers the layer it was in, so
// that the next sample nearby is quick, and gathers the edges it has held.
// It is a value for one flight at a time; it allocates nothing.
type Sampler struct {
	cube   *Cube
	base   int // first node of the member
	layer  int
	Edges  Held // gathered since the last Reset
	corner [8]int
	weight [8]float64
	count  int
	box    box
}

// Sampler answers a reader of one member.
func (c *Cube) Sampler(member int) Sampler {
	return Sampler{cube: c, base: member * len(c.times) * c.rows * c.cols * len(c.pressure)}
}

// Reset forgets the edges gathered.
func (s *Sampler) Reset() { s.Edges = 0 }

// Cube answers the sky that the sampler reads.
func (s *Sampler) Cube() *Cube { return s.cube }

// At answers the air at a place, a geometric height above the sea and a time
// in seconds from the cube's epoch: linear between steps (heights too),
// bilinear in place, linear in height within a layer, which is linear in the
// logarithm of pressure.
func (s *Sampler) At(latDeg, lonDeg, alt, seconds float64) Air {
	c := s.cube
	s.locate(latDeg, lonDeg, seconds)
	k := s.layer
	top := len(c.pressure) - 2
	var low, high [5]float64
	for range c.pressure { // bounded: the layer moves one way at a time
		s.sum(k, &low, &high)
		if alt < low[0] && k > 0 {
			k--
			continue
		}
		if alt > high[0] && k < top {
			k++
			continue
		}
		break
	}
	s.layer = k
	switch {
	case k >= c.last && alt > low[0]:
		s.Edges |= AboveTop
	case k < c.first && alt < high[0]:
		s.Edges |= BelowBottom
	case k == 0 && alt < low[0]:
		s.Edges |= BelowBottom
	case k == top && alt > high[0]:
		s.Edges |= AboveTop
	}
	f := (alt - low[0]) / (high[0] - low[0])
	logPressure := c.logPressure[k] + f*(c.logPressure[k+1]-c.logPressure[k])
	f = min(max(f, 0), 1)
	pressure := logtable.Exp(logPressure)
	virtual := low[2] + f*(high[2]-low[2])
	return Air{
		Pressure:    pressure,
		Temperature: low[1] + f*(high[1]-low[1]),
		Density:     pressure / (atmosphere.GasConstantAir * virtual),
		WindEast:    low[3] + f*(high[3]-low[3]),
		WindNorth:   low[4] + f*(high[4]-low[4]),
	}
}

// box keeps the nodes at the corners between two layers, a row of eight for
// each of the five values of a node at the lower layer, then at the upper.
// A flight stays in one box for many samples; with the values of the corners
// side by side and in double precision, a sample takes three quarters of the time.
type box struct {
	layer, count         int
	first, second, third int // corners; the others follow from them and the count
	value                [10][8]float64
}

// fill reads the corners between layers k and k+1 unless they are at hand.
func (s *Sampler) fill(k int) {
	b := &s.box
	if b.layer == k && b.count == s.count && b.first == s.corner[0] && b.second == s.corner[1] && b.third == s.corner[2] {
		return
	}
	b.layer, b.count, b.first, b.second, b.third = k, s.count, s.corner[0], s.corner[1], s.corner[2]
	for i := range s.count {
		pair := s.cube.nodes[s.corner[i]+k : s.corner[i]+k+2]
		low, high := &pair[0], &pair[1]
		for j, v := range [10]float32{
			low.alt, low.temp, low.virtual, low.east, low.north,
			high.alt, high.temp, high.virtual, high.east, high.north,
		} {
			b.value[j][i] = float64(v)
		}
	}
}

// sum weighs the corners of the box at layers k and k+1. Corners beyond the
// count have no weight. Written out in pairs, the eight weights stay in
// registers and no sum waits for the one before.
func (s *Sampler) sum(k int, low, high *[5]float64) {
	s.fill(k)
	w0, w1, w2, w3 := s.weight[0], s.weight[1], s.weight[2], s.weight[3]
	w4, w5, w6, w7 := s.weight[4], s.weight[5], s.weight[6], s.weight[7]
	for j := range low {
		v := &s.box.value[j]
		low[j] = ((w0*v[0] + w1*v[1]) + (w2*v[2] + w3*v[3])) + ((w4*v[4] + w5*v[5]) + (w6*v[6] + w7*v[7]))
	}
	for j := range high {
		v := &s.box.value[len(low)+j]
		high[j] = ((w0*v[0] + w1*v[1]) + (w2*v[2] + w3*v[3])) + ((w4*v[4] + w5*v[5]) + (w6*v[6] + w7*v[7]))
	}
}

// locate finds the corners around a place and time, and their weights.
func (s *Sampler) locate(latDeg, lonDeg, seconds float64) {
	c := s.cube
	row, fy := c.rowOf(latDeg)
	col, next, fx := c.colOf(lonDeg)
	if fy < 0 || fx < 0 {
		s.Edges |= OutsideArea
		fy, fx = max(fy, 0), max(fx, 0)
	}
	if fy > 1 || fx > 1 {
		s.Edges |= OutsideArea
		fy, fx = min(fy, 1), min(fx, 1)
	}
	step, ft := s.stepOf(seconds)
	s.weight = [8]float64{}
	if fy == 0 && fx == 0 {
		s.corner[0], s.weight[0] = row*c.cols+col, 1
		s.count = 1
	} else {
		// A corner of no weight may lie outside the area: its neighbour stands in.
		up := row
		if fy > 0 {
			up++
		}
		if fx == 0 {
			next = col
		}
		s.corner[0], s.weight[0] = row*c.cols+col, (1-fy)*(1-fx)
		s.corner[1], s.weight[1] = row*c.cols+next, (1-fy)*fx
		s.corner[2], s.weight[2] = up*c.cols+col, fy*(1-fx)
		s.corner[3], s.weight[3] = up*c.cols+next, fy*fx
		s.count = 4
	}
	levels := len(c.pressure)
	base := s.base + step*c.rows*c.cols*levels
	for i := range s.count {
		s.corner[i] = base + s.corner[i]*levels
	}
	if ft == 0 {
		return
	}
	for i := range s.count {
		w := s.weight[i]
		s.corner[s.count+i] = s.corner[i] + c.rows*c.cols*levels
		s.weight[i], s.weight[s.count+i] = w*(1-ft), w*ft
	}
	s.count *= 2
}

// rowOf answers the row south of a latitude and the share of the way to the
// next; the share leaves 0..1 outside the area.
func (a *axes) rowOf(latDeg float64) (int, float64) {
	if a.rows == 1 {
		return 0, 0
	}
	y := (latDeg - a.lat0) / a.dLat
	row := min(max(int(y), 0), a.rows-2)
	return row, snap(y - float64(row))
}

// colOf answers the columns west and east of a longitude, and the share.
func (a *axes) colOf(lonDeg float64) (col, next int, share float64) {
	if a.cols == 1 {
		return 0, 0, 0
	}
	// The fold puts the seam opposite the middle of the area.
	x := lonDeg - a.lon0
	if a.around {
		x -= 360 * math.Floor(x/360)
		x /= a.dLon
		col = min(max(int(x), 0), a.cols-1)
		return col, (col + 1) % a.cols, snap(x - float64(col))
	}
	if width := float64(a.cols-1) * a.dLon; x < 0 || x > width {
		x -= 360 * math.Floor((x-width/2+180)/360)
	}
	x /= a.dLon
	col = min(max(int(x), 0), a.cols-2)
	return col, col + 1, snap(x - float64(col))
}

// snap forgives the last bits of a place on the edge of the area.
func snap(share float64) float64 {
	const tolerance = 1e-9
	switch {
	case math.Abs(share) < tolerance:
		return 0
	case math.Abs(share-1) < tolerance:
		return 1
	}
	return share
}

func (s *Sampler) stepOf(seconds float64) (int, float64) {
	times := s.cube.times
	last := len(times) - 1
	switch {
	case last == 0:
		return 0, 0
	case seconds <= times[0]:
		if seconds < times[0] {
			s.Edges |= BeforeFirst
		}
		return 0, 0
	case seconds >= times[last]:
		if seconds > times[last] {
			s.Edges |= AfterLast
		}
		return last, 0
	}
	step := 0
	for times[step+1] <= seconds { // bounded by the number of steps
		step++
	}
	return step, (seconds - times[step]) / (times[step+1] - times[step])
}
