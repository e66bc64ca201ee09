// Package ensemble flies one plan many times, each time with its own draw of
// everything that is in doubt, and gathers where it comes down.
package ensemble

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"

	"pappus/air/forecast"
	"pappus/motion/trajectory"
)

// Request asks for a run.
type Request struct {
	Craft     Craft
	Spread    Spread
	Sky       *forecast.Cube
	Ground    trajectory.Ground
	Start     trajectory.Place
	LeadHours float64 // age of the forecast at launch
	Members   int
	Seed      uint64
	Workers   int
	// Progress, when given, is called now and then with the number of flights done.
	Progress func(done int)
}

// Landing is what is kept of one member: under 100 bytes.
type Landing struct {
	BurstLat, BurstLon, BurstAlt float64
	Lat, Lon, Alt                float64
	StartSeconds                 float64 // these three from the sky's epoch
	BurstSeconds, Seconds        float64
	Speed                        float32 // m/s at the ground
	Rise                         float32 // mean rate to the burst, m/s
	Status                       trajectory.Status
	Edges                        forecast.Held
	Early                        bool // burst well below its rating
	Fouled                       bool
}

// Result is a whole run.
type Result struct {
	Landings []Landing // by member
	Law      *trajectory.Law
}

// ErrStopped is answered when a run was interrupted; nothing of it is kept.
var ErrStopped = errors.New("stopped before the end: no odds are given")

// chunk is how many members a worker takes at a time.
const chunk = 16

// Run flies all members. The answer depends on seed and request alone, never
// on the number of workers.
func Run(ctx context.Context, q Request) (*Result, error) {
	sampler := q.Sky.Sampler(0)
	air := sampler.At(q.Start.LatDeg, q.Start.LonDeg, q.Start.Alt, q.Start.Seconds)
	at := q.Craft.release(air)
	law := lawFor(q.Spread, q.Sky, q.Start.Point(), q.Start.Seconds, q.LeadHours)
	result := &Result{Landings: make([]Landing, q.Members), Law: law}
	var next, done atomic.Int64
	var gate sync.Mutex
	var workers sync.WaitGroup
	for range max(q.Workers, 1) {
		workers.Go(func() {
			w := worker{q: &q, at: at, generator: newGenerator(), doubt: trajectory.Doubt{Law: law}}
			for ctx.Err() == nil {
				from := int(next.Add(chunk)) - chunk
				if from >= q.Members {
					return
				}
				to := min(from+chunk, q.Members)
				for i := from; i < to; i++ {
					w.fly(i, &result.Landings[i])
				}
				finished := int(done.Add(int64(to - from)))
				if q.Progress != nil {
					gate.Lock()
					q.Progress(finished)
					gate.Unlock()
				}
			}
		})
	}
	workers.Wait()
	if ctx.Err() != nil {
		return nil, ErrStopped
	}
	return result, nil
}

// worker flies members one after the other in storage of its own.
type worker struct {
	q         *Request
	at        release
	generator *generator
	doubt     trajectory.Doubt
	flight    trajectory.Flight
}

func (w *worker) fly(member int, into *Landing) {
	w.generator.seed(w.q.Seed, member)
	sampler := w.q.Sky.Sampler(member % w.q.Sky.Members())
	drawn := w.q.Craft.draw(w.generator, w.q.Spread, w.at, w.q.Start, &w.flight, &w.doubt)
	out := w.flight.Fly(&sampler, w.q.Ground, nil)
	*into = Landing{
		BurstLat: out.Burst.LatDeg, BurstLon: out.Burst.LonDeg, BurstAlt: out.Burst.Alt, BurstSeconds: out.Burst.Seconds,
		Lat: out.Landing.LatDeg, Lon: out.Landing.LonDeg, Alt: out.Landing.Alt, Seconds: out.Landing.Seconds,
		Speed: float32(out.LandingSpeed), Status: out.Status, Edges: out.Edges,
		Early: drawn.early, Fouled: drawn.fouled, StartSeconds: w.flight.Start.Seconds,
	}
	if aloft := out.Burst.Seconds - w.flight.Start.Seconds; aloft > 0 {
		into.Rise = float32((out.Burst.Alt - w.flight.Start.Alt) / aloft)
	}
}

// Fly flies one member alone and records its way.
func Fly(q Request, member int) (trajectory.Outcome, *trajectory.Track) {
	sampler := q.Sky.Sampler(0)
	air := sampler.At(q.Start.LatDeg, q.Start.LonDeg, q.Start.Alt, q.Start.Seconds)
	law := lawFor(q.Spread, q.Sky, q.Start.Point(), q.Start.Seconds, q.LeadHours)
	w := worker{q: &q, at: q.Craft.release(air), generator: newGenerator(), doubt: trajectory.Doubt{Law: law}}
	w.generator.seed(q.Seed, member)
	q.Craft.draw(w.generator, q.Spread, w.at, q.Start, &w.flight, &w.doubt)
	own := q.Sky.Sampler(member % q.Sky.Members())
	track := &trajectory.Track{}
	return w.flight.Fly(&own, q.Ground, track), track
}

// Nominal flies the plan with every spread at its centre and records its way.
func Nominal(q Request) (trajectory.Outcome, *trajectory.Track) {
	flight := q.Craft.Nominal(q.Start)
	sampler := q.Sky.Sampler(0)
	track := &trajectory.Track{}
	return flight.Fly(&sampler, q.Ground, track), track
}
