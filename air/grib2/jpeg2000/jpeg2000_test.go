package jpeg2000

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// picture reads a PGM image of 16 bits.
func picture(t testing.TB, file string) (width, height int, samples []int32) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var most int
	text := data
	if i := bytes.IndexByte(data, '#'); i >= 0 && i < 20 { // one comment
		text = append(append([]byte{}, data[:i]...), data[i+bytes.IndexByte(data[i:], '\n')+1:]...)
	}
	if _, err := fmt.Sscanf(string(text[:min(60, len(text))]), "P5\n%d %d\n%d", &width, &height, &most); err != nil {
		t.Fatal(err)
	}
	body := text[len(text)-2*width*height:]
	for i := range width * height {
		samples = append(samples, int32(body[2*i])<<8|int32(body[2*i+1]))
	}
	return width, height, samples
}

// TestOutsideOpenJPEG decodes the streams of another encoder. Those without loss
// must give the picture itself, the others what its own decoder gives.
func TestOutsideOpenJPEG(t *testing.T) {
	files, err := filepath.Glob("testdata/*.j2k")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			other := strings.TrimSuffix(file, ".j2k") + ".pgm"
			if _, err := os.Stat(other); err != nil {
				other = "testdata/picture.pgm"
			}
			width, height, want := picture(t, other)
			got, err := Decode(data, width*height)
			if err != nil {
				t.Fatal(err)
			}
			if got.Width != width || got.Height != height || got.Depth != 12 || got.Signed {
				t.Fatalf("%d by %d samples of %d bits, signed %v", got.Width, got.Height, got.Depth, got.Signed)
			}
			for i, v := range got.Samples {
				if v != want[i] {
					t.Fatalf("sample %d is %d, not %d", i, v, want[i])
				}
			}
		})
	}
}

// TestBroken cuts and spoils streams: an error or an image, never a panic, and
// never an image from a stream whose end is missing.
func TestBroken(t *testing.T) {
	for _, name := range []string{"plain", "layers", "tiles-offset", "all-styles", "lossy"} {
		data, err := os.ReadFile("testdata/" + name + ".j2k")
		if err != nil {
			t.Fatal(err)
		}
		for n := 0; n < len(data); n += 1 + n/100 {
			if _, err := Decode(data[:n], 1<<20); !errors.Is(err, ErrDamaged) {
				t.Fatalf("%s cut to %d of %d octets: %v", name, n, len(data), err)
			}
		}
		for bit := 0; bit < 8*len(data); bit += 1 + bit/64 {
			spoilt := append([]byte(nil), data...)
			spoilt[bit/8] ^= 0x80 >> (bit % 8)
			if _, err := Decode(spoilt, 1<<20); err != nil && !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrUnsupported) {
				t.Fatalf("%s with bit %d flipped: %v", name, bit, err)
			}
		}
	}
	if _, err := Decode(mustRead(t, "testdata/plain.j2k"), 100); !errors.Is(err, ErrDamaged) {
		t.Errorf("an image larger than wanted gives %v", err)
	}
}

func mustRead(t testing.TB, file string) []byte {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func FuzzDecode(f *testing.F) {
	for _, name := range []string{"plain", "tiles-offset", "all-styles", "lossy"} {
		f.Add(mustRead(f, "testdata/"+name+".j2k"))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := Decode(data, 1<<16)
		switch {
		case err == nil && len(m.Samples) != m.Width*m.Height:
			t.Fatalf("%d samples, not %d by %d", len(m.Samples), m.Width, m.Height)
		case err != nil && !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrUnsupported):
			t.Fatal(err)
		}
	})
}

func BenchmarkDecode(b *testing.B) {
	data := mustRead(b, "testdata/plain.j2k")
	for b.Loop() {
		m, err := Decode(data, 1<<20)
		if err != nil {
			b.Fatal(err)
		}
		b.SetBytes(int64(4 * len(m.Samples)))
	}
}
