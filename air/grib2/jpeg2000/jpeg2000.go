// Package jpeg2000 decodes the grey images that GRIB2 files keep their numbers
// in: JPEG 2000 codestreams ([T800], part 1) of one component, any tiling,
// layers, precincts, progression order and code-block style, reversible or not.
// Regions of interest, changes of the progression order and packed packet
// headers are refused; no meteorological encoder writes them.
//
// Section, table and equation numbers in comments are those of [T800].
package jpeg2000

import (
	"errors"
	"fmt"
)

// Image is one component. Samples run along rows, from the top.
type Image struct {
	Width, Height int
	Depth         int // bits of a sample
	Signed        bool
	Samples       []int32
}

// ErrDamaged is wrapped by all errors about a stream that contradicts itself.
var ErrDamaged = errors.New("the JPEG 2000 stream is damaged")

// ErrUnsupported is wrapped by all errors about a stream of a kind that is not
// read.
var ErrUnsupported = errors.New("this kind of JPEG 2000 stream is not supported")

func damaged(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrDamaged, fmt.Sprintf(format, args...))
}

func unsupported(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrUnsupported, fmt.Sprintf(format, args...))
}

// mostPlanes is how many bit planes a coefficient may have: an int32 less its
// sign and the bit for halves.
const mostPlanes = 30

// Size reads the width and height of a stream without decoding it.
func Size(data []byte) (width, height int, err error) {
	c, err := parse(data, true)
	if err != nil {
		return 0, 0, err
	}
	return c.x1 - c.x0, c.y1 - c.y0, nil
}

// Decode decodes a stream of at most a number of samples.
func Decode(data []byte, most int) (*Image, error) {
	c, err := parse(data, false)
	if err != nil {
		return nil, err
	}
	w, h := c.x1-c.x0, c.y1-c.y0
	if h > most/w {
		return nil, damaged("%d by %d samples are more than %d", w, h, most)
	}
	m := &Image{Width: w, Height: h, Depth: c.depth, Signed: c.signed, Samples: make([]int32, w*h)}
	for i := range c.tiles {
		t := &c.tiles[i]
		if !t.seen {
			return nil, damaged("tile %d is missing", i)
		}
		if err := c.decodeTile(m, i); err != nil {
			return nil, err
		}
		t.data = nil
	}
	return m, nil
}

// decodeTile decodes one tile into its place in the image.
func (c *codestream) decodeTile(m *Image, index int) error {
	t := &c.tiles[index]
	area := c.tileArea(index)
	layout, err := t.coding.layout(area, len(t.data))
	if err != nil {
		return err
	}
	if err := layout.readPackets(&t.coding, t.data); err != nil {
		return err
	}
	coefficients := make([]int32, area.width()*area.height())
	if t.coding.reversible {
		if err := layout.blocksInto(&t.coding, func(b *band, at int, value int32) { coefficients[at] = value / 2 }); err != nil {
			return err
		}
		inverse(coefficients, layout, lift53)
		c.store(m, area, func(i int) int32 { return coefficients[i] })
		return nil
	}
	reals := make([]float32, len(coefficients))
	if err := layout.blocksInto(&t.coding, func(b *band, at int, value int32) { reals[at] = float32(value) / 2 * b.step }); err != nil {
		return err
	}
	inverse(reals, layout, lift97)
	c.store(m, area, func(i int) int32 { return round(reals[i]) })
	return nil
}

// store shifts samples to their range (annex G.1) and puts them into the image.
func (c *codestream) store(m *Image, area rect, sample func(i int) int32) {
	low, high, shift := int64(0), int64(1)<<c.depth-1, int64(1)<<(c.depth-1)
	if c.signed {
		low, high, shift = -shift, shift-1, 0
	}
	i := 0
	for y := area.y0; y < area.y1; y++ {
		row := m.Samples[(y-c.y0)*m.Width+area.x0-c.x0:]
		for x := range area.width() {
			row[x] = int32(min(max(int64(sample(i))+shift, low), high))
			i++
		}
	}
}

// round gives the nearest integer, halves to the even one.
func round(v float32) int32 {
	const magic = 3 << 51 // adding it leaves no bits for a fraction in float64
	return int32(float64(float64(v)+magic) - magic)
}
