package landing

import (
	"math"
	"slices"
)

const (
	cellsPerBandwidth = 3.0     // the binning then widens the kernel by under 1 %
	coarsest          = 1.5     // cells per bandwidth when a cloud would need too many
	reach             = 4.5     // bandwidths after which the kernel is cut: 4e-5 of its peak
	oneBox            = 1 << 16 // cells up to which one box around all is simplest
	mostCells         = 1 << 18 // bound on memory and time
)

// lattice is a Gaussian kernel density on square cells of a frame. Far-apart groups of
// points have a patch each; their kernels do not reach one another, so that each patch
// is complete by itself.
type lattice struct {
	bandwidth float64 // in the frame; larger than asked when cells would not suffice
	step      float64 // of the cells, in the frame
	kernel    []float64
	patches   []patch
	home      []int32 // the patch of each point, left out: none
}

// patch is a box of nodes. The kernel does not reach its outermost nodes: they are zero.
type patch struct {
	x0, y0, nx, ny int
	density        []float64 // row by row from the south, per unit of the frame's area
}

// bin says between which nodes of its patch a point lies, and how far.
func (l *lattice) bin(p *patch, u vector) (node int, fx, fy float64) {
	x, y := u.x/l.step, u.y/l.step
	ix, iy := math.Floor(x), math.Floor(y)
	return (int(iy)-p.y0)*p.nx + int(ix) - p.x0, x - ix, y - iy
}

// leftOut is the home of points that have no patch.
const leftOut = -1

// newLattice bins the points linearly and convolves with the kernel. Groups that hold
// less than a least share are left out, unless that is most of all.
func newLattice(at []vector, weight []float64, bandwidth, least float64) *lattice {
	l := &lattice{bandwidth: bandwidth, step: bandwidth / cellsPerBandwidth, home: make([]int32, len(at))}
	l.divide(at, weight, least)
	l.kernel = gaussian(l.bandwidth / l.step)
	perCell := 1 / (l.step * l.step)
	for i, u := range at {
		if l.home[i] == leftOut {
			continue
		}
		p := &l.patches[l.home[i]]
		node, fx, fy := l.bin(p, u)
		w := weight[i] * perCell
		p.density[node] += float64(w * (1 - fx) * (1 - fy))
		p.density[node+1] += float64(w * fx * (1 - fy))
		p.density[node+p.nx] += float64(w * (1 - fx) * fy)
		p.density[node+p.nx+1] += float64(w * fx * fy)
	}
	var scratch []float64
	for i := range l.patches {
		scratch = l.patches[i].convolve(l.kernel, scratch)
	}
	return l
}

// gaussian is half a kernel, from its middle outwards, adding up to one over all.
func gaussian(cells float64) []float64 {
	k := make([]float64, int(math.Ceil(reach*cells))+1)
	sum := 0.0
	for i := range k {
		x := float64(i) / cells
		k[i] = math.Exp(-x * x / 2)
		sum += 2 * k[i]
	}
	sum -= k[0]
	for i := range k {
		k[i] /= sum
	}
	return k
}

// convolve smooths along rows, then along columns. Only as much as the border is never
// written, for no point lies near it.
func (p *patch) convolve(kernel, scratch []float64) []float64 {
	if cap(scratch) < len(p.density) {
		scratch = make([]float64, len(p.density))
	}
	scratch = scratch[:len(p.density)]
	clear(scratch)
	for from, v := range p.density {
		if v == 0 {
			continue // bins are mostly empty
		}
		scratch[from] += float64(v * kernel[0])
		for k := 1; k < len(kernel); k++ {
			part := v * kernel[k]
			scratch[from+k] += part
			scratch[from-k] += part
		}
	}
	clear(p.density)
	r := len(kernel) - 1
	for row := r; row < p.ny-r; row++ {
		source := scratch[row*p.nx : (row+1)*p.nx]
		for k := -r; k <= r; k++ {
			weight := kernel[max(k, -k)]
			target := p.density[(row+k)*p.nx:][:len(source)]
			for i, v := range source {
				target[i] += float64(v * weight)
			}
		}
	}
	return scratch
}

