package grib2

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// octetsOf turns zeros and ones, with blanks for the eye, into octets.
func octetsOf(text string) []byte {
	text = strings.NewReplacer(" ", "", "\n", "", "\t", "").Replace(text)
	for len(text)%8 != 0 {
		text += "0"
	}
	out := make([]byte, len(text)/8)
	for i, c := range text {
		if c == '1' {
			out[i/8] |= 0x80 >> (i % 8)
		}
	}
	return out
}

// expect decodes octets as section 7 and compares. Sums and products of small
// integers are exact.
func expect(t *testing.T, name string, p Packing, data []byte, want ...float64) {
	t.Helper()
	p.Points = len(want)
	f := Field{Grid: Grid{Points: len(want)}, Packing: p, values: data}
	got, err := f.Decode(nil)
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	if !slices.EqualFunc(got, want, func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }) {
		t.Errorf("%s: %v, not %v", name, got, want)
	}
	for n := range data { // the data have no octet too many
		f.values = data[:n]
		if got, err := f.Decode(nil); err == nil {
			t.Errorf("%s: cut to %d of %d octets it gives %v", name, n, len(data), got)
			return
		}
	}
}

var nan = math.NaN()

func TestSimpleByHand(t *testing.T) {
	expect(t, "three bits", Packing{Bits: 3}, octetsOf("000 001 010 111"), 0, 1, 2, 7)
	expect(t, "factors", Packing{Bits: 5, Reference: 8, Binary: 2, Decimal: -1}, octetsOf("00001 11111"), 120, 1320)
	expect(t, "seventeen bits", Packing{Bits: 17}, octetsOf("10000000000000001 00000000000000010 11111111111111111"), 65537, 2, 131071)
	expect(t, "no bits", Packing{Bits: 0, Reference: 25, Decimal: 2}, nil, 25, 25, 25)
	expect(t, "no values", Packing{Bits: 7}, nil)
}

func TestBitmapByHand(t *testing.T) {
	f := Field{Grid: Grid{Points: 11}, Packing: Packing{Points: 4, Bits: 4}, bitmap: octetsOf("0110 0000 011"), values: octetsOf("0001 0010 0011 0100")}
	got, err := f.Decode(make([]float64, 3, 20))
	want := []float64{nan, 1, 2, nan, nan, nan, nan, nan, nan, 3, 4}
	if err != nil || !slices.EqualFunc(got, want, func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }) {
		t.Errorf("%v %v", got, err)
	}
	f.bitmap = octetsOf("0110 0000 111")
	if _, err := f.Decode(nil); err == nil {
		t.Error("five points share four values")
	}
}

func TestComplexByHand(t *testing.T) {
	// Three groups: reference 4 with values 0 1 3 1 of two bits; reference 9,
	// twice, of no bits; reference 0 with one value of three bits.
	lists := "0100 1001 0000  10 00 11  01 00 00" // two blanks end a list
	p := Packing{Template: 2, Groups: 3, Bits: 4, WidthBits: 2, LengthBits: 2, LengthReference: 2, LengthIncrement: 2, LastLength: 1}
	pad := func(lists string) string {
		parts := strings.Split(lists, "  ")
		for i, part := range parts {
			part = strings.ReplaceAll(part, " ", "")
			for len(part)%8 != 0 {
				part += "0"
			}
			parts[i] = part
		}
		return strings.Join(parts, "")
	}
	values := pad(lists) + "00 01 11 01" + "111"
	expect(t, "no differences", p, octetsOf(values), 4, 5, 7, 5, 9, 9, 7)

	p.MissingValues = 1 // all ones of the width; 15 where the width is none
	expect(t, "primary missing", p, octetsOf(values), 4, 5, nan, 5, 9, 9, nan)
	allOnes := strings.Replace(values, "01001001", "01001111", 1)
	expect(t, "a missing group", p, octetsOf(allOnes), 4, 5, nan, 5, nan, nan, nan)
	p.MissingValues = 2
	secondary := strings.Replace(values, "01001001", "01001110", 1)
	secondary = strings.TrimSuffix(secondary, "111") + "110"
	expect(t, "secondary missing", p, octetsOf(secondary), 4, 5, nan, 5, nan, nan, nan)

	p.Template, p.Order, p.ExtraOctets, p.MissingValues = 3, 1, 1, 0
	// First value 50, least difference -6: sign and magnitude.
	first := "00110010 10000110"
	expect(t, "first order", p, octetsOf(first+values), 50, 49, 50, 49, 52, 55, 56)
	p.MissingValues = 1
	expect(t, "first order, missing", p, octetsOf(first+values), 50, 49, nan, 48, 51, 54, nan)
	p.Order, p.MissingValues = 2, 0
	// First values 50 and 53, least second difference -6.
	first = "00110010 00110101 10000110"
	expect(t, "second order", p, octetsOf(first+values), 50, 53, 57, 60, 66, 75, 85)
	p.MissingValues = 1
	expect(t, "second order, missing", p, octetsOf(first+values), 50, 53, nan, 55, 60, 68, nan)
}

