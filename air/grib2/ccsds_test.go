package grib2

import (
	"strings"
	"testing"
)

// unaryOf writes numbers as fundamental sequences.
func unaryOf(numbers ...int) string {
	var text strings.Builder
	for _, n := range numbers {
		text.WriteString(strings.Repeat("0", n) + "1 ")
	}
	return text.String()
}

// TestCCSDSByHand writes streams bit by bit as [CCSDS121] has it and reads them.
func TestCCSDSByHand(t *testing.T) {
	p := Packing{Template: 42, Bits: 8, BlockSize: 8, Interval: 4, Flags: ccsdsPreprocess}
	plain := p
	plain.Flags = 0

	expect(t, "uncompressed", plain, octetsOf("111"+"00000001"+strings.Repeat("11111111", 7)), 1, 255, 255, 255, 255, 255, 255, 255)
	expect(t, "fundamental sequence", plain, octetsOf("001"+unaryOf(0, 1, 2, 3, 4, 0, 0, 9)), 0, 1, 2, 3, 4, 0, 0, 9)
	expect(t, "split sample, k = 2", plain, octetsOf("011"+unaryOf(0, 1, 0, 0, 0, 0, 0, 2)+"01 10 11 00 00 00 00 11"), 1, 6, 3, 0, 0, 0, 0, 11)
	expect(t, "a long sequence", plain, octetsOf("001"+unaryOf(0, 130, 2, 60, 56, 57, 58, 0)), 0, 130, 2, 60, 56, 57, 58, 0)
	// Pairs (a, b) as (a+b)(a+b+1)/2 + b: (0,0)=0 (1,0)=1 (0,1)=2 (1,1)=4.
	expect(t, "second extension", plain, octetsOf("000 1"+unaryOf(0, 1, 2, 4)), 0, 0, 1, 0, 0, 1, 1, 1)
	expect(t, "one block of zeros", plain, octetsOf("000 0"+unaryOf(0)+"001"+unaryOf(1, 1, 1, 1, 1, 1, 1, 1)), 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1)
	expect(t, "fewer values than a block", plain, octetsOf("001"+unaryOf(5, 4, 3, 2, 1, 0, 0, 0)), 5, 4, 3)

	// Differences: even codes 2d count up, odd codes 2d-1 down.
	expect(t, "reference and differences", p, octetsOf("001"+"01100100"+unaryOf(2, 1, 0, 4, 3, 0, 0)), 100, 101, 100, 100, 102, 100, 100, 100)
	// At 1 only one step down is left: codes 0 1 2 are 0 -1 +1, then 3 is +2.
	expect(t, "near the lower end", p, octetsOf("001"+"00000001"+unaryOf(3, 0, 0, 0, 0, 0, 6)), 1, 3, 3, 3, 3, 3, 3, 6)
	expect(t, "near the upper end", p, octetsOf("001"+"11111110"+unaryOf(3, 0, 0, 0, 0, 0, 5)), 254, 252, 252, 252, 252, 252, 252, 249)
	expect(t, "second extension with a reference", p, octetsOf("000 1"+"00001010"+unaryOf(2, 4, 0, 0)), 10, 9, 8, 7, 7, 7, 7, 7)
	zeros := make([]float64, 32)
	for i := range zeros {
		zeros[i] = 7
	}
	expect(t, "zeros to the end of the segment", p, octetsOf("000 0"+"00000111"+unaryOf(4)), zeros...)
	two := append(append([]float64{}, zeros...), 9, 9, 9, 9, 9, 9, 9, 9)
	expect(t, "next interval", p, octetsOf("000 0"+"00000111"+unaryOf(4)+"001"+"00001001"+unaryOf(0, 0, 0, 0, 0, 0, 0)), two...)
	padded := p
	padded.Flags |= ccsdsPadded
	expect(t, "padded interval", padded, octetsOf("000 0"+"00000111"+unaryOf(4)+"00000 00"+"001"+"00001001"+unaryOf(0, 0, 0, 0, 0, 0, 0)), two...)

	signed := p
	signed.Flags |= ccsdsSigned
	expect(t, "signed", signed, octetsOf("001"+"11111111"+unaryOf(2, 2, 1, 0, 0, 0, 0)), -1, 0, 1, 0, 0, 0, 0, 0)

	narrow := Packing{Template: 42, Bits: 2, BlockSize: 8, Interval: 4, Flags: ccsdsRestricted}
	expect(t, "restricted, two bits", narrow, octetsOf("1"+"00 01 10 11 00 01 10 11"), 0, 1, 2, 3, 0, 1, 2, 3)
	narrow.Bits = 4
	expect(t, "restricted, four bits", narrow, octetsOf("10"+unaryOf(0, 1, 0, 0, 0, 0, 0, 2)+"1 0 1 0 0 0 0 1"), 1, 2, 1, 0, 0, 0, 0, 5)
	wide := plain
	wide.Bits, wide.BlockSize = 20, 8
	expect(t, "five bits of option", wide, octetsOf("00010"+unaryOf(0, 0, 0, 0, 0, 0, 0, 3)+"1 1 1 1 1 1 1 0"), 1, 1, 1, 1, 1, 1, 1, 6)
}

// TestCCSDSRefuses checks streams and parameters that cannot be.
func TestCCSDSRefuses(t *testing.T) {
	good := Packing{Template: 42, Points: 8, Bits: 8, BlockSize: 8, Interval: 4}
	for name, spoil := range map[string]func(p *Packing){
		"block size":       func(p *Packing) { p.BlockSize = 12 },
		"interval":         func(p *Packing) { p.Interval = 0 },
		"sample width":     func(p *Packing) { p.Bits = 33 },
		"restricted width": func(p *Packing) { p.Flags = ccsdsRestricted },
		"too many values":  func(p *Packing) { p.Points = 1 << 20 },
		"sample too large": func(p *Packing) { p.Bits = 3 }, // the sixth sequence is 9
	} {
		p := good
		spoil(&p)
		f := Field{Grid: Grid{Points: p.Points}, Packing: p, values: octetsOf("001" + unaryOf(0, 1, 2, 3, 4, 9, 0, 0))}
		if got, err := f.Decode(nil); err == nil {
			t.Errorf("%s: decoded to %v", name, got)
		} else {
			checkComplaint(t, err)
		}
	}
}
