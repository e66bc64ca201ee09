// Package packed reads and writes the project's own container for embedded tables: some deflated sections, each
// opened on its own, and the small integers inside them.
package packed

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"fmt"
	"io"
)

const (
	magic = "PKD1"

	// maxSection bounds what one section may grow to before anything is allocated for it.
	maxSection  = 64 << 20
	maxSections = 4096
)

// File is an opened container. It keeps the bytes it was opened from.
type File struct {
	sections []section
}

type section struct {
	raw  int
	body []byte
}

// Open reads the table of contents.
func Open(data []byte) (*File, error) {
	if len(data) < len(magic) || string(data[:len(magic)]) != magic {
		return nil, fmt.Errorf("packed table: it starts with % x, expected %q", data[:min(len(data), len(magic))], magic)
	}
	r := NewReader(data[len(magic):])
	n := r.Uvarint()
	if n > maxSections {
		return nil, fmt.Errorf("packed table: %d sections, expected at most %d", n, maxSections)
	}
	f := &File{sections: make([]section, n)}
	lengths := make([]int, n)
	for i := range f.sections {
		raw, packed := r.Uvarint(), r.Uvarint()
		if raw > maxSection || packed > maxSection {
			return nil, fmt.Errorf("packed table: section %d says it holds %d bytes, expected at most %d", i, max(raw, packed), maxSection)
		}
		f.sections[i].raw, lengths[i] = int(raw), int(packed)
	}
	for i, n := range lengths {
		f.sections[i].body = r.Bytes(n)
	}
	if r.Err() != nil {
		return nil, fmt.Errorf("packed table: %w", r.Err())
	}
	return f, nil
}

// Sections is the number of sections.
func (f *File) Sections() int { return len(f.sections) }

// Section inflates one section. An empty one stays empty.
func (f *File) Section(i int) ([]byte, error) {
	if i < 0 || i >= len(f.sections) {
		return nil, fmt.Errorf("packed table: there is no section %d of %d", i, len(f.sections))
	}
	s := f.sections[i]
	out := make([]byte, s.raw)
	if s.raw == 0 {
		return out, nil
	}
	if _, err := io.ReadFull(flate.NewReader(bytes.NewReader(s.body)), out); err != nil {
		return nil, fmt.Errorf("packed table: section %d breaks off: %w", i, err)
	}
	return out, nil
}

// Pack writes a container.
func Pack(sections ...[]byte) ([]byte, error) {
	head := binary.AppendUvarint([]byte(magic), uint64(len(sections)))
	var bodies []byte
	for _, s := range sections {
		var b bytes.Buffer
		if len(s) > 0 {
			w, err := flate.NewWriter(&b, flate.BestCompression)
			if err != nil {
				return nil, err
			}
			if _, err := w.Write(s); err != nil {
				return nil, err
			}
			if err := w.Close(); err != nil {
				return nil, err
			}
		}
		head = binary.AppendUvarint(head, uint64(len(s)))
		head = binary.AppendUvarint(head, uint64(b.Len()))
		bodies = append(bodies, b.Bytes()...)
	}
	return append(head, bodies...), nil
}

// Reader takes integers and bytes from a section. After the first fault it gives zeros, and Err tells.
type Reader struct {
	rest []byte
	err  error
}

// NewReader starts at the first byte.
func NewReader(data []byte) *Reader { return &Reader{rest: data} }

// Uvarint takes an unsigned integer.
func (r *Reader) Uvarint() uint64 {
	v, n := binary.Uvarint(r.rest)
	if n <= 0 {
		r.fail()
		return 0
	}
	r.rest = r.rest[n:]
	return v
}

// Varint takes a signed integer.
func (r *Reader) Varint() int64 {
	v, n := binary.Varint(r.rest)
	if n <= 0 {
		r.fail()
		return 0
	}
	r.rest = r.rest[n:]
	return v
}

// Count takes an unsigned integer that must not exceed a bound, so that it may be allocated for.
func (r *Reader) Count(bound int) int {
	v := r.Uvarint()
	if v > uint64(bound) {
		if r.err == nil {
			r.err = fmt.Errorf("a count of %d, expected at most %d", v, bound)
		}
		r.rest = nil
		return 0
	}
	return int(v)
}

// Bytes takes n bytes, without copying them.
func (r *Reader) Bytes(n int) []byte {
	if n < 0 || n > len(r.rest) {
		r.fail()
		return nil
	}
	b := r.rest[:n]
	r.rest = r.rest[n:]
	return b
}

// Err is the first fault, or nil.
func (r *Reader) Err() error { return r.err }

// Left is how many bytes were not taken.
func (r *Reader) Left() int { return len(r.rest) }

func (r *Reader) fail() {
	if r.err == nil {
		r.err = io.ErrUnexpectedEOF
	}
	r.rest = nil
}

// Planes lays the low bytes of 16-bit numbers before their high bytes, which packs better.
func Planes(values []uint16) []byte {
	out := make([]byte, 2*len(values))
	for i, v := range values {
		out[i], out[len(values)+i] = byte(v), byte(v>>8)
	}
	return out
}

// Unplane undoes Planes.
func Unplane(data []byte) []uint16 {
	n := len(data) / 2
	out := make([]uint16, n)
	for i := range out {
		out[i] = uint16(data[i]) | uint16(data[n+i])<<8
	}
	return out
}
