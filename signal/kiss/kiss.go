// Package kiss takes frames out of the byte stream of a packet modem, and puts them in
// [KISS]. It knows nothing of what a frame holds.
package kiss

// The bytes that frame and escape.
const (
	frameEnd         = 0xC0
	frameEscape      = 0xDB
	transposedEnd    = 0xDC
	transposedEscape = 0xDD
)

// Data is the command of a frame that carries a packet; all others set up the modem.
const Data = 0

// Longest is how many bytes a frame holds at most: an AX.25 packet has up to some 330,
// and a stream that is no KISS must not grow without end.
const Longest = 2048

// Frame is one frame as it came: which of the modem's channels, what it is, its bytes.
type Frame struct {
	Port    int
	Command int
	Bytes   []byte
}

// Decoder takes a stream in pieces of any size. Its zero value is ready; it belongs to
// one stream and one goroutine.
type Decoder struct {
	frame   []byte
	escaped bool
	broken  bool // too long, or a wrong escape: wait for the next frame end
	Dropped int  // frames that were given up
}

// Feed takes the next bytes and answers the frames that they complete.
func (d *Decoder) Feed(bytes []byte) []Frame {
	var frames []Frame
	for _, b := range bytes {
		if b == frameEnd {
			if f, ok := d.end(); ok {
				frames = append(frames, f)
			}
			continue
		}
		d.add(b)
	}
	return frames
}

func (d *Decoder) add(b byte) {
	switch {
	case d.broken:
		return
	case d.escaped:
		d.escaped = false
		switch b {
		case transposedEnd:
			b = frameEnd
		case transposedEscape:
			b = frameEscape
		default:
			d.broken = true
			return
		}
	case b == frameEscape:
		d.escaped = true
		return
	}
	if len(d.frame) > Longest {
		d.broken = true
		return
	}
	d.frame = append(d.frame, b)
}

// end finishes a frame. Nothing between two frame ends is no frame.
func (d *Decoder) end() (Frame, bool) {
	defer func() { d.frame, d.escaped, d.broken = nil, false, false }()
	if d.broken || d.escaped {
		d.Dropped++
		return Frame{}, false
	}
	if len(d.frame) == 0 {
		return Frame{}, false
	}
	kind := d.frame[0]
	return Frame{Port: int(kind >> 4), Command: int(kind & 15), Bytes: d.frame[1:]}, true
}

// Encode frames bytes for one of the modem's channels, 0 to 15, as data.
func Encode(port int, bytes []byte) []byte {
	out := make([]byte, 0, len(bytes)+8)
	out = append(out, frameEnd)
	for _, b := range append([]byte{byte(port&15)<<4 | Data}, bytes...) {
		switch b {
		case frameEnd:
			out = append(out, frameEscape, transposedEnd)
		case frameEscape:
			out = append(out, frameEscape, transposedEscape)
		default:
			out = append(out, b)
		}
	}
	return append(out, frameEnd)
}
