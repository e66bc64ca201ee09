package grib2

import (
	"fmt"
	mathbits "math/bits"
)

// Compression options mask of template 5.42, code table 5.42. The bits about
// the order and number of octets of a decoded sample do not change the stream.
const (
	ccsdsSigned     = 1 << 0
	ccsdsPreprocess = 1 << 3
	ccsdsRestricted = 1 << 4
	ccsdsPadded     = 1 << 5
)

// ccsds unpacks template 7.42: the adaptive entropy coder of [CCSDS121].
func (f *Field) ccsds() (func([]float64) error, error) {
	p := f.Packing
	if p.Bits == 0 || p.Points == 0 {
		return f.constant(), nil
	}
	refuse := func(what string, v int) error {
		return &UnsupportedError{Section: 5, Template: 42,
			Advice: fmt.Sprintf("CCSDS packing with %s of %d is not in the standard: ask for another packing", what, v)}
	}
	d := entropy{data: f.values, block: p.BlockSize, interval: p.Interval, width: p.Bits, flags: p.Flags, scale: p.scale()}
	switch {
	case p.Bits > 32:
		return nil, refuse("a sample width", p.Bits)
	case p.BlockSize != 8 && p.BlockSize != 16 && p.BlockSize != 32 && p.BlockSize != 64:
		return nil, refuse("a block size", p.BlockSize)
	case p.Interval < 1:
		return nil, refuse("a reference sample interval", p.Interval)
	case p.Flags&ccsdsRestricted == 0 && p.Bits <= 8:
		d.idWidth = 3
	case p.Flags&ccsdsRestricted == 0 && p.Bits <= 16:
		d.idWidth = 4
	case p.Flags&ccsdsRestricted == 0:
		d.idWidth = 5
	case p.Bits <= 2:
		d.idWidth = 1
	case p.Bits <= 4:
		d.idWidth = 2
	default:
		return nil, refuse("the restricted options and a sample width", p.Bits)
	}
	// The shortest code is that of 64 blocks of zeros: an identifier, a bit and
	// five bits for the rest of the segment.
	if most := (8*len(f.values)/(d.idWidth+6) + 1) * segment * p.BlockSize; p.Points > most {
		return nil, f.damaged("%d octets cannot hold %d values", len(f.values), p.Points)
	}
	return func(dst []float64) error {
		if !d.decode(dst) {
			return f.damaged("the compressed values break off or contradict themselves")
		}
		return nil
	}, nil
}

// entropy decodes the stream of [CCSDS121] and turns samples into values.
type entropy struct {
	data     []byte
	bit      int // next bit
	block    int // J, samples per block
	interval int // r, blocks from one reference sample to the next
	width    int // n, bits per sample
	idWidth  int // bits of the identifier of a code option
	flags    int
	scale    scale
	last     int64      // the sample before, for the preprocessor
	mapped   [64]uint64 // one block as it was coded
}

// segment is how many blocks one code for blocks of zeros may stand for.
const segment = 64

// decode fills dst. It is false where the stream is damaged.
func (e *entropy) decode(dst []float64) bool {
	preprocess := e.flags&ccsdsPreprocess != 0
	for len(dst) > 0 {
		for block := 0; block < e.interval && len(dst) > 0; {
			reference := 0 // samples of this block that are coded as they are
			if preprocess && block == 0 {
				reference = 1
			}
			zeros, ok := e.next(block, reference)
			if !ok || e.bit > 8*len(e.data) {
				return false
			}
			if zeros > 0 {
				block += zeros
				n := min(zeros*e.block, len(dst))
				e.fill(dst[:n], reference)
				dst = dst[n:]
				continue
			}
			block++
			n := min(e.block, len(dst))
			e.emit(dst[:n], reference)
			dst = dst[n:]
		}
		if e.flags&ccsdsPadded != 0 {
			e.bit = (e.bit + 7) &^ 7
		}
	}
	return true
}

// next reads one coded block into mapped, or tells how many blocks of zeros
// there are. A reference sample is put into mapped[0].
func (e *entropy) next(block, reference int) (zeros int, ok bool) {
	id := e.take(e.idWidth)
	switch last := uint64(1)<<e.idWidth - 1; id {
	case 0:
		if second := e.take(1) == 1; second {
			e.reference(reference)
			return 0, e.secondExtension(reference)
		}
		e.reference(reference)
		run, ok := e.unary()
		if !ok {
			return 0, false
		}
		switch {
		case run < 4:
			zeros = run + 1
		case run == 4: // the rest of the segment
			zeros = segment - block%segment
		default:
			zeros = run
		}
		return min(zeros, e.interval-block), true
	case last:
		for i := range e.mapped[:e.block] {
			e.mapped[i] = e.take(e.width)
		}
		return 0, true
	default:
		e.reference(reference)
		return 0, e.split(reference, int(id)-1)
	}
}

