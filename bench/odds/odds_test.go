// Package odds compares the landing ensemble with a plain C loop of the same
// steps, events and layout.
package odds

import (
	"context"
	"os"
	"slices"
	"strconv"
	"syscall"
	"testing"

	"pappus/air/forecast"
	"pappus/demo"
	"pappus/flight"
	"pappus/odds/ensemble"
	"pappus/record"
)

// cpu answers the processor time used by this process, s: on a busy machine
// it tells more than the clock on the wall.
func cpu(tb testing.TB) float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		tb.Fatal(err)
	}
	return float64(u.Utime.Sec+u.Stime.Sec) + float64(u.Utime.Usec+u.Stime.Usec)/1e6
}

func middle(values []float64) float64 {
	slices.Sort(values)
	return values[len(values)/2]
}

// BenchmarkTenThousandMembers flies 10,000 members through two steps of a
// GRIB2 forecast to the ground, all spreads on, file reading and regions
// included.
func BenchmarkTenThousandMembers(b *testing.B) {
	f, err := record.Parse(demo.Flight())
	if err != nil {
		b.Fatal(err)
	}
	skyName, data := demo.Forecast()
	sky := flight.Sky{Files: []forecast.File{{Name: skyName, Data: data}}, Workers: 2}
	var used []float64
	for b.Loop() {
		before := cpu(b)
		if _, err := flight.Where(context.Background(), f, sky, flight.OddsOptions{Members: 10000, Seed: 1, Workers: 2}); err != nil {
			b.Fatal(err)
		}
		used = append(used, cpu(b)-before)
	}
	b.ReportMetric(middle(used), "cpu-s/op")
}

// BenchmarkAgainstPlainLoop flies 10,000 members on one thread, ours and the C
// program's in turn, draws included, and answers the median of the ratios of
// their processor times.
func BenchmarkAgainstPlainLoop(b *testing.B) {
	p := build(b)
	const members = 10000
	q := demoRequest(b, members)
	result, err := ensemble.Run(b.Context(), q)
	if err != nil {
		b.Fatal(err)
	}
	var in written
	in.setting(&q, result.Law)
	in.doubles(0)
	if err := os.WriteFile(p.input, in.Bytes(), 0o600); err != nil {
		b.Fatal(err)
	}
	var ours, theirs, ratios []float64
	for b.Loop() {
		before := cpu(b)
		if _, err := ensemble.Run(b.Context(), q); err != nil {
			b.Fatal(err)
		}
		used := cpu(b) - before
		_, other := p.run(b, "free", strconv.Itoa(members))
		ours, theirs, ratios = append(ours, used), append(theirs, other), append(ratios, used/other)
	}
	b.ReportMetric(middle(ours)/members*1e6, "µs/member")
	b.ReportMetric(middle(theirs)/members*1e6, "C-µs/member")
	b.ReportMetric(middle(ratios), "ratio")
}
