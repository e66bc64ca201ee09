// Package aprs reads position reports of amateur packet radio [APRS101]: uncompressed,
// compressed, Mic-E, objects, items and those that a third party hands on. A text is
// bytes here: some of the formats use letters that no screen shows.
package aprs

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"pappus/signal/ax25"
	"pappus/signal/fix"
	"pappus/signal/nmea"
)

// Packet is a packet as far as reports need it.
type Packet struct {
	Source      string
	Destination string
	Path        []string
	Info        string
	Raw         string // the line or frame as text
}

// FromFrame takes a packet out of a radio frame.
func FromFrame(f ax25.Frame) Packet {
	p := Packet{Source: f.Source.String(), Destination: f.Destination.String(), Info: string(f.Info), Raw: f.Text()}
	for _, a := range f.Path {
		p.Path = append(p.Path, a.String())
	}
	return p
}

// Sizes: a line of a text feed has at most 512 bytes; a packet has at most a destination,
// eight relays and two marks of the feed in its path (common practice, no source).
const (
	longestLine = 1024
	mostRelays  = 16
	longestName = 9
)

// ErrNoPosition is why a sound packet is refused that tells no place: messages,
// telemetry, remarks of the feed.
var ErrNoPosition = errors.New("the packet tells no place")

// ParseText reads a packet as monitors and text feeds write it:
// SOURCE>DESTINATION,PATH:information.
func ParseText(line string) (Packet, error) {
	line = strings.TrimRight(line, "\r\n")
	if len(line) > longestLine {
		return Packet{}, fmt.Errorf("packet of %d bytes, at most %d are read", len(line), longestLine)
	}
	if strings.HasPrefix(line, "#") {
		return Packet{}, fmt.Errorf("a remark of the feed: %w", ErrNoPosition)
	}
	head, info, ok := strings.Cut(line, ":")
	source, way, ok2 := strings.Cut(head, ">")
	if !ok || !ok2 {
		return Packet{}, fmt.Errorf("packet %.40q: expected SOURCE>DESTINATION,PATH:information", line)
	}
	path := strings.Split(way, ",")
	if len(path) > mostRelays {
		return Packet{}, fmt.Errorf("packet with %d relays, at most %d are read", len(path)-1, mostRelays)
	}
	for _, name := range append([]string{source}, path...) {
		if !soundName(strings.TrimSuffix(name, "*")) {
			return Packet{}, fmt.Errorf("packet %.40q: %q is no station, expected one to nine letters, digits and dashes", line, name)
		}
	}
	return Packet{Source: source, Destination: path[0], Path: path[1:], Info: info, Raw: line}, nil
}

func soundName(name string) bool {
	for i := range len(name) {
		c := name[i]
		if !(c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-') {
			return false
		}
	}
	return len(name) >= 1 && len(name) <= longestName
}

// Position is a position report with what only this format tells.
type Position struct {
	fix.Report
	Sender     string // who sent it; Station is the object where it speaks of one
	Symbol     string // table and code
	Object     bool
	Killed     bool // an object that was taken away
	Messaging  bool // the sender takes messages
	Compressed bool
	Ambiguity  int // digits left blank, 0 to 4
	Status     string
	Range      fix.Figure // of the radio, m
}

// Decoder reads the packets of one source.
type Decoder struct {
	Source string
	// Near says which day is meant where the arrival is not noted.
	Near time.Time
	// Zone is that of stamps in the sender's own time; nil: such stamps are not used.
	Zone *time.Location
}

// Line reads a line of text.
func (d Decoder) Line(line string, received time.Time) (Position, error) {
	p, err := ParseText(line)
	if err != nil {
		return Position{}, err
	}
	return d.Packet(p, received)
}

// Packet reads a packet.
func (d Decoder) Packet(p Packet, received time.Time) (Position, error) {
	const deepest = 4 // third parties within third parties
	for range deepest {
		if !strings.HasPrefix(p.Info, "}") {
			return d.own(p, received)
		}
		inner, err := ParseText(p.Info[1:])
		if err != nil {
			return Position{}, fmt.Errorf("handed on by %s: %w", p.Source, err)
		}
		inner.Raw = p.Raw
		p = inner
	}
	return Position{}, fmt.Errorf("the packet was handed on by more than %d third parties", deepest)
}

