package packed

import (
	"bytes"
	"encoding/binary"
	"testing"
)

func TestThereAndBack(t *testing.T) {
	sections := [][]byte{[]byte("hills"), {}, bytes.Repeat([]byte{7}, 100000)}
	data, err := Pack(sections...)
	if err != nil {
		t.Fatal(err)
	}
	f, err := Open(data)
	if err != nil || f.Sections() != 3 {
		t.Fatalf("%v, %v", f, err)
	}
	for i, want := range sections {
		if got, err := f.Section(i); err != nil || !bytes.Equal(got, want) {
			t.Errorf("section %d: %d bytes, %v", i, len(got), err)
		}
	}
	if _, err := f.Section(3); err == nil {
		t.Error("a fourth section was found")
	}
	for n := range data[:len(data)-1] {
		if f, err := Open(data[:n]); err == nil {
			for i := range f.Sections() {
				f.Section(i) // must not panic
			}
			t.Errorf("cut to %d of %d bytes it was accepted", n, len(data))
		}
	}
}

func TestOpenBoundsWhatItBelieves(t *testing.T) {
	huge := binary.AppendUvarint([]byte(magic), 1)
	huge = binary.AppendUvarint(huge, 1<<40)
	huge = binary.AppendUvarint(huge, 3)
	many := binary.AppendUvarint([]byte(magic), 1<<50)
	for _, data := range [][]byte{huge, many, nil, []byte("PKD0")} {
		if _, err := Open(data); err == nil {
			t.Errorf("% x was accepted", data)
		}
	}
}

func TestReaderStopsAtTheFirstFault(t *testing.T) {
	r := NewReader(binary.AppendVarint(binary.AppendUvarint(nil, 300), -5))
	if a, b := r.Uvarint(), r.Varint(); a != 300 || b != -5 || r.Err() != nil || r.Left() != 0 {
		t.Errorf("%d, %d, %v", a, b, r.Err())
	}
	if v := r.Uvarint(); v != 0 || r.Err() == nil {
		t.Errorf("past the end: %d, %v", v, r.Err())
	}
	bounded := NewReader(binary.AppendUvarint(nil, 11))
	if n := bounded.Count(10); n != 0 || bounded.Err() == nil {
		t.Errorf("a count over its bound: %d, %v", n, bounded.Err())
	}
}

func TestPlanes(t *testing.T) {
	values := []uint16{0, 1, 255, 256, 65535}
	got := Unplane(Planes(values))
	for i := range values {
		if got[i] != values[i] {
			t.Errorf("%d became %d", values[i], got[i])
		}
	}
}
