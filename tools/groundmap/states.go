package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"sort"

	"pappus/measure/geo"
)

// unitsPerDegree is the step of all outlines: 0.0001 degrees, 11 m, a fiftieth of the outlines' own error.
const unitsPerDegree = 10000

type vertex struct{ x, y int32 }

// ring is closed without repeating its first vertex. Outer rings run anticlockwise, holes clockwise:
// the inside is on the left.
type ring []vertex

type state struct {
	name, country, iso string // iso: the country's two letters, or ours where Natural Earth has none
	code               string // ISO 3166-2 where known
	rings              []ring
}

type states struct {
	all   []state
	cells map[[2]int32][]int32 // states by whole degrees, for find
}

// renamed are countries that changed their name after the data were made.
var renamed = map[string]string{"Macedonia": "North Macedonia", "Swaziland": "Eswatini", "Republic of Serbia": "Serbia",
	"United Republic of Tanzania": "Tanzania", "Turkey": "Türkiye", "S. Sudan": "South Sudan", "Aland": "Åland"}

func readStates(path string) (*states, error) {
	file, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var doc struct {
		Features []struct {
			Properties struct {
				Name   string `json:"name"`
				NameEn string `json:"name_en"`
				Admin  string `json:"admin"`
				ISO    string `json:"iso_a2"`
				Adm0   string `json:"adm0_a3"`
				Code   string `json:"iso_3166_2"`
			} `json:"properties"`
			Geometry struct {
				Type        string          `json:"type"`
				Coordinates json.RawMessage `json:"coordinates"`
			} `json:"geometry"`
		} `json:"features"`
	}
	if err := json.Unmarshal(file, &doc); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	s := &states{cells: map[[2]int32][]int32{}}
	for i, f := range doc.Features {
		var polygons [][][][2]float64
		switch f.Geometry.Type {
		case "Polygon":
			polygons = make([][][][2]float64, 1)
			err = json.Unmarshal(f.Geometry.Coordinates, &polygons[0])
		case "MultiPolygon":
			err = json.Unmarshal(f.Geometry.Coordinates, &polygons)
		default:
			err = fmt.Errorf("a %s, expected polygons", f.Geometry.Type)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: feature %d: %w", path, i, err)
		}
		p := f.Properties
		one := state{name: p.Name, country: p.Admin, iso: p.ISO, code: p.Code}
		if p.NameEn != "" {
			one.name = p.NameEn
		}
		if now, ok := renamed[p.Admin]; ok {
			one.country = now
		}
		if one.iso == "" || one.iso[0] == '-' {
			one.iso = p.Adm0
		}
		for _, polygon := range polygons {
			for k, points := range polygon {
				if r := quantise(points); len(r) >= 3 {
					one.rings = append(one.rings, oriented(r, k == 0))
				}
			}
		}
		s.all = append(s.all, one)
	}
	// By country, then state: neighbours in the table are neighbours on the ground, which packs well.
	sort.SliceStable(s.all, func(i, j int) bool {
		a, b := &s.all[i], &s.all[j]
		if a.country != b.country {
			return a.country < b.country
		}
		return a.name < b.name
	})
	s.index()
	return s, nil
}

func quantise(points [][2]float64) ring {
	var r ring
	for _, p := range points {
		v := vertex{int32(math.Round(p[0] * unitsPerDegree)), int32(math.Round(p[1] * unitsPerDegree))}
		if len(r) == 0 || r[len(r)-1] != v {
			r = append(r, v)
		}
	}
	for len(r) > 1 && r[len(r)-1] == r[0] {
		r = r[:len(r)-1]
	}
	return r
}

func oriented(r ring, outer bool) ring {
	area := 0.0
	for i, a := range r {
		b := r[(i+1)%len(r)]
		area += float64(a.x)*float64(b.y) - float64(b.x)*float64(a.y)
	}
	if (area > 0) != outer {
		for i, j := 0, len(r)-1; i < j; i, j = i+1, j-1 {
			r[i], r[j] = r[j], r[i]
		}
	}
	return r
}

