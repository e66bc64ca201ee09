package weather

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"
)

// need is the steps of a cycle that cover a stretch of time: from the last one
// at or before it to the first one at or after it.
func (s Source) need(cycle, from, to time.Time) ([]int, error) {
	if cycle.After(from) {
		return nil, fmt.Errorf("the cycle of %s begins after %s, when the forecast is needed first: choose an older one", timeText(cycle), timeText(from))
	}
	schedule := s.schedule()
	hours := func(t time.Time) float64 { return t.Sub(cycle).Hours() }
	first := 0
	for first+1 < len(schedule) && float64(schedule[first+1]) <= hours(from) {
		first++
	}
	last := slices.IndexFunc(schedule, func(h int) bool { return float64(h) >= hours(to) })
	if last < 0 {
		end := cycle.Add(time.Duration(schedule[len(schedule)-1]) * time.Hour)
		return nil, fmt.Errorf("the cycle of %s of %s reaches to %s, and the flight needs %s: fetch nearer to the launch", timeText(cycle), s.Name, timeText(end), timeText(to))
	}
	return schedule[first : last+1], nil
}

// candidates is how many cycles back the newest one is looked for.
const candidates = 12 // unless the job says otherwise

// cyclesBefore lists the cycles that have begun by a time, the newest first.
func (s Source) cyclesBefore(t time.Time, n int) []time.Time {
	var all []time.Time
	t = t.UTC()
	for day := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC); len(all) < n; day = day.AddDate(0, 0, -1) {
		hours := slices.Sorted(slices.Values(s.Cycles))
		for _, h := range slices.Backward(hours) {
			if c := day.Add(time.Duration(h) * time.Hour); !c.After(t) && len(all) < n {
				all = append(all, c)
			}
		}
	}
	return all
}

// complete asks for the indexes that come last into the archive: those of the
// last step needed, of the first and the last member. It answers the address of
// the first one that is not there.
func (g *getter) complete(ctx context.Context, cycle time.Time, step int) (missing string, err error) {
	members := []int{g.members()[0]}
	if last := g.members()[len(g.members())-1]; last != members[0] {
		members = append(members, last)
	}
	for _, member := range members {
		for _, template := range g.job.Source.on(cycle).Files {
			address := g.job.Source.address(template, cycle, step, member) + g.job.Source.Index
			_, err := g.client.text(ctx, address, mostIndexOctets)
			var not *NotThereError
			if errors.As(err, &not) {
				return address, nil
			}
			if err != nil {
				return "", err
			}
		}
	}
	return "", nil
}

// find settles the cycle: the one asked for, or the newest that is complete.
func (g *getter) find(ctx context.Context) (time.Time, []int, error) {
	source := g.job.Source
	if !g.job.Cycle.IsZero() {
		cycle := g.job.Cycle.UTC()
		if cycle.Minute() != 0 || cycle.Second() != 0 || !slices.Contains(source.Cycles, cycle.Hour()) {
			return cycle, nil, fmt.Errorf("%s has cycles at %v UTC, and none at %s", source.Name, source.Cycles, timeText(cycle))
		}
		steps, err := source.need(cycle, g.job.From, g.job.To)
		if err != nil {
			return cycle, nil, err
		}
		missing, err := g.complete(ctx, cycle, steps[len(steps)-1])
		if err == nil && missing != "" {
			err = &NotOutError{source.Name, cycle, missing + " is not there", "wait, or take the newest complete one with --cycle latest"}
		}
		return cycle, steps, err
	}
	return g.newest(ctx)
}

// newest asks cycle after cycle. Once a server has told the time, a clock of
// ours that is wrong does not matter any more.
func (g *getter) newest(ctx context.Context) (time.Time, []int, error) {
	source := g.job.Source
	start := func() time.Time {
		if now := g.client.now(); now.Before(g.job.From) {
			return now
		}
		return g.job.From
	}
	from := start()
	first := source.cyclesBefore(from, 1)[0]
	if _, err := source.need(first, g.job.From, g.job.To); err != nil {
		// Out of reach by our clock. A server's may know better.
		if _, err := g.complete(ctx, first, 0); err != nil {
			return first, nil, err
		}
		from = start()
	}
	back := g.job.Back
	if back == 0 {
		back = candidates
	}
	asked := 0
	var unreachable error
	for i := 0; i < back; i++ {
		cycle := source.cyclesBefore(from, i+1)[i]
		steps, err := source.need(cycle, g.job.From, g.job.To)
		if err != nil {
			unreachable = err
			break // older ones reach less far
		}
		missing, err := g.complete(ctx, cycle, steps[len(steps)-1])
		if err != nil {
			return cycle, nil, err
		}
		asked++
		if corrected := start(); asked == 1 && corrected.Sub(from).Abs() > mostSkew {
			from, i = corrected, -1
			continue
		}
		if missing == "" {
			return cycle, steps, nil
		}
	}
	if asked == 0 {
		return time.Time{}, nil, unreachable
	}
	oldest := source.cyclesBefore(from, back)[back-1]
	return time.Time{}, nil, &NotOutError{source.Name, time.Time{},
		fmt.Sprintf("asked for cycles from %s back to %s", timeText(source.cyclesBefore(from, 1)[0]), timeText(oldest)),
		g.advice("try later, or name a cycle that the archive holds with --cycle T")}
}

// advice is what to do about a cycle that is not there; about one long past
// there is nothing to wait for.
func (g *getter) advice(now string) string {
	if g.job.Back > 0 {
		return "the archive lacks this day, or does not reach back so far"
	}
	return now
}
