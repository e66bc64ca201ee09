package box

import (
	"math"
	"sort"
	"time"

	"pappus/ground/sun"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
)

// moment is the flight at one time.
type moment struct {
	after       float64 // s since the release
	alt         float64
	pressure    float64
	temperature float64
	speed       float64 // m/s, of the air past the box
}

// way is one flight in time, from its release to its landing.
type way []moment

func wayOf(track *trajectory.Track, zero float64) way {
	var w way
	for _, rows := range [][]trajectory.Row{track.Up, track.Down} {
		for _, r := range rows {
			w = append(w, moment{r.Seconds - zero, r.Alt, r.Pressure, r.Temperature, math.Abs(r.Speed)})
		}
	}
	return w
}

func (w way) landing() float64 { return w[len(w)-1].after }

// burst is when the flight is highest.
func (w way) burst() moment {
	top := w[0]
	for _, m := range w {
		if m.alt > top.alt {
			top = m
		}
	}
	return top
}

// at answers the flight at a time; before the release and after the landing the
// box stands in the air of those places, in a light wind.
func (w way) at(after float64) moment {
	i := sort.Search(len(w), func(i int) bool { return w[i].after >= after })
	still := func(m moment) moment {
		m.after, m.speed = after, leastSpeed
		return m
	}
	if i == 0 {
		return still(w[0])
	}
	if i == len(w) {
		return still(w[len(w)-1])
	}
	a, b := w[i-1], w[i]
	if b.after == a.after {
		return b
	}
	f := (after - a.after) / (b.after - a.after)
	between := func(x, y float64) float64 { return x + f*(y-x) }
	return moment{after, between(a.alt, b.alt), between(a.pressure, b.pressure), between(a.temperature, b.temperature), max(between(a.speed, b.speed), leastSpeed)}
}

// sky is the Sun's height over the place of launch, read off a table.
type sky struct {
	begin      float64
	elevations []float64 // rad, every skyStep
}

const skyStep = 5 * unit.Minute

// skyOver works out the Sun from begin to end; over one flight it stands nearly
// the same over the launch and the landing.
func skyOver(launch time.Time, p geo.Point, begin, end float64) sky {
	s := sky{begin: begin}
	for after := begin; after < end+2*skyStep; after += skyStep {
		at := launch.Add(time.Duration(after * float64(time.Second)))
		s.elevations = append(s.elevations, sun.At(at, p).ElevationDeg*unit.Degree)
	}
	return s
}

func (s *sky) at(after float64) float64 {
	x := (after - s.begin) / skyStep
	i := min(max(int(x), 0), len(s.elevations)-2)
	f := x - float64(i)
	return s.elevations[i] + f*(s.elevations[i+1]-s.elevations[i])
}
