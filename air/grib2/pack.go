package grib2

import (
	"encoding/binary"
	"fmt"
	"math"
	mathbits "math/bits"
)

// pack appends sections 5, 6 and 7.
func (m *Message) pack(out []byte) ([]byte, error) {
	p := m.Packing
	if p.Template != 0 && p.Template != 3 {
		return nil, fmt.Errorf("packing template 5.%d cannot be written, only 5.0 and 5.3", p.Template)
	}
	if p.Template == 3 && p.Order != 1 && p.Order != 2 {
		return nil, fmt.Errorf("spatial differencing must be of order 1 or 2, not %d", p.Order)
	}
	if p.Decimal < -40 || p.Decimal > 40 || p.Binary < -100 || p.Binary > 100 {
		return nil, fmt.Errorf("scale factors of 10^%d and 2^%d are out of all use", p.Decimal, p.Binary)
	}
	integers, reference, err := m.integers()
	if err != nil {
		return nil, err
	}
	p.Points, p.Reference = len(integers), reference
	packed := bitWriter{}
	if p.Template == 0 {
		p.Bits = widthOf(integers)
		if p.Bits == 0 {
			p.Bits = 1 // zero bits would leave the decimal factor out of account
		}
		for _, x := range integers {
			packed.put(uint64(x), p.Bits)
		}
	} else {
		p.group(integers, &packed)
	}
	out = p.put(out)
	out = m.bitmap(out, len(integers))
	data := packed.octets()
	out, o := section(out, 7, 5+len(data))
	copy(o[5:], data)
	return out, nil
}

// integers turns the values into counts of steps above the reference value.
func (m *Message) integers() ([]int64, float64, error) {
	p := m.Packing
	low, high, count := math.Inf(1), math.Inf(-1), 0
	for _, v := range m.Values {
		if math.IsNaN(v) {
			continue
		}
		low, high, count = min(low, v), max(high, v), count+1
	}
	if count == 0 {
		return nil, 0, nil
	}
	decimal, binary := math.Pow10(p.Decimal), math.Ldexp(1, p.Binary)
	// The reference is kept in 32 bits; rounded down, no value lies below it.
	reference := float32(low * decimal)
	if float64(reference) > low*decimal {
		reference = math.Nextafter32(reference, float32(math.Inf(-1)))
	}
	if span := (high*decimal - float64(reference)) / binary; !(span < 1<<mostBits-1) {
		return nil, 0, fmt.Errorf("values from %g to %g need more than %d bits at this precision: lower Decimal or raise Binary", low, high, mostBits)
	}
	integers := make([]int64, 0, count)
	for _, v := range m.Values {
		if !math.IsNaN(v) {
			integers = append(integers, int64(math.Round((v*decimal-float64(reference))/binary)))
		}
	}
	return integers, float64(reference), nil
}

// put appends section 5.
func (p *Packing) put(out []byte) []byte {
	octets := 21
	if p.Template == 3 {
		octets = 49
	}
	out, o := section(out, 5, octets)
	put32(o, 6, p.Points)
	put16(o, 10, int(p.Template))
	binary.BigEndian.PutUint32(o[11:], math.Float32bits(float32(p.Reference)))
	put16(o, 16, magnitude(p.Binary, 16))
	put16(o, 18, magnitude(p.Decimal, 16))
	o[19] = byte(p.Bits)
	if p.Template == 0 {
		return out
	}
	o[21] = 1 // general group splitting
	put32(o, 24, math.MaxUint32)
	put32(o, 28, math.MaxUint32)
	put32(o, 32, p.Groups)
	o[35], o[36] = byte(p.WidthReference), byte(p.WidthBits)
	put32(o, 38, p.LengthReference)
	o[41] = byte(p.LengthIncrement)
	put32(o, 43, p.LastLength)
	o[46], o[47], o[48] = byte(p.LengthBits), byte(p.Order), byte(p.ExtraOctets)
	return out
}

// bitmap appends section 6, with a bitmap when some values are missing.
func (m *Message) bitmap(out []byte, present int) []byte {
	if present == len(m.Values) {
		out, o := section(out, 6, 6)
		o[5] = 255
		return out
	}
	out, o := section(out, 6, 6+(len(m.Values)+7)/8)
	for i, v := range m.Values {
		if !math.IsNaN(v) {
			o[6+i>>3] |= 0x80 >> (i & 7)
		}
	}
	return out
}

// widthOf is how many bits the greatest of some integers needs.
func widthOf(integers []int64) int {
	all := int64(0)
	for _, x := range integers {
		all |= x
	}
	return mathbits.Len64(uint64(all))
}

// bitWriter packs integers one after another.
type bitWriter struct {
	out   []byte
	held  uint64 // bits not yet written, at the low end
	count int    // how many; always below 8
}

// put takes up to 56 bits.
func (w *bitWriter) put(v uint64, width int) {
	w.held = w.held<<width | v
	for w.count += width; w.count >= 8; {
		w.count -= 8
		w.out = append(w.out, byte(w.held>>w.count))
	}
}

// align fills up the last octet with zeros.
func (w *bitWriter) align() {
	if w.count > 0 {
		w.put(0, 8-w.count)
	}
}

func (w *bitWriter) octets() []byte {
	w.align()
	return w.out
}
