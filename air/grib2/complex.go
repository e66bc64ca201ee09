package grib2

import "math"

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
		g.rewind()
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
func (f *Field) lists() (*groups, error) {
	g := &groups{data: f.values, Packing: f.Packing}
	if g.Bits > widest || g.WidthBits > 32 || g.LengthBits > 32 {
		return g, damage(5, f.packingAt, "group descriptors of %d, %d and %d bits are wider than any in use", g.Bits, g.WidthBits, g.LengthBits)
	}
	if g.Groups < 1 || g.Groups > g.Points {
		return g, damage(5, f.packingAt, "%d groups cannot hold %d values", g.Groups, g.Points)
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
	g.referenceBit, g.widthBit, g.lengthBit = list(g.Bits), list(g.WidthBits), list(g.LengthBits)
	g.valueBit = bit
	if bit > 8*len(g.data) {
		return g, f.damaged("the lists of %d groups need %d octets, but the section has %d", g.Groups, bit/8, len(g.data))
	}
	g.rewind()
	return g, nil
}

// checkGroups adds up the groups: they must hold as many values as announced,
// and no more bits than there are.
func (f *Field) checkGroups(g *groups) error {
	count, total := 0, g.valueBit
	for n, ok := g.nextBatch(); ok; n, ok = g.nextBatch() {
		for i, width := range g.widths[:n] {
			if width > widest {
				return f.damaged("a group is %d bits wide, wider than any in use", width)
			}
			count += int(g.lengths[i])
			if count > g.Points {
				return f.damaged("the groups hold more than the %d values announced", g.Points)
			}
			total += int(g.lengths[i] * width)
		}
	}
	if count != g.Points {
		return f.damaged("the groups hold %d values, not the %d announced", count, g.Points)
	}
	if total > 8*len(g.data) {
		return f.damaged("the groups need %d octets, but the section has %d", (total+7)/8, len(g.data))
	}
	return nil
}

// plain has neither differencing nor missing values.
func (g *groups) plain(dst []float64) {
	s := g.scale()
	for len(dst) > 0 {
		integers := g.next()
		out := dst[:len(integers)]
		for i, x := range integers {
			out[i] = s.of(float64(x))
		}
		dst = dst[len(integers):]
	}
}

// firstOrder sums up differences between neighbours. The first value is given in
// the extra descriptors; a placeholder stands for it in the first group.
func (g *groups) firstOrder(dst []float64) {
	s := g.scale()
	sum := int64(0)
	for first := true; len(dst) > 0; first = false {
		integers := g.next()
		if first {
			sum = g.first - integers[0]
		}
		out := dst[:len(integers)]
		for i, x := range integers {
			sum += x
			out[i] = s.of(float64(sum))
		}
		dst = dst[len(integers):]
	}
}

// secondOrder sums up differences of differences. The sums begin so that the
// two placeholders at the start lead to the two values that are given.
func (g *groups) secondOrder(dst []float64) {
	s := g.scale()
	sum, slope := int64(0), int64(0)
	for first := true; len(dst) > 0; first = false {
		integers := g.next()
		if first {
			slope = g.second - g.first
			if len(integers) > 1 {
				slope -= integers[1]
			}
			sum = g.first - slope
			slope -= integers[0]
		}
		out := dst[:len(integers)]
		for i, x := range integers {
			slope += x
			sum += slope
			out[i] = s.of(float64(sum))
		}
		dst = dst[len(integers):]
	}
}

// withMissing reads groups in which the highest integer of a group's width, and
// the one below it where secondary missing values are used too, stand for no
// value. In a group of width 0 the reference itself is looked at. Differences
// are taken between the values that are there.
func (g *groups) withMissing(dst []float64) {
	r := rebuild{groups: g, scale: g.scale()}
	for n, ok := g.nextBatch(); ok; n, ok = g.nextBatch() {
		for i := range n {
			reference, width, length := g.references[i], int(g.widths[i]), int(g.lengths[i])
			lowest := int64(ones(width)) - int64(g.MissingValues-1)
			if width == 0 {
				lowest = 1 // never reached
				if uint64(reference)+uint64(g.MissingValues) > ones(g.Bits) {
					lowest = 0 // always reached
				}
			}
			for length > 0 {
				part := min(length, chunk)
				unpack(g.integers[:], part, g.data, g.bit, width, 0)
				r.values(dst[:part], g.integers[:part], reference, lowest)
				g.bit += part * width
				length -= part
				dst = dst[part:]
			}
		}
	}
}

func ones(width int) uint64 { return 1<<uint(width) - 1 }

// rebuild undoes differences where some values are missing.
type rebuild struct {
	*groups
	scale        scale
	seen         int // values that are there, counted up to the order
	last, before int64
}

func (r *rebuild) values(out []float64, integers []int64, reference, lowest int64) {
	nan := math.NaN()
	if r.Order == 0 {
		for i, x := range integers {
			out[i] = r.scale.of(float64(reference + x))
			if x >= lowest {
				out[i] = nan
			}
		}
		return
	}
	for i, x := range integers {
		if x >= lowest {
			out[i] = nan
			continue
		}
		value := reference + x
		switch {
		case r.seen == 0:
			value, r.seen = r.first, 1
		case r.Order == 1:
			value += r.least + r.last
		case r.seen == 1:
			value, r.seen = r.second, 2
		default:
			value += r.least + 2*r.last - r.before
		}
		r.before, r.last = r.last, value
		out[i] = r.scale.of(float64(value))
	}
}
