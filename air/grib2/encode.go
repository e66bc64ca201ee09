package grib2

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"time"
)

// Message is what Encode writes: one field in one message.
//
// Product may be of template 4.0 or 4.1, Grid of template 3.0. Of Packing the
// template (5.0 or 5.3), Decimal, Binary and, in 5.3, Order (1 or 2) are taken;
// the rest is worked out from Values. The values are kept to the nearest
// multiple of 2^Binary·10^-Decimal, counted from near the smallest of them.
type Message struct {
	Discipline        uint8
	Centre, SubCentre uint16
	Reference         time.Time
	DataType          uint8 // code table 1.4
	Product           Product
	Grid              Grid
	Packing           Packing
	Values            []float64 // in file order; NaN where there is none
}

// mostBits is how wide a packed integer may get: what float64 keeps exactly
// with room for the sums of spatial differencing.
const mostBits = 32

// Encode writes a message. Nothing is written when it returns an error about
// the message itself.
func Encode(w io.Writer, m Message) error {
	out := make([]byte, 16, 512+2*len(m.Values))
	copy(out, "GRIB")
	out[6], out[7] = m.Discipline, 2
	out = m.identification(out)
	var err error
	if out, err = m.grid(out); err != nil {
		return fmt.Errorf("grid: %w", err)
	}
	if out, err = m.product(out); err != nil {
		return fmt.Errorf("product: %w", err)
	}
	if out, err = m.pack(out); err != nil {
		return fmt.Errorf("values: %w", err)
	}
	out = append(out, "7777"...)
	binary.BigEndian.PutUint64(out[8:], uint64(len(out)))
	_, err = w.Write(out)
	return err
}

// section appends a section of a number of octets, all zero but its head.
func section(out []byte, number, octets int) ([]byte, []byte) {
	begin := len(out)
	out = append(out, make([]byte, octets)...)
	o := out[begin:]
	put32(o, 1, octets)
	o[4] = byte(number)
	return out, o
}

func put16(o []byte, octet, v int) { binary.BigEndian.PutUint16(o[octet-1:], uint16(v)) }
func put32(o []byte, octet, v int) { binary.BigEndian.PutUint32(o[octet-1:], uint32(v)) }

// magnitude is a signed number as sign and magnitude of a number of bits.
func magnitude(v, bits int) int {
	if v < 0 {
		return -v | 1<<(bits-1)
	}
	return v
}

// identification appends section 1.
func (m *Message) identification(out []byte) []byte {
	out, o := section(out, 1, 21)
	put16(o, 6, int(m.Centre))
	put16(o, 8, int(m.SubCentre))
	o[9] = 2  // master tables
	o[11] = 1 // the reference time is the start of the forecast
	t := m.Reference.UTC()
	put16(o, 13, t.Year())
	o[14], o[15], o[16], o[17], o[18] = byte(t.Month()), byte(t.Day()), byte(t.Hour()), byte(t.Minute()), byte(t.Second())
	o[20] = m.DataType
	return out
}

// grid appends section 3.
func (m *Message) grid(out []byte) ([]byte, error) {
	g := m.Grid
	switch {
	case g.Template != 0:
		return nil, fmt.Errorf("template 3.%d cannot be written, only 3.0", g.Template)
	case g.Ni < 1 || g.Nj < 1 || g.Ni > MostPoints || g.Nj > MostPoints || g.Ni*g.Nj != len(m.Values):
		return nil, fmt.Errorf("%d by %d points do not fit %d values", g.Ni, g.Nj, len(m.Values))
	case !(math.Abs(g.La1) <= 90 && math.Abs(g.La2) <= 90 && math.Abs(g.Lo1) <= 360 && math.Abs(g.Lo2) <= 360):
		return nil, fmt.Errorf("the corners %g, %g and %g, %g are not on the globe", g.La1, g.Lo1, g.La2, g.Lo2)
	}
	out, o := section(out, 3, 72)
	put32(o, 7, len(m.Values))
	o[14] = 6 // sphere of 6371229 m
	for octet := 16; octet <= 30; octet++ {
		o[octet-1] = 0xff // radius and axes are not given
	}
	put32(o, 31, g.Ni)
	put32(o, 35, g.Nj)
	put32(o, 43, math.MaxUint32)
	angle := func(octet int, degrees float64) {
		put32(o, octet, magnitude(int(math.Round(degrees*micro)), 32))
	}
	angle(47, g.La1)
	angle(51, g.Lo1)
	angle(56, g.La2)
	angle(60, g.Lo2)
	step := func(octet int, degrees float64, flag byte) {
		if degrees > 0 {
			angle(octet, degrees)
			o[54] |= flag
		} else {
			put32(o, octet, math.MaxUint32)
		}
	}
	step(64, g.Di, 0x20)
	step(68, g.Dj, 0x10)
	o[71] = g.ScanMode
	written, err := parseGrid(o, 0)
	if err == nil {
		err = written.Regular()
	}
	return out, err
}

// product appends section 4.
func (m *Message) product(out []byte) ([]byte, error) {
	p := m.Product
	if p.Template > 1 {
		return nil, fmt.Errorf("template 4.%d cannot be written, only 4.0 and 4.1", p.Template)
	}
	out, o := section(out, 4, layouts[p.Template].least)
	put16(o, 8, int(p.Template))
	o[9], o[10], o[11], o[12], o[13] = p.Category, p.Number, p.Process, 255, p.Generator
	unit, length := byte(13), int64(1)
	switch {
	case p.ForecastSeconds%3600 == 0:
		unit, length = 1, 3600
	case p.ForecastSeconds%60 == 0:
		unit, length = 0, 60
	}
	count := p.ForecastSeconds / length
	if count > math.MaxInt32 || count < -math.MaxInt32 {
		return nil, fmt.Errorf("a forecast of %d seconds is too long", p.ForecastSeconds)
	}
	o[17] = unit
	put32(o, 19, magnitude(int(count), 32))
	if err := p.First.put(o, 23); err != nil {
		return nil, err
	}
	if err := p.Second.put(o, 29); err != nil {
		return nil, err
	}
	if p.Template == 1 {
		for i, v := range []int{p.EnsembleType, p.Member, p.MembersInEnsemble} {
			if v < 0 || v > 255 {
				return nil, fmt.Errorf("ensemble type, member and number of members must be 0 to 255, not %d", v)
			}
			o[34+i] = byte(v)
		}
	}
	return out, nil
}

// put writes a surface, with as few decimal places as its value needs.
func (s Surface) put(o []byte, octet int) error {
	o[octet-1] = s.Type
	if s.Type == 255 || s.Missing {
		o[octet] = 0xff
		put32(o, octet+1+1, math.MaxUint32)
		return nil
	}
	for factor := -9; factor <= 9; factor++ {
		v := math.Round(s.Value * math.Pow10(factor))
		if math.Abs(v) < math.MaxInt32 && scaled(int(v), factor) == s.Value && (factor >= 0 || v != 0) {
			o[octet] = byte(magnitude(factor, 8))
			put32(o, octet+2, magnitude(int(v), 32))
			return nil
		}
	}
	return fmt.Errorf("the level %g has more digits than a surface can hold", s.Value)
}
