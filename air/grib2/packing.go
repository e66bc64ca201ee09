package grib2

import (
	"fmt"
	"math"
)

// parsePacking reads section 5. Only what all templates share is checked here:
// a field with an odd packing is still found, and refused when it is decoded.
func parsePacking(o octets, at int) (Packing, error) {
	if len(o) < 11 {
		return Packing{}, damage(5, at, "the section has %d octets, fewer than 11", len(o))
	}
	p := Packing{Points: o.u32(6), Template: uint16(o.u16(10))}
	least := map[uint16]int{0: 21, 2: 47, 3: 49, 4: 12, 40: 23, 41: 21, 42: 25}[p.Template]
	if len(o) < least {
		return p, damage(5, at, "packing template 5.%d needs %d octets, but the section has %d", p.Template, least, len(o))
	}
	switch p.Template {
	case 0, 2, 3, 40, 41, 42:
		p.Reference, p.Binary, p.Decimal = o.f32(12), o.s16(16), o.s16(18)
		p.Bits, p.Original = o.u8(20), o[20]
		if math.IsNaN(p.Reference) || math.IsInf(p.Reference, 0) {
			return p, damage(5, at, "the reference value is not a number")
		}
	case 4:
		p.Precision = o.u8(12)
	}
	switch p.Template {
	case 2, 3:
		p.Splitting, p.MissingValues = o[21], o.u8(23)
		p.PrimaryMissing, p.SecondMissing = o.f32(24), o.f32(28)
		p.Groups = o.u32(32)
		p.WidthReference, p.WidthBits = o.u8(36), o.u8(37)
		p.LengthReference, p.LengthIncrement = o.u32(38), o.u8(42)
		p.LastLength, p.LengthBits = o.u32(43), o.u8(47)
		if p.Template == 3 {
			p.Order, p.ExtraOctets = o.u8(48), o.u8(49)
		}
	case 40:
		p.Compression = o.u8(22)
	case 42:
		p.Flags, p.BlockSize, p.Interval = o.u8(22), o.u8(23), o.u16(24)
	}
	return p, nil
}

// unsupported is the error for a packing that is not read.
func (p Packing) unsupported() error {
	name := map[uint16]string{1: "matrix of values", 50: "spectral, simple", 51: "spectral, complex", 53: "spectral, bi-Fourier", 61: "logarithmic", 200: "run lengths"}[p.Template]
	if name != "" {
		name = " (" + name + ")"
	}
	return &UnsupportedError{Section: 5, Template: int(p.Template),
		Advice: fmt.Sprintf("packing template 5.%d%s is not supported: ask for simple or complex packing, or re-pack the file with a tool such as grib_set -r -s packingType=grid_complex", p.Template, name)}
}
