package main

import (
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"sort"
	"strconv"
	"strings"

	"pappus/ground/terrain/gazetteer"
	"pappus/ground/terrain/nearby"
	"pappus/ground/terrain/packed"
	"pappus/measure/geo"
	"pappus/measure/unit"
)

type place struct {
	point       geo.Point
	height      int
	people      int
	kind        int
	region      int
	runway      int
	heading     int
	ident, name string
	cell        int32
}

// arrange sorts places by their cells, and inside a cell from west to east.
func arrange(all []place, grid *nearby.Grid) {
	for i := range all {
		all[i].cell = grid.Cell(all[i].point)
	}
	sort.SliceStable(all, func(i, j int) bool {
		a, b := &all[i], &all[j]
		if a.cell != b.cell {
			return a.cell < b.cell
		}
		return a.point.LonDeg < b.point.LonDeg
	})
}

// packPoints writes cells and, in steps of a cell's 65536th part rounded to 2^-bits of the cell, the places in them.
func packPoints(all []place, grid *nearby.Grid, bits int) []byte {
	var runs []byte
	cells, last := 0, int32(-1)
	lat, lon := make([]uint16, len(all)), make([]uint16, len(all))
	fraction := func(v float64) uint16 {
		steps := math.Exp2(float64(bits))
		return uint16((math.Min(math.Floor(v*steps), steps-1) + 0.5) * 65536 / steps)
	}
	for i := 0; i < len(all); {
		cell, n := all[i].cell, 0
		box := grid.Box(cell)
		for ; i+n < len(all) && all[i+n].cell == cell; n++ {
			p := all[i+n].point
			lat[i+n] = fraction((p.LatDeg - box.SouthDeg) / box.HeightDeg)
			lon[i+n] = fraction((p.LonDeg - box.WestDeg) / box.WidthDeg)
		}
		runs = binary.AppendUvarint(runs, uint64(cell-last-1))
		runs = binary.AppendUvarint(runs, uint64(n))
		cells, last, i = cells+1, cell, i+n
	}
	out := binary.AppendUvarint(nil, uint64(len(all)))
	out = binary.AppendUvarint(out, uint64(cells))
	out = append(out, runs...)
	return append(append(out, packed.Planes(lat)...), packed.Planes(lon)...)
}

func packColumn(all []place, differences bool, value func(*place) int) []byte {
	var out []byte
	last := 0
	for i := range all {
		v := value(&all[i])
		if differences {
			out = binary.AppendVarint(out, int64(v-last))
		} else {
			out = binary.AppendVarint(out, int64(v))
		}
		last = v
	}
	return out
}

func packWords(all []place, word func(*place) string) []byte {
	var b strings.Builder
	for i := range all {
		b.WriteString(strings.Join(strings.Fields(word(&all[i])), " "))
		b.WriteByte('\n')
	}
	return []byte(b.String())
}

// threeFigures rounds a population: more would pretend, and does not pack.
func threeFigures(n int) int {
	step := 1
	for n/step >= 1000 {
		step *= 10
	}
	return (n + step/2) / step * step
}

