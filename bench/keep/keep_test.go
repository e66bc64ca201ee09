// Package keep times what keeping a forecast cut to the area of a flight is
// worth: doc/decisions says what was decided by it.
package keep

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"pappus/air/forecast"
	"pappus/air/grib2"
	"pappus/measure/geo"
	"pappus/ports/weather"
)

// fine draws a real forecast of 2.5 degrees finer, to a global one of a quarter
// of a degree with two steps: derived, but packed and sized as real ones are.
func fine(t *testing.B) (steps [2]bytes.Buffer, reference time.Time) {
	data, err := os.ReadFile("../../air/forecast/testdata/gfs20111008.grib2")
	if err != nil {
		t.Fatal(err)
	}
	fields, _ := grib2.Scan(data)
	for i := range fields {
		f := &fields[i]
		v, err := f.Decode(nil)
		if err != nil {
			t.Fatal(err)
		}
		const ni, nj = 1440, 721
		values := make([]float64, ni*nj)
		for j := range nj {
			for k := range ni {
				y, x := float64(j)/10, float64(k)/10
				j0, k0 := min(int(y), f.Grid.Nj-2), int(x)
				fy, fx := y-float64(j0), x-float64(k0)
				k1 := (k0 + 1) % f.Grid.Ni
				g := f.Grid.Ni
				values[j*ni+k] = (v[j0*g+k0]*(1-fx)+v[j0*g+k1]*fx)*(1-fy) + (v[(j0+1)*g+k0]*(1-fx)+v[(j0+1)*g+k1]*fx)*fy +
					0.3*math.Sin(float64(j*k%97)) // what a finer model adds
			}
		}
		for s := range 2 {
			p := f.Product
			p.ForecastSeconds = int64(72+3*s) * 3600
			m := grib2.Message{Discipline: f.Discipline, Centre: f.Centre, SubCentre: f.SubCentre, Reference: f.Reference, DataType: f.DataType, Product: p,
				Grid:    grib2.Grid{Ni: ni, Nj: nj, La1: 90, Lo1: 0, La2: -90, Lo2: 359.75, Di: 0.25, Dj: 0.25},
				Packing: grib2.Packing{Template: 3, Order: 2, Decimal: 1}, Values: values}
			if err := grib2.Encode(&steps[s], m); err != nil {
				t.Fatal(err)
			}
		}
	}
	return steps, fields[0].Reference
}

// BenchmarkLoad reads and loads the whole files, and what an import keeps of them.
func BenchmarkLoad(b *testing.B) {
	steps, reference := fine(b)
	whole, kept := b.TempDir(), b.TempDir()
	for s := range steps {
		if err := os.WriteFile(filepath.Join(whole, fmt.Sprintf("s%d.grib2", s)), steps[s].Bytes(), 0o644); err != nil {
			b.Fatal(err)
		}
	}
	place := geo.Point{LatDeg: 47.5, LonDeg: 1}
	if _, err := weather.Import(weather.ImportJob{Paths: []string{whole}, Into: kept, Cut: true, Place: place, RadiusM: 1500e3}); err != nil {
		b.Fatal(err)
	}
	for name, folder := range map[string]string{"whole": whole, "kept": kept} {
		b.Run(name, func(b *testing.B) {
			size := 0
			for b.Loop() {
				paths, err := filepath.Glob(folder + "/*.grib2")
				if err != nil {
					b.Fatal(err)
				}
				var files []forecast.File
				size = 0
				for _, path := range paths {
					data, err := os.ReadFile(path)
					if err != nil {
						b.Fatal(err)
					}
					size += len(data)
					files = append(files, forecast.File{Name: path, Data: data})
				}
				if _, err := forecast.Load(files, forecast.Request{Place: place, Launch: reference.Add(73 * time.Hour), Workers: 2}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(size)/1e6, "MB-read")
		})
	}
}
