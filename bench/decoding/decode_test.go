// Package decoding compares the decoding of GRIB2 fields with a loop in C over
// ecCodes' array call, on the same files in the same run.
//
//	go test -run - -bench . ./bench/decoding
//
// needs a C compiler and the Debian packages libeccodes-dev and libeccodes-tools.
package decoding

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"pappus/air/grib2"
)

// loop builds the C program.
func loop(b *testing.B) string {
	b.Helper()
	program := filepath.Join(b.TempDir(), "loop")
	if out, err := exec.Command("cc", "-O3", "-o", program, "../grib2c/loop.c", "-leccodes").CombinedOutput(); err != nil {
		b.Skipf("the C loop cannot be built (is libeccodes-dev here?): %v\n%s", err, out)
	}
	return program
}

// packed lets ecCodes pack a file in another way.
func packed(b *testing.B, source, how string) string {
	b.Helper()
	file := filepath.Join(b.TempDir(), "packed.grib2")
	if out, err := exec.Command("grib_set", "-r", "-s", how, source, file).CombinedOutput(); err != nil {
		b.Skipf("the file cannot be packed (is libeccodes-tools here?): %v\n%s", err, out)
	}
	return file
}

// BenchmarkDecode prints millions of values a second of both sides, and how many
// times as fast ours is. Both take their best round out of turns of half a
// second, so that other work on the machine weighs on neither.
func BenchmarkDecode(b *testing.B) {
	const forecast = "../../air/forecast/testdata/gfs20111008.grib2"
	program := loop(b)
	shared := os.Getenv("PAPPUS_DATA")
	if shared == "" {
		shared = "../../../shared/data"
	}
	shared = filepath.Join(shared, "grib2")
	for _, c := range []struct {
		name, file, how string
		fromShared      bool
	}{
		{"5.3 order 1, 2.5 degrees", forecast, "", false},
		{"5.3 order 2, 2.5 degrees", forecast, "packingType=grid_complex_spatial_differencing,orderOfSpatialDifferencing=2", false},
		{"5.3 order 2, 1 degree", "template5_3.grib2", "", true},
		{"5.3 order 2, quarter degree", "gfs.png.grib2", "packingType=grid_complex_spatial_differencing,orderOfSpatialDifferencing=2", true},
		{"5.0, 2.5 degrees", forecast, "packingType=grid_simple", false},
		{"5.0, 1 degree", "template5_0.grib2", "", true},
		{"5.42, 2.5 degrees", forecast, "packingType=grid_ccsds", false},
		{"5.42, 0.4 degree", "ecmwf_20240101_0-10.grib2", "", true},
		{"5.40, quarter degree", "gfs.jpeg.grib2", "", true},
		{"5.41, quarter degree", "gfs.png.grib2", "", true},
	} {
		b.Run(c.name, func(b *testing.B) {
			file := c.file
			if c.fromShared {
				file = filepath.Join(shared, c.file)
				if _, err := os.Stat(file); err != nil {
					b.Skipf("the shared data are not here (set PAPPUS_DATA): %v", err)
				}
			}
			if c.how != "" {
				file = packed(b, file, c.how)
			}
			compare(b, program, file)
		})
	}
}

func compare(b *testing.B, program, file string) {
	data, err := os.ReadFile(file)
	if err != nil {
		b.Fatal(err)
	}
	const turn = 500 * time.Millisecond
	ours, theirs := 0.0, 0.0
	for b.Loop() {
		for range 3 {
			ours = max(ours, decode(b, data, turn))
			theirs = max(theirs, decodeC(b, program, file, turn))
		}
	}
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(ours, "ours-Mvalues/s")
	b.ReportMetric(theirs, "ecCodes-Mvalues/s")
	b.ReportMetric(ours/theirs, "times-as-fast")
}

// decode decodes all fields again and again and gives the best round.
func decode(b *testing.B, data []byte, limit time.Duration) float64 {
	fields, faults := grib2.Scan(data)
	if len(faults) > 0 {
		b.Fatal(faults)
	}
	var values []float64
	best := time.Hour
	for begin := time.Now(); time.Since(begin) < limit; {
		start, count := time.Now(), 0
		for i := range fields {
			var err error
			if values, err = fields[i].Decode(values); err != nil {
				b.Fatal(err)
			}
			count += len(values)
		}
		if count != total(fields) {
			b.Fatalf("%d values, not %d", count, total(fields))
		}
		best = min(best, time.Since(start))
	}
	return float64(total(fields)) / best.Seconds() / 1e6
}

func total(fields []grib2.Field) (n int) {
	for i := range fields {
		n += fields[i].Grid.Points
	}
	return n
}

func decodeC(b *testing.B, program, file string, limit time.Duration) float64 {
	out, err := exec.Command(program, file, strconv.FormatFloat(limit.Seconds(), 'f', 3, 64)).Output()
	if err != nil {
		b.Fatal(err)
	}
	rate, err := strconv.ParseFloat(strings.Fields(string(out))[0], 64)
	if err != nil {
		b.Fatal(err)
	}
	return rate
}
