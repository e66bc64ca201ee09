package grib2

import (
	"math"
	"path/filepath"
	"testing"
	"time"
)

// BenchmarkDecode decodes whole files in memory, one field after another into
// the same slice, and prints millions of values a second.
func BenchmarkDecode(b *testing.B) {
	b.Run("5.3 order 1, 2.5 degree forecast", func(b *testing.B) {
		decodeAll(b, readFile(b, "../forecast/testdata/gfs20111008.grib2"))
	})
	for name, packing := range map[string]Packing{
		"5.0, quarter degree": {Template: 0, Decimal: 2}, "5.3 order 1, quarter degree": {Template: 3, Order: 1, Decimal: 2}, "5.3 order 2, quarter degree": {Template: 3, Order: 2, Decimal: 2},
	} {
		b.Run(name, func(b *testing.B) {
			m := invented(1440, 721)
			m.Packing = packing
			for i := range m.Values {
				lat, lon := math.Pi*(float64(i/1440)/720-0.5), 2*math.Pi*float64(i%1440)/1440
				m.Values[i] = 25 + 40*math.Sin(2*lat)*math.Cos(4*lon) + 3*math.Sin(20*lat+11*lon) + 0.3*math.Sin(float64(i))
			}
			decodeAll(b, encoded(b, m))
		})
	}
	for name, file := range map[string]string{"5.42, 0.4 degree": "ecmwf_20240101_0-10.grib2", "5.3 order 2, 1 degree": "template5_3.grib2", "5.0, 1 degree": "template5_0.grib2", "5.40, quarter degree": "gfs.jpeg.grib2", "5.41, quarter degree": "gfs.png.grib2", "5.2 with missing values": "gfswave-11.t00z.global.0p25.f000.grib2"} {
		b.Run(name, func(b *testing.B) { decodeAll(b, readFile(b, filepath.Join(dataFolder(b), "grib2", file))) })
	}
}

func decodeAll(b *testing.B, data []byte) {
	fields, faults := Scan(data)
	if len(faults) > 0 {
		b.Fatal(faults)
	}
	count, best := 0, time.Hour
	var values []float64
	b.ReportAllocs()
	b.ResetTimer()
	for b.Loop() {
		start := time.Now()
		count = 0
		for i := range fields {
			var err error
			if values, err = fields[i].Decode(values); err != nil {
				b.Fatal(err)
			}
			count += len(values)
		}
		best = min(best, time.Since(start))
	}
	// The best round says what the code can do on a machine that does other
	// work at the same time; ns/op has the mean.
	b.ReportMetric(float64(count)/best.Seconds()/1e6, "best-Mvalues/s")
}

// TestReuse decodes all fields twice into one slice: the slice must stay where
// it is, and what is allocated besides must not grow with the field.
func TestReuse(t *testing.T) {
	fields, _ := Scan(readFile(t, "../forecast/testdata/gfs20111008.grib2"))
	values := make([]float64, 0, fields[0].Grid.Points)
	home := &values[:1][0]
	allocations := testing.AllocsPerRun(3, func() {
		for i := range fields {
			got, err := fields[i].Decode(values)
			if err != nil || &got[0] != home {
				t.Fatalf("field %d: %v, in another slice: %v", i, err, &got[0] != home)
			}
		}
	})
	// Work space, the function that fills, and what it holds; the runtime's own
	// allocations in the meantime are counted too.
	if each := allocations / float64(len(fields)); each >= 4 {
		t.Errorf("%v allocations a field", each)
	}
}
