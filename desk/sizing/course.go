package sizing

import (
	"context"
	"math"
	"slices"
	"time"

	"pappus/ground/sun"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
	"pappus/record"
)

// Course is the flight on one axis of time, from filling to an hour after the
// landing. Times count from the release.
type Course struct {
	Begin     float64        `json:"begin_s"` // when filling begins: before the release, so below zero
	End       float64        `json:"end_s"`
	Burst     float64        `json:"burst_s"`
	BurstAlt  float64        `json:"burst_alt_m"`
	Landing   float64        `json:"landing_s"`
	Launch    string         `json:"launch_time"`
	Way       []CoursePoint  `json:"way"`            // every spread at its centre
	Band      []CourseBand   `json:"band,omitempty"` // eight flights in ten lie between
	Light     []LightSpan    `json:"light"`          // on the ground at the launch
	Reporters []ReporterLane `json:"reporters,omitempty"`
}

// CoursePoint is a height at a time.
type CoursePoint struct {
	After float64 `json:"after_s"`
	Alt   float64 `json:"alt_m"`
}

// CourseBand is where eight flights in ten are at a time.
type CourseBand struct {
	After float64 `json:"after_s"`
	Low   float64 `json:"low_m"`
	High  float64 `json:"high_m"`
}

// LightSpan is a stretch of one kind of light.
type LightSpan struct {
	From  float64 `json:"from_s"`
	To    float64 `json:"to_s"`
	Light string  `json:"light"`
}

// ReporterLane says when a reporter is heard, by its ceiling and interval alone.
type ReporterLane struct {
	Name    string       `json:"name"`
	Every   *float64     `json:"every_s,omitempty"`
	Delay   *float64     `json:"delay_s,omitempty"`
	Ceiling *float64     `json:"ceiling_m,omitempty"`
	Silent  []SilentSpan `json:"silent"` // above its ceiling
}

// SilentSpan is a stretch in which nothing is heard.
type SilentSpan struct {
	From float64 `json:"from_s"`
	To   float64 `json:"to_s"`
}

const (
	fillingTakes  = 45 * unit.Minute // before the release; judgement, a first crew takes longer
	watchedAfter  = unit.Hour
	courseSteps   = 120
	courseMembers = 60 // enough for tenths on a drawing, where the answers' bands are drawn from more
)

// Course flies the filled parts and some of their doubt, and answers the way in
// time. Work or Fill must have been asked before.
func (p *Parts) Course(ctx context.Context, s Setting, o Options) (*Course, error) {
	request := ensemble.Request{
		Craft: p.Craft, Spread: p.Spread, Sky: s.Sky, Ground: s.Ground, Start: s.Start, Members: o.Members, Seed: o.Seed, Workers: o.Workers,
	}
	out, track := ensemble.Nominal(request)
	if out.Status != trajectory.Landed {
		return nil, impossible("the flight does not come down within %s: more free lift makes it rise and burst", unit.FormatDuration(trajectory.UsualSteps.Most))
	}
	zero := s.Start.Seconds
	c := &Course{
		Begin: -fillingTakes, End: out.Landing.Seconds - zero + watchedAfter, Burst: out.Burst.Seconds - zero, BurstAlt: out.Burst.Alt,
		Landing: out.Landing.Seconds - zero, Launch: p.File.Launch.Time.Format(time.RFC3339), Light: []LightSpan{},
	}
	nominal := wayOf(track)
	step := c.Landing / courseSteps
	turned := false
	for i := 0; i <= courseSteps; i++ {
		after := float64(i) * step
		if after > c.Burst && !turned { // the tip of the way is a point of its own
			turned = true
			c.Way = append(c.Way, CoursePoint{c.Burst, c.BurstAlt})
		}
		c.Way = append(c.Way, CoursePoint{after, nominal.at(after)})
	}
	if !o.NominalOnly {
		if err := c.addBand(ctx, request, step); err != nil {
			return nil, err
		}
	}
	c.addLight(p.File)
	c.addReporters(p.File)
	return c, nil
}

// timedWay is a flight's heights by the time since its own release.
type timedWay []CoursePoint

func wayOf(track *trajectory.Track) timedWay {
	zero := track.Up[0].Seconds
	var w timedWay
	for _, rows := range [][]trajectory.Row{track.Up, track.Down} {
		for _, r := range rows {
			w = append(w, CoursePoint{r.Seconds - zero, r.Alt})
		}
	}
	return w
}

// at answers the height at a time, on the ground after the landing.
func (w timedWay) at(after float64) float64 {
	i, _ := slices.BinarySearchFunc(w, after, func(p CoursePoint, t float64) int {
		if p.After < t {
			return -1
		}
		return 1
	})
	switch {
	case i == 0:
		return w[0].Alt
	case i == len(w):
		return w[len(w)-1].Alt
	}
	a, b := w[i-1], w[i]
	if b.After == a.After {
		return b.Alt
	}
	return a.Alt + (b.Alt-a.Alt)*(after-a.After)/(b.After-a.After)
}

func (c *Course) addBand(ctx context.Context, q ensemble.Request, step float64) error {
	var ways []timedWay
	for i := range min(courseMembers, q.Members) {
		if err := ctx.Err(); err != nil {
			return err
		}
		if out, track := ensemble.Fly(q, i); out.Status == trajectory.Landed {
			ways = append(ways, wayOf(track))
		}
	}
	if len(ways) == 0 {
		return nil
	}
	alts := make([]float64, len(ways))
	for after := 0.0; after <= c.End; after += step {
		for i, w := range ways {
			alts[i] = w.at(after)
		}
		slices.Sort(alts)
		tenth := func(share float64) float64 { return alts[int(math.Round(share*float64(len(alts)-1)))] }
		c.Band = append(c.Band, CourseBand{after, tenth(0.1), tenth(0.9)})
	}
	return nil
}

func (c *Course) addLight(f *record.Flight) {
	for after := c.Begin; after < c.End; after += unit.Minute {
		light := sun.LightAt(f.Launch.Time.Add(time.Duration(after)*time.Second), f.Launch.Point, 0).String()
		to := min(after+unit.Minute, c.End)
		if n := len(c.Light); n > 0 && c.Light[n-1].Light == light {
			c.Light[n-1].To = to
			continue
		}
		c.Light = append(c.Light, LightSpan{after, to, light})
	}
}

func (c *Course) addReporters(f *record.Flight) {
	for i := range f.Reporters {
		r := &f.Reporters[i]
		lane := ReporterLane{Name: r.Name, Silent: []SilentSpan{}}
		if r.Every.Given {
			lane.Every = &r.Every.Value
		}
		if r.Delay.Given {
			lane.Delay = &r.Delay.Value
		}
		if r.Ceiling.Limited {
			ceiling := float64(r.Ceiling.Height)
			lane.Ceiling = &ceiling
			lane.Silent = c.above(ceiling)
		}
		c.Reporters = append(c.Reporters, lane)
	}
}

// above answers when the flight with every spread at its centre is above a height.
func (c *Course) above(height float64) []SilentSpan {
	list := []SilentSpan{}
	var from float64
	high := false
	for i, p := range c.Way {
		cross := p.After
		if i > 0 && p.Alt != c.Way[i-1].Alt {
			before := c.Way[i-1]
			cross = before.After + (height-before.Alt)/(p.Alt-before.Alt)*(p.After-before.After)
		}
		switch {
		case p.Alt > height && !high:
			from, high = cross, true
		case p.Alt <= height && high:
			list, high = append(list, SilentSpan{from, cross}), false
		}
	}
	if high {
		list = append(list, SilentSpan{from, c.Landing})
	}
	return list
}