func TestIEEEByHand(t *testing.T) {
	expect(t, "single", Packing{Template: 4, Precision: 1}, []byte{0x3f, 0xc0, 0, 0, 0xc1, 0x20, 0, 0}, 1.5, -10)
	expect(t, "double", Packing{Template: 4, Precision: 2}, []byte{0x40, 0x59, 0, 0, 0, 0, 0, 0}, 100)
}

// TestPNGByHand makes images with the standard library, in each depth.
func TestPNGByHand(t *testing.T) {
	pack := func(picture image.Image) []byte {
		var out bytes.Buffer
		if err := png.Encode(&out, picture); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}
	frame := image.Rect(0, 0, 2, 1)
	p := Packing{Template: 41, Reference: 10, Binary: 1}
	gray := image.NewGray(frame)
	copy(gray.Pix, []byte{3, 200})
	p.Bits = 8
	expectPNG(t, "8 bits", p, pack(gray), 16, 410)
	deep := image.NewGray16(frame)
	deep.SetGray16(1, 0, color.Gray16{Y: 0x1234})
	p.Bits = 16
	expectPNG(t, "16 bits", p, pack(deep), 10, 10+2*0x1234)
	colour := image.NewRGBA(frame)
	copy(colour.Pix, []byte{1, 2, 3, 255, 0, 0, 7, 255})
	p.Bits = 24
	expectPNG(t, "24 bits", p, pack(colour), 10+2*0x010203, 24)
	clear := image.NewNRGBA(frame)
	copy(clear.Pix, []byte{1, 2, 3, 4, 0, 0, 0, 5})
	p.Bits = 32
	expectPNG(t, "32 bits", p, pack(clear), 10+2*0x01020304, 20)
}

// TestPNGNarrow makes images of fewer than eight bits a sample, which the
// standard library does not write, chunk by chunk.
func TestPNGNarrow(t *testing.T) {
	for depth, c := range map[byte]struct {
		row  byte
		want []float64
	}{
		1: {0b10110000, []float64{1, 0, 1, 1}},
		2: {0b11100100, []float64{3, 2, 1, 0}},
		4: {0b11110110, []float64{15, 6}},
	} {
		var packed, out bytes.Buffer
		z := zlib.NewWriter(&packed)
		_, _ = z.Write([]byte{0, c.row}) // into memory: it cannot fail
		_ = z.Close()
		chunk := func(name string, body []byte) {
			_ = binary.Write(&out, binary.BigEndian, uint32(len(body)))
			body = append([]byte(name), body...)
			out.Write(body)
			_ = binary.Write(&out, binary.BigEndian, crc32.ChecksumIEEE(body))
		}
		out.WriteString("\x89PNG\r\n\x1a\n")
		chunk("IHDR", []byte{0, 0, 0, byte(len(c.want)), 0, 0, 0, 1, depth, 0, 0, 0, 0})
		chunk("IDAT", packed.Bytes())
		chunk("IEND", nil)
		expectPNG(t, "narrow", Packing{Template: 41, Bits: int(depth)}, out.Bytes(), c.want...)
	}
}

// TestNoNumbers refuses headers that would turn every value into none.
func TestNoNumbers(t *testing.T) {
	for name, p := range map[string]Packing{
		"binary factor":  {Points: 1, Bits: 8, Binary: 2000},
		"decimal factor": {Points: 1, Bits: 8, Decimal: -400},
		"infinity":       {Template: 4, Points: 1, Precision: 1},
	} {
		f := Field{Grid: Grid{Points: 1}, Packing: p, values: []byte{0x7f, 0x80, 0, 0}}
		if got, err := f.Decode(nil); err == nil {
			t.Errorf("%s: decoded to %v", name, got)
		}
	}
	o := make(octets, 21)
	copy(o[11:], []byte{0x7f, 0xc0, 0, 0})
	if _, err := parsePacking(o, 0); err == nil {
		t.Error("a reference value that is not a number was taken")
	}
}

func expectPNG(t *testing.T, name string, p Packing, data []byte, want ...float64) {
	t.Helper()
	p.Points = len(want)
	f := Field{Grid: Grid{Points: len(want)}, Packing: p, values: data}
	if got, err := f.Decode(nil); err != nil || !slices.Equal(got, want) {
		t.Errorf("%s: %v %v, not %v", name, got, err, want)
	}
	f.Grid.Points, f.Packing.Points = len(want)+1, len(want)+1
	if _, err := f.Decode(nil); err == nil {
		t.Errorf("%s: the image has too few pixels, yet it was taken", name)
	}
}

// TestSmallFiles reads one invented field in the packings of another encoder.
func TestSmallFiles(t *testing.T) {
	files, err := filepath.Glob("testdata/small-*.grib2")
	if err != nil || len(files) < 5 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range files {
		got, err := onlyField(t, readFile(t, file)).Decode(nil)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		tolerance := 1e-9 // the rounding of a few float64 operations
		if strings.Contains(file, "ieee") {
			tolerance = 1.6e-5 // half a step of float32 at 256
		}
		for n := range got {
			j, i := float64(n/12), float64(n%12)
			want := math.Round(10*(250+30*math.Sin(j/2)*math.Cos(i/3))) / 10
			if math.Abs(got[n]-want) > tolerance {
				t.Errorf("%s: value %d is %v, not %v", file, n, got[n], want)
				break
			}
		}
	}
}
