package grib2

// simple unpacks template 7.0: integers of a fixed width, one after another.
func (f *Field) simple() (func([]float64) error, error) {
	p := f.Packing
	if p.Bits == 0 {
		return f.constant(), nil
	}
	if p.Bits > widest {
		return nil, damage(5, f.packingAt, "a value of %d bits is wider than any in use", p.Bits)
	}
	if need := (p.Points*p.Bits + 7) / 8; need > len(f.values) {
		return nil, f.damaged("%d values of %d bits need %d octets, but the section has %d", p.Points, p.Bits, need, len(f.values))
	}
	return func(dst []float64) error {
		p.scale().fixed(dst, f.values, p.Bits)
		return nil
	}, nil
}

// constant fills with the reference value. A field of zero bits holds R itself:
// the decimal factor is not applied, as all decoders in common use have it.
func (f *Field) constant() func([]float64) error {
	return func(dst []float64) error {
		for i := range dst {
			dst[i] = f.Packing.Reference
		}
		return nil
	}
}

// fixed turns integers of one width into values.
func (s scale) fixed(dst []float64, data []byte, width int) {
	var integers [chunk + spare]int64
	for bit := 0; len(dst) > 0; bit += chunk * width {
		out := dst[:min(chunk, len(dst))]
		unpack(integers[:], len(out), data, bit, width, 0)
		for i, x := range integers[:len(out)] {
			out[i] = s.of(float64(x))
		}
		dst = dst[len(out):]
	}
}
