package grib2

import (
	"math"
	"math/bits"
)

// MostPoints is how many points a grid may have to be decoded: eight times the
// finest global grid in common use (0.1 degree, 6.5 million points). It bounds
// the memory that a constant field can ask for without having any data.
const MostPoints = 50_000_000

// Decode gives the values of the field in file order, NaN where there is none.
// It uses dst's capacity where it suffices. It is safe to decode several fields
// at the same time.
func (f *Field) Decode(dst []float64) ([]float64, error) {
	points, coded := f.Grid.Points, f.Packing.Points
	if points > MostPoints || coded > MostPoints {
		return nil, &UnsupportedError{Section: 3, Template: int(f.Grid.Template),
			Advice: "the grid has more than 50 million points: ask for a smaller area or a coarser grid"}
	}
	present := points
	if f.bitmap != nil {
		present = countOnes(f.bitmap, points)
	}
	if coded != present {
		return nil, f.damaged("%d values are packed for %d grid points with a value", coded, present)
	}
	if s := f.Packing.scale(); !(s.binary > 0 && s.decimal > 0 && !math.IsInf(s.binary, 0) && !math.IsInf(s.decimal, 0)) {
		return nil, damage(5, f.packingAt, "the scale factors 2^%d and 10^%d lead to no numbers", f.Packing.Binary, f.Packing.Decimal)
	}
	fill, err := f.unpacker()
	if err != nil {
		return nil, err
	}
	if cap(dst) < points {
		dst = make([]float64, points)
	}
	dst = dst[:points]
	if err := fill(dst[:coded]); err != nil {
		return nil, err
	}
	if f.bitmap != nil {
		spread(dst, f.bitmap, coded)
	}
	return dst, nil
}

// unpacker checks that the octets of section 7 suffice for the values that are
// announced, before anything is allocated for them, and gives the function that
// fills a slice of that many values.
func (f *Field) unpacker() (func([]float64) error, error) {
	switch f.Packing.Template {
	case 0:
		return f.simple()
	case 2, 3:
		return f.complex()
	case 4:
		return f.ieee()
	case 40:
		return f.jpeg()
	case 41:
		return f.png()
	case 42:
		return f.ccsds()
	}
	return nil, f.Packing.unsupported()
}

func (f *Field) damaged(format string, args ...any) error {
	return damage(7, f.valueAt, format, args...)
}

// scale is what turns a packed integer into a value.
type scale struct{ reference, binary, decimal float64 }

func (p Packing) scale() scale {
	return scale{p.Reference, power(2, p.Binary), power(10, -p.Decimal)}
}

// of is (R + X·2^E)·10^-D. The conversion keeps a processor from fusing product
// and sum, which would round differently on different machines.
func (s scale) of(x float64) float64 {
	return (float64(x*s.binary) + s.reference) * s.decimal
}

// countOnes counts the points that a bitmap lets through.
func countOnes(bitmap []byte, points int) int {
	n := 0
	whole := points / 8
	for _, b := range bitmap[:whole] {
		n += bits.OnesCount8(b)
	}
	if rest := points % 8; rest > 0 {
		n += bits.OnesCount8(bitmap[whole] >> (8 - rest))
	}
	return n
}

// spread moves the coded values, which stand at the front, to the points that
// the bitmap lets through. Going backwards, no value is overwritten before it
// is moved.
func spread(values []float64, bitmap []byte, coded int) {
	nan := math.NaN()
	for i := len(values) - 1; i >= 0; i-- {
		if bitmap[i>>3]&(0x80>>(i&7)) == 0 {
			values[i] = nan
			continue
		}
		coded--
		values[i] = values[coded]
	}
}
