package grib2

import (
	"encoding/binary"
	"math"
)

// octets reads big-endian integers from one section. Octet numbers count from
// 1. The caller has checked the section's length beforehand.
type octets []byte

func (o octets) u8(octet int) int  { return int(o[octet-1]) }
func (o octets) u16(octet int) int { return int(binary.BigEndian.Uint16(o[octet-1:])) }
func (o octets) u32(octet int) int { return int(binary.BigEndian.Uint32(o[octet-1:])) }

// s8, s16 and s32 read sign and magnitude ([GRIB2] regulation 92.1.5).
func (o octets) s8(octet int) int  { return signed(o.u8(octet), 8) }
func (o octets) s16(octet int) int { return signed(o.u16(octet), 16) }
func (o octets) s32(octet int) int { return signed(o.u32(octet), 32) }

func (o octets) f32(octet int) float64 {
	return float64(math.Float32frombits(binary.BigEndian.Uint32(o[octet-1:])))
}

// missing tells whether n octets are all ones, which stands for no value.
func (o octets) missing(octet, n int) bool {
	for _, b := range o[octet-1 : octet-1+n] {
		if b != 0xff {
			return false
		}
	}
	return true
}

func signed(v, bits int) int {
	if top := 1 << (bits - 1); v&top != 0 {
		return -(v &^ top)
	}
	return v
}

// word returns 64 bits of data from a bit position on, of which the first 57
// are valid; bits past the end read as zero.
func word(data []byte, bit int) uint64 {
	i := bit >> 3
	if i+8 <= len(data) {
		return binary.BigEndian.Uint64(data[i:i+8]) << (bit & 7)
	}
	var last [8]byte
	if i < len(data) {
		copy(last[:], data[i:])
	}
	return binary.BigEndian.Uint64(last[:]) << (bit & 7)
}

// widest is the number of bits that one call of word is good for.
const widest = 57

// take returns an unsigned integer of up to 57 bits. Width 0 gives 0, for Go
// defines a shift by 64 as leaving nothing.
func take(data []byte, bit, width int) uint64 {
	return word(data, bit) >> (64 - uint(width))
}

// power is base^exponent by repeated steps, the way the common C decoder builds
// its factors: 10^-2 is 1/10/10, not the double nearest to 0.01.
func power(base float64, exponent int) float64 {
	p := 1.0
	for ; exponent < 0; exponent++ {
		p /= base
	}
	for ; exponent > 0; exponent-- {
		p *= base
	}
	return p
}
