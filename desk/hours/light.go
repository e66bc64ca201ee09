package hours

import (
	"time"

	"pappus/air/forecast"
	"pappus/ground/sun"
	"pappus/measure/geo"
	"pappus/odds/ensemble"
)

// Light is the day at the landing place.
type Light struct {
	Word    string   `json:"at_landing"`      // of the median landing
	Left    *float64 `json:"daylight_left_s"` // until sunset; zero in the dark, null where the Sun does not set
	Sunrise *string  `json:"sunrise,omitempty"`
	Sunset  *string  `json:"sunset,omitempty"`
	dark    func(time.Time) bool
}

// lightAt looks at the day that holds a landing. The Sun rises and sets by its
// upper limb over a flat horizon.
func lightAt(landing time.Time, at geo.Point) *Light {
	day := sun.DayAt(landing, at, 0)
	l := &Light{Word: sun.LightAt(landing, at, 0).String()}
	up, down := day.Disc.Up, day.Disc.Down
	if up.Course == sun.Crosses {
		text := stamp(up.Time)
		l.Sunrise = &text
	}
	if down.Course == sun.Crosses {
		text := stamp(down.Time)
		l.Sunset = &text
	}
	l.dark = func(t time.Time) bool {
		switch {
		case up.Course == sun.StaysBelow || down.Course == sun.StaysBelow:
			return true
		case up.Course == sun.Crosses && t.Before(up.Time):
			return true
		}
		return down.Course == sun.Crosses && !t.Before(down.Time)
	}
	switch {
	case l.dark(landing):
		none := 0.0
		l.Left = &none
	case down.Course == sun.Crosses:
		left := down.Time.Sub(landing).Seconds()
		l.Left = &left
	}
	return l
}

// darkShare answers the share of the flights that come down in the dark, by the
// day of the median landing.
func (l *Light) darkShare(sky *forecast.Cube, r *ensemble.Result) float64 {
	return r.Share(func(x *ensemble.Landing) bool { return x.Came() && l.dark(sky.Instant(x.Seconds)) })
}