// divide chooses the cells and lays out the patches, coarser until they are few enough.
// It ends because a coarser step widens the kernel too, until one box holds all.
func (l *lattice) divide(at []vector, weight []float64, least float64) {
	for {
		margin := int(math.Ceil(reach*l.bandwidth/l.step)) + 2
		boxes := l.boxes(at, weight, margin, least)
		total := 0.0
		for _, b := range boxes {
			total += float64(b.nx) * float64(b.ny)
		}
		if total <= mostCells {
			for i := range boxes {
				boxes[i].density = make([]float64, boxes[i].nx*boxes[i].ny)
			}
			l.patches = boxes
			return
		}
		// Of one box the cells go down by just what is needed; many boxes, which are
		// mostly margin, need another turn.
		l.step *= math.Min(math.Max(math.Sqrt(total/mostCells), 1.1), 4)
		l.bandwidth = math.Max(l.bandwidth, coarsest*l.step)
	}
}

// boxes puts one box around all points, or one around each group when that is too much.
func (l *lattice) boxes(at []vector, weight []float64, margin int, least float64) []patch {
	for i := range l.home {
		l.home[i] = 0
	}
	one := l.surround(at, 1, margin)
	if float64(one[0].nx)*float64(one[0].ny) <= oneBox {
		return one
	}
	groups := l.group(at, float64(2*margin)*l.step)
	return l.surround(at, l.leaveOut(weight, groups, least), margin)
}

// leaveOut takes away groups under a least share and answers how many remain.
func (l *lattice) leaveOut(weight []float64, groups int, least float64) int {
	share := make([]float64, groups)
	for i, g := range l.home {
		share[g] += weight[i]
	}
	number := make([]int32, groups)
	remain, held := 0, 0.0
	for g, s := range share {
		number[g] = leftOut
		if s >= least {
			number[g] = int32(remain)
			remain++
			held += s
		}
	}
	if held < 0.5 {
		return groups
	}
	for i, g := range l.home {
		l.home[i] = number[g]
	}
	return remain
}

// surround gives each group of points its box with a margin.
func (l *lattice) surround(at []vector, groups, margin int) []patch {
	boxes := make([]patch, groups)
	for i := range boxes {
		boxes[i] = patch{math.MaxInt, math.MaxInt, math.MinInt, math.MinInt, nil}
	}
	for i, u := range at {
		if l.home[i] == leftOut {
			continue
		}
		b := &boxes[l.home[i]]
		x, y := int(math.Floor(u.x/l.step)), int(math.Floor(u.y/l.step))
		b.x0, b.y0 = min(b.x0, x), min(b.y0, y)
		b.nx, b.ny = max(b.nx, x), max(b.ny, y) // the far corner for now
	}
	for i := range boxes {
		b := &boxes[i]
		b.nx, b.ny = b.nx-b.x0+2+2*margin, b.ny-b.y0+2+2*margin
		b.x0, b.y0 = b.x0-margin, b.y0-margin
	}
	return boxes
}

// group finds which points hang together: those in squares of the given side that touch.
// Points of different groups are further apart than the side. Groups are numbered in the
// order of their squares.
func (l *lattice) group(at []vector, side float64) int {
	// A square is one number, its row in the upper half, so that neighbours are a sum away.
	const row, middle = 1 << 32, 1 << 31
	of := func(u vector) uint64 {
		return uint64(int64(math.Floor(u.y/side))+middle)*row + uint64(int64(math.Floor(u.x/side))+middle)
	}
	// Squares are few, points may be many: doubles are thrown out on the way.
	var squares []uint64
	full := 4096
	for _, u := range at {
		if squares = append(squares, of(u)); len(squares) < full {
			continue
		}
		slices.Sort(squares)
		squares = slices.Compact(squares)
		full = max(full, 2*len(squares))
	}
	slices.Sort(squares)
	squares = slices.Compact(squares)
	parent := make([]int, len(squares))
	for i := range parent {
		parent[i] = i
	}
	root := func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	for i, s := range squares {
		for _, d := range [4]uint64{1, row + 1, row, row - 1} {
			if j, found := slices.BinarySearch(squares, s-d); found {
				a, b := root(i), root(j)
				parent[max(a, b)] = min(a, b)
			}
		}
	}
	number := make([]int32, len(squares))
	groups := 0
	for i := range squares {
		if r := root(i); r == i {
			number[i] = int32(groups)
			groups++
		} else {
			number[i] = number[r]
		}
	}
	for i, u := range at {
		j, _ := slices.BinarySearch(squares, of(u))
		l.home[i] = number[j]
	}
	return groups
}
