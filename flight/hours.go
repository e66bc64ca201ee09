package flight

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"pappus/air/forecast"
	"pappus/desk/hours"
	"pappus/ground/landcover"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
	"pappus/record"
)

// HoursOptions shape a comparison of launch hours and sites.
type HoursOptions struct {
	From, To time.Time
	Every    time.Duration
	Sites    []string // names; none: the launch place and every site of the file
	Members  int
	Seed     uint64
	Workers  int
	System   unit.System
	Regions  bool // answer the landing regions of every hour
	Land     Land
	// Progress, when given, is called with the number of launches done of all.
	Progress func(done, all int)
}

func (o *HoursOptions) request(f *record.Flight) (hours.Request, error) {
	q := hours.Request{
		File: f, Limits: hours.LimitsOf(f.Limits),
		Members: o.Members, Seed: o.Seed, Workers: o.Workers, System: o.System, Regions: o.Regions,
	}
	return q, o.Land.lookFrom(&q)
}

// lookFrom lets hours see the ground as odds does.
func (l Land) lookFrom(q *hours.Request) error {
	land, err := l.mapOf()
	if err != nil {
		return err
	}
	q.Look = hours.LookAt(land, landcover.NotLookedAt(l.kinds()...))
	// The embedded relief is worked out once for each site.
	var reliefs sync.Map
	q.Ground = func(sky *forecast.Cube, site hours.Site) (trajectory.Ground, error) {
		if !l.World {
			return l.relief(trajectory.GroundOf(sky, site.Point, site.Elevation), site.Point)
		}
		if known, ok := reliefs.Load(site.Point); ok {
			return known.(trajectory.Ground), nil
		}
		ground, err := l.relief(nil, site.Point)
		if err != nil {
			return nil, err
		}
		shared, _ := reliefs.LoadOrStore(site.Point, ground)
		return shared.(trajectory.Ground), nil
	}
	return nil
}

// NoHour says that no hour of a window could be answered.
type NoHour struct{ Message string }

func (e *NoHour) Error() string { return e.Message }

// stretch is launches in a row that one cycle serves.
type stretch struct {
	run   int
	slots []int
}

// comparison is hours being flown.
type comparison struct {
	library *forecast.Library
	sky     Sky
	request hours.Request
	sites   []hours.Site
	slots   []hours.Slot
	flown   []hours.Hour // by slot
	answer  *hours.Answer
	done    int
	options HoursOptions
}

// Hours flies every launch time of a window at every site. The forecast is
// decoded once for all launches that one cycle serves, in parts where it is
// too large for the memory.
func Hours(ctx context.Context, f *record.Flight, sky Sky, o HoursOptions) (*hours.Answer, error) {
	times, err := hours.Window(o.From, o.To, o.Every)
	if err != nil {
		return nil, err
	}
	sites, err := hours.Choose(hours.Sites(f), o.Sites)
	if err != nil {
		return nil, err
	}
	library, err := forecast.Open(sky.Files)
	if err != nil {
		return nil, err
	}
	request, err := o.request(f)
	if err != nil {
		return nil, err
	}
	c := &comparison{library: library, sky: sky, request: request, sites: sites, options: o}
	c.answer = hours.NewAnswer(&c.request, sites, times, o.Every)
	for _, t := range times {
		for _, s := range sites {
			c.slots = append(c.slots, hours.Slot{Site: s, Time: t})
		}
	}
	c.flown = make([]hours.Hour, len(c.slots))
	for _, part := range c.stretches() {
		if err := c.fly(ctx, part); err != nil {
			return nil, err
		}
	}
	c.answer.Hours = c.flown
	c.answer.Finish(o.System)
	if !slices.ContainsFunc(c.flown, func(h hours.Hour) bool { return h.Answered() }) {
		return nil, &NoHour{fmt.Sprintf("none of the %d launches could be flown: %s", len(c.flown), c.flown[0].Reasons[0])}
	}
	return c.answer, nil
}

