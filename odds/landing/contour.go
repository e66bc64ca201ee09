package landing

// outline is one closed contour of a patch, in units of the frame, with the island it
// belongs to. The denser side is on its left.
type outline struct {
	island int32
	points []vector
}

// islands numbers the connected parts of a patch at or above a level, from 1. Nodes
// hang together along rows and columns, and across a cell whose middle is dense enough.
func (p *patch) islands(level float64) (number []int32, count int) {
	number = make([]int32, len(p.density))
	var stack []int
	for start, v := range p.density {
		if v < level || number[start] != 0 {
			continue
		}
		count++
		number[start] = int32(count)
		stack = append(stack[:0], start)
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for _, dy := range [3]int{-1, 0, 1} {
				for _, dx := range [3]int{-1, 0, 1} {
					// Never past the border: its nodes are zero, below any level.
					to := at + dy*p.nx + dx
					if to == at || p.density[to] < level || number[to] != 0 {
						continue
					}
					if dx*dy != 0 && p.density[at+dx] < level && p.density[at+dy*p.nx] < level && !p.saddle(at, to, dx, level) {
						continue
					}
					number[to] = int32(count)
					stack = append(stack, to)
				}
			}
		}
	}
	return number, count
}

// saddle says whether two nodes on the diagonal of a cell hang together through it.
func (p *patch) saddle(at, to, dx int, level float64) bool {
	return p.density[at]+p.density[to]+p.density[at+dx]+p.density[to-dx] >= 4*level
}

// The sides of a cell, as the contour enters and leaves it.
const (
	bottom = iota
	right
	top
	left
)

// passages tells for each pattern of dense corners (1 lower left, 2 lower right, 4 upper
// right, 8 upper left) where the contour enters and leaves, the dense side on its left.
var passages = [16][]int{
	{}, {bottom, left}, {right, bottom}, {right, left},
	{top, right}, {bottom, left, top, right}, {top, bottom}, {top, left},
	{left, top}, {bottom, top}, {right, bottom, left, top}, {right, top},
	{left, right}, {bottom, right}, {left, bottom}, {},
}

// joined are the passages of the two saddles when the dense corners hang together.
var joined = map[int][]int{5: {bottom, right, top, left}, 10: {left, bottom, right, top}}

// outlines follows the contours of a patch by marching squares. Each crossed side of a
// cell is entered from one cell and left into the other, so that the sides form rings.
func (p *patch) outlines(l *lattice, level float64, number []int32) []outline {
	next := make([]int32, 2*len(p.density)) // the side after this one, plus one; 0: none
	side := func(node, which int) int32 {
		switch which {
		case bottom:
			return int32(2 * node)
		case top:
			return int32(2 * (node + p.nx))
		case left:
			return int32(2*node + 1)
		}
		return int32(2*(node+1) + 1)
	}
	for row := range p.ny - 1 {
		for node := row * p.nx; node < (row+1)*p.nx-1; node++ {
			pattern := p.pattern(node, level)
			if pattern == 0 || pattern == 15 {
				continue
			}
			way := passages[pattern]
			if len(way) > 2 && p.saddle(node, node+p.nx+1, 1, level) {
				way = joined[pattern]
			}
			for i := 0; i < len(way); i += 2 {
				next[side(node, way[i])] = side(node, way[i+1]) + 1
			}
		}
	}
	var all []outline
	for start := range next {
		if next[start] == 0 {
			continue
		}
		var ring outline
		for at := start; next[at] != 0; {
			point, inside := p.crossing(l, at, level)
			ring.points = append(ring.points, point)
			ring.island = number[inside]
			to := int(next[at] - 1)
			next[at] = 0
			at = to
		}
		all = append(all, ring)
	}
	return all
}

func (p *patch) pattern(node int, level float64) int {
	pattern := 0
	if p.density[node] >= level {
		pattern |= 1
	}
	if p.density[node+1] >= level {
		pattern |= 2
	}
	if p.density[node+p.nx+1] >= level {
		pattern |= 4
	}
	if p.density[node+p.nx] >= level {
		pattern |= 8
	}
	return pattern
}

// crossing is where the contour crosses a side, linear between its nodes, and which of
// the two is the dense one.
func (p *patch) crossing(l *lattice, side int, level float64) (at vector, inside int) {
	node := side / 2
	along := 1
	if side%2 == 1 {
		along = p.nx
	}
	a, b := p.density[node], p.density[node+along]
	part := (level - a) / (b - a)
	x, y := float64(p.x0+node%p.nx), float64(p.y0+node/p.nx)
	if along == 1 {
		x += part
	} else {
		y += part
	}
	inside = node
	if b >= level {
		inside = node + along
	}
	return vector{x * l.step, y * l.step}, inside
}
