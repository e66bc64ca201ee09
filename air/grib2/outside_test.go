package grib2

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// These tests compare with ecCodes itself, bit by bit. They run where the
// variable PAPPUS_GRIB_DOC names the examples folder of the Debian package
// python-grib-doc, and need libeccodes-tools and python3-eccodes:
//
//	apt-get download python-grib-doc && dpkg -x python-grib-doc_*.deb DIR
//	PAPPUS_GRIB_DOC=DIR/usr/share/doc/python-grib-doc/examples go test ./air/grib2

func examples(t *testing.T) string {
	t.Helper()
	folder := os.Getenv("PAPPUS_GRIB_DOC")
	if folder == "" {
		t.Skip("PAPPUS_GRIB_DOC is not set")
	}
	return folder
}

// reference is what ecCodes says of one field.
type reference struct {
	places [4]float64
	values []float64
	failed bool
}

// readReference lets ecCodes decode files. The Python that has the bindings is
// the one of the system, which need not be the first on the path.
func readReference(t *testing.T, files ...string) []reference {
	t.Helper()
	script, err := filepath.Abs("../../tools/outside/eccodes_values.py")
	if err != nil {
		t.Fatal(err)
	}
	python := "/usr/bin/python3"
	if exec.Command(python, "-c", "import eccodes").Run() != nil {
		python = "python3"
	}
	command := exec.Command(python, append([]string{script}, files...)...)
	var complaints bytes.Buffer
	command.Stderr = &complaints
	out, err := command.Output()
	if err != nil {
		t.Fatalf("ecCodes: %v\n%s", err, complaints.String())
	}
	var all []reference
	for len(out) > 0 {
		count := binary.LittleEndian.Uint64(out)
		r := reference{failed: count == math.MaxUint64}
		if r.failed {
			count = 0
		}
		out = out[8:]
		number := func() float64 {
			v := math.Float64frombits(binary.LittleEndian.Uint64(out))
			out = out[8:]
			return v
		}
		for i := range r.places {
			r.places[i] = number()
		}
		r.values = make([]float64, count)
		for i := range r.values {
			r.values[i] = number()
		}
		all = append(all, r)
	}
	return all
}

// compareWithReference wants the same bits in every value of every field.
func compareWithReference(t *testing.T, file string) {
	t.Helper()
	want := readReference(t, file)
	fields, faults := Scan(readFile(t, file))
	for _, fault := range faults {
		t.Error(fault)
	}
	if len(fields) != len(want) {
		t.Fatalf("%d fields, not %d", len(fields), len(want))
	}
	count, refused := 0, 0
	var values []float64
	for n := range fields {
		f := &fields[n]
		got, err := f.Decode(values)
		var unsupported *UnsupportedError
		if errors.As(err, &unsupported) {
			refused++
			continue
		}
		if err != nil {
			t.Errorf("field %d: %v", n+1, err)
			continue
		}
		values = got
		if want[n].failed || len(got) != len(want[n].values) {
			t.Errorf("field %d: %d values, not %d (failed there: %v)", n+1, len(got), len(want[n].values), want[n].failed)
			continue
		}
		if p := f.Packing; p.Template == 3 && p.Groups == 0 {
			// ecCodes takes the octets after the section for values here.
			for i := range want[n].values {
				want[n].values[i] = p.Reference
			}
		}
		for i, v := range want[n].values {
			if got[i] != v && !(math.IsNaN(v) && math.IsNaN(got[i])) {
				t.Errorf("field %d (packing 5.%d): value %d is %v, not %v", n+1, f.Packing.Template, i, got[i], v)
				break
			}
		}
		count += len(got)
		comparePlaces(t, n, f.Grid, want[n].places)
	}
	t.Logf("%d fields, %d values equal; %d fields refused", len(fields)-refused, count, refused)
	if refused == len(fields) {
		t.Skip("every field is of a kind that is not read")
	}
}

// comparePlaces checks the first and the last point. Angles are coded in
// millionths of a degree; projected grids are worked out by different formulas
// from steps in millimetres, which agree to a few millionths.
func comparePlaces(t *testing.T, n int, g Grid, places [4]float64) {
	t.Helper()
	if g.Regular() != nil || math.IsNaN(places[0]) || g.ScanMode&scanBackForth != 0 {
		return // the coordinates that ecCodes lists do not run back and forth
	}
	for k, index := range []int{0, g.Points - 1} {
		lat, lon := g.At(index)
		turn := math.Abs(wrap(lon - places[2*k+1]))
		if !(math.Abs(lat-places[2*k]) < 5e-6 && turn < 5e-6) {
			t.Errorf("field %d (grid 3.%d): point %d is at %v, %v, not %v, %v", n+1, g.Template, index, lat, lon, places[2*k], places[2*k+1])
		}
	}
}

