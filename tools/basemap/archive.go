package main

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"slices"
)

// PMTiles version 3, one root directory: [PMTiles].

type archived struct {
	id   uint64
	tile []byte // compressed
}

// tileID counts the tiles of all lower zooms, then along the Hilbert curve.
func tileID(key tileKey) uint64 {
	id := uint64(0)
	for zoom := range key.zoom {
		id += 1 << (2 * zoom)
	}
	x, y := key.x, key.y
	for half := 1 << key.zoom >> 1; half > 0; half >>= 1 {
		right, low := 0, 0
		if x&half > 0 {
			right = 1
		}
		if y&half > 0 {
			low = 1
		}
		id += uint64(half) * uint64(half) * uint64(3*right^low)
		if low == 0 {
			if right == 1 {
				x, y = half-1-x&(half-1), half-1-y&(half-1)
			}
			x, y = y, x
		}
	}
	return id
}

type entry struct{ id, offset, length, run uint64 }

const headerSize, rootRoom = 127, 16384

func writeArchive(list []archived) ([]byte, error) {
	slices.SortFunc(list, func(a, b archived) int { return int(int64(a.id) - int64(b.id)) })
	var data []byte
	var entries []entry
	known := map[[32]byte]entry{}
	for _, a := range list {
		sum := sha256.Sum256(a.tile)
		e, seen := known[sum]
		if !seen {
			e = entry{offset: uint64(len(data)), length: uint64(len(a.tile))}
			known[sum] = e
			data = append(data, a.tile...)
		}
		if n := len(entries); n > 0 && entries[n-1].offset == e.offset && entries[n-1].id+entries[n-1].run == a.id {
			entries[n-1].run++
			continue
		}
		entries = append(entries, entry{a.id, e.offset, e.length, 1})
	}
	root := zipped(directory(entries))
	if headerSize+len(root) > rootRoom {
		return nil, fmt.Errorf("the root directory has %d bytes, and %d fit: draw fewer tiles, or write leaf directories", len(root), rootRoom-headerSize)
	}
	about, err := json.Marshal(metadata())
	if err != nil {
		return nil, err
	}
	about = zipped(about)
	head := append([]byte("PMTiles"), 3)
	at := uint64(headerSize)
	for _, length := range []int{len(root), len(about), 0, len(data)} {
		head = binary.LittleEndian.AppendUint64(head, at)
		head = binary.LittleEndian.AppendUint64(head, uint64(length))
		at += uint64(length)
	}
	for _, count := range []int{len(list), len(entries), len(known)} {
		head = binary.LittleEndian.AppendUint64(head, uint64(count))
	}
	const clustered, gzipped, vector = 1, 2, 1
	head = append(head, clustered, gzipped, gzipped, vector, 0, maxZoom)
	for _, degrees := range []float64{-180, -85, 180, 85} {
		head = binary.LittleEndian.AppendUint32(head, uint32(int32(degrees*1e7)))
	}
	head = append(head, 2) // where a viewer begins: zoom, then longitude and latitude
	head = append(head, make([]byte, 8)...)
	return slices.Concat(head, root, about, data), nil
}

// directory writes the entries column by column. An offset that follows on from
// the entry before is written as 0.
func directory(entries []entry) []byte {
	b := binary.AppendUvarint(nil, uint64(len(entries)))
	last := uint64(0)
	for _, e := range entries {
		b = binary.AppendUvarint(b, e.id-last)
		last = e.id
	}
	for _, e := range entries {
		b = binary.AppendUvarint(b, e.run)
	}
	for _, e := range entries {
		b = binary.AppendUvarint(b, e.length)
	}
	for i, e := range entries {
		if i > 0 && e.offset == entries[i-1].offset+entries[i-1].length {
			b = binary.AppendUvarint(b, 0)
		} else {
			b = binary.AppendUvarint(b, e.offset+1)
		}
	}
	return b
}

func metadata() map[string]any {
	var layers []map[string]any
	for _, name := range layerOrder {
		fields := map[string]string{}
		if name == "place" {
			fields = map[string]string{"name": "String", "people": "Number"}
		}
		layers = append(layers, map[string]any{"id": name, "fields": fields})
	}
	return map[string]any{"name": "world", "attribution": attribution, "vector_layers": layers}
}
