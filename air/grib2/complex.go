package grib2

import "math"

// groups walks through the groups of templates 7.2 and 7.3. References, widths
// and lengths lie in three lists, each packed on its own; no list is copied.
type groups struct {
	data                        []byte
	refBit, widthBit, lengthBit int // positions in the lists
	valueBit                    int // where the values of all groups begin
	first, second, least        int64
	Packing
}

// complex unpacks templates 7.2 and 7.3: groups of integers, each group with
// its own reference and width, perhaps after spatial differencing.
func (f *Field) complex() (func([]float64) error, error) {
	p := f.Packing
	if p.Points == 0 || p.Groups == 0 && p.Bits == 0 {
		return f.constant(), nil // some centres write a constant field as no groups at all
	}
	if p.MissingValues > 2 {
		return nil, &UnsupportedError{Section: 5, Template: int(p.Template), Advice: "the file marks missing values in a way that code table 5.5 does not know: ask for another packing"}
	}
	if p.Order > 2 {
		return nil, &UnsupportedError{Section: 5, Template: int(p.Template), Advice: "spatial differencing of an order above 2 is not supported: ask for another packing"}
	}
	g, err := f.lists()
	if err != nil {
		return nil, err
	}
	if err := f.checkGroups(g); err != nil {
		return nil, err
	}
	return func(dst []float64) error {
		switch {
		case p.MissingValues > 0:
			g.withMissing(dst)
		case p.Order == 0:
			g.plain(dst)
		case p.Order == 1:
			g.firstOrder(dst)
		default:
			g.secondOrder(dst)
		}
		return nil
	}, nil
}

// lists finds where the lists begin and reads the extra descriptors.
func (f *Field) lists() (groups, error) {
	g := groups{data: f.values, Packing: f.Packing}
	if g.Bits > widest || g.WidthBits > 32 || g.LengthBits > 32 {
		return g, damage(5, f.valueAt, "group descriptors of %d, %d and %d bits are wider than any in use", g.Bits, g.WidthBits, g.LengthBits)
	}
	if g.Groups < 1 || g.Groups > g.Points {
		return g, damage(5, f.valueAt, "%d groups cannot hold %d values", g.Groups, g.Points)
	}
	bit := 0
	if g.Order > 0 {
		width := 8 * g.ExtraOctets
		if width < 8 || width > 56 || (g.Order+1)*g.ExtraOctets > len(g.data) {
			return g, f.damaged("the first values of the differencing have %d octets each", g.ExtraOctets)
		}
		g.first = int64(take(g.data, 0, width))
		g.second = int64(take(g.data, width*(g.Order-1), width))
		bit = width * g.Order
		g.least = int64(signed(int(take(g.data, bit, width)), width))
		bit += width
	}
	list := func(width int) int {
		begin := bit
		bit = (bit + g.Groups*width + 7) &^ 7 // each list fills whole octets
		return begin
	}
	g.refBit, g.widthBit, g.lengthBit = list(g.Bits), list(g.WidthBits), list(g.LengthBits)
	g.valueBit = bit
	if bit > 8*len(g.data) {
		return g, f.damaged("the lists of %d groups need %d octets, but the section has %d", g.Groups, bit/8, len(g.data))
	}
	return g, nil
}

// checkGroups adds up the groups: they must hold as many values as announced,
// and no more bits than there are.
func (f *Field) checkGroups(g groups) error {
	count, total, data := g.Points, g.valueBit, g.data
	for n := range g.Groups {
		width := g.width(n)
		length := g.length(n)
		if width > widest {
			return f.damaged("a group is %d bits wide, wider than any in use", width)
		}
		if length > count {
			return f.damaged("the groups hold more than the %d values announced", g.Points)
		}
		count -= length
		total += length * width
	}
	if count != 0 {
		return f.damaged("the groups hold %d values fewer than the %d announced", count, g.Points)
	}
	if total > 8*len(data) {
		return f.damaged("the groups need %d octets, but the section has %d", (total+7)/8, len(data))
	}
	return nil
}

