package main

import (
	"encoding/binary"
	"fmt"
	"math"
	"os"

	"pappus/ground/terrain/packed"
)

// The nodes of ETOPO5: every 5 minutes, longitudes from 0 eastward, latitudes from -90 northward.
const (
	reliefColumns = 4320
	reliefRows    = 2161
	tileNodes     = 180 // in a tile of 15 degrees
	tileMargin    = 1   // nodes beyond each side, and one more beyond the far side
	tileWidth     = tileNodes + 1 + 2*tileMargin
)

// readETOPO5 takes the one big variable of the classic netCDF file, which is its last.
// The header is checked for what the reading relies on, rather than parsed.
func readETOPO5(path string) ([]float32, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	const values = reliefColumns * reliefRows
	if len(data) < 4*values || string(data[:4]) != "CDF\x01" || binary.BigEndian.Uint32(data[0x20:]) != reliefColumns {
		return nil, fmt.Errorf("%s is not the ETOPO5 file expected: classic netCDF with %d longitudes", path, reliefColumns)
	}
	out := make([]float32, values)
	body := data[len(data)-4*values:]
	for i := range out {
		out[i] = math.Float32frombits(binary.BigEndian.Uint32(body[4*i:]))
	}
	if top := out[1416*reliefColumns+1043]; top < 5000 || top > 9000 { // the Himalayas at 28 N 86.9 E
		return nil, fmt.Errorf("%s: height at 28 N 86.9 E is %g m, expected some 6000", path, top)
	}
	return out, nil
}

// writeRelief keeps the land: a node on land keeps its height, even below the sea's; all others become 0.
func writeRelief(in inputs, land *states) error {
	raw, err := readETOPO5(in.relief)
	if err != nil {
		return err
	}
	mask := land.nodeMask()
	heights := make([]int16, len(raw))
	kept, dropped := 0, 0
	for i, v := range raw {
		switch {
		case v > 0 || mask[i] && v > -450:
			heights[i] = int16(math.Round(float64(v)))
			kept++
		case v < 0 && mask[i]:
			dropped++
		}
	}
	fmt.Printf("relief: %d nodes of land, %d deeper than 450 m on land left at 0\n", kept, dropped)
	var sections [][]byte
	for row := range 12 {
		for column := range 24 {
			sections = append(sections, packTile(heights, row, column))
		}
	}
	data, err := packed.Pack(sections...)
	if err != nil {
		return err
	}
	return save(data, in.out, "terrain", "relief.bin")
}

// packTile lays down a tile with its margins: each height less the guess from its neighbours to the west,
// south and south-west (the median of west, south and west + south - southwest), folded to be positive.
func packTile(heights []int16, tileRow, tileColumn int) []byte {
	node := func(y, x int) int {
		y = min(max(tileRow*tileNodes-tileMargin+y, 0), reliefRows-1)
		x = (tileColumn*tileNodes - tileMargin + x + reliefColumns) % reliefColumns
		return int(heights[y*reliefColumns+x])
	}
	values := make([]uint16, tileWidth*tileWidth)
	empty := true
	for y := range tileWidth {
		for x := range tileWidth {
			guess := 0
			switch {
			case x > 0 && y > 0:
				w, s, sw := node(y, x-1), node(y-1, x), node(y-1, x-1)
				guess = min(max(w+s-sw, min(w, s)), max(w, s))
			case x > 0:
				guess = node(y, x-1)
			case y > 0:
				guess = node(y-1, x)
			}
			v := node(y, x) - guess
			empty = empty && node(y, x) == 0
			values[y*tileWidth+x] = uint16(int16(v)<<1) ^ uint16(int16(v)>>15)
		}
	}
	if empty {
		return nil
	}
	return packed.Planes(values)
}

// writeGeoid reduces EGM96 from float metres to steps of 2 cm: its own error is half a metre.
func writeGeoid(in inputs) error {
	data, err := os.ReadFile(in.geoid)
	if err != nil {
		return err
	}
	const rows, columns, head = 721, 1440, 40
	if len(data) != head+4*rows*columns || binary.BigEndian.Uint32(data[32:]) != rows || binary.BigEndian.Uint32(data[36:]) != columns {
		return fmt.Errorf("%d bytes, expected a GTX grid of %d by %d", len(data), rows, columns)
	}
	if south := math.Float64frombits(binary.BigEndian.Uint64(data)); south != -90 {
		return fmt.Errorf("the first row is at %g, expected -90", south)
	}
	steps := make([]int, rows*columns)
	for i := range steps {
		steps[i] = int(math.Round(float64(math.Float32frombits(binary.BigEndian.Uint32(data[head+4*i:]))) * 50))
	}
	values := make([]uint16, len(steps))
	for i, v := range steps {
		guess, x := 0, i%columns
		switch {
		case x > 0 && i >= columns:
			guess = steps[i-1] + steps[i-columns] - steps[i-columns-1]
		case x > 0:
			guess = steps[i-1]
		case i >= columns:
			guess = steps[i-columns]
		}
		d := int16(v - guess)
		values[i] = uint16(d<<1) ^ uint16(d>>15)
	}
	packedData, err := packed.Pack(packed.Planes(values))
	if err != nil {
		return err
	}
	return save(packedData, in.out, "terrain", "geoid.bin")
}
