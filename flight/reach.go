package flight

import (
	"context"
	"time"

	"pappus/desk/sizing"
	"pappus/measure/geo"
	"pappus/record"
)

// Reach is how high and how long a flight may go, for choosing what of a
// forecast it needs: the upper tenth of each, in the standard atmosphere.
type Reach struct {
	Place    geo.Point
	Launch   time.Time
	Burst    geo.AltMSL
	Up, Down time.Duration
}

// ReachOf answers how far a flight may reach.
func ReachOf(ctx context.Context, f *record.Flight, workers int) (*Reach, error) {
	parts, err := sizing.FromFile(f)
	if err != nil {
		return nil, err
	}
	const members, seed = 300, 1
	a, err := parts.Work(ctx, sizing.StandardSetting(f), sizing.Options{Members: members, Seed: seed, Workers: workers})
	if err != nil {
		return nil, err
	}
	seconds := func(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
	r := &Reach{Place: f.Launch.Point, Launch: f.Launch.Time, Burst: geo.AltMSL(a.Burst.Nominal), Up: seconds(a.Ascent.Duration), Down: seconds(a.Descent.Duration)}
	if a.Burst.Alt != nil {
		r.Burst = geo.AltMSL(a.Burst.Alt.P90)
	}
	if a.Ascent.TimeBand != nil {
		r.Up = seconds(a.Ascent.TimeBand.P90)
	}
	if a.Descent.TimeBand != nil {
		r.Down = seconds(a.Descent.TimeBand.P90)
	}
	return r, nil
}
