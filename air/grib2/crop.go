package grib2

import (
	"encoding/binary"
	"fmt"
	"math"
)

// Part is a rectangle of a grid: columns counted from the west and rows from
// the north, as Grid.Index counts them. Columns go on past the last one to the
// first where the grid closes the circle.
type Part struct {
	Col, Row   int
	Cols, Rows int
}

// Crop writes one field again as a message of its own that holds only a part of
// its grid. Every value comes out as the same double: the packed integers are
// found again, kept with the same reference value and scale factors, and packed
// as template 5.3. The headers that say what the field is are copied as they
// stand. A field whose values are not packed integers is refused.
//
// The field must have come from Scan of data.
func Crop(data []byte, f *Field, part Part) ([]byte, error) {
	g := f.Grid
	if g.Template != 0 {
		return nil, &UnsupportedError{Section: 3, Template: int(g.Template),
			Advice: fmt.Sprintf("grid template 3.%d cannot be cut, only a latitude-longitude grid", g.Template)}
	}
	if err := g.Regular(); err != nil {
		return nil, err
	}
	if part.Cols < 2 || part.Rows < 2 || part.Col < 0 || part.Row < 0 || part.Col >= g.Ni || part.Cols > g.Ni || part.Row+part.Rows > g.Nj {
		return nil, fmt.Errorf("the part of %d by %d points is not inside the grid of %d by %d", part.Cols, part.Rows, g.Ni, g.Nj)
	}
	const slack = 0.01 // of a step, for steps that were rounded to millionths
	step := math.Abs(g.lonSpan) / float64(g.Ni-1)
	if closed := math.Abs((360-math.Abs(g.lonSpan))/step-1) < slack; part.Col+part.Cols > g.Ni && !closed {
		return nil, fmt.Errorf("the part goes on past the eastern end of a grid that does not close the circle")
	}
	values, err := f.Decode(nil)
	if err != nil {
		return nil, err
	}
	cut := make([]float64, 0, part.Cols*part.Rows)
	for row := range part.Rows {
		for col := range part.Cols {
			cut = append(cut, values[g.Index((part.Col+col)%g.Ni, part.Row+row)])
		}
	}
	identification, grid, product, err := f.heads(data)
	if err != nil {
		return nil, err
	}
	out := make([]byte, 16, 512+2*len(cut))
	copy(out, "GRIB")
	out[6], out[7] = f.Discipline, 2
	out = append(out, identification...)
	out = part.grid(out, grid, g)
	out = append(out, product...)
	if out, err = f.repack(out, cut); err != nil {
		return nil, err
	}
	out = append(out, "7777"...)
	binary.BigEndian.PutUint64(out[8:], uint64(len(out)))
	return out, nil
}

// heads finds sections 1, 3 and 4 of a field in its file.
func (f *Field) heads(data []byte) (identification, grid, product []byte, err error) {
	if f.Offset < 0 || f.valueAt > len(data) {
		return nil, nil, nil, fmt.Errorf("the field does not come from these octets")
	}
	for at := f.Offset + 16; at+5 <= f.valueAt; {
		length := int(binary.BigEndian.Uint32(data[at:]))
		if length < 5 || length > f.valueAt-at {
			break
		}
		switch o := data[at : at+length]; o[4] {
		case 1:
			identification = o
		case 3:
			grid = o
		case 4:
			product = o
		}
		at += length
	}
	if identification == nil || len(grid) < 72 || product == nil {
		return nil, nil, nil, damage(4, f.Offset, "the headers of the field were not found again")
	}
	return identification, grid, product, nil
}

// grid appends section 3 of a part: the figure of the earth and the flags as
// they were, the corners in millionths of a degree, rows from the north and
// columns from the west.
func (part Part) grid(out, old []byte, g Grid) []byte {
	out, o := section(out, 3, 72)
	copy(o[5:], old[5:30])
	put32(o, 7, part.Cols*part.Rows)
	o[10], o[11] = 0, 0 // no list of row lengths
	put32(o, 31, part.Cols)
	put32(o, 35, part.Rows)
	put32(o, 43, math.MaxUint32) // no basic angle: millionths of a degree
	angle := func(octet int, degrees float64) {
		put32(o, octet, magnitude(int(math.Round(degrees*micro)), 32))
	}
	north, west := g.At(g.Index(part.Col, part.Row))
	south, east := g.At(g.Index((part.Col+part.Cols-1)%g.Ni, part.Row+part.Rows-1))
	angle(47, north)
	angle(51, turn(west))
	angle(56, south)
	angle(60, turn(east))
	o[54] = g.Resolution | 0x30 // steps are given
	angle(64, math.Abs(g.lonSpan)/float64(g.Ni-1))
	angle(68, math.Abs(g.latSpan)/float64(g.Nj-1))
	return out
}

// turn brings a longitude into 0 up to 360, the way files write it.
func turn(lonDeg float64) float64 {
	if lonDeg < 0 {
		return lonDeg + 360
	}
	return lonDeg
}

// repack appends sections 5 to 7 with the integers that the values were packed
// as. Each is checked to give back its value to the last bit.
func (f *Field) repack(out []byte, values []float64) ([]byte, error) {
	p := Packing{Template: 3, Order: 2, Reference: f.Packing.Reference, Binary: f.Packing.Binary, Decimal: f.Packing.Decimal}
	integers, ok := p.recover(values)
	if !ok {
		// A constant field leaves its scale factors out of account.
		p.Binary, p.Decimal = 0, 0
		integers, ok = p.recover(values)
	}
	if !ok {
		return nil, &UnsupportedError{Section: 5, Template: int(f.Packing.Template),
			Advice: fmt.Sprintf("packing template 5.%d does not hold whole numbers, so that the field cannot be cut without loss: keep the whole file", f.Packing.Template)}
	}
	p.Points = len(integers)
	packed := bitWriter{}
	p.group(integers, &packed)
	out = p.put(out)
	m := Message{Values: values}
	out = m.bitmap(out, len(integers))
	data := packed.octets()
	out, o := section(out, 7, 5+len(data))
	copy(o[5:], data)
	return out, nil
}

// recover finds the integers behind values, where there are any.
func (p Packing) recover(values []float64) ([]int64, bool) {
	s := p.scale()
	if !(s.binary > 0) || !(s.decimal > 0) || math.IsInf(s.binary, 0) || math.IsInf(s.decimal, 0) {
		return nil, false
	}
	integers := make([]int64, 0, len(values))
	for _, v := range values {
		if math.IsNaN(v) {
			continue
		}
		x := math.Round((v/s.decimal - s.reference) / s.binary)
		if !(x >= 0 && x < 1<<mostBits) || s.of(x) != v {
			return nil, false
		}
		integers = append(integers, int64(x))
	}
	return integers, true
}
