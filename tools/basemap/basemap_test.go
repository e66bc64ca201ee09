package main

import (
	"math"
	"slices"
	"testing"
)

// The three geometries are the examples of [MVT], 4.3.5.
func TestOutsideGeometry(t *testing.T) {
	for _, c := range []struct {
		kind kind
		path [][2]int
		want []uint32
	}{
		{pointKind, [][2]int{{25, 17}}, []uint32{9, 50, 34}},
		{lineKind, [][2]int{{2, 2}, {2, 10}, {10, 10}}, []uint32{9, 4, 4, 18, 0, 16, 16, 0}},
		{areaKind, [][2]int{{3, 6}, {8, 12}, {20, 34}}, []uint32{9, 6, 12, 18, 10, 12, 24, 44, 15}},
	} {
		if got := geometry(feature{kind: c.kind, paths: [][][2]int{c.path}}); !slices.Equal(got, c.want) {
			t.Errorf("%v: %v, want %v", c.path, got, c.want)
		}
	}
}

// The ids are the examples of [PMTiles], 4.1.
func TestOutsideTileID(t *testing.T) {
	for key, want := range map[tileKey]uint64{
		{0, 0, 0}: 0, {1, 0, 0}: 1, {1, 0, 1}: 2, {1, 1, 1}: 3, {1, 1, 0}: 4, {2, 0, 0}: 5, {12, 3423, 1763}: 19078479,
	} {
		if got := tileID(key); got != want {
			t.Errorf("%v: %d, want %d", key, got, want)
		}
	}
}

func TestCutRing(t *testing.T) {
	square := shape{true, [][]point{{{0, 0}, {4, 0}, {4, 4}, {0, 4}, {0, 0}}}}
	part, some := box{2, 1, 9, 3}.cut(square)
	if !some {
		t.Fatal("nothing is left")
	}
	area := 0.0
	for i := 1; i < len(part.paths[0]); i++ {
		a, b := part.paths[0][i-1], part.paths[0][i]
		area += (a.x*b.y - b.x*a.y) / 2
	}
	if math.Abs(area-4) > 1e-12 { // 2 wide and 2 high; only rounding
		t.Errorf("area %g, want 4", area)
	}
	if _, some := (box{5, 5, 6, 6}).cut(square); some {
		t.Error("something is left outside of the square")
	}
}

func TestCutLineComesBack(t *testing.T) {
	line := shape{paths: [][]point{{{0, 0}, {4, 0}, {4, 1}, {0, 1}}}}
	part, _ := box{-1, -1, 2, 2}.cut(line)
	if len(part.paths) != 2 || part.paths[0][1] != (point{2, 0}) || part.paths[1][0] != (point{2, 1}) {
		t.Errorf("cut into %v", part.paths)
	}
}

func TestUnwrapOverTheAntimeridian(t *testing.T) {
	var world topology
	world.Transform.Scale = [2]float64{1, 1}
	world.Arcs = [][][2]int{{{179, 0}, {-358, 0}, {0, 1}}} // 179 E, then 179 W
	path := world.chain([]int{0})
	if path[1].x != 181 || path[2].x != 181 {
		t.Errorf("unwrapped to %v", path)
	}
}

func TestSimplifiedKeepsWhatShows(t *testing.T) {
	path := []point{{0, 0}, {1, 0.01}, {2, 0}, {3, 5}, {4, 0}}
	got := simplified(path, 0.1)
	if !slices.Equal(got, []point{{0, 0}, {2, 0}, {3, 5}, {4, 0}}) {
		t.Errorf("simplified to %v", got)
	}
}