// noRun marks slots that no cycle serves.
const noRun = -1

// stretches puts together the slots that one cycle serves.
func (c *comparison) stretches() []stretch {
	var list []stretch
	for i := range c.slots {
		run := 0
		if !c.library.Table() {
			var err error
			if run, err = c.library.Serving(c.slots[i].Site.Point, c.slots[i].Time); err != nil {
				run, c.slots[i].Why = noRun, "no forecast for this hour: "+err.Error()
			}
		}
		at := slices.IndexFunc(list, func(s stretch) bool { return s.run == run })
		if at < 0 {
			at = len(list)
			list = append(list, stretch{run: run})
		}
		list[at].slots = append(list[at].slots, i)
	}
	return list
}

// fly loads the sky of a stretch and flies it; what does not fit in memory is
// flown in halves.
func (c *comparison) fly(ctx context.Context, s stretch) error {
	if ctx.Err() != nil {
		return ensemble.ErrStopped
	}
	if s.run != noRun {
		cube, err := c.load(s)
		var large *forecast.SizeError
		switch {
		case errors.As(err, &large) && len(s.slots) > 1:
			half := len(s.slots) / 2
			if err := c.fly(ctx, stretch{s.run, s.slots[:half]}); err != nil {
				return err
			}
			return c.fly(ctx, stretch{s.run, s.slots[half:]})
		case err != nil && c.library.Table():
			return err
		case err != nil:
			// One cycle of several may be of no use, and the others answer.
			for _, i := range s.slots {
				c.slots[i].Why = "no forecast for this hour: " + err.Error()
			}
		default:
			c.used(cube, s)
			for _, i := range s.slots {
				c.slots[i].Sky = cube
			}
		}
	}
	chosen := make([]hours.Slot, len(s.slots))
	for k, i := range s.slots {
		chosen[k] = c.slots[i]
		c.slots[i].Sky = nil // so that one sky alone is in memory
	}
	request := c.request
	if c.options.Progress != nil {
		before := c.done
		request.Progress = func(done int) { c.options.Progress(before+done, len(c.slots)) }
	}
	list, err := hours.Fly(ctx, request, chosen)
	if err != nil {
		return err
	}
	for k, i := range s.slots {
		c.flown[i] = list[k]
	}
	c.done += len(list)
	return nil
}

// load decodes one cycle for all launches of a stretch.
func (c *comparison) load(s stretch) (*forecast.Cube, error) {
	first, last := c.slots[s.slots[0]], c.slots[s.slots[len(s.slots)-1]]
	want := forecast.Request{Place: first.Site.Point, Launch: first.Time, Duration: last.Time.Sub(first.Time) + forecast.UsualDuration, Workers: c.sky.Workers}
	for _, i := range s.slots {
		if at := c.slots[i].Site.Point; at != first.Site.Point && !slices.Contains(want.Also, at) {
			want.Also = append(want.Also, at)
		}
	}
	if c.library.Table() {
		return c.library.Load(want)
	}
	return c.library.LoadRun(s.run, want)
}

// used notes a forecast that served.
func (c *comparison) used(cube *forecast.Cube, s stretch) {
	info := cube.Info()
	row := hours.WeatherRow{Source: info.Source, Members: cube.Members(), Notes: info.Notes,
		First: c.slots[s.slots[0]].Time.UTC().Format(time.RFC3339), Last: c.slots[s.slots[len(s.slots)-1]].Time.UTC().Format(time.RFC3339)}
	if !info.Cycle.IsZero() {
		cycle := info.Cycle.UTC().Format(time.RFC3339)
		row.Cycle = &cycle
	}
	c.answer.Weather = append(c.answer.Weather, row)
}

// launchOf is a launch as the forecast is asked for it.
func launchOf(f *record.Flight, when time.Time, workers int) forecast.Request {
	return forecast.Request{Place: f.Launch.Point, Launch: when, Workers: workers}
}