// TestOutsideGribDoc compares all GRIB2 files of the package.
func TestOutsideGribDoc(t *testing.T) {
	folder := examples(t)
	names, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, entry := range names {
		file := filepath.Join(folder, entry.Name())
		if entry.IsDir() {
			continue
		}
		if data := readFile(t, file); len(data) < 8 || !bytes.Contains(data[:min(len(data), 200)], []byte("GRIB")) || edition(data) != 2 {
			continue
		}
		t.Run(entry.Name(), func(t *testing.T) { compareWithReference(t, file) })
	}
}

func edition(data []byte) byte {
	if at := bytes.Index(data, []byte("GRIB")); at >= 0 && at+8 <= len(data) {
		return data[at+7]
	}
	return 0
}

// TestOutsideShared compares the shared files in the same way.
func TestOutsideShared(t *testing.T) {
	examples(t)
	files, err := filepath.Glob(filepath.Join(dataFolder(t), "grib2", "*.gr*b2"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no files: %v", err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) { compareWithReference(t, file) })
	}
}

// TestOutsideRepacked lets ecCodes pack a real forecast in every way it can.
func TestOutsideRepacked(t *testing.T) {
	examples(t)
	source := "../forecast/testdata/gfs20111008.grib2"
	for _, how := range []string{
		"packingType=grid_simple", "packingType=grid_ieee", "packingType=grid_png", "packingType=grid_complex",
		"packingType=grid_complex_spatial_differencing,orderOfSpatialDifferencing=2",
		"packingType=grid_ccsds", "packingType=grid_ccsds,bitsPerValue=8", "packingType=grid_ccsds,bitsPerValue=24",
		"packingType=grid_ccsds,bitsPerValue=3", "packingType=grid_ccsds,ccsdsBlockSize=8,ccsdsRsi=16",
		"packingType=grid_ccsds,ccsdsBlockSize=64,ccsdsRsi=4000", "packingType=grid_ccsds,ccsdsFlags=6",
		"packingType=grid_png,bitsPerValue=8", "packingType=grid_png,bitsPerValue=4", "packingType=grid_png,bitsPerValue=1", "packingType=grid_png,bitsPerValue=24",
		"packingType=grid_simple,bitsPerValue=24", "packingType=grid_simple,bitsPerValue=1",
		"packingType=grid_jpeg",
	} {
		t.Run(how, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "repacked.grib2")
			if out, err := exec.Command("grib_set", "-r", "-s", how, source, file).CombinedOutput(); err != nil {
				t.Fatalf("grib_set: %v\n%s", err, out)
			}
			compareWithReference(t, file)
		})
	}
}

// TestOutsideEncoded lets ecCodes read what Encode writes.
func TestOutsideEncoded(t *testing.T) {
	examples(t)
	fields, _ := Scan(readFile(t, "../forecast/testdata/gfs20111008.grib2"))
	for _, packing := range []Packing{{Template: 0}, {Template: 3, Order: 1}, {Template: 3, Order: 2}} {
		t.Run(fmt.Sprintf("5.%d order %d", packing.Template, packing.Order), func(t *testing.T) {
			var out bytes.Buffer
			for n := range fields {
				f := &fields[n]
				values, err := f.Decode(nil)
				if err != nil {
					t.Fatal(err)
				}
				m := Message{Centre: f.Centre, Reference: f.Reference, Product: f.Product, Grid: f.Grid, Packing: packing, Values: values}
				m.Packing.Decimal = f.Packing.Decimal
				for i := range values {
					switch {
					case n%5 == 1 && i%7 < 3:
						values[i] = math.NaN()
					case n%5 == 2:
						values[i] = 273.15
					}
				}
				if err := Encode(&out, m); err != nil {
					t.Fatal(err)
				}
			}
			file := filepath.Join(t.TempDir(), strings.ReplaceAll(t.Name(), "/", "_")+".grib2")
			if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, out.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			compareWithReference(t, file)
		})
	}
}
