package grib2

import (
	"encoding/binary"
	"fmt"
	"math"
)

// ieee unpacks template 7.4: floating point numbers as they are.
func (f *Field) ieee() (func([]float64) error, error) {
	p := f.Packing
	octets := map[int]int{1: 4, 2: 8}[p.Precision]
	if octets == 0 {
		return nil, &UnsupportedError{Section: 5, Template: 4,
			Advice: fmt.Sprintf("packing template 5.4 with precision %d of code table 5.7 is not supported: ask for 32 or 64 bits, or for another packing", p.Precision)}
	}
	if len(f.values) < p.Points*octets {
		return nil, f.damaged("%d values of %d octets need %d octets, but the section has %d", p.Points, octets, p.Points*octets, len(f.values))
	}
	return func(dst []float64) error {
		for i := range dst {
			if octets == 4 {
				dst[i] = float64(math.Float32frombits(binary.BigEndian.Uint32(f.values[4*i:])))
			} else {
				dst[i] = math.Float64frombits(binary.BigEndian.Uint64(f.values[8*i:]))
			}
			if math.IsInf(dst[i], 0) {
				return f.damaged("value %d is infinite", i)
			}
		}
		return nil
	}, nil
}
