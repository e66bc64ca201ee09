package kiss

import (
	"bytes"
	"testing"
)

// The examples printed with [KISS].
func TestPublishedFrames(t *testing.T) {
	for _, c := range []struct {
		port         int
		bytes, frame string
	}{
		{0, "TEST", "\xC0\x00TEST\xC0"},
		{5, "Hello", "\xC0\x50Hello\xC0"},
		{0, "\xC0\xDB", "\xC0\x00\xDB\xDC\xDB\xDD\xC0"},
	} {
		if got := Encode(c.port, []byte(c.bytes)); string(got) != c.frame {
			t.Errorf("% X framed as % X, expected % X", c.bytes, got, c.frame)
		}
		var d Decoder
		var frames []Frame
		for i := range len(c.frame) { // byte by byte, as a slow line brings them
			frames = append(frames, d.Feed([]byte{c.frame[i]})...)
		}
		if len(frames) != 1 || frames[0].Port != c.port || frames[0].Command != Data || string(frames[0].Bytes) != c.bytes {
			t.Errorf("% X read as %v", c.frame, frames)
		}
	}
}

func TestBrokenStream(t *testing.T) {
	var d Decoder
	long := bytes.Repeat([]byte{1}, 3*Longest)
	stream := append([]byte{frameEnd, frameEnd, frameEnd, 0, 'a', frameEscape, 'b', frameEnd, frameEnd}, long...)
	stream = append(stream, frameEnd, 0, 'o', 'k', frameEnd, 0, frameEscape, frameEnd)
	frames := d.Feed(stream)
	if len(frames) != 1 || string(frames[0].Bytes) != "ok" || d.Dropped != 3 {
		t.Errorf("%v, %d dropped", frames, d.Dropped)
	}
	if cap(d.frame) > 2*Longest {
		t.Errorf("%d bytes are held", cap(d.frame))
	}
}

func TestPortZeroFrameEndAsKind(t *testing.T) {
	// Port 12 with data has the kind byte C0, which must be escaped itself.
	var d Decoder
	frames := d.Feed(Encode(12, []byte("x")))
	if len(frames) != 1 || frames[0].Port != 12 || string(frames[0].Bytes) != "x" {
		t.Errorf("%v", frames)
	}
}

func FuzzFeed(f *testing.F) {
	f.Add([]byte("\xC0\x00TEST\xC0"), 3)
	f.Add([]byte("\xC0\x00\xDB\xDC\xDB\xDD\xC0\xC0\xDBx\xC0"), 1)
	f.Fuzz(func(t *testing.T, stream []byte, cut int) {
		cut = min(max(cut, 0), len(stream))
		var whole, pieces Decoder
		all := whole.Feed(stream)
		parts := append(pieces.Feed(stream[:cut]), pieces.Feed(stream[cut:])...)
		if len(all) != len(parts) {
			t.Fatalf("%d frames whole, %d in pieces", len(all), len(parts))
		}
		for i := range all {
			if !bytes.Equal(all[i].Bytes, parts[i].Bytes) {
				t.Fatalf("frame %d differs", i)
			}
			var again Decoder
			if f := again.Feed(Encode(all[i].Port, all[i].Bytes)); len(f) != 1 || !bytes.Equal(f[0].Bytes, all[i].Bytes) {
				t.Fatalf("frame %d does not come back", i)
			}
		}
	})
}
