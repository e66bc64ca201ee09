package grib2

import (
	"slices"
	"sync"
	"testing"
)

// TestConcurrent decodes the fields of a file at the same time, which must give
// the same as one after another; under the race detector it shows more.
func TestConcurrent(t *testing.T) {
	fields, _ := Scan(readFile(t, "../forecast/testdata/gfs20111008.grib2"))
	together := make([][]float64, len(fields))
	var wait sync.WaitGroup
	for i := range fields {
		wait.Go(func() { together[i], _ = fields[i].Decode(nil) })
	}
	wait.Wait()
	for i := range fields {
		alone, err := fields[i].Decode(nil)
		if err != nil || !slices.Equal(alone, together[i]) {
			t.Fatalf("field %d differs (%v)", i, err)
		}
	}
}
