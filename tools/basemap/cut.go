package main

import "math"

// side is one half of the plane: what lies at or above (sign +1) or at or below
// (sign -1) a value of x or y.
type side struct {
	vertical bool // the border is a line of equal x
	at, sign float64
}

func (s side) depth(p point) float64 {
	if s.vertical {
		return s.sign * (p.x - s.at)
	}
	return s.sign * (p.y - s.at)
}

func (s side) crossing(a, b point) point {
	share := s.depth(a) / (s.depth(a) - s.depth(b))
	p := point{a.x + share*(b.x-a.x), a.y + share*(b.y-a.y)}
	if s.vertical {
		p.x = s.at
	} else {
		p.y = s.at
	}
	return p
}

// box is a tile with its margin.
type box struct{ left, top, right, bottom float64 }

func (b box) sides() [4]side {
	return [4]side{{true, b.left, 1}, {true, b.right, -1}, {false, b.top, 1}, {false, b.bottom, -1}}
}

// cut gives the part of a shape that lies in the box, false when there is none.
func (b box) cut(s shape) (shape, bool) {
	inside, outside := true, [4]bool{true, true, true, true}
	for _, path := range s.paths {
		for _, p := range path {
			for i, half := range b.sides() {
				if half.depth(p) < 0 {
					inside = false
				} else {
					outside[i] = false
				}
			}
		}
	}
	if inside {
		return s, true
	}
	for _, out := range outside {
		if out {
			return shape{}, false
		}
	}
	paths := s.paths
	for _, half := range b.sides() {
		var kept [][]point
		for _, path := range paths {
			if s.area {
				if ring := half.cutRing(path); len(ring) >= 4 {
					kept = append(kept, ring)
				} else if len(kept) == 0 {
					return shape{}, false // the outer ring is gone, and its holes with it
				}
			} else {
				kept = append(kept, half.cutLine(path)...)
			}
		}
		if paths = kept; len(paths) == 0 {
			return shape{}, false
		}
	}
	return shape{s.area, paths}, true
}

// cutRing is one step of Sutherland and Hodgman's polygon clipping.
func (s side) cutRing(ring []point) []point {
	var kept []point
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		in, next := s.depth(a) >= 0, s.depth(b) >= 0
		if in {
			kept = append(kept, a)
		}
		if in != next {
			kept = append(kept, s.crossing(a, b))
		}
	}
	if len(kept) > 0 {
		kept = append(kept, kept[0])
	}
	return kept
}

func (s side) cutLine(line []point) [][]point {
	var pieces [][]point
	var piece []point
	for i, p := range line {
		in := s.depth(p) >= 0
		if i > 0 && in != (s.depth(line[i-1]) >= 0) {
			piece = append(piece, s.crossing(line[i-1], p))
		}
		if in {
			piece = append(piece, p)
		} else if len(piece) > 0 {
			pieces, piece = append(pieces, piece), nil
		}
	}
	if len(piece) > 1 {
		pieces = append(pieces, piece)
	}
	return pieces
}

// simplified leaves out points that lie within the tolerance of the line between
// their neighbours (Douglas and Peucker's way). A ring keeps its two ends and the
// point farthest from them, so that it does not fold into a line.
func simplified(path []point, tolerance float64) []point {
	if len(path) < 3 {
		return path
	}
	keep := make([]bool, len(path))
	keep[0], keep[len(path)-1] = true, true
	if path[0] == path[len(path)-1] {
		far := 0
		for i, p := range path {
			if distance(p, path[0]) > distance(path[far], path[0]) {
				far = i
			}
		}
		keep[far] = true
		mark(path, keep, 0, far, tolerance)
		mark(path, keep, far, len(path)-1, tolerance)
	} else {
		mark(path, keep, 0, len(path)-1, tolerance)
	}
	var kept []point
	for i, p := range path {
		if keep[i] {
			kept = append(kept, p)
		}
	}
	return kept
}

func mark(path []point, keep []bool, first, last int, tolerance float64) {
	far, most := 0, tolerance
	for i := first + 1; i < last; i++ {
		if d := offLine(path[i], path[first], path[last]); d > most {
			far, most = i, d
		}
	}
	if far > 0 {
		keep[far] = true
		mark(path, keep, first, far, tolerance)
		mark(path, keep, far, last, tolerance)
	}
}

func distance(a, b point) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }

// offLine is how far p lies from the straight piece from a to b.
func offLine(p, a, b point) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	length := dx*dx + dy*dy
	if length == 0 {
		return distance(p, a)
	}
	share := min(max(((p.x-a.x)*dx+(p.y-a.y)*dy)/length, 0), 1)
	return distance(p, point{a.x + share*dx, a.y + share*dy})
}
