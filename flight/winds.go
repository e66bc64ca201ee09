package flight

import (
	"errors"
	"time"

	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/odds/ensemble"
)

// Winds is the wind over a place by height, with how sure it is.
type Winds struct {
	Source  string      `json:"source"`
	Cycle   *string     `json:"cycle"`
	Age     *float64    `json:"age_s"` // of the forecast at that time
	Members int         `json:"members"`
	Lat     float64     `json:"lat_deg"`
	Lon     float64     `json:"lon_deg"`
	Time    string      `json:"time"`
	Frozen  bool        `json:"frozen"` // one step alone: the same wind at any time
	Levels  []WindLevel `json:"levels"` // lowest first
}

// WindLevel is the wind at one pressure level: with members, their mean.
type WindLevel struct {
	Alt         float64 `json:"alt_m"`
	Pressure    float64 `json:"pressure_pa"`
	Temperature float64 `json:"temperature_k"`
	Speed       float64 `json:"speed_mps"`
	From        float64 `json:"from_deg"`
	Spread      float64 `json:"spread_mps"` // standard deviation of each component, as odds draws it
}

// ErrNoSky says that winds are asked of a sky that holds none.
var ErrNoSky = errors.New("no forecast is at hand: drop one in, or fetch one")

// WindsOver answers the wind by height through a decoded sky; levels below the
// ground are left out.
func WindsOver(sky Sky, at geo.Point, ground geo.AltMSL, when time.Time) (*Winds, error) {
	cube := sky.cube
	if cube == nil {
		return nil, ErrNoSky
	}
	info, seconds := cube.Info(), cube.Seconds(when)
	w := &Winds{Source: info.Source, Members: cube.Members(), Lat: at.LatDeg, Lon: at.LonDeg, Time: when.UTC().Format(time.RFC3339), Frozen: cube.Frozen(), Levels: []WindLevel{}}
	if !info.Cycle.IsZero() {
		cycle, age := info.Cycle.UTC().Format(time.RFC3339), when.Sub(info.Cycle).Seconds()
		w.Cycle, w.Age = &cycle, &age
	}
	lead := ensemble.Lead(cube, when)
	for _, level := range meanColumn(cube, at, seconds) {
		if level.Alt < ground {
			continue
		}
		from, speed := forecast.WindFrom(level.WindEast, level.WindNorth)
		w.Levels = append(w.Levels, WindLevel{float64(level.Alt), level.Pressure, level.Temperature, speed, from, ensemble.WindDoubt(cube, at, level, seconds, lead)})
	}
	return w, nil
}

// meanColumn is the mean over the members, level by level.
func meanColumn(cube *forecast.Cube, at geo.Point, seconds float64) []forecast.Level {
	mean := cube.Column(at, seconds, 0)
	n := float64(cube.Members())
	for m := 1; m < cube.Members(); m++ {
		for i, level := range cube.Column(at, seconds, m) {
			mean[i].Alt += level.Alt
			mean[i].Temperature += level.Temperature
			mean[i].WindEast += level.WindEast
			mean[i].WindNorth += level.WindNorth
		}
	}
	for i := range mean {
		mean[i].Alt /= geo.AltMSL(n)
		mean[i].Temperature /= n
		mean[i].WindEast /= n
		mean[i].WindNorth /= n
	}
	return mean
}