func (d Decoder) own(p Packet, received time.Time) (Position, error) {
	pos := Position{Sender: strings.TrimSuffix(p.Source, "*")}
	pos.Report = fix.Report{Source: d.Source, Station: pos.Sender, Raw: p.Raw, Received: received}
	pos.Expected = fix.Expected{Across: fix.AcrossUsual, Up: fix.UpUsual, Time: fix.ArrivalDelay}
	near := fix.Before(received)
	if near.IsZero() {
		near = d.Near
	}
	r := reader{pos: &pos, near: near, zone: d.Zone}
	if err := r.read(p); err != nil {
		return Position{}, fmt.Errorf("%s: %w", pos.Sender, err)
	}
	return pos, nil
}

// reader fills a position from the information of a packet.
type reader struct {
	pos  *Position
	near time.Time
	zone *time.Location
}

func (r reader) read(p Packet) error {
	info := p.Info
	if info == "" {
		return ErrNoPosition
	}
	switch info[0] {
	case '!', '=':
		r.pos.Messaging = info[0] == '='
		return r.place(info[1:])
	case '/', '@':
		r.pos.Messaging = info[0] == '@'
		return r.stamped(info[1:])
	case ';':
		return r.object(info[1:])
	case ')':
		return r.item(info[1:])
	case '`', '\'', 0x1C, 0x1D:
		return r.micE(p.Destination, info)
	case '$':
		return r.sentence(info)
	}
	// Some relays put words before the position; it may begin as far as the 40th byte.
	if at := strings.IndexByte(info[:min(len(info), 40)], '!'); at > 0 && strings.IndexByte(":>T_<?", info[0]) < 0 {
		return r.place(info[at+1:])
	}
	return ErrNoPosition
}

func (r reader) stamped(text string) error {
	if len(text) < stampLength {
		return fmt.Errorf("cut off in its time stamp after %d bytes", len(text))
	}
	r.stamp(text[:stampLength])
	return r.place(text[stampLength:])
}

// object reads a name of nine letters, whether it lives, a stamp and a place.
func (r reader) object(text string) error {
	if len(text) < longestName+1+stampLength {
		return fmt.Errorf("object cut off after %d bytes", len(text))
	}
	if err := r.named(text[:longestName], text[longestName], '*'); err != nil {
		return err
	}
	return r.stamped(text[longestName+1:])
}

// item reads a name of three to nine letters that ends in ! or _, and a place.
func (r reader) item(text string) error {
	at := strings.IndexAny(text, "!_")
	if at < 3 || at > longestName {
		return errors.New("item: expected a name of three to nine letters, then ! or _")
	}
	if err := r.named(text[:at], text[at], '!'); err != nil {
		return err
	}
	return r.place(text[at+1:])
}

func (r reader) named(name string, life, alive byte) error {
	name = strings.TrimRight(name, " ")
	for i := range len(name) {
		if name[i] < ' ' || name[i] > '~' {
			return fmt.Errorf("byte %#02x in the name of an object", name[i])
		}
	}
	if life != alive && life != '_' {
		return fmt.Errorf("object %q: after the name comes %q or '_', not %q", name, alive, life)
	}
	r.pos.Object, r.pos.Station, r.pos.Killed = true, name, life == '_'
	if r.pos.Killed {
		r.pos.Assumed = append(r.pos.Assumed, "the sender has taken this object away: the place is its last")
	}
	return nil
}

// sentence reads a sentence of the receiver sent on as it was.
func (r reader) sentence(info string) error {
	reports, faults := nmea.Read(info, r.pos.Source, r.near)
	if len(faults) > 0 {
		return faults[0].Err
	}
	if len(reports) == 0 || !reports[0].HasPlace {
		return ErrNoPosition
	}
	s := reports[0]
	s.Source, s.Station, s.Raw, s.Received = r.pos.Source, r.pos.Station, r.pos.Raw, r.pos.Received
	r.pos.Report = s
	return nil
}
