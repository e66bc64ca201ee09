package grib2

import (
	"bytes"
	"image"
	"image/png"
)

// png unpacks template 7.41: a PNG image whose samples are the integers. Widths
// of 24 and 32 bits are kept as RGB and RGBA of eight bits, high octet first.
func (f *Field) png() (func([]float64) error, error) {
	p := f.Packing
	if p.Bits == 0 || p.Points == 0 {
		return f.constant(), nil
	}
	config, err := png.DecodeConfig(bytes.NewReader(f.values))
	if err != nil {
		return nil, f.damaged("the PNG image cannot be read (%v)", err)
	}
	if config.Width < 1 || config.Height < 1 || config.Height > MostPoints/config.Width || config.Width*config.Height != p.Points {
		return nil, f.damaged("the PNG image has %d by %d pixels for %d values", config.Width, config.Height, p.Points)
	}
	// Deflate cannot shrink by more than about 1032 (RFC 1951: 258 octets in
	// two bits), and one bit is the least that a pixel has.
	if p.Points/8/1032 > len(f.values) {
		return nil, f.damaged("a PNG image of %d octets cannot hold %d values", len(f.values), p.Points)
	}
	return func(dst []float64) error {
		picture, err := png.Decode(bytes.NewReader(f.values))
		if err != nil {
			return f.damaged("the PNG image cannot be read (%v)", err)
		}
		if !p.scale().pixels(dst, picture, int(f.values[depthAt])) {
			return f.damaged("the PNG image has coloured pixels of a kind that holds no numbers")
		}
		return nil
	}, nil
}

// depthAt is where a PNG stream says how many bits a sample has: eight octets of
// signature, eight of chunk head, width and height come before.
const depthAt = 24

// pixels turns the samples of an image into values. Samples of fewer than eight
// bits have been spread over the range of an octet, and are brought back. It is
// false where the image is of another kind.
func (s scale) pixels(dst []float64, picture image.Image, depth int) bool {
	var samples []byte
	var step, octets, divisor int
	switch i := picture.(type) {
	case *image.Gray:
		samples, step, octets, divisor = i.Pix, 1, 1, 255/(1<<min(depth, 8)-1)
	case *image.Gray16:
		samples, step, octets, divisor = i.Pix, 2, 2, 1
	case *image.RGBA: // RGB: each pixel is followed by an alpha of 255
		samples, step, octets, divisor = i.Pix, 4, 3, 1
	case *image.NRGBA:
		samples, step, octets, divisor = i.Pix, 4, 4, 1
	}
	if octets == 0 || len(samples) < len(dst)*step {
		return false
	}
	for i := range dst {
		x := 0
		for _, octet := range samples[i*step : i*step+octets] {
			x = x<<8 | int(octet)
		}
		dst[i] = s.of(float64(x / divisor))
	}
	return true
}
