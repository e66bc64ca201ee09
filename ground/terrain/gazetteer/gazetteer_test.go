package gazetteer

import (
	"encoding/binary"
	"math"
	"strings"
	"testing"

	"pappus/ground/terrain/nearby"
	"pappus/ground/terrain/packed"
	"pappus/measure/geo"
)

func TestTownsAreAllThere(t *testing.T) {
	towns, err := LoadTowns()
	if err != nil {
		t.Fatal(err)
	}
	people, named, high := 0, 0, 0
	for i := range towns.Len() {
		people += towns.Population(i)
		if towns.Name(i) != "" {
			named++
		}
		if h, ok := towns.Height(i); ok && h > 4000 {
			high++
		}
		if p := towns.Point(i); math.Abs(p.LatDeg) > 90 || p.LonDeg < -180 || p.LonDeg >= 180 {
			t.Fatalf("town %d is at %v", i, p)
		}
	}
	// GeoNames: 199,525 places that are not historical, with 3.7 thousand million people: the rest of us
	// live outside, or in a place whose row says 0.
	if towns.Len() != 199525 || named != towns.Len() || people < 3e9 || people > 5e9 || high < 50 {
		t.Errorf("%d towns, %d named, %d people, %d above 4000 m", towns.Len(), named, people, high)
	}
}

func TestAirfieldsAreAllThere(t *testing.T) {
	fields, err := LoadAirfields()
	if err != nil {
		t.Fatal(err)
	}
	var kinds [Kinds]int
	for i := range fields.Len() {
		kinds[fields.Kind(i)]++
		if id := fields.Ident(i); id == "" || strings.ContainsAny(id, " \t") {
			t.Fatalf("field %d has the identifier %q", i, id)
		}
		if length, heading, known := fields.Runway(i); known && (length < 1 || length > 8000 || heading < 0 || heading > 360) {
			t.Fatalf("%s: a runway of %g m on %g", fields.Ident(i), length, heading)
		}
	}
	// The counts of the database, closed fields (10,133) left out.
	if want := [Kinds]int{1279, 3802, 37682, 16007, 947, 49}; kinds != want {
		t.Errorf("%v, want %v", kinds, want)
	}
}

// The facts are those printed in the source's own rows.
func TestNearestField(t *testing.T) {
	fields, err := LoadAirfields()
	if err != nil {
		t.Fatal(err)
	}
	var near [1]nearby.Near
	for _, c := range []struct {
		p       geo.Point
		mask    uint8
		ident   string
		height  geo.AltMSL
		runway  float64
		heading float64
	}{
		{geo.Point{LatDeg: 40.60, LonDeg: -98.43}, AnyField, "KHSI", 598, 1966, 150},
		{geo.Point{LatDeg: 50.0, LonDeg: 8.6}, Large.Mask(), "EDDF", 111, 4000, 70},
		{geo.Point{LatDeg: 44.48, LonDeg: -88.13}, Large.Mask(), "KGRB", 212, 2652, 180},
	} {
		if n := fields.Index.Nearest(c.p, 50e3, c.mask, near[:]); n != 1 {
			t.Fatalf("%v: nothing found", c)
		}
		i := int(near[0].Number)
		height, _ := fields.Height(i)
		length, heading, _ := fields.Runway(i)
		if fields.Ident(i) != c.ident || height != c.height || length != c.runway || heading != c.heading {
			t.Errorf("%s %q: %v m, runway %v on %v; want %+v", fields.Ident(i), fields.Name(i), height, length, heading, c)
		}
	}
}

func TestDecodersRefuse(t *testing.T) {
	grid := nearby.NewGrid(36)
	good := binary.AppendUvarint(binary.AppendUvarint(binary.AppendUvarint(binary.AppendUvarint(nil, 1), 1), 5), 1)
	good = append(good, 0, 0x80, 0, 0x80)
	if points, err := decodePoints(good, grid); err != nil || len(points) != 1 {
		t.Fatalf("%v, %v", points, err)
	}
	for n := range good {
		if _, err := decodePoints(good[:n], grid); err == nil {
			t.Errorf("cut to %d bytes it was accepted", n)
		}
	}
	for name, section := range map[string][]byte{
		"more points than the bound": binary.AppendUvarint(nil, 1<<40),
		"a cell too far":             append(binary.AppendUvarint(binary.AppendUvarint(binary.AppendUvarint(binary.AppendUvarint(nil, 1), 1), 100000), 1), 0, 0, 0, 0),
		"fewer points than said":     append(binary.AppendUvarint(binary.AppendUvarint(binary.AppendUvarint(binary.AppendUvarint(nil, 2), 1), 5), 1), 0, 0, 0, 0, 0, 0, 0, 0),
	} {
		if _, err := decodePoints(section, grid); err == nil {
			t.Errorf("%s was accepted", name)
		}
	}
	if _, err := decodeColumn[int16](binary.AppendVarint(nil, 40000), 1, false); err == nil {
		t.Error("a number out of range was accepted")
	}
	if _, err := decodeColumn[int16](binary.AppendVarint(binary.AppendVarint(nil, 1), 1), 1, false); err == nil {
		t.Error("a row too many was accepted")
	}
	if _, err := decodeWords([]byte("one\ntwo"), 2); err == nil {
		t.Error("a name without an end was accepted")
	}
	if f, err := packed.Pack([]byte("x")); err != nil {
		t.Fatal(err)
	} else if _, err := decodeTowns(f); err == nil {
		t.Error("towns from one section were accepted")
	} else if _, err := decodeAirfields(f); err == nil {
		t.Error("airfields from one section were accepted")
	}
}

func BenchmarkFirstUse(b *testing.B) {
	b.Run("towns", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := decodeTowns(townsFile); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("airfields", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := decodeAirfields(airfieldsFile); err != nil {
				b.Fatal(err)
			}
		}
	})
}
