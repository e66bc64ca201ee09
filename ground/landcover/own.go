package landcover

import (
	"math"
	"strings"

	"pappus/measure/geo"
)

// Leave is what the person's own areas say about landing.
type Leave uint8

// The kinds of leave.
const (
	NothingSaid Leave = iota
	KeepOut
	Permission
)

var leaveWords = [...]string{"nothing said", "keep out", "permission"}

// String names the leave in words.
func (l Leave) String() string { return leaveWords[min(int(l), len(leaveWords)-1)] }

// OwnArea is an area that the person has drawn. Its kind is a word of theirs; some have a meaning here:
// "keep out" and "permission" (landing there); "forest", "town", "lake" or "water", "sea", "land" (what the ground is, over
// what the data say). All others, "airspace" among them, are only reported.
type OwnArea struct {
	Name string
	Kind string

	ground             Ground
	groundSet          bool
	leave              Leave
	west, south        float64
	east, north        float64
	bandStart, bandSet []int32 // edges by bands of latitude
	edges              []ownEdge
}

// ownEdge is one side of a ring. Longitudes run on across the antimeridian, so that they may leave -180 to 180.
type ownEdge struct{ x1, y1, x2, y2 float64 }

// With lays areas over the map: those given later lie above. The map itself is not changed.
func (m *Map) With(areas ...OwnArea) *Map {
	joined := make([]OwnArea, 0, len(m.own)+len(areas))
	return &Map{layers: m.layers, own: append(append(joined, m.own...), areas...)}
}

// Own lists the areas laid over the map, lowest first.
func (m *Map) Own() []OwnArea { return m.own }

// OwnAt appends the numbers (in Own) of the areas that a place lies in, lowest first.
func (m *Map) OwnAt(p geo.Point, numbers []int) []int {
	for i := range m.own {
		if m.own[i].Contains(p) {
			numbers = append(numbers, i)
		}
	}
	return numbers
}

func (m *Map) overlay(p geo.Point, h *Here) {
	for i := range m.own {
		a := &m.own[i]
		if (a.groundSet || a.leave != NothingSaid) && a.Contains(p) {
			if a.groundSet {
				h.Ground, h.Drawn = a.ground, true
			}
			if a.leave != NothingSaid {
				h.Leave = a.leave
			}
		}
	}
}

// meaning reads the area's kind.
func (a *OwnArea) meaning() {
	grounds := map[string]Ground{"forest": Forest, "wood": Forest, "woods": Forest, "town": Town, "lake": Lake, "water": Lake, "sea": Sea, "land": Land, "field": Land}
	kind := strings.ToLower(strings.Join(strings.Fields(strings.NewReplacer("-", " ", "_", " ").Replace(a.Kind)), " "))
	a.ground, a.groundSet = grounds[kind]
	switch kind {
	case "keep out":
		a.leave = KeepOut
	case "permission", "permission given":
		a.leave = Permission
	}
}

const maxBands = 4096

// index sorts the edges into bands of latitude.
func (a *OwnArea) index() {
	a.west, a.south, a.east, a.north = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, e := range a.edges {
		a.west, a.east = min(a.west, e.x1, e.x2), max(a.east, e.x1, e.x2)
		a.south, a.north = min(a.south, e.y1, e.y2), max(a.north, e.y1, e.y2)
	}
	bands := min(max(len(a.edges)/4, 1), maxBands)
	a.bandStart = make([]int32, bands+1)
	each := func(visit func(band int, edge int32)) {
		for i, e := range a.edges {
			for b := a.band(min(e.y1, e.y2)); b <= a.band(max(e.y1, e.y2)); b++ {
				visit(b, int32(i))
			}
		}
	}
	each(func(b int, _ int32) { a.bandStart[b+1]++ })
	for b := range bands {
		a.bandStart[b+1] += a.bandStart[b]
	}
	a.bandSet = make([]int32, a.bandStart[bands])
	next := append([]int32(nil), a.bandStart[:bands]...)
	each(func(b int, edge int32) {
		a.bandSet[next[b]] = edge
		next[b]++
	})
}

func (a *OwnArea) band(y float64) int {
	bands := len(a.bandStart) - 1
	if a.north <= a.south {
		return 0
	}
	return min(max(int((y-a.south)/(a.north-a.south)*float64(bands)), 0), bands-1)
}

// Contains tells whether a place lies in the area, holes not counted. It does not allocate.
func (a *OwnArea) Contains(p geo.Point) bool {
	if len(a.edges) == 0 || p.LatDeg < a.south || p.LatDeg > a.north {
		return false
	}
	for _, turn := range [...]float64{0, 360, -360} {
		if x := p.LonDeg + turn; x >= a.west && x <= a.east && a.crossings(x, p.LatDeg)%2 == 1 {
			return true
		}
	}
	return false
}

// crossings counts the edges east of a place at its latitude.
func (a *OwnArea) crossings(x, y float64) int {
	n, b := 0, a.band(y)
	for _, i := range a.bandSet[a.bandStart[b]:a.bandStart[b+1]] {
		e := &a.edges[i]
		if (e.y1 > y) != (e.y2 > y) && x < e.x1+(y-e.y1)/(e.y2-e.y1)*(e.x2-e.x1) {
			n++
		}
	}
	return n
}
