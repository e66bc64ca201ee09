package export

import (
	"math"
	"time"
)

// cutLine cuts a line where it crosses the antimeridian, as [RFC7946, section
// 3.1.9] asks. Both sides get the crossing as a point, at 180 and -180 degrees,
// with its height and instant. Every piece has two points or more.
func cutLine(line []position) [][]position {
	var pieces [][]position
	var piece []position
	end := func(next ...position) {
		if len(piece) > 1 {
			pieces = append(pieces, piece)
		}
		piece = next
	}
	for _, b := range line {
		if len(piece) == 0 {
			piece = append(piece, b)
			continue
		}
		last := len(piece) - 1
		a := piece[last]
		switch {
		case math.Abs(b.lon-a.lon) <= 180:
			piece = append(piece, b)
		case math.Abs(b.lon) == 180: // b is on it: write b from this side
			b.lon = math.Copysign(180, a.lon)
			piece = append(piece, b)
		case math.Abs(a.lon) == 180: // a is on it: go on from the other side
			a.lon = math.Copysign(180, b.lon)
			end(a, b)
		default:
			near, far := crossing(a, b)
			piece = append(piece, near)
			end(far, b)
		}
	}
	end()
	return pieces
}

// crossing is where the way from a to b meets the antimeridian, seen from either
// side. Steps are short, so the straight chord between the directions of the two
// verticals stands for the way; this holds close to a pole too, where a share of
// the longitudes would not.
func crossing(a, b position) (near, far position) {
	u, v := vertical(a), vertical(b)
	share := u[1] / (u[1] - v[1])
	x, z := u[0]+share*(v[0]-u[0]), u[2]+share*(v[2]-u[2])
	near = position{
		lon: math.Copysign(180, a.lon),
		lat: roundTo(math.Atan2(z, math.Abs(x))*180/math.Pi, 1e7),
		alt: roundTo(a.alt+share*(b.alt-a.alt), 10),
		at:  a.at.Add(time.Duration(share * float64(b.at.Sub(a.at)))).Round(time.Millisecond),
	}
	far = near
	far.lon = -near.lon
	return near, far
}

// vertical is the direction of the vertical at a place: x towards longitude 0,
// z along the axis.
func vertical(p position) [3]float64 {
	sinLat, cosLat := math.Sincos(p.lat * math.Pi / 180)
	sinLon, cosLon := math.Sincos(p.lon * math.Pi / 180)
	return [3]float64{cosLat * cosLon, cosLat * sinLon, sinLat}
}

// byTime cuts a way into stretches that last at least some time, the rest being
// the last of them. Each begins where the one before ends.
func byTime(way []position, least time.Duration) [][]position {
	var stretches [][]position
	from := 0
	for i := 1; i < len(way); i++ {
		if way[i].at.Sub(way[from].at) >= least || i == len(way)-1 {
			stretches = append(stretches, way[from:i+1])
			from = i
		}
	}
	return stretches
}
