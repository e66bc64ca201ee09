// Package ax25 reads and writes the frames of amateur packet radio without flags and
// checksum, as modems hand them over [AX25]. Only unnumbered information frames, which
// need no connection, are of use here.
package ax25

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Address is a station: its call sign, and which of its stations, 0 to 15.
type Address struct {
	Call string
	SSID int
	Used bool // as a relay: it has already repeated the frame
}

// Frame is an unnumbered information frame.
type Frame struct {
	Destination Address
	Source      Address
	Path        []Address
	Protocol    byte // 0xF0: no layer 3
	Info        []byte
}

// Sizes and codes [AX25, sections 3.1 to 3.12].
const (
	addressBytes = 7
	mostRelays   = 8
	mostInfo     = 256

	unnumberedInformation = 0x03
	pollBit               = 0x10

	// NoLayer3 is the protocol of position reports.
	NoLayer3 = 0xF0
)

// ErrOther is why a sound frame is refused that carries no unnumbered information:
// those of connections.
var ErrOther = errors.New("not an unnumbered information frame")

// Decode reads a frame.
func Decode(bytes []byte) (Frame, error) {
	var addresses []Address
	rest := bytes
	for last := false; !last; {
		if len(addresses) == 2+mostRelays {
			return Frame{}, fmt.Errorf("AX.25 frame: more than %d relays in the address", mostRelays)
		}
		if len(rest) < addressBytes {
			return Frame{}, fmt.Errorf("AX.25 frame: cut off in address %d after %d bytes", len(addresses)+1, len(bytes))
		}
		a, err := address(rest[:addressBytes])
		if err != nil {
			return Frame{}, fmt.Errorf("AX.25 frame, address %d: %w", len(addresses)+1, err)
		}
		last = rest[addressBytes-1]&1 == 1
		addresses = append(addresses, a)
		rest = rest[addressBytes:]
	}
	if len(addresses) < 2 {
		return Frame{}, errors.New("AX.25 frame: one address, expected a destination and a source")
	}
	if len(rest) < 1 || rest[0]&^pollBit != unnumberedInformation {
		return Frame{}, fmt.Errorf("AX.25 frame: %w", ErrOther)
	}
	if len(rest) < 2 {
		return Frame{}, errors.New("AX.25 frame: cut off before the protocol byte")
	}
	f := Frame{Destination: addresses[0], Source: addresses[1], Path: addresses[2:], Protocol: rest[1], Info: rest[2:]}
	// In the first two the bit tells commands from responses, not what was repeated.
	f.Destination.Used, f.Source.Used = false, false
	if len(f.Info) > mostInfo {
		return Frame{}, fmt.Errorf("AX.25 frame: %d bytes of information, at most %d are allowed", len(f.Info), mostInfo)
	}
	return f, nil
}

// address reads seven bytes: six letters shifted up by one bit, filled with blanks, and
// a byte of the form HRRSSSSE.
func address(b []byte) (Address, error) {
	var call [6]byte
	length := 0
	for i, c := range b[:6] {
		if c&1 == 1 {
			return Address{}, fmt.Errorf("byte %#02x: a letter has no last bit", c)
		}
		call[i] = c >> 1
		switch {
		case call[i] >= 'A' && call[i] <= 'Z' || call[i] >= '0' && call[i] <= '9':
			if i > length {
				return Address{}, errors.New("a blank within the call sign")
			}
			length = i + 1
		case call[i] != ' ':
			return Address{}, fmt.Errorf("%q in a call sign", call[i])
		}
	}
	return Address{Call: string(call[:length]), SSID: int(b[6] >> 1 & 15), Used: b[6]&0x80 != 0}, nil
}

func (a Address) String() string {
	text := a.Call
	if a.SSID != 0 {
		text += "-" + strconv.Itoa(a.SSID)
	}
	if a.Used {
		text += "*"
	}
	return text
}

// ParseAddress reads "N0CALL-11" or "WIDE1-1*".
func ParseAddress(text string) (Address, error) {
	text, used := strings.CutSuffix(text, "*")
	call, number, has := strings.Cut(text, "-")
	a := Address{Call: call, Used: used}
	if has {
		n, err := strconv.Atoi(number)
		if err != nil || n < 0 || n > 15 || strings.HasPrefix(number, "+") {
			return Address{}, fmt.Errorf("station %q: after the dash comes a number from 0 to 15", text)
		}
		a.SSID = n
	}
	if len(call) < 1 || len(call) > 6 {
		return Address{}, fmt.Errorf("station %q: a call sign has one to six letters and digits", text)
	}
	for i := range len(call) {
		if c := call[i]; !(c >= 'A' && c <= 'Z' || c >= '0' && c <= '9') {
			return Address{}, fmt.Errorf("station %q: a call sign has capital letters and digits only", text)
		}
	}
	return a, nil
}

// Encode writes a frame.
func (f Frame) Encode() ([]byte, error) {
	if len(f.Path) > mostRelays || len(f.Info) > mostInfo {
		return nil, fmt.Errorf("AX.25 frame: %d relays and %d bytes, at most %d and %d are allowed", len(f.Path), len(f.Info), mostRelays, mostInfo)
	}
	all := append([]Address{f.Destination, f.Source}, f.Path...)
	var out []byte
	for i, a := range all {
		if _, err := ParseAddress(a.String()); err != nil {
			return nil, fmt.Errorf("AX.25 frame: %w", err)
		}
		for k := range 6 {
			c := byte(' ')
			if k < len(a.Call) {
				c = a.Call[k]
			}
			out = append(out, c<<1)
		}
		last := byte(0x60 | a.SSID<<1) // the two reserved bits are set where unused
		if i == 0 || i > 1 && a.Used {
			last |= 0x80 // a command; or repeated
		}
		if i == len(all)-1 {
			last |= 1
		}
		out = append(out, last)
	}
	out = append(out, unnumberedInformation, f.Protocol)
	return append(out, f.Info...), nil
}

// Text writes the frame as monitors print it, with the information as it is:
// SOURCE>DESTINATION,PATH:information.
func (f Frame) Text() string {
	var b strings.Builder
	b.WriteString(f.Source.String())
	b.WriteByte('>')
	b.WriteString(f.Destination.String())
	for i, a := range f.Path {
		b.WriteByte(',')
		if a.Used && i+1 < len(f.Path) && f.Path[i+1].Used {
			a.Used = false // the mark stands at the last that repeated it
		}
		b.WriteString(a.String())
	}
	b.WriteByte(':')
	b.Write(f.Info)
	return b.String()
}
