package grib2

import (
	"math"
	"os"
	"path/filepath"
	"testing"
)

// TestCropKeepsEveryValue cuts every field of real files and compares each
// double with the one that the whole field gives at that place.
func TestCropKeepsEveryValue(t *testing.T) {
	paths, err := filepath.Glob("testdata/small-*.grib2")
	if err != nil {
		t.Fatal(err)
	}
	paths = append(paths, "../forecast/testdata/gfs20111008.grib2")
	cut := 0
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		fields, faults := Scan(data)
		if len(faults) > 0 {
			t.Fatal(faults[0])
		}
		for i := range fields {
			f := &fields[i]
			if f.Packing.Template == 40 || f.Packing.Template == 4 {
				continue
			}
			for _, part := range []Part{{0, 0, 2, 2}, {f.Grid.Ni - 2, 1, 3, f.Grid.Nj - 1}, {0, 0, f.Grid.Ni, f.Grid.Nj}} {
				if part.Cols > f.Grid.Ni {
					continue
				}
				checkCrop(t, path, data, f, part)
				cut++
			}
		}
	}
	if cut < 300 {
		t.Errorf("only %d cuts were made", cut)
	}
}

func checkCrop(t *testing.T, path string, data []byte, f *Field, part Part) {
	t.Helper()
	out, err := Crop(data, f, part)
	if err != nil {
		t.Fatalf("%s, message %d: %v", path, f.Message, err)
	}
	small := onlyField(t, out)
	if small.Product != f.Product || !small.Reference.Equal(f.Reference) || small.Centre != f.Centre || small.SubCentre != f.SubCentre || small.Discipline != f.Discipline {
		t.Fatalf("%s, message %d: the headers changed: %+v, not %+v", path, f.Message, small.Product, f.Product)
	}
	whole, err := f.Decode(nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := small.Decode(nil)
	if err != nil {
		t.Fatal(err)
	}
	for row := range part.Rows {
		for col := range part.Cols {
			from := f.Grid.Index((part.Col+col)%f.Grid.Ni, part.Row+row)
			to := small.Grid.Index(col, row)
			if math.Float64bits(got[to]) != math.Float64bits(whole[from]) && !(math.IsNaN(got[to]) && math.IsNaN(whole[from])) {
				t.Fatalf("%s, message %d: %g at row %d, column %d, not %g", path, f.Message, got[to], row, col, whole[from])
			}
			lat, lon := f.Grid.At(from)
			gotLat, gotLon := small.Grid.At(to)
			// Corners are written in millionths of a degree.
			if math.Abs(lat-gotLat) > 1e-6 || math.Abs(math.Remainder(lon-gotLon, 360)) > 1e-6 {
				t.Fatalf("%s, message %d: row %d, column %d lies at %g %g, not %g %g", path, f.Message, row, col, gotLat, gotLon, lat, lon)
			}
		}
	}
}

// TestCropRefuses names what cannot be cut.
func TestCropRefuses(t *testing.T) {
	m := invented(24, 13)
	data := encoded(t, m)
	f := onlyField(t, data)
	for _, part := range []Part{{0, 0, 1, 5}, {24, 0, 2, 2}, {0, 12, 2, 2}, {0, 0, 25, 2}, {-1, 0, 2, 2}} {
		if _, err := Crop(data, f, part); err == nil {
			t.Errorf("%+v was cut out of a grid of 24 by 13", part)
		}
	}
	narrow := invented(24, 13)
	narrow.Grid.Lo2, narrow.Grid.Di = 46, 2
	open := encoded(t, narrow)
	if _, err := Crop(open, onlyField(t, open), Part{22, 0, 4, 2}); err == nil {
		t.Error("a part was cut across the end of a grid that does not close the circle")
	}
	if _, err := Crop(data[:10], f, Part{0, 0, 2, 2}); err == nil {
		t.Error("a field was cut out of octets that it does not come from")
	}
	path := "testdata/small-ieee.grib2"
	ieee, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Crop(ieee, onlyField(t, ieee), Part{0, 0, 2, 2}); err == nil {
		t.Error("floating-point values were cut as if they were integers")
	}
}
