package grib2

import (
	mathbits "math/bits"
	"slices"
)

// span is one group while the encoder looks for a good splitting.
type span struct {
	length    int
	low, high int64
}

func (s span) width() int { return mathbits.Len64(uint64(s.high - s.low)) }

// cell is how many values the encoder keeps together: all groups but the last
// are a multiple of it long, which makes their lengths short to write. Four
// packed real forecasts tighter than two, eight or sixteen.
const cell = 4

// group writes the octets of section 7 for template 7.3 and sets the fields of
// section 5 that describe them.
func (p *Packing) group(integers []int64, w *bitWriter) {
	if len(integers) == 0 {
		p.ExtraOctets = 1
		w.put(0, 8*(p.Order+1))
		return
	}
	differences, least := p.differences(integers, w)
	for i := p.Order; i < len(differences); i++ {
		differences[i] -= least
	}
	spans := split(differences)
	p.describe(spans)
	for _, s := range spans {
		w.put(uint64(s.low), p.Bits)
	}
	w.align()
	for _, s := range spans {
		w.put(uint64(s.width()-p.WidthReference), p.WidthBits)
	}
	w.align()
	for i, s := range spans {
		steps := 0
		if i < len(spans)-1 {
			steps = (s.length - p.LengthReference) / p.LengthIncrement
		}
		w.put(uint64(steps), p.LengthBits)
	}
	w.align()
	for _, s := range spans {
		for _, d := range differences[:s.length] {
			w.put(uint64(d-s.low), s.width())
		}
		differences = differences[s.length:]
	}
}

// differences takes the differences of order 1 or 2 and writes the extra
// descriptors: the first values and the least difference. Zero stands in the
// place of the first values.
func (p *Packing) differences(integers []int64, w *bitWriter) (differences []int64, least int64) {
	differences = make([]int64, len(integers))
	greatest := int64(0)
	for i := range integers {
		if i < p.Order {
			greatest = max(greatest, integers[i])
			continue
		}
		d := integers[i] - integers[i-1]
		if p.Order == 2 {
			d -= integers[i-1] - integers[i-2]
		}
		differences[i] = d
	}
	if len(integers) > p.Order {
		least = slices.Min(differences[p.Order:])
	}
	p.ExtraOctets = (mathbits.Len64(uint64(max(greatest, least, -least))) + 1 + 7) / 8
	width := 8 * p.ExtraOctets
	for i := range p.Order {
		first := int64(0)
		if i < len(integers) {
			first = integers[i]
		}
		w.put(uint64(first), width)
	}
	w.put(uint64(magnitude(int(least), width)), width)
	return differences, least
}

// split cuts a list into groups so that references, widths, lengths and values
// together take few bits: it begins with cells and joins neighbours while that
// makes the whole shorter.
func split(values []int64) []span {
	reference := widthOf(values)
	overhead := reference + mathbits.Len(uint(reference)) + 5 // five bits are typical for a length
	cost := func(s span) int { return s.length*s.width() + overhead }
	join := func(a, b span) span {
		return span{a.length + b.length, min(a.low, b.low), max(a.high, b.high)}
	}
	spans := make([]span, 0, len(values)/cell+1)
	for part := range slices.Chunk(values, cell) {
		spans = append(spans, span{len(part), slices.Min(part), slices.Max(part)})
	}
	for {
		kept := spans[:0:len(spans)]
		before := len(spans)
		for _, s := range spans {
			for len(kept) > 0 {
				last := kept[len(kept)-1]
				both := join(last, s)
				if cost(both) > cost(last)+cost(s) {
					break
				}
				s, kept = both, kept[:len(kept)-1]
			}
			kept = append(kept, s)
		}
		if spans = kept; len(spans) == before {
			return spans
		}
	}
}

// describe sets what section 5 says about the groups.
func (p *Packing) describe(spans []span) {
	p.Groups, p.LengthIncrement = len(spans), cell
	last := len(spans) - 1
	p.LastLength = spans[last].length
	narrow, wide, short, long := spans[0].width(), 0, 0, 0
	high := int64(1) // at least one bit, for zero bits have a meaning of their own
	for i, s := range spans {
		narrow, wide, high = min(narrow, s.width()), max(wide, s.width()), max(high, s.low)
		if i == last {
			break
		}
		if i == 0 {
			short = s.length
		}
		short, long = min(short, s.length), max(long, s.length)
	}
	p.Bits = mathbits.Len64(uint64(high))
	p.WidthReference, p.WidthBits = narrow, mathbits.Len(uint(wide-narrow))
	p.LengthReference, p.LengthBits = short, mathbits.Len(uint(long-short)/cell)
}
