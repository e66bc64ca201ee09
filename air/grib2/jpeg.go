package grib2

import (
	"errors"

	"pappus/air/grib2/jpeg2000"
)

// mostSamples is how many samples an octet of a JPEG 2000 image is taken to hold
// at most: four code blocks of the largest size without a bit in them. An image
// this empty would be a constant field, for which no image is needed.
const mostSamples = 4 * 4096

// jpeg unpacks template 7.40: a JPEG 2000 image whose samples are the integers.
func (f *Field) jpeg() (func([]float64) error, error) {
	p := f.Packing
	if p.Bits == 0 || p.Points == 0 {
		return f.constant(), nil
	}
	width, height, err := jpeg2000.Size(f.values)
	if err != nil {
		return nil, f.imageError(err)
	}
	if height > MostPoints/width || width*height != p.Points {
		return nil, f.damaged("the image has %d by %d samples for %d values", width, height, p.Points)
	}
	if p.Points/mostSamples > len(f.values) {
		return nil, f.damaged("a JPEG 2000 image of %d octets cannot hold %d values", len(f.values), p.Points)
	}
	return func(dst []float64) error {
		picture, err := jpeg2000.Decode(f.values, p.Points)
		if err != nil {
			return f.imageError(err)
		}
		s := p.scale()
		for i, x := range picture.Samples {
			dst[i] = s.of(float64(x))
		}
		return nil
	}, nil
}

func (f *Field) imageError(err error) error {
	if errors.Is(err, jpeg2000.ErrUnsupported) {
		return &UnsupportedError{Section: 5, Template: 40,
			Advice: err.Error() + ": ask for another packing, or re-pack the file with a tool such as grib_set -r -s packingType=grid_complex"}
	}
	return f.damaged("%v", err)
}