func (g *groups) reference(n int) int64 {
	return int64(take(g.data, g.refBit+n*g.Bits, g.Bits))
}

func (g *groups) width(n int) int {
	return g.WidthReference + int(take(g.data, g.widthBit+n*g.WidthBits, g.WidthBits))
}

func (g *groups) length(n int) int {
	if n == g.Groups-1 {
		return g.LastLength
	}
	return g.LengthReference + g.LengthIncrement*int(take(g.data, g.lengthBit+n*g.LengthBits, g.LengthBits))
}

// plain has neither differencing nor missing values.
func (g *groups) plain(dst []float64) {
	s := g.scale()
	bit := g.valueBit
	for n := range g.Groups {
		reference, width := g.reference(n), g.width(n)
		out := dst[:g.length(n)]
		dst = dst[len(out):]
		for i := range out {
			out[i] = s.of(float64(reference + int64(take(g.data, bit, width))))
			bit += width
		}
	}
}

// firstOrder sums up differences between neighbours. The first value is given in
// the extra descriptors; a placeholder stands for it in the first group.
func (g *groups) firstOrder(dst []float64) {
	s := g.scale()
	bit := g.valueBit
	sum := g.first - g.packed(0)
	for n := range g.Groups {
		reference, width := g.reference(n)+g.least, g.width(n)
		out := dst[:g.length(n)]
		dst = dst[len(out):]
		for i := range out {
			sum += reference + int64(take(g.data, bit, width))
			bit += width
			out[i] = s.of(float64(sum))
		}
	}
}

// secondOrder sums up differences of differences. The sums begin so that the
// two placeholders at the start lead to the two values that are given.
func (g *groups) secondOrder(dst []float64) {
	s := g.scale()
	bit := g.valueBit
	slope := g.second - g.first - g.packed(1)
	sum := g.first - slope
	slope -= g.packed(0)
	for n := range g.Groups {
		reference, width := g.reference(n)+g.least, g.width(n)
		out := dst[:g.length(n)]
		dst = dst[len(out):]
		for i := range out {
			slope += reference + int64(take(g.data, bit, width))
			sum += slope
			bit += width
			out[i] = s.of(float64(sum))
		}
	}
}

// packed is one of the first packed differences, 0 when there is none.
func (g *groups) packed(index int) int64 {
	bit := g.valueBit
	for n := range g.Groups {
		length, width := g.length(n), g.width(n)
		if index < length {
			return g.reference(n) + g.least + int64(take(g.data, bit+index*width, width))
		}
		index -= length
		bit += length * width
	}
	return 0
}

// withMissing reads groups in which the highest integer of a group's width, and
// the one below it where secondary missing values are used too, stand for no
// value. In a group of width 0 the reference itself is looked at. Differences
// are taken between the values that are there.
func (g *groups) withMissing(dst []float64) {
	s, nan := g.scale(), math.NaN()
	bit := g.valueBit
	order := g.Order
	seen := 0 // values that are there, counted up to the order
	last, before := int64(0), int64(0)
	for n := range g.Groups {
		reference, width := g.reference(n), g.width(n)
		out := dst[:g.length(n)]
		dst = dst[len(out):]
		lowestMissing := ones(width) - uint64(g.MissingValues-1)
		allMissing := width == 0 && uint64(reference)+uint64(g.MissingValues) > ones(g.Bits)
		for i := range out {
			x := take(g.data, bit, width)
			bit += width
			if allMissing || width > 0 && x >= lowestMissing {
				out[i] = nan
				continue
			}
			value := reference + int64(x)
			switch {
			case order == 0:
			case seen == 0:
				value, seen = g.first, 1
			case order == 1:
				value += g.least + last
			case seen == 1:
				value, seen = g.second, 2
			default:
				value += g.least + 2*last - before
			}
			before, last = last, value
			out[i] = s.of(float64(value))
		}
	}
}

func ones(width int) uint64 { return 1<<uint(width) - 1 }
