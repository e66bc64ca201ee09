package hours

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"pappus/desk/sizing"
	"pappus/measure/geo"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
)

// flown is one slot as it was flown.
type flown struct {
	parts   *sizing.Parts
	request ensemble.Request
	result  *ensemble.Result
	answer  *ensemble.Answer
	nominal trajectory.Outcome
}

// cannot says why a slot has no answer.
type cannot struct {
	verdict Verdict
	reason  string
}

func (e *cannot) Error() string { return e.reason }

// setting answers the parts of the file filled for the air of a slot, and where
// they start. The envelope ages with the launch time.
func (q *Request) setting(s Slot) (*sizing.Parts, sizing.Setting, error) {
	file := *q.File
	file.Launch.Point, file.Launch.Elevation, file.Launch.Time = s.Site.Point, s.Site.Elevation, s.Time
	parts, err := sizing.FromFile(&file)
	if err != nil {
		return nil, sizing.Setting{}, err
	}
	ground := trajectory.GroundOf(s.Sky, s.Site.Point, s.Site.Elevation)
	if q.Ground != nil {
		if ground, err = q.Ground(s.Sky, s.Site); err != nil {
			return nil, sizing.Setting{}, err
		}
	}
	setting := sizing.Setting{Sky: s.Sky, Ground: ground, Start: trajectory.Place{
		LatDeg: s.Site.Point.LatDeg, LonDeg: s.Site.Point.LonDeg, Alt: float64(s.Site.Elevation), Seconds: s.Sky.Seconds(s.Time),
	}}
	return parts, setting, parts.Fill(setting, q.System)
}

// fly flies one slot with all its members.
func (q *Request) fly(ctx context.Context, s Slot, workers int) (*flown, error) {
	if s.Sky == nil {
		return nil, &cannot{Wait, s.Why}
	}
	parts, setting, err := q.setting(s)
	var impossible *sizing.ImpossibleFill
	if errors.As(err, &impossible) {
		return nil, &cannot{No, err.Error()}
	} else if err != nil {
		return nil, err
	}
	f := &flown{parts: parts, request: ensemble.Request{
		Craft: parts.Craft, Spread: parts.Spread, Sky: s.Sky, Ground: setting.Ground, Start: setting.Start,
		LeadHours: ensemble.Lead(s.Sky, s.Time), Members: q.Members, Seed: q.Seed, Workers: workers,
	}}
	f.nominal, _ = ensemble.Nominal(f.request)
	if f.nominal.Status != trajectory.Landed {
		_, err = ensemble.AnswerNominal(&f.request, f.nominal)
		return nil, &cannot{No, err.Error()}
	}
	if f.result, err = ensemble.Run(ctx, f.request); err != nil {
		return nil, ensemble.ErrStopped
	}
	if q.Regions {
		f.answer, err = f.result.Answer(&f.request, f.nominal)
	} else {
		f.answer, err = f.result.Brief(&f.request, f.nominal)
	}
	var out *ensemble.OutOfSky
	if errors.As(err, &out) {
		return nil, &cannot{Wait, "no forecast for the whole flight: " + err.Error()}
	}
	return f, err
}

// Fly flies slots, several at a time, and judges each. The answer does not
// depend on the number of workers. An interrupt answers [ensemble.ErrStopped].
func Fly(ctx context.Context, q Request, slots []Slot) ([]Hour, error) {
	list, errs := make([]Hour, len(slots)), make([]error, len(slots))
	var gate sync.Mutex
	next, done := 0, 0
	take := func() int {
		gate.Lock()
		defer gate.Unlock()
		next++
		return next - 1
	}
	var wait sync.WaitGroup
	for range max(min(q.Workers, len(slots)), 1) {
		wait.Go(func() {
			for i := take(); i < len(slots) && ctx.Err() == nil; i = take() {
				list[i], errs[i] = q.hour(ctx, slots[i])
				gate.Lock()
				done++
				if q.Progress != nil {
					q.Progress(done)
				}
				gate.Unlock()
			}
		})
	}
	wait.Wait()
	if ctx.Err() != nil {
		return nil, ensemble.ErrStopped
	}
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return list, nil
}

