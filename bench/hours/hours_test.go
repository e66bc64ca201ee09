// Package hours times fourteen days of launch hours.
package hours

import (
	"bytes"
	"context"
	"syscall"
	"testing"
	"time"

	"pappus/air/forecast"
	"pappus/air/grib2"
	"pappus/demo"
	"pappus/flight"
	"pappus/record"
)

// The forecast of the benchmark: fourteen days and a flight, three-hourly, the
// demo's sky on half a degree, with what stands near the ground.
const (
	lastStep    = 14*24 + 12
	stepHours   = 3
	gridStep    = 0.5
	launchHours = 336
	members     = 500
)

type field struct {
	category, number, surface uint8
	level                     float64
	decimal                   int
	value                     func(demo.Node) float64
}

func fields() []field {
	list := []field{
		{2, 2, 103, 10, 1, func(n demo.Node) float64 { return n.East / 3 }},
		{2, 3, 103, 10, 1, func(n demo.Node) float64 { return n.North / 3 }},
		{2, 22, 1, 0, 1, func(n demo.Node) float64 { return 4 }},
		{6, 1, 10, 0, 0, func(n demo.Node) float64 { return 30 }},
	}
	for _, level := range demo.Levels {
		list = append(list,
			field{3, 5, 100, level * 100, 0, func(n demo.Node) float64 { return n.Height }},
			field{0, 0, 100, level * 100, 1, func(n demo.Node) float64 { return n.Temperature }},
			field{1, 1, 100, level * 100, 0, func(n demo.Node) float64 { return n.Humidity }},
			field{2, 2, 100, level * 100, 1, func(n demo.Node) float64 { return n.East }},
			field{2, 3, 100, level * 100, 1, func(n demo.Node) float64 { return n.North }})
	}
	return list
}

// nodes answers the demo's sky on the grid at a level, as it is at the hour of
// the day: working it out anew for every day would take minutes.
func nodes(known map[[2]float64][]demo.Node, rows, columns, hour int, level float64) []demo.Node {
	key := [2]float64{float64(hour % 24), level}
	if known[key] == nil {
		for row := range rows {
			for column := range columns {
				known[key] = append(known[key], demo.Sky(demo.North-float64(row)*gridStep, demo.West+float64(column)*gridStep, level, key[0]*3600))
			}
		}
	}
	return known[key]
}

// longForecast writes the file.
func longForecast(b *testing.B) forecast.File {
	var out bytes.Buffer
	const rows, columns = int((demo.North-demo.South)/gridStep) + 1, int((demo.East-demo.West)/gridStep) + 1
	known := map[[2]float64][]demo.Node{}
	for hour := 0; hour <= lastStep; hour += stepHours {
		for _, f := range fields() {
			level := f.level / 100
			if f.surface != 100 {
				level = demo.Levels[0]
			}
			values := make([]float64, 0, rows*columns)
			for _, n := range nodes(known, rows, columns, hour, level) {
				values = append(values, f.value(n))
			}
			err := grib2.Encode(&out, grib2.Message{
				Reference: demo.Cycle, DataType: 1, Values: values, Packing: grib2.Packing{Template: 3, Decimal: f.decimal, Order: 2},
				Product: grib2.Product{Category: f.category, Number: f.number, ForecastSeconds: int64(hour) * 3600, EndSeconds: int64(hour) * 3600,
					First: grib2.Surface{Type: f.surface, Value: f.level}, Second: grib2.Surface{Type: 255, Missing: true}, Member: -1},
				Grid: grib2.Grid{Ni: columns, Nj: rows, La1: demo.North, Lo1: demo.West + 360, La2: demo.South, Lo2: demo.East + 360,
					Di: gridStep, Dj: gridStep, Points: rows * columns, Earth: grib2.Earth{Shape: 6}},
			})
			if err != nil {
				b.Fatal(err)
			}
		}
	}
	return forecast.File{Name: "fourteen days", Data: out.Bytes()}
}

// BenchmarkFourteenDays flies 336 launch hours with 500 members each, from the
// file in memory to the verdicts. Wanted on two cores: 45 s, then 30 s.
func BenchmarkFourteenDays(b *testing.B) {
	name, text := demo.Flight()
	f, err := record.Parse(name, text)
	if err != nil {
		b.Fatal(err)
	}
	sky := flight.Sky{Files: []forecast.File{longForecast(b)}, Workers: 2}
	from := demo.Cycle.Add(time.Hour)
	o := flight.HoursOptions{From: from, To: from.Add((launchHours - 1) * time.Hour), Every: time.Hour, Members: members, Seed: 1, Workers: 2}
	for b.Loop() {
		began, before := time.Now(), processorTime(b)
		answer, err := flight.Hours(context.Background(), f, sky, o)
		if err != nil {
			b.Fatal(err)
		}
		answered := 0
		for i := range answer.Hours {
			if answer.Hours[i].Answered() {
				answered++
			}
		}
		if answered != launchHours {
			b.Fatalf("%d hours of %d are answered", answered, launchHours)
		}
		b.Logf("%d hours of %d members in %.1f s, %.1f s of processor time (file of %d MB)", answered, members, time.Since(began).Seconds(), processorTime(b)-before, len(sky.Files[0].Data)>>20)
	}
}

// processorTime answers the seconds that this process has used, which do not
// count what others do on the machine.
func processorTime(b *testing.B) float64 {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		b.Fatal(err)
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano()).Seconds()
}
