package main

import "encoding/binary"

// Mapbox Vector Tile 2.1, written as protocol buffers by hand: [MVT].

type kind int

const (
	pointKind kind = 1
	lineKind  kind = 2
	areaKind  kind = 3
)

// feature is one thing in a tile, in the tile's whole units. Rings are without
// their closing point. Only places have a name and a population.
type feature struct {
	kind   kind
	paths  [][][2]int
	name   string
	people uint64
}

func field(b []byte, number int, content []byte) []byte {
	b = binary.AppendUvarint(b, uint64(number)<<3|2)
	b = binary.AppendUvarint(b, uint64(len(content)))
	return append(b, content...)
}

func number(b []byte, field int, value uint64) []byte {
	return binary.AppendUvarint(binary.AppendUvarint(b, uint64(field)<<3), value)
}

// encodeLayer gives a whole layer as the tile's field 3.
func encodeLayer(name string, features []feature) []byte {
	layer := field(nil, 1, []byte(name))
	var values [][]byte
	known := map[string]uint64{}
	value := func(content []byte) uint64 {
		at, seen := known[string(content)]
		if !seen {
			at = uint64(len(values))
			known[string(content)] = at
			values = append(values, content)
		}
		return at
	}
	named := false
	for _, f := range features {
		var b []byte
		if f.name != "" {
			named = true
			var tags []byte
			for key, at := range []uint64{value(field(nil, 1, []byte(f.name))), value(number(nil, 5, f.people))} {
				tags = binary.AppendUvarint(binary.AppendUvarint(tags, uint64(key)), at)
			}
			b = field(b, 2, tags)
		}
		b = number(b, 3, uint64(f.kind))
		var commands []byte
		for _, word := range geometry(f) {
			commands = binary.AppendUvarint(commands, uint64(word))
		}
		layer = field(layer, 2, field(b, 4, commands))
	}
	if named {
		layer = field(field(layer, 3, []byte("name")), 3, []byte("people"))
		for _, content := range values {
			layer = field(layer, 4, content)
		}
	}
	return field(nil, 3, number(number(layer, 5, extent), 15, 2))
}

// geometry gives the command and parameter integers of a feature [MVT, 4.3].
func geometry(f feature) []uint32 {
	const moveTo, lineTo, closePath = 1, 2, 7
	zigzag := func(v int) uint32 { return uint32(v<<1) ^ uint32(v>>31) }
	command := func(id, count int) uint32 { return uint32(count<<3 | id) }
	var words []uint32
	var x, y int
	for _, path := range f.paths {
		for i, p := range path {
			switch i {
			case 0:
				words = append(words, command(moveTo, 1))
			case 1:
				words = append(words, command(lineTo, len(path)-1))
			}
			words = append(words, zigzag(p[0]-x), zigzag(p[1]-y))
			x, y = p[0], p[1]
		}
		if f.kind == areaKind {
			words = append(words, command(closePath, 1))
		}
	}
	return words
}