func (e *entropy) take(width int) uint64 {
	v := take(e.data, e.bit, width)
	e.bit += width
	return v
}

func (e *entropy) reference(count int) {
	if count > 0 {
		e.mapped[0] = e.take(e.width)
	}
}

// unary reads a fundamental sequence: as many zeros as its value, then a one.
func (e *entropy) unary() (int, bool) {
	value := 0
	for e.bit < 8*len(e.data) {
		zeros := mathbits.LeadingZeros64(word(e.data, e.bit))
		if zeros < widest {
			e.bit += zeros + 1
			return value + zeros, true
		}
		value += widest
		e.bit += widest
	}
	return 0, false
}

// split reads the split-sample options: the high bits of all samples as
// fundamental sequences, then the k low bits of all.
func (e *entropy) split(from, k int) bool {
	samples := e.mapped[from:e.block]
	for i := 0; i < len(samples); {
		w, used := word(e.data, e.bit), 0
		for i < len(samples) {
			zeros := mathbits.LeadingZeros64(w)
			if used+zeros >= widest {
				break
			}
			samples[i] = uint64(zeros)
			i++
			used += zeros + 1
			w <<= uint(zeros + 1)
		}
		e.bit += used
		if used == 0 {
			long, ok := e.unary()
			if !ok {
				return false
			}
			samples[i] = uint64(long)
			i++
		}
	}
	all := uint64(0)
	for i := range samples {
		samples[i] = samples[i]<<uint(k) | take(e.data, e.bit, k)
		e.bit += k
		all |= samples[i]
	}
	return all>>uint(e.width) == 0
}

// secondExtension reads pairs of samples. A pair (a, b) with the sum s is coded
// as s(s+1)/2 + b. Where there is a reference sample it takes the place of a.
func (e *entropy) secondExtension(reference int) bool {
	for i := 0; i < e.block; i += 2 {
		code, ok := e.unary()
		if !ok {
			return false
		}
		sum := 0
		for code > sum {
			sum++
			code -= sum
		}
		if uint64(sum)>>uint(e.width) != 0 {
			return false
		}
		if i > 0 || reference == 0 {
			e.mapped[i] = uint64(sum - code)
		}
		e.mapped[i+1] = uint64(code)
	}
	return true
}

// fill gives blocks of zeros: with the preprocessor, the last sample again.
func (e *entropy) fill(dst []float64, reference int) {
	if reference > 0 {
		e.last = e.plain(e.mapped[0])
	}
	value := e.scale.of(0)
	if e.flags&ccsdsPreprocess != 0 {
		value = e.scale.of(float64(e.last))
	}
	for i := range dst {
		dst[i] = value
	}
}

// plain is a sample as it was coded, with its sign where samples have one.
func (e *entropy) plain(v uint64) int64 {
	if e.flags&ccsdsSigned != 0 {
		up := 64 - uint(e.width)
		return int64(v<<up) >> up
	}
	return int64(v)
}

// emit turns the samples of one block into values. The preprocessor predicts
// each sample to be the one before; what was coded is the difference, folded so
// that small ones of either sign have small codes, and counted on alone where
// the range ends on one side ([CCSDS121] section 4).
func (e *entropy) emit(dst []float64, reference int) {
	mapped := e.mapped[:len(dst)]
	if e.flags&ccsdsPreprocess == 0 {
		for i, v := range mapped {
			dst[i] = e.scale.of(float64(e.plain(v)))
		}
		return
	}
	if reference > 0 {
		e.last = e.plain(mapped[0])
		dst[0] = e.scale.of(float64(e.last))
		dst, mapped = dst[1:], mapped[1:]
	}
	low, high := int64(0), int64(1)<<uint(e.width)-1
	if e.flags&ccsdsSigned != 0 {
		low, high = -1<<uint(e.width-1), 1<<uint(e.width-1)-1
	}
	s, last := e.scale, e.last
	for i, v := range mapped {
		d := int64(v)
		below, above := last-low, high-last
		switch near := min(below, above); {
		case d <= 2*near:
			last += d>>1 ^ -(d & 1)
		case below < above:
			last = low + d
		default:
			last = high - d
		}
		dst[i] = s.of(float64(last))
	}
	e.last = last
}