func (s *states) index() {
	for i := range s.all {
		seen := map[[2]int32]bool{}
		for _, r := range s.all[i].rings {
			west, south, east, north := r[0].x, r[0].y, r[0].x, r[0].y
			for _, v := range r {
				west, south, east, north = min(west, v.x), min(south, v.y), max(east, v.x), max(north, v.y)
			}
			for y := floorDegree(south); y <= floorDegree(north); y++ {
				for x := floorDegree(west); x <= floorDegree(east); x++ {
					if k := [2]int32{x, y}; !seen[k] {
						seen[k] = true
						s.cells[k] = append(s.cells[k], int32(i))
					}
				}
			}
		}
	}
}

func floorDegree(v int32) int32 { return int32(math.Floor(float64(v) / unitsPerDegree)) }

// inside counts crossings of a ray to the east, over all rings together.
func (s *state) inside(x, y float64) bool {
	in := false
	for _, r := range s.rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (float64(a.y) > y) != (float64(b.y) > y) &&
				x < float64(a.x)+(y-float64(a.y))/float64(b.y-a.y)*float64(b.x-a.x) {
				in = !in
			}
		}
	}
	return in
}

// find gives the number, from 1, of the state a place lies in. A place off the coast, which happens by the
// outlines' error, belongs to the state of its own country with the nearest vertex within 100 km, or to none: 0.
func (s *states) find(p geo.Point, iso string) (region int, exact bool) {
	x, y := p.LonDeg*unitsPerDegree, p.LatDeg*unitsPerDegree
	cx, cy := int32(math.Floor(p.LonDeg)), int32(math.Floor(p.LatDeg))
	for _, i := range s.cells[[2]int32{cx, cy}] {
		if s.all[i].inside(x, y) {
			return int(i) + 1, true
		}
	}
	best := 1.0 // degree
	squeeze := math.Cos(p.LatDeg * math.Pi / 180)
	for dy := int32(-1); dy <= 1; dy++ {
		for dx := int32(-1); dx <= 1; dx++ {
			for _, i := range s.cells[[2]int32{cx + dx, cy + dy}] {
				if s.all[i].iso != iso {
					continue
				}
				for _, r := range s.all[i].rings {
					for _, v := range r {
						d := math.Hypot((float64(v.x)-x)*squeeze, float64(v.y)-y) / unitsPerDegree
						if d < best {
							best, region = d, int(i)+1
						}
					}
				}
			}
		}
	}
	return region, false
}

// nodeMask tells for every node of ETOPO5 whether it lies in a state, row by row: the crossings of a parallel
// with all rings, sorted, open and close the land.
func (s *states) nodeMask() []bool {
	rows := make([][]float64, reliefRows)
	for i := range s.all {
		for _, r := range s.all[i].rings {
			for k, a := range r {
				b := r[(k+1)%len(r)]
				low, high := a, b
				if low.y > high.y {
					low, high = high, low
				}
				first := int(math.Ceil((float64(low.y) + 90*unitsPerDegree - 0.5) / (float64(unitsPerDegree) / 12)))
				for row := max(first, 0); row < reliefRows; row++ {
					// Half a unit beside the parallel: no vertex lies there.
					y := float64(row)*unitsPerDegree/12 - 90*unitsPerDegree + 0.5
					if y >= float64(high.y) || y < float64(low.y) {
						if y >= float64(high.y) {
							break
						}
						continue
					}
					x := float64(low.x) + (y-float64(low.y))/float64(high.y-low.y)*float64(high.x-low.x)
					rows[row] = append(rows[row], x)
				}
			}
		}
	}
	mask := make([]bool, reliefColumns*reliefRows)
	for row, crossings := range rows {
		sort.Float64s(crossings)
		for i := 0; i+1 < len(crossings); i += 2 {
			for k := math.Ceil(crossings[i] / (360.0 * unitsPerDegree / reliefColumns)); k*360*unitsPerDegree/reliefColumns < crossings[i+1]; k++ {
				mask[row*reliefColumns+(int(k)+reliefColumns)%reliefColumns] = true
			}
		}
	}
	return mask
}
