package box

import (
	"context"
	"slices"
	"sync"

	"pappus/desk/sizing"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
	"pappus/record"
)

// Request asks for a box along a flight whose parts are filled.
type Request struct {
	File    *record.Flight
	Parts   *sizing.Parts
	Setting sizing.Setting
	Lead    float64 // hours, age of the forecast at launch
	Members int     // none: the middle flight alone
	Seed    uint64
	Workers int
	System  unit.System // of the messages
	Pad     float64     // s before the release at which it is closed, warm, and set out
	On      float64     // s before the release at which everything is switched on
	After   float64     // s after the landing that are looked at
	Room    float64     // K, where it was packed
	Listen  Listeners
	Rows    int // of the temperatures, at the most
	Why     []string
}

// Usual ways of a launch day; judgements.
const (
	UsualPad   = unit.Hour
	UsualOn    = 30 * unit.Minute
	UsualAfter = 4 * unit.Hour
	UsualRows  = 180
	// MostAfter bounds the work.
	MostAfter = 48 * unit.Hour
)

// UsualRoom is the temperature of the room in which a box is packed.
func UsualRoom() float64 { return celsius(20) }

// Known says whether the file holds anything that a box answer could stand on.
func Known(f *record.Flight) bool {
	return slices.ContainsFunc(f.Train, func(p record.Part) bool {
		return p.Kind == record.Box && (len(p.Items) > 0 || p.Size.Given && p.Wall.Thickness.Given && p.Wall.Thickness.Value > 0)
	})
}

// flown is one drawn flight.
type flown struct {
	way  way
	path []spot
}

// job is a request being worked on; flights[0] is the middle one.
type job struct {
	*Request
	flights []flown
	clock   clock
	sky     sky
}

// Work flies the box. The flight must come down.
func Work(ctx context.Context, q Request) (*Answer, error) {
	j := &job{Request: &q}
	if err := j.fly(ctx); err != nil {
		return nil, err
	}
	middle := j.flights[0].way
	top := middle.burst()
	a := &Answer{
		Name: q.File.Name, Air: q.Setting.Sky.Info().Source, Packed: -q.Pad, On: -q.On, Burst: top.after, BurstAlt: top.alt,
		Landing: middle.landing(), End: middle.landing() + q.After, Start: q.Room, Members: len(j.flights) - 1, Seed: q.Seed,
		Space: spaceFrom(top.alt), Cautions: []sizing.Caution{}, NotLooked: notLooked(),
	}
	j.clock = clock{begin: -q.Pad, on: -q.On, end: a.End, step: stepLength}
	j.clock.every = max((a.End+q.Pad)/float64(max(q.Rows-1, 1)), stepLength)
	j.sky = skyOver(q.File.Launch.Time, q.File.Launch.Point, -q.Pad, a.End)
	for i := range q.File.Train {
		part := &q.File.Train[i]
		if part.Kind != record.Box {
			continue
		}
		b, err := j.box(ctx, part)
		if err != nil {
			return nil, err
		}
		a.Boxes = append(a.Boxes, *b)
	}
	var others [][]spot
	for _, f := range j.flights[1:] {
		others = append(others, f.path)
	}
	a.Silence = silenceOf(q.File, q.Listen, j.flights[0].path, others, q.System)
	a.Silence.aliveOf(a.Boxes)
	a.Views = viewsOf(q.File, top.alt, q.System)
	j.cautions(a)
	if len(q.Why) > 0 {
		var err error
		if a.Why, err = a.reasons(q.Why); err != nil {
			return nil, err
		}
	}
	return a, nil
}

func notLooked() []string {
	return []string{
		"warmth from the Sun through windows of the box, wet foam (it loses up to a quarter more), and frost on lenses",
		"the weather of the hours after the landing: the air of the landing is held",
		"fields that jam a receiver: only everything on, box closed, outdoors for three hours shows it",
	}
}

// fly draws the flights and their places.
func (j *job) fly(ctx context.Context) error {
	request := ensemble.Request{
		Craft: j.Parts.Craft, Spread: j.Parts.Spread, Sky: j.Setting.Sky, Ground: j.Setting.Ground, Start: j.Setting.Start,
		LeadHours: j.Lead, Members: j.Members, Seed: j.Seed, Workers: 1,
	}
	out, track := ensemble.Nominal(request)
	if out.Status != trajectory.Landed {
		return &NoFlight{}
	}
	all := make([]*flown, j.Members+1)
	all[0] = j.flownOf(track)
	err := j.each(ctx, j.Members, func(i int) {
		if out, track := ensemble.Fly(request, i); out.Status == trajectory.Landed {
			all[i+1] = j.flownOf(track)
		}
	})
	for _, f := range all {
		if f != nil {
			j.flights = append(j.flights, *f)
		}
	}
	return err
}

// NoFlight says that the flight does not come down.
type NoFlight struct{}

func (*NoFlight) Error() string {
	return "the flight does not come down within twelve hours, so that there is no way for the box to follow: more free lift makes it rise and burst"
}

func (j *job) flownOf(track *trajectory.Track) *flown {
	f := &flown{way: wayOf(track, track.Up[0].Seconds)}
	f.path = pathOf(track, j.After)
	return f
}

// pathOf is a flight's places for radio: one a minute, then the ground.
func pathOf(track *trajectory.Track, after float64) []spot {
	first, last := track.Up[0], track.Up[len(track.Up)-1]
	if n := len(track.Down); n > 0 { // an envelope that bursts as it is let go has no way down
		last = track.Down[n-1]
	}
	var path []spot
	next := 0.0
	for _, rows := range [][]trajectory.Row{track.Up, track.Down} {
		for _, r := range rows {
			if r.Seconds-first.Seconds < next {
				continue
			}
			next = r.Seconds - first.Seconds + pathStep
			s := spot{after: r.Seconds - first.Seconds, alt: r.Alt}
			s.fromLaunch, _, _ = geo.Inverse(first.Point(), r.Point())
			s.fromLanding, _, _ = geo.Inverse(last.Point(), r.Point())
			// The ground under the way is taken between those of both ends.
			way := s.fromLaunch + s.fromLanding
			share := 0.0
			if way > 0 {
				share = s.fromLaunch / way
			}
			s.aboveGround = max(r.Alt-first.Alt-share*(last.Alt-first.Alt), 0)
			path = append(path, s)
		}
	}
	down := spot{after: last.Seconds - first.Seconds, alt: last.Alt, landedAlready: true}
	down.fromLaunch, _, _ = geo.Inverse(first.Point(), last.Point())
	end := down
	end.after += after
	return append(path, down, end)
}

const pathStep = 10.0 // s

// each does something for every member on the workers; the order does not matter
// to what is written, each has its own slot.
func (j *job) each(ctx context.Context, count int, do func(i int)) error {
	var workers sync.WaitGroup
	n := max(j.Workers, 1)
	for w := range n {
		workers.Go(func() {
			for i := w; i < count && ctx.Err() == nil; i += n {
				do(i)
			}
		})
	}
	workers.Wait()
	if ctx.Err() != nil {
		return ensemble.ErrStopped
	}
	return nil
}