func writeTowns(in inputs, land *states) error {
	text, err := os.ReadFile(in.towns)
	if err != nil {
		return err
	}
	var all []place
	newest, guessed, abroad := "", 0, 0
	for line := range strings.Lines(string(text)) {
		f := strings.Split(strings.TrimRight(line, "\r\n"), "\t")
		if len(f) < 19 {
			return fmt.Errorf("row %q has %d columns, expected GeoNames' 19", line, len(f))
		}
		if f[7] == "PPLH" || f[7] == "PPLQ" || f[7] == "PPLW" { // historical, abandoned, destroyed
			continue
		}
		lat, err1 := strconv.ParseFloat(f[4], 64)
		lon, err2 := strconv.ParseFloat(f[5], 64)
		people, err3 := strconv.Atoi(f[14])
		height, err4 := strconv.Atoi(f[16])
		if err1 != nil || err2 != nil || err3 != nil || err4 != nil {
			return fmt.Errorf("row %q: latitude, longitude, population or height is no number", line)
		}
		p := place{point: geo.Point{LatDeg: lat, LonDeg: geo.WrapLonDeg(lon)}, people: threeFigures(people), height: height, name: f[1]}
		if height < -450 || height > 6000 { // -9999: unknown
			p.height = gazetteer.UnknownHeight
		}
		var exact bool
		if p.region, exact = land.find(p.point, f[8]); !exact {
			guessed++
		}
		if p.region > 0 && land.all[p.region-1].iso != f[8] {
			abroad++
		}
		newest = max(newest, f[18])
		all = append(all, p)
	}
	fmt.Printf("towns: %d, the newest row of %s; %d off the land by the coast's error, %d in a country other than their own row's\n",
		len(all), newest, guessed, abroad)
	grid := nearby.NewGrid(gazetteer.TownBands)
	arrange(all, grid)
	data, err := packed.Pack(packPoints(all, grid, 9),
		packColumn(all, true, func(p *place) int { return p.height }),
		packColumn(all, false, func(p *place) int { return p.people }),
		packColumn(all, true, func(p *place) int { return p.region }),
		packWords(all, func(p *place) string { return p.name }))
	if err != nil {
		return err
	}
	return save(data, in.out, "terrain", "gazetteer", "towns.bin")
}

var kindNames = []string{"large_airport", "medium_airport", "small_airport", "heliport", "seaplane_base", "balloonport"}

// writeAirfields reads the columns ident, kind, latitude, longitude, elevation in feet, country, name, length of the
// longest runway in feet and the true heading of its lower-numbered end (the last two may be empty).
func writeAirfields(in inputs, land *states) error {
	text, err := os.ReadFile(in.airfields)
	if err != nil {
		return err
	}
	var all []place
	for line := range strings.Lines(string(text)) {
		f := strings.Split(strings.TrimRight(line, "\r\n"), "\t")
		if len(f) != 9 {
			return fmt.Errorf("row %q has %d columns, expected 9", line, len(f))
		}
		lat, err1 := strconv.ParseFloat(f[2], 64)
		lon, err2 := strconv.ParseFloat(f[3], 64)
		feet, err3 := strconv.ParseFloat(f[4], 64)
		if err1 != nil || err2 != nil || err3 != nil {
			return fmt.Errorf("row %q: latitude, longitude or elevation is no number", line)
		}
		p := place{point: geo.Point{LatDeg: lat, LonDeg: geo.WrapLonDeg(lon)}, height: int(math.Round(feet * unit.Foot)), ident: f[0], name: f[6], kind: -1}
		for k, name := range kindNames {
			if f[1] == name {
				p.kind = k
			}
		}
		if p.kind < 0 {
			return fmt.Errorf("row %q: kind %q is not known", line, f[1])
		}
		if feet == 0 { // the database holds no unknown heights, so that zero stands for them too
			p.height = gazetteer.UnknownHeight
		}
		if length, err := strconv.ParseFloat(f[7], 64); err == nil && length > 0 && length*unit.Foot < 8000 {
			p.runway = int(math.Round(length * unit.Foot))
			if heading, err := strconv.ParseFloat(f[8], 64); err == nil && heading > 0 && heading <= 360 {
				p.heading = max(1, int(math.Round(heading)))
			}
		}
		p.region, _ = land.find(p.point, f[5])
		all = append(all, p)
	}
	grid := nearby.NewGrid(gazetteer.AirfieldBands)
	arrange(all, grid)
	fmt.Printf("airfields: %d\n", len(all))
	data, err := packed.Pack(packPoints(all, grid, 12),
		packColumn(all, true, func(p *place) int { return p.height }),
		packColumn(all, false, func(p *place) int { return p.kind }),
		packColumn(all, true, func(p *place) int { return p.region }),
		packColumn(all, false, func(p *place) int { return p.runway }),
		packColumn(all, false, func(p *place) int { return p.heading }),
		packWords(all, func(p *place) string { return p.ident }),
		packWords(all, func(p *place) string { return p.name }))
	if err != nil {
		return err
	}
	return save(data, in.out, "terrain", "gazetteer", "airfields.bin")
}
