package grib2

import (
	"testing"
)

// mostFuzzed keeps one try of the fuzzer short. Larger grids take the same way.
const mostFuzzed = 1 << 17

// FuzzScan feeds any octets to everything that reads headers, and decodes what
// is found.
func FuzzScan(f *testing.F) {
	for _, data := range smallGood(f) {
		f.Add(data)
	}
	f.Add([]byte("GRIB"))
	f.Fuzz(func(t *testing.T, data []byte) {
		fields, _ := Scan(data)
		for i := range fields {
			if fields[i].Grid.Points > mostFuzzed {
				return
			}
		}
		tryAll(t, data)
	})
}

// tryPacking decodes octets as the values of a grid of one row.
func tryPacking(t *testing.T, p Packing, data []byte) {
	if p.Points < 0 || p.Points > mostFuzzed {
		return
	}
	f := Field{Grid: Grid{Points: p.Points}, Packing: p, values: data}
	values, err := f.Decode(nil)
	if err != nil {
		checkComplaint(t, err)
		if values != nil {
			t.Fatal("values come with an error")
		}
		return
	}
	if len(values) != p.Points {
		t.Fatalf("%d values, not %d", len(values), p.Points)
	}
}

func FuzzSimple(f *testing.F) {
	f.Add(5, 9, []byte("abcdef"))
	f.Fuzz(func(t *testing.T, points, bits int, data []byte) {
		tryPacking(t, Packing{Points: points, Bits: bits & 255}, data)
	})
}

func FuzzComplex(f *testing.F) {
	good := onlyField(f, smallGood(f)["complex"])
	g := good.Packing
	f.Add(g.Points, g.Groups, uint32(g.Bits)|uint32(g.WidthReference)<<8|uint32(g.WidthBits)<<16|uint32(g.LengthBits)<<24, uint32(g.LengthReference), uint32(g.LengthIncrement), uint32(g.LastLength), uint8(g.Order|g.ExtraOctets<<4), good.values)
	f.Fuzz(func(t *testing.T, points, groups int, widths, length, increment, last uint32, order uint8, data []byte) {
		p := Packing{Template: 3, Points: points, Groups: int(uint32(groups)), Bits: int(widths & 255), WidthReference: int(widths >> 8 & 255), WidthBits: int(widths >> 16 & 255), LengthBits: int(widths >> 24),
			LengthReference: int(length), LengthIncrement: int(increment & 255), LastLength: int(last), Order: int(order & 3), MissingValues: int(order >> 2 & 3), ExtraOctets: int(order >> 4)}
		tryPacking(t, p, data)
	})
}

func FuzzIEEE(f *testing.F) {
	f.Add(2, uint8(1), []byte("abcdefgh"))
	f.Fuzz(func(t *testing.T, points int, precision uint8, data []byte) {
		tryPacking(t, Packing{Template: 4, Points: points, Precision: int(precision)}, data)
	})
}

func FuzzPNG(f *testing.F) {
	f.Add(1, uint8(8), []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x00\x00\x00\x00"))
	f.Fuzz(func(t *testing.T, points int, bits uint8, data []byte) {
		tryPacking(t, Packing{Template: 41, Points: points, Bits: int(bits)}, data)
	})
}

func FuzzCCSDS(f *testing.F) {
	f.Add(64, uint8(12), uint8(0x0e), uint8(3), uint16(128), []byte("\x12\x34\x56\x78\x9a\xbc\xde\xf0"))
	f.Fuzz(func(t *testing.T, points int, bits, flags, block uint8, interval uint16, data []byte) {
		tryPacking(t, Packing{Template: 42, Points: points, Bits: int(bits), Flags: int(flags), BlockSize: 1 << (block & 7), Interval: int(interval)}, data)
	})
}
