package ensemble

import (
	"math"
	"testing"
	"time"

	"pappus/air/atmosphere"
	"pappus/air/forecast"
	"pappus/measure/geo"
)

// Members that differ by a known wind must show up as that spread, and nothing
// may be surer than the assumed error.
func TestWindDoubt(t *testing.T) {
	at := geo.Point{LatDeg: 40, LonDeg: -99}
	sky := func(members int, apart float64) *forecast.Cube {
		s := forecast.Shape{South: 30, West: -110, LatStep: 10, LonStep: 10, Rows: 3, Cols: 3, Members: members,
			Times: []time.Time{time.Date(2027, 4, 17, 12, 0, 0, 0, time.UTC)}, Pressures: []float64{100000, 50000, 10000}}
		return forecast.Invent(s, func(_, _, p, _ float64, member int) forecast.Node {
			shift := apart * float64(member)
			return forecast.Node{Height: geo.Geopotential(atmosphere.PressureAltitude(p)), Temperature: 250, East: 10 + shift, North: shift}
		})
	}
	level := forecast.Level{Alt: 5000, Pressure: 50000}
	one := WindDoubt(sky(1, 0), at, level, 0, 24)
	if later := WindDoubt(sky(1, 0), at, level, 0, 48); one <= 0 || math.Abs(later/one-1.3) > 1e-9 {
		t.Errorf("one member: %v at 24 h, %v at 48 h; the anchors say 1.3 times as much", one, later)
	}
	// Two members d apart: the deviation of each component is d/√2, and 1 m/s is
	// what no grid carries. Winds are kept as float32.
	if got, want := WindDoubt(sky(2, 40), at, level, 0, 24), math.Sqrt(40*40/2.0+1); math.Abs(got-want) > 1e-3 {
		t.Errorf("two members 40 m/s apart: %v, want %v", got, want)
	}
	if got := WindDoubt(sky(2, 0.01), at, level, 0, 24); got < one {
		t.Errorf("members that agree: %v, less than the assumed %v", got, one)
	}
}
