package main

import (
	"encoding/binary"
	"fmt"
	"math"
	"sort"

	"pappus/ground/terrain/packed"
)

// arc is a line between two junctions, with what lies to its left and right: numbers from 1, 0 for nothing.
type arc struct {
	left, right int
	line        []vertex
}

type edge struct{ a, b vertex } // a before b

type sides struct{ left, right int } // seen from a to b

func before(a, b vertex) bool { return a.y < b.y || a.y == b.y && a.x < b.x }

// topology turns rings with numbers into arcs, each border once. Where two areas overlap the later wins, and an edge
// with the same area on both sides is dropped; both are counted.
func topology(areas [][]ring) []arc {
	edges := map[edge]sides{}
	overlaps := 0
	for i, rings := range areas {
		for _, r := range rings {
			for k, a := range r {
				b := r[(k+1)%len(r)]
				e, forward := edge{a, b}, true
				if before(b, a) {
					e, forward = edge{b, a}, false
				}
				s := edges[e]
				side := &s.left
				if !forward {
					side = &s.right
				}
				if *side != 0 {
					overlaps++
				}
				*side = i + 1
				edges[e] = s
			}
		}
	}
	dropped := 0
	for e, s := range edges {
		if s.left == s.right {
			delete(edges, e)
			dropped++
		}
	}
	fmt.Printf("topology: %d areas, %d edges, %d overlapping, %d inner edges dropped\n", len(areas), len(edges), overlaps, dropped)
	return chain(edges)
}

type direction struct {
	to    vertex
	sides sides // seen from the vertex outward
}

// chain joins edges into arcs. A vertex is passed through when just two edges meet there with the same sides.
func chain(edges map[edge]sides) []arc {
	out := map[vertex][]direction{}
	for e, s := range edges {
		out[e.a] = append(out[e.a], direction{e.b, s})
		out[e.b] = append(out[e.b], direction{e.a, sides{s.right, s.left}})
	}
	vertices := make([]vertex, 0, len(out))
	for v, d := range out {
		sort.Slice(d, func(i, j int) bool { return before(d[i].to, d[j].to) })
		vertices = append(vertices, v)
	}
	sort.Slice(vertices, func(i, j int) bool { return before(vertices[i], vertices[j]) })
	through := func(v vertex) bool {
		d := out[v]
		return len(d) == 2 && d[0].sides == sides{d[1].sides.right, d[1].sides.left}
	}
	used := map[edge]bool{}
	take := func(a, b vertex) bool {
		e := edge{a, b}
		if before(b, a) {
			e = edge{b, a}
		}
		if used[e] {
			return false
		}
		used[e] = true
		return true
	}
	var arcs []arc
	follow := func(from vertex, d direction) {
		if !take(from, d.to) {
			return
		}
		a := arc{d.sides.left, d.sides.right, []vertex{from, d.to}}
		for at, came := d.to, from; through(at); {
			next := out[at][0]
			if next.to == came {
				next = out[at][1]
			}
			if !take(at, next.to) {
				break
			}
			a.line = append(a.line, next.to)
			came, at = at, next.to
		}
		arcs = append(arcs, a)
	}
	for _, loops := range []bool{false, true} { // junctions first, then what is left: loops without any
		for _, v := range vertices {
			if !loops && through(v) {
				continue
			}
			for _, d := range out[v] {
				follow(v, d)
			}
		}
	}
	return arcs
}

// simplify drops vertices nearer than a tolerance (in units of latitude) to the line that is left without them
// [Douglas1973]; east and west count by the cosine of the latitude. Ends stay, and a loop keeps its farthest vertex;
// so do the corners of the cut along the antimeridian and the pole.
func simplify(line []vertex, tolerance float64) []vertex {
	if len(line) < 4 {
		return line
	}
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	var split func(from, to int)
	split = func(from, to int) {
		worst, at := tolerance, -1
		for i := from + 1; i < to; i++ {
			if d := apart(line[i], line[from], line[to]); d > worst {
				worst, at = d, i
			}
		}
		if at < 0 {
			return
		}
		keep[at] = true
		split(from, at)
		split(at, to)
	}
	if line[0] == line[len(line)-1] {
		far, at := -1.0, 1
		for i := 1; i < len(line)-1; i++ {
			if d := apart(line[i], line[0], line[0]); d > far {
				far, at = d, i
			}
		}
		keep[at] = true
		if n := len(line); n <= 5 { // an islet keeps its shape
			return line
		}
		split(0, at)
		split(at, len(line)-1)
	} else {
		split(0, len(line)-1)
	}
	var out []vertex
	for i, v := range line {
		if keep[i] {
			out = append(out, v)
		}
	}
	if line[0] == line[len(line)-1] && len(out) < 4 {
		return line
	}
	return out
}

// apart is the distance of p from the segment ab.
func apart(p, a, b vertex) float64 {
	if p.x == 180*unitsPerDegree || p.x == -180*unitsPerDegree || p.y == -90*unitsPerDegree {
		return math.Inf(1)
	}
	squeeze := math.Cos(float64(p.y) / unitsPerDegree * math.Pi / 180)
	px, py := float64(p.x-a.x)*squeeze, float64(p.y-a.y)
	bx, by := float64(b.x-a.x)*squeeze, float64(b.y-a.y)
	if l := bx*bx + by*by; l > 0 {
		t := min(max((px*bx+py*by)/l, 0), 1)
		px, py = px-t*bx, py-t*by
	}
	return math.Hypot(px, py)
}

// packArcs writes the arcs, sorted by where they start: three sections: sides and lengths, eastings, northings.
func packArcs(arcs []arc) [][]byte {
	const band = 5 * unitsPerDegree
	sort.SliceStable(arcs, func(i, j int) bool {
		a, b := arcs[i].line[0], arcs[j].line[0]
		if a.y/band != b.y/band {
			return a.y < b.y
		}
		return a.x < b.x
	})
	vertices := 0
	for _, a := range arcs {
		vertices += len(a.line)
	}
	heads := binary.AppendUvarint(nil, uint64(len(arcs)))
	heads = binary.AppendUvarint(heads, uint64(vertices))
	var xs, ys []byte
	var last vertex
	left, right := 0, 0
	for _, a := range arcs {
		heads = binary.AppendVarint(heads, int64(a.left-left))
		heads = binary.AppendVarint(heads, int64(a.right-right))
		heads = binary.AppendUvarint(heads, uint64(len(a.line)))
		left, right = a.left, a.right
		for _, v := range a.line {
			xs = binary.AppendVarint(xs, int64(v.x-last.x))
			ys = binary.AppendVarint(ys, int64(v.y-last.y))
			last = v
		}
	}
	fmt.Printf("arcs: %d with %d vertices\n", len(arcs), vertices)
	return [][]byte{heads, xs, ys}
}

func packAndSave(sections [][]byte, parts ...string) error {
	data, err := packed.Pack(sections...)
	if err != nil {
		return err
	}
	return save(data, parts...)
}
