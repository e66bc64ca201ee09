package forecast

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"pappus/measure/geo"
)

// Run is one cycle of a library.
type Run struct {
	Cycle  time.Time // its reference time
	Source string
	Steps  []time.Time // with a fair share of the levels
}

// Runs lists the cycles that could serve somewhere, the newest first. A number
// in this list is what LoadRun and Serving speak of. A table has none.
func (l *Library) Runs() []Run {
	var runs []Run
	for _, c := range l.cycles {
		run := Run{Cycle: c.reference, Source: centreText(c.centre)}
		if c.counts == nil {
			c.counts = c.census()
		}
		steps, _ := usefulSteps(c.counts[pickRichest(c.counts)])
		for _, step := range steps {
			run.Steps = append(run.Steps, time.Unix(step, 0).UTC())
		}
		runs = append(runs, run)
	}
	return runs
}

// Table tells whether the library is a profile table, which serves at any time
// and place.
func (l *Library) Table() bool { return l.table != nil }

// Serving answers the number of the cycle that Load takes for a launch, without
// looking at single levels, or why there is none.
func (l *Library) Serving(place geo.Point, launch time.Time) (int, error) {
	want := Request{Place: place, Launch: launch}
	var best plan
	var failures []error
	number := -1
	for i, c := range l.cycles {
		r, err := c.reach(want)
		p := plan{cycle: c, steps: r.steps}
		if err != nil {
			failures = append(failures, err)
		} else if number < 0 || p.better(best, launch) {
			best, number = p, i
		}
	}
	switch {
	case number >= 0:
		return number, nil
	case len(failures) == 0:
		return number, l.nothing()
	}
	return number, fail(failures)
}

// LoadRun makes a cube of one cycle alone.
func (l *Library) LoadRun(number int, want Request) (*Cube, error) {
	one := &Library{gribs: l.gribs, cycles: l.cycles[number : number+1]}
	want.Lagged = 0
	return one.Load(want)
}

// lagStride keeps the members of lagged cycles apart; files number members in
// one octet.
const lagStride = 1000

// memberText names a member; those of lagged cycles by how many cycles back.
func memberText(member int) string {
	if member < 0 {
		return "the unnumbered one"
	}
	back := (member + 1) / lagStride
	text := fmt.Sprint(member - back*lagStride)
	if member-back*lagStride < 0 {
		text = "the unnumbered one"
	}
	if back > 0 {
		text += fmt.Sprintf(" of the cycle lagged %d", back)
	}
	return text
}

// lag joins the older cycles of the same centre and grid to the one that
// serves: each of their members becomes one more, for the same valid times.
func (l *Library) lag(p plan, want Request) (plan, error) {
	newest := p.cycle
	joined := &cycle{reference: newest.reference, centre: newest.centre, sub: newest.sub, entries: map[key]entry{}, notes: slices.Clone(newest.notes)}
	// Only what the newest gives counts: nothing that an older cycle has more of
	// may cost the newest its place.
	given := map[key]bool{}
	for _, k := range newest.order {
		given[key{k.variable, 0, k.valid, k.pressure}] = true
	}
	back := 0
	var taken []string
	for _, c := range l.cycles {
		age := newest.reference.Sub(c.reference)
		if c != newest && (age <= 0 || age > want.Lagged || c.centre != newest.centre || c.sub != newest.sub) {
			continue
		}
		if grid, err := c.mesh(); err != nil || !grid.same(p.grid) {
			joined.notes = append(joined.notes, c.String()+", which stands on another grid")
			continue
		}
		if c != newest {
			back++
			taken = append(taken, timeText(c.reference))
		}
		for _, k := range c.order {
			if !given[key{k.variable, 0, k.valid, k.pressure}] {
				continue
			}
			e := c.entries[k]
			k.member += back * lagStride
			e.key = k
			joined.entries[k] = e
			joined.order = append(joined.order, k)
		}
		joined.files = append(joined.files, c.files...)
	}
	if back == 0 {
		p.notes = append(p.notes, "no older cycle of the same centre is in the files: nothing is lagged")
		return p, nil
	}
	lagged, err := planCycle(joined, want)
	if err != nil {
		return p, err
	}
	lagged.notes = append(lagged.notes, fmt.Sprintf("lagged cycles as members: %s", strings.Join(taken, ", ")))
	for _, c := range l.cycles {
		if c != newest && !slices.ContainsFunc(taken, func(t string) bool { return t == timeText(c.reference) }) {
			lagged.unused = append(lagged.unused, c.String())
		}
	}
	return lagged, nil
}
