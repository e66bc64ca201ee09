package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
)

// point is a place on the flat map: the world is the unit square, x eastward
// from 180 W, y southward from 85 N (web Mercator).
type point struct{ x, y float64 }

// shape is an area (rings, the outer one first) or lines.
type shape struct {
	area  bool
	paths [][]point
}

// topology is a TopoJSON file: https://github.com/topojson/topojson-specification.
type topology struct {
	Transform struct{ Scale, Translate [2]float64 }
	Arcs      [][][2]int
	Objects   map[string]object
}

type object struct {
	Type       string
	ID         string
	Arcs       json.RawMessage
	Geometries []object
}

func readTopology(path string) (*topology, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var t topology
	if err := json.Unmarshal(text, &t); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return &t, nil
}

// arc gives the longitudes and latitudes of one arc; a negative index is the
// arc ^index backwards.
func (t *topology) arc(index int) []point {
	backwards := index < 0
	if backwards {
		index = ^index
	}
	arc := make([]point, len(t.Arcs[index]))
	var x, y int
	for i, step := range t.Arcs[index] {
		x, y = x+step[0], y+step[1]
		at := i
		if backwards {
			at = len(arc) - 1 - i
		}
		arc[at] = point{
			float64(x)*t.Transform.Scale[0] + t.Transform.Translate[0],
			float64(y)*t.Transform.Scale[1] + t.Transform.Translate[1],
		}
	}
	return arc
}

// chain joins arcs end to end and unwraps their longitudes, so that a path over
// the antimeridian goes on beyond 180 instead of jumping across the map.
func (t *topology) chain(arcs []int) []point {
	var path []point
	for _, index := range arcs {
		for i, p := range t.arc(index) {
			if i == 0 && len(path) > 0 {
				continue
			}
			if len(path) > 0 {
				p.x += 360 * math.Round((path[len(path)-1].x-p.x)/360)
			}
			path = append(path, p)
		}
	}
	return path
}

// each calls do for every geometry with its arcs: polygons as lists of rings,
// lines as lists of lines.
func (o object) each(do func(o object, rings [][]int)) {
	must := func(err error) {
		if err != nil {
			panic(err) // the packages are pinned: their form is known
		}
	}
	switch o.Type {
	case "GeometryCollection":
		for _, g := range o.Geometries {
			g.each(do)
		}
	case "LineString":
		var line []int
		must(json.Unmarshal(o.Arcs, &line))
		do(o, [][]int{line})
	case "Polygon", "MultiLineString":
		var rings [][]int
		must(json.Unmarshal(o.Arcs, &rings))
		do(o, rings)
	case "MultiPolygon":
		var polygons [][][]int
		must(json.Unmarshal(o.Arcs, &polygons))
		for _, rings := range polygons {
			do(o, rings)
		}
	}
}

// areas gives the polygons of an object.
func (t *topology) areas(name string) []shape {
	var all []shape
	t.Objects[name].each(func(_ object, rings [][]int) {
		s := shape{area: true}
		for i, ring := range rings {
			path := closeOverPole(t.chain(ring))
			if i > 0 {
				// A hole goes where its outer ring is, not a world beside it.
				shift := 360 * math.Round((middle(s.paths[0])-middle(path))/360)
				for k := range path {
					path[k].x += shift
				}
			}
			s.paths = append(s.paths, path)
		}
		all = append(all, s)
	})
	return flattened(all)
}

func middle(path []point) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range path {
		low, high = min(low, p.x), max(high, p.x)
	}
	return (low + high) / 2
}

// closeOverPole closes a ring that goes once around the world, as Antarctica's
// does, along the pole.
func closeOverPole(ring []point) []point {
	first, last := ring[0], ring[len(ring)-1]
	if math.Abs(last.x-first.x) < 180 {
		return ring
	}
	return append(ring, point{last.x, -90}, point{first.x, -90}, first)
}

// lines gives the lines of an object.
func (t *topology) lines(name string) []shape {
	var all []shape
	t.Objects[name].each(func(_ object, lines [][]int) {
		for _, line := range lines {
			all = append(all, shape{paths: [][]point{t.chain(line)}})
		}
	})
	return flattened(all)
}

// between gives the arcs that two geometries of an object share, once each, and
// only those whose two ids pass the filter, where there is one.
func (t *topology) between(name string, keep func(a, b string) bool) []shape {
	owners := make([][]string, len(t.Arcs))
	t.Objects[name].each(func(o object, rings [][]int) {
		for _, ring := range rings {
			for _, index := range ring {
				owners[max(index, ^index)] = append(owners[max(index, ^index)], o.ID)
			}
		}
	})
	var all []shape
	for index, own := range owners {
		if len(own) == 2 && (keep == nil || keep(own[0], own[1])) {
			all = append(all, shape{paths: [][]point{t.chain([]int{index})}})
		}
	}
	return flattened(all)
}

// flattened projects shapes onto the flat map, and repeats those that reach over
// its left or right side on the other side.
func flattened(shapes []shape) []shape {
	var all []shape
	for _, s := range shapes {
		low, high := math.Inf(1), math.Inf(-1)
		for _, path := range s.paths {
			for i, p := range path {
				path[i] = mercator(p.x, p.y)
				low, high = min(low, path[i].x), max(high, path[i].x)
			}
		}
		for shift := math.Floor(-high); shift <= 1-low; shift++ {
			if high+shift <= 0 || low+shift >= 1 {
				continue
			}
			moved := shape{area: s.area}
			for _, path := range s.paths {
				m := make([]point, len(path))
				for i, p := range path {
					m[i] = point{p.x + shift, p.y}
				}
				moved.paths = append(moved.paths, m)
			}
			all = append(all, moved)
		}
	}
	return all
}

// mercator projects degrees; beyond 89 degrees it stops, far outside the square.
func mercator(lonDeg, latDeg float64) point {
	lat := min(max(latDeg, -89), 89) * math.Pi / 180
	return point{lonDeg/360 + 0.5, 0.5 - math.Log(math.Tan(math.Pi/4+lat/2))/(2*math.Pi)}
}
