package grib2

import "encoding/binary"

// spare is how many integers unpack may write past those it was asked for.
const spare = 3

// unpack reads count integers of a width from 0 to 57 bits that follow one
// another from a position on, and adds a base to each. The caller has checked
// that they lie within data. Of out, up to spare more than count are spoilt.
//
// One load of eight octets serves four narrow integers, or two of middling
// width, for loads and byte swaps are what takes the time; and a last load that
// gives too many costs less than to stop in time.
func unpack(out []int64, count int, data []byte, bit, width int, base int64) {
	mask := uint64(1)<<uint(width) - 1
	n := 0
	s0 := uint(64-width) & 63
	s1, s2, s3 := (s0-uint(width))&63, (s0-uint(2*width))&63, (s0-uint(3*width))&63
	switch {
	case 4*width <= widest:
		for ; n < count; n += 4 {
			i := bit >> 3
			if i+8 > len(data) || n+4 > len(out) {
				break
			}
			w := binary.BigEndian.Uint64(data[i:i+8]) << (uint(bit) & 7)
			four := out[n : n+4 : n+4]
			four[0] = base + int64(w>>s0&mask)
			four[1] = base + int64(w>>s1&mask)
			four[2] = base + int64(w>>s2&mask)
			four[3] = base + int64(w>>s3&mask)
			bit += 4 * width
		}
	case 2*width <= widest:
		for ; n < count; n += 2 {
			i := bit >> 3
			if i+8 > len(data) || n+2 > len(out) {
				break
			}
			w := binary.BigEndian.Uint64(data[i:i+8]) << (uint(bit) & 7)
			two := out[n : n+2 : n+2]
			two[0] = base + int64(w>>s0)
			two[1] = base + int64(w>>s1&mask)
			bit += 2 * width
		}
	}
	for ; n < count; n++ {
		out[n] = base + int64(take(data, bit, width))
		bit += width
	}
}
