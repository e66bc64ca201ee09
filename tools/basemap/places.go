package main

import (
	"encoding/binary"
	"fmt"
	"os"
	"slices"
	"strings"
)

// place is a town with its people.
type place struct {
	name   string
	people uint64
	at     point
}

// readPlaces reads the package's own file: messages one after the other, each
// with its length, where a place is told by its steps from the one before.
func readPlaces(path string) ([]place, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var places []place
	var lon, lat int64
	uvarint := func(b *[]byte) uint64 {
		value, n := binary.Uvarint(*b)
		if n <= 0 {
			err = fmt.Errorf("%s: a number is cut short", path)
			n = len(*b)
		}
		*b = (*b)[n:]
		return value
	}
	chunk := func(b *[]byte) []byte {
		n := uvarint(b)
		if n > uint64(len(*b)) {
			err = fmt.Errorf("%s: a message is cut short", path)
			n = uint64(len(*b))
		}
		content := (*b)[:n]
		*b = (*b)[n:]
		return content
	}
	signed := func(v uint64) int64 { return int64(v>>1) ^ -int64(v&1) }
	for len(data) > 0 && err == nil {
		message := chunk(&data)
		var p place
		for len(message) > 0 && err == nil {
			tag := uvarint(&message)
			if tag&7 == 2 {
				if content := chunk(&message); tag>>3 == 2 {
					p.name = string(content)
				}
				continue
			}
			switch value := uvarint(&message); tag >> 3 {
			case 9:
				p.people = value
			case 10:
				lon += signed(value)
			case 11:
				lat += signed(value)
			}
		}
		p.at = mercator(float64(lon)/1e5, float64(lat)/1e5)
		places = append(places, p)
	}
	slices.SortStableFunc(places, func(a, b place) int {
		if a.people != b.people {
			return int(int64(b.people) - int64(a.people))
		}
		return strings.Compare(a.name, b.name)
	})
	return places, err
}

// At each zoom a tile is divided into cells, and each cell keeps its largest
// places: towns are shown where a crew would want them, in empty country too.
const cellsAcross = 8

func perCell(zoom int) int {
	if zoom == maxZoom {
		return 5
	}
	return 1
}

func (t tileSet) place(places []place) {
	for zoom := range maxZoom + 1 {
		across := float64(int(1) << zoom)
		kept := map[[2]int]int{}
		for _, p := range places {
			if p.at.y <= 0 || p.at.y >= 1 || p.people < 1000 {
				continue
			}
			cell := [2]int{int(p.at.x * across * cellsAcross), int(p.at.y * across * cellsAcross)}
			if kept[cell]++; kept[cell] > perCell(zoom) {
				continue
			}
			x, y := p.at.x*across, p.at.y*across
			key := tileKey{zoom, min(int(x), int(across)-1), int(y)}
			unit := [2]int{int((x - float64(key.x)) * extent), int((y - float64(key.y)) * extent)}
			t.add(key, "place", feature{kind: pointKind, paths: [][][2]int{{unit}}, name: p.name, people: p.people})
		}
	}
}
