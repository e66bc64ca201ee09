package main

import (
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"strings"
)

// borderTolerance is how far a simplified border may leave the given one: 0.0015 degrees, 170 m, against an error
// of the given one of half a kilometre and more.
const borderTolerance = 15

func writeRegions(in inputs, s *states) error {
	areas := make([][]ring, len(s.all))
	var table strings.Builder
	for i, one := range s.all {
		areas[i] = one.rings
		fmt.Fprintf(&table, "%s\t%s\t%s\t%s\n", one.name, one.country, one.iso, one.code)
	}
	arcs := topology(areas)
	for i := range arcs {
		arcs[i].line = simplify(arcs[i].line, borderTolerance)
	}
	return packAndSave(append(packArcs(arcs), []byte(table.String())), in.out, "landcover", "regions.bin")
}

// writeOutlines turns one pn2 file of areas or lines into arcs. Areas are numbered from 1.
func writeOutlines(in inputs, path, name string) error {
	areas, lines, err := readPN2(path)
	if err != nil {
		return err
	}
	var arcs []arc
	if len(areas) > 0 {
		arcs = topology(withoutDoubles(areas))
	}
	for _, l := range lines {
		arcs = append(arcs, arc{line: l})
	}
	sections := packArcs(arcs)
	return packAndSave(append(sections, binary.AppendUvarint(nil, uint64(len(areas)))), in.out, "landcover", name)
}

// withoutDoubles drops the larger of two areas that share more than a few edges on the same side: the file holds
// the Great Lakes one by one and once more in one piece.
func withoutDoubles(areas [][]ring) [][]ring {
	type run struct{ a, b vertex }
	owner := map[run]int{}
	shared := map[[2]int]int{}
	for i, rings := range areas {
		for _, r := range rings {
			for k, a := range r {
				e := run{a, r[(k+1)%len(r)]}
				if j, ok := owner[e]; ok && j != i {
					shared[[2]int{j, i}]++
				}
				owner[e] = i
			}
		}
	}
	drop := map[int]bool{}
	for pair, n := range shared {
		if n < 4 {
			continue
		}
		if extent(areas[pair[0]]) > extent(areas[pair[1]]) {
			drop[pair[0]] = true
		} else {
			drop[pair[1]] = true
		}
	}
	var out [][]ring
	for i, rings := range areas {
		if !drop[i] {
			out = append(out, rings)
		}
	}
	fmt.Printf("outlines: %d areas, %d of them drawn twice and dropped\n", len(areas), len(drop))
	return out
}

func extent(rings []ring) float64 {
	sum := 0.0
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			sum += float64(a.x)*float64(b.y) - float64(b.x)*float64(a.y)
		}
	}
	return math.Abs(sum)
}

// readPN2 reads the compact outlines of a desktop globe: big-endian, in 120ths of a degree. A head of version 2, count
// and colour; then records of a flag (0 line, 2 outer ring, 3 hole, 4 several parts) and a number. A part holds nodes,
// each a place followed by small steps from that place.
func readPN2(path string) (areas [][]ring, lines [][]vertex, err error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, nil, err
	}
	if len(data) < 6 || data[0] != 2 || data[5] != 0 {
		return nil, nil, fmt.Errorf("not a plain pn2 file of version 2")
	}
	at := 6
	need := func(n int) bool {
		if at+n > len(data) {
			err = fmt.Errorf("it breaks off at byte %d", at)
			return false
		}
		return true
	}
	numbers := map[uint32]int{}
	for at < len(data) && need(6) {
		flag, id := data[at], binary.BigEndian.Uint32(data[at+1:])
		at += 5
		if flag == 4 {
			at++
			continue
		}
		if flag != 0 && flag != 2 && flag != 3 || !need(4) {
			return nil, nil, fmt.Errorf("flag %d at byte %d, expected 0, 2, 3 or 4", flag, at-5)
		}
		nodes := int(binary.BigEndian.Uint32(data[at:]))
		at += 4
		var line []vertex
		for range nodes {
			if !need(6) {
				return nil, nil, err
			}
			lat, lon := int16(binary.BigEndian.Uint16(data[at:])), int16(binary.BigEndian.Uint16(data[at+2:]))
			steps := int(binary.BigEndian.Uint16(data[at+4:]))
			at += 6
			line = append(line, from120ths(int(lon), int(lat)))
			if !need(2 * steps) {
				return nil, nil, err
			}
			for range steps {
				line = append(line, from120ths(int(lon)+int(int8(data[at+1])), int(lat)+int(int8(data[at]))))
				at += 2
			}
		}
		line = withoutRepeats(line)
		switch {
		case flag == 0 && len(line) >= 2:
			lines = append(lines, line)
		case flag != 0:
			r := ring(line)
			if len(r) > 1 && r[0] == r[len(r)-1] {
				r = r[:len(r)-1]
			}
			if len(r) < 3 {
				continue
			}
			n, ok := numbers[id]
			if !ok {
				n = len(areas)
				numbers[id] = n
				areas = append(areas, nil)
			}
			areas[n] = append(areas[n], oriented(r, flag == 2))
		}
	}
	return areas, lines, err
}

func from120ths(x, y int) vertex {
	scale := func(v int) int32 { return int32(math.Round(float64(v) * unitsPerDegree / 120)) }
	return vertex{scale(x), scale(y)}
}

func withoutRepeats(line []vertex) []vertex {
	var out []vertex
	for _, v := range line {
		if len(out) == 0 || out[len(out)-1] != v {
			out = append(out, v)
		}
	}
	return out
}
