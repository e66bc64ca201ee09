package forecast

import (
	"bytes"
	"math"
	"testing"
	"time"

	"pappus/air/grib2"
	"pappus/measure/geo"
)

// written is an invented forecast to be put in a file. Values depend on place,
// level, step and member in a way that a test can work out.
type written struct {
	cycle      time.Time
	centre     uint16
	hours      []int
	levels     []float64 // Pa
	members    []int     // nil: one without number
	south      float64
	west       float64
	step       float64
	rows, cols int
	scan       uint8
	packing    uint16
	surface    bool
	humidity   bool
	// change alters or, with false, leaves out a field or a value.
	leave func(v variable, hour, member int, pressure float64) bool
	value func(v variable, lat, lon, pressure float64, hour, member int, usual float64) float64
}

func globe() written {
	return written{cycle: day, centre: 7, hours: []int{0, 3, 6}, levels: isobars, south: -90, west: 0, step: 10, rows: 19, cols: 36}
}

func patch() written {
	return written{cycle: day, centre: 7, hours: []int{0, 3, 6, 9, 12}, levels: isobars, south: 30, west: -110, step: 1, rows: 21, cols: 31}
}

// usual is what a written forecast holds unless a test says otherwise.
func usual(v variable, lat, lon, pressure float64, hour, member int) float64 {
	n := standardNode(pressure, 0, 0)
	switch v {
	case height:
		return float64(n.Height)
	case temperature:
		return n.Temperature
	case windEast:
		return 30*math.Cos(lon*math.Pi/180) + float64(hour) + 100*float64(max(member, 0))/50
	case windNorth:
		return lat/4 - math.Log10(pressure)
	case relative:
		return 50
	}
	return 1000 + lat // the ground
}

var numbers = map[variable][3]uint8{height: {0, 3, 5}, temperature: {0, 0, 0}, windEast: {0, 2, 2}, windNorth: {0, 2, 3}, relative: {0, 1, 1}, specific: {0, 1, 0}, ground: {0, 3, 5}}

func (w written) grid() grib2.Grid {
	north, east := w.south+float64(w.rows-1)*w.step, w.west+float64(w.cols-1)*w.step
	g := grib2.Grid{Ni: w.cols, Nj: w.rows, La1: north, La2: w.south, Lo1: turn(w.west), Lo2: turn(east), Di: w.step, Dj: w.step, ScanMode: w.scan}
	if w.scan&0x40 != 0 {
		g.La1, g.La2 = g.La2, g.La1
	}
	if w.scan&0x80 != 0 {
		g.Lo1, g.Lo2 = g.Lo2, g.Lo1
	}
	return g
}

// turn writes a longitude as files do, from 0 to 360.
func turn(lon float64) float64 { return math.Mod(lon+720, 360) }

func (w written) file(t testing.TB, name string) File {
	t.Helper()
	var out bytes.Buffer
	members := w.members
	if members == nil {
		members = []int{-1}
	}
	for _, hour := range w.hours {
		for _, member := range members {
			for _, p := range w.levels {
				variables := needed[:]
				if w.humidity {
					variables = append(variables[:len(variables):len(variables)], relative)
				}
				for _, v := range variables {
					w.put(t, &out, v, hour, member, p)
				}
			}
			if w.surface {
				w.put(t, &out, ground, hour, member, 0)
			}
		}
	}
	return File{name, out.Bytes()}
}

func (w written) put(t testing.TB, out *bytes.Buffer, v variable, hour, member int, p float64) {
	t.Helper()
	if w.leave != nil && w.leave(v, hour, member, p) {
		return
	}
	none := grib2.Surface{Type: 255, Missing: true}
	n := numbers[v]
	m := grib2.Message{Discipline: n[0], Centre: w.centre, Reference: w.cycle, Grid: w.grid(), Values: make([]float64, w.rows*w.cols),
		Product: grib2.Product{Category: n[1], Number: n[2], Process: 2, ForecastSeconds: int64(hour) * 3600, Member: -1, Second: none,
			First: grib2.Surface{Type: 100, Value: p}},
		Packing: grib2.Packing{Template: w.packing, Decimal: 3, Order: 2}}
	if w.packing != 3 {
		m.Packing.Order = 0
	}
	if v == ground {
		m.Product.First = grib2.Surface{Type: 1, Missing: true}
	}
	if member >= 0 {
		m.Product.Template, m.Product.Member, m.Product.EnsembleType, m.Product.MembersInEnsemble = 1, member, 3, 30
	}
	for j := range w.rows {
		for i := range w.cols {
			lat, lon := w.south+float64(w.rows-1-j)*w.step, geo.WrapLonDeg(w.west+float64(i)*w.step)
			value := usual(v, lat, lon, p, hour, member)
			if w.value != nil {
				value = w.value(v, lat, lon, p, hour, member, value)
			}
			m.Values[m.Grid.Index(i, j)] = value
		}
	}
	if err := grib2.Encode(out, m); err != nil {
		t.Fatalf("a test forecast cannot be written: %v", err)
	}
}
