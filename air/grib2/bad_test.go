package grib2

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// TestBadFiles reads every broken file of the shared data. Each must be refused,
// at the scan or at the decoding of one field, with a typed error, soon, and
// without much memory.
func TestBadFiles(t *testing.T) {
	folder := filepath.Join(dataFolder(t), "bad")
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	good := map[string]int{"33_good_then_truncated_second.grib2": 1, "40_first_300kB_of_gfs_partial_download.grib2": -1}
	for _, entry := range entries {
		t.Run(entry.Name(), func(t *testing.T) {
			data := readFile(t, folder, entry.Name())
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			decoded, complaints := 0, []error{}
			fields, faults := Scan(data)
			for _, fault := range faults {
				complaints = append(complaints, fault)
			}
			for i := range fields {
				if _, err := fields[i].Decode(nil); err != nil {
					complaints = append(complaints, err)
				} else {
					decoded++
				}
			}
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			if len(complaints) == 0 {
				t.Error("nothing was found wrong")
			}
			for _, err := range complaints {
				checkComplaint(t, err)
				t.Log(err)
			}
			if want := good[entry.Name()]; want >= 0 && decoded != want {
				t.Errorf("%d fields were decoded, not %d", decoded, want)
			}
			if took > 10*time.Second { // catches hanging: a million values take a few milliseconds
				t.Errorf("it took %v", took)
			}
			if used := after.TotalAlloc - before.TotalAlloc; used > 64<<20 {
				t.Errorf("it took %d octets of memory", used)
			}
		})
	}
}

// checkComplaint wants a typed error of one line that says something.
func checkComplaint(t *testing.T, err error) {
	t.Helper()
	var damage *DamageError
	var unsupported *UnsupportedError
	var stranger *StrangerError
	if !errors.As(err, &damage) && !errors.As(err, &unsupported) && !errors.As(err, &stranger) {
		t.Errorf("the error has no type: %v", err)
	}
	if text := err.Error(); len(text) < 20 || strings.ContainsAny(text, "\n") || !strings.Contains(text, ":") {
		t.Errorf("the error is not one line of advice: %q", text)
	}
}

// smallGood are small messages in each packing but PNG, three of them by another
// encoder, and one with a bitmap.
func smallGood(t testing.TB) map[string][]byte {
	all := map[string][]byte{}
	for name, packing := range map[string]Packing{"simple": {Decimal: 1}, "complex": {Template: 3, Order: 2, Decimal: 1}, "bitmap": {Template: 3, Order: 1}} {
		m := invented(8, 5)
		m.Packing = packing
		for i := range m.Values {
			m.Values[i] = 40 * math.Sin(float64(i)/5)
			if name == "bitmap" && i%3 == 0 {
				m.Values[i] = math.NaN()
			}
		}
		all[name] = encoded(t, m)
	}
	for _, name := range []string{"ccsds", "jpeg", "ieee"} {
		all[name] = readFile(t, "testdata/small-"+name+".grib2")
	}
	return all
}

// TestTruncated cuts good messages after every octet.
func TestTruncated(t *testing.T) {
	for name, data := range smallGood(t) {
		for n := range data {
			fields, faults := Scan(data[:n])
			if len(fields) > 0 || len(faults) != 1 {
				t.Fatalf("%s cut to %d octets: %d fields, faults %v", name, n, len(fields), faults)
			}
			checkComplaint(t, faults[0])
		}
	}
}

// TestSectionCut shortens section 7 by each number of octets and mends all
// lengths, so that only the decoder can tell. No value may come out then.
func TestSectionCut(t *testing.T) {
	for name, data := range smallGood(t) {
		f := onlyField(t, data)
		whole, err := f.Decode(nil)
		if err != nil {
			t.Fatal(err)
		}
		for cut := 1; cut <= len(f.values); cut++ {
			short := *f
			short.values = f.values[:len(f.values)-cut]
			if got, err := short.Decode(nil); err == nil {
				t.Fatalf("%s without its last %d octets gives %v instead of %v", name, cut, got, whole)
			} else {
				checkComplaint(t, err)
			}
		}
	}
}

// TestFlipped flips every bit of good messages. Whatever comes out, it
// must come soon and without a panic.
func TestFlipped(t *testing.T) {
	for _, data := range smallGood(t) {
		for bit := range 8 * len(data) {
			spoilt := append([]byte(nil), data...)
			spoilt[bit/8] ^= 0x80 >> (bit % 8)
			tryAll(t, spoilt)
		}
	}
}

// tryAll scans and decodes, and checks what must hold for any octets at all.
func tryAll(t testing.TB, data []byte) {
	fields, faults := Scan(data)
	if len(fields) == 0 && len(faults) == 0 {
		t.Fatal("neither a field nor a fault")
	}
	for i := range fields {
		f := &fields[i]
		_, _ = f.Parameter(), f.Level()
		values, err := f.Decode(nil)
		if err == nil && len(values) != f.Grid.Points {
			t.Fatalf("%d values for %d points", len(values), f.Grid.Points)
		}
		for _, index := range []int{0, f.Grid.Points - 1} {
			if lat, lon := f.Grid.At(index); lat < -90.001 || lat > 90.001 || lon < -180 || lon >= 180 {
				t.Fatalf("point %d lies at %v, %v", index, lat, lon)
			}
		}
	}
}