// hour flies and judges one slot.
func (q *Request) hour(ctx context.Context, s Slot) (Hour, error) {
	h := Hour{Time: stamp(s.Time), Site: s.Site.Name, Chances: []Chance{}, launch: s.Time}
	f, err := q.fly(ctx, s, 1)
	var no *cannot
	if errors.As(err, &no) {
		h.Verdict, h.Reasons = no.verdict, []string{no.reason}
		return h, nil
	} else if err != nil {
		return h, err
	}
	a := f.answer
	g := a.Landing
	h.Landing = &Landing{g.Median, g.Radius50, g.Radius90, g.Time, g.Speed, g.Drift, g.Regions}
	h.BurstAlt, h.Age, h.Cycle, h.Held = &a.Burst.Alt, a.Weather.Age, a.Weather.Cycle, a.Weather.Held
	down := geo.Point{LatDeg: g.Median.Lat, LonDeg: g.Median.Lon}
	way, bearing, _ := geo.Inverse(s.Site.Point, down)
	h.Drift, h.Bearing = &way, &bearing
	seconds, _ := f.result.BandOf(func(l *ensemble.Landing) float64 { return l.Seconds })
	h.AtLaunch = nearAt(s.Sky, s.Site.Point, s.Site.Elevation, f.request.Start.Seconds)
	h.AtDown = nearAt(s.Sky, down, f.request.Ground.Elevation(down), seconds.P50)
	h.Light = lightAt(s.Sky.Instant(seconds.P50), down)
	for _, c := range a.Chances {
		h.Chances = append(h.Chances, Chance{What: c.What, Probability: c.Probability})
	}
	h.Chances = append(h.Chances, Chance{"dark", "lands after sunset or before sunrise", h.Light.darkShare(s.Sky, f.result)})
	if q.Look != nil {
		h.Chances = append(h.Chances, q.Look.Chances(s.Site.Point, places(f.result), q.Members)...)
	}
	h.Checks, h.Unknown = q.Limits.judge(q.values(&h, f), q.System)
	h.Verdict, h.Reasons = verdict(h.Checks)
	h.worst = worst(h.Checks)
	if note := frozen(s); note != "" {
		h.Unknown = append(h.Unknown, note)
	}
	return h, nil
}

// frozen says that one step stands for the hour.
func frozen(s Slot) string {
	if !s.Sky.Frozen() || s.Sky.Info().Cycle.IsZero() {
		return ""
	}
	return fmt.Sprintf("how the sky changes: the forecast has one step alone, %s", stamp(s.Sky.Epoch()))
}

func places(r *ensemble.Result) []geo.Point {
	lat, lon := r.Places()
	points := make([]geo.Point, len(lat))
	for i := range lat {
		points[i] = geo.Point{LatDeg: lat[i], LonDeg: lon[i]}
	}
	return points
}

// values answers what is known of an hour, by limit.
func (q *Request) values(h *Hour, f *flown) map[string]float64 {
	known := map[string]float64{drift: *h.Drift, landingSpeed: h.Landing.Speed.P50}
	put := func(id string, v *float64) {
		if v != nil {
			known[id] = *v
		}
	}
	put(launchWind, h.AtLaunch.Wind)
	put(launchGust, h.AtLaunch.Gust)
	put(cloud, h.AtLaunch.Cloud)
	put(landingWind, h.AtDown.Wind)
	put(forecastAge, h.Age)
	if put(daylight, h.Light.Left); h.Light.Left == nil {
		known[daylight] = (24 * time.Hour).Seconds() // the Sun does not set
	}
	if f.parts.HeavyBox > 0 {
		known[landingEnergy] = f.parts.HeavyBox * h.Landing.Speed.P50 * h.Landing.Speed.P50 / 2
	}
	if band, ok := f.result.BandOf(func(l *ensemble.Landing) float64 { return float64(l.Rise) }); ok {
		known[rise] = band.P50
	}
	for _, c := range h.Chances {
		if c.ID != "" {
			known[c.ID] = c.Probability
		}
	}
	return known
}
