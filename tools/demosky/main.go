// Command demosky writes the demo's forecast: the invented sky's grid points
// as GRIB2. Run it from the root: go run ./tools/demosky
package main

import (
	"bytes"
	"log"
	"os"

	"pappus/air/grib2"
	"pappus/demo"
)

// field is one variable of the file with its code and how finely it is kept.
type field struct {
	category, number uint8
	decimal          int
	value            func(demo.Node) float64
}

// Parameters of discipline 0 (WMO code table 4.2).
var fields = []field{
	{3, 5, 0, func(n demo.Node) float64 { return n.Height }},
	{0, 0, 1, func(n demo.Node) float64 { return n.Temperature }},
	{1, 1, 0, func(n demo.Node) float64 { return n.Humidity }},
	{2, 2, 1, func(n demo.Node) float64 { return n.East }},
	{2, 3, 1, func(n demo.Node) float64 { return n.North }},
}

func main() {
	var out bytes.Buffer
	if err := Write(&out); err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile("demo/sky.grib2", out.Bytes(), 0o644); err != nil {
		log.Fatal(err)
	}
	log.Printf("demo/sky.grib2: %d octets", out.Len())
}

// Write writes the whole file.
func Write(out *bytes.Buffer) error {
	for hour := demo.FirstStep; hour <= demo.LastStep; hour += demo.StepHours {
		seconds := float64(hour) * 3600
		for _, level := range demo.Levels {
			nodes := points(func(lat, lon float64) demo.Node { return demo.Sky(lat, lon, level, seconds) })
			for _, f := range fields {
				values := make([]float64, len(nodes))
				for i, n := range nodes {
					values[i] = f.value(n)
				}
				if err := grib2.Encode(out, message(f.category, f.number, f.decimal, hour, 100, level*100, values)); err != nil {
					return err
				}
			}
		}
	}
	heights := points(demo.GroundHeight)
	return grib2.Encode(out, message(3, 5, 0, demo.FirstStep, 1, 0, heights))
}

const (
	columns = int((demo.East-demo.West)/demo.GridStep) + 1
	rows    = int((demo.North-demo.South)/demo.GridStep) + 1
)

// points answers a value for each grid point, from the north-west.
func points[T any](at func(latDeg, lonDeg float64) T) []T {
	var all []T
	for row := range rows {
		for col := range columns {
			all = append(all, at(demo.North-float64(row)*demo.GridStep, demo.West+float64(col)*demo.GridStep))
		}
	}
	return all
}

func message(category, number uint8, decimal, hour int, surface uint8, level float64, values []float64) grib2.Message {
	return grib2.Message{
		Reference: demo.Cycle,
		DataType:  1, // forecast
		Product: grib2.Product{
			Category: category, Number: number, ForecastSeconds: int64(hour) * 3600, EndSeconds: int64(hour) * 3600,
			First: grib2.Surface{Type: surface, Value: level}, Second: grib2.Surface{Type: 255, Missing: true},
			Member: -1,
		},
		Grid: grib2.Grid{
			Ni: columns, Nj: rows, La1: demo.North, Lo1: demo.West + 360, La2: demo.South, Lo2: demo.East + 360,
			Di: demo.GridStep, Dj: demo.GridStep, Points: rows * columns, Earth: grib2.Earth{Shape: 6},
		},
		Packing: grib2.Packing{Template: 3, Decimal: decimal, Order: 2},
		Values:  values,
	}
}
