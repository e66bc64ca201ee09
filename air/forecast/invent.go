package forecast

import (
	"math"
	"time"

	"pappus/measure/geo"
)

// Shape is the frame of an invented sky.
type Shape struct {
	South, West      float64 // degrees
	LatStep, LonStep float64
	Rows, Cols       int
	Times            []time.Time
	Pressures        []float64 // Pa, lowest level first
	Members          int
	Source           string
	Cycle            time.Time
	// Near, when given, is the air near the ground.
	Near func(latDeg, lonDeg, seconds float64, member int) Surface
}

// Node is what an invented sky holds at one grid point.
type Node struct {
	Height      geo.Geopotential
	Temperature float64
	East, North float64
}

// Invent builds a cube from a formula instead of a file: for checks with
// known answers, and for rehearsals.
func Invent(s Shape, sky func(latDeg, lonDeg, pressure, seconds float64, member int) Node) *Cube {
	r := raw{
		axes: axes{
			lat0: s.South, dLat: s.LatStep, lon0: s.West, dLon: s.LonStep, rows: s.Rows, cols: s.Cols,
			around: math.Abs(float64(s.Cols)*s.LonStep-360) < s.LonStep/1e3,
		},
		times: s.Times, members: max(s.Members, 1), pressures: s.Pressures,
		info: Info{Source: s.Source, Cycle: s.Cycle, Kind: Gridded},
	}
	r.near = s.near(r.members)
	for member := range r.members {
		for _, t := range s.Times {
			for row := range s.Rows {
				for col := range s.Cols {
					for _, p := range s.Pressures {
						n := sky(s.South+float64(row)*s.LatStep, s.West+float64(col)*s.LonStep, p, t.Sub(s.Times[0]).Seconds(), member)
						r.geopotential = append(r.geopotential, float32(n.Height))
						r.temperature = append(r.temperature, float32(n.Temperature))
						r.east = append(r.east, float32(n.East))
						r.north = append(r.north, float32(n.North))
					}
				}
			}
		}
	}
	return build(r)
}
