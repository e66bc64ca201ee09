package forecast

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// plan is what of a cycle goes into a cube.
type plan struct {
	cycle     *cycle
	grid      mesh
	members   []int
	steps     []int64 // s since 1970
	pressures []int64 // lowest level first
	humidity  variable
	hasHumid  bool
	unused    []string
	notes     []string
}

// census counts what one member has: by step, the levels with all variables.
type census map[int64]map[int64]bool

const (
	// frozenReach is how far from its only step a sky may be used.
	frozenReach = 12 * time.Hour
	// leadIn is how long before the launch the sky must be known, for starts drawn early.
	leadIn = 30 * time.Minute
	// dryAbove is the level above which humidity may be missing: saturated air
	// of 240 K at 300 hPa is 0.05 % lighter than dry air, by [WMO8]'s vapour
	// pressure, and air higher up is colder.
	dryAbove = 30000 * keysPerPascal
)

// planCycle decides what a cycle can give, or why it cannot serve.
func planCycle(c *cycle, want Request) (plan, error) {
	p := plan{cycle: c, unused: slices.Clone(c.notes)}
	r, err := c.reach(want)
	p.grid = r.grid
	if len(r.poor) > 0 {
		p.unused = append(p.unused, fmt.Sprintf("steps with fewer than half of the levels: %s", joinTimes(r.poor)))
	}
	if err != nil {
		return p, err
	}
	p.steps = cutSteps(r.steps, r.launch, r.launch+int64(want.Duration/time.Second))
	p.setLevels(c.counts[r.richest])
	if len(p.pressures) < 2 {
		return p, c.missing()
	}
	p.setMembers(c.counts)
	p.setHumidity()
	if len(r.steps) == 1 {
		p.notes = append(p.notes, fmt.Sprintf("one step alone, %s: the sky is taken as frozen", timeText(time.Unix(r.steps[0], 0))))
	}
	return p, nil
}

// reach is what a cycle covers of a launch.
type reach struct {
	richest     int
	steps, poor []int64
	grid        mesh
	launch      int64
}

// reach tells whether a cycle covers the launch, or why not.
func (c *cycle) reach(want Request) (r reach, err error) {
	if c.counts == nil {
		c.counts = c.census()
	}
	r.richest = pickRichest(c.counts)
	r.steps, r.poor = usefulSteps(c.counts[r.richest])
	if len(r.steps) == 0 {
		return r, c.missing()
	}
	if r.grid, err = c.mesh(); err != nil {
		return r, err
	}
	area := r.grid.area()
	if !r.grid.covers(want.Place) {
		return r, &CoverageError{Launch: want.Launch, Place: want.Place, Areas: []Area{area}}
	}
	first, last := r.steps[0], r.steps[len(r.steps)-1]
	r.launch = want.Launch.Unix()
	if want.Launch.IsZero() {
		r.launch = first
	}
	if (r.launch < first || r.launch > last) && !(len(r.steps) == 1 && within(r.launch, first)) {
		span := Span{time.Unix(first, 0).UTC(), time.Unix(last, 0).UTC()}
		return r, &CoverageError{Launch: want.Launch, Place: want.Place, Time: true, Spans: []Span{span}, Areas: []Area{area}}
	}
	return r, nil
}

func within(launch, step int64) bool {
	return max(launch-step, step-launch) <= int64(frozenReach/time.Second)
}

// census counts the complete levels of each member.
func (c *cycle) census() map[int]census {
	counts := map[int]census{}
	for _, k := range c.order {
		if k.variable != height || !c.complete(k.member, k.valid, k.pressure) {
			continue
		}
		if counts[k.member] == nil {
			counts[k.member] = census{}
		}
		if counts[k.member][k.valid] == nil {
			counts[k.member][k.valid] = map[int64]bool{}
		}
		counts[k.member][k.valid][k.pressure] = true
	}
	return counts
}

func (c *cycle) complete(member int, valid, pressure int64) bool {
	for _, v := range needed {
		if _, ok := c.entries[key{v, member, valid, pressure}]; !ok {
			return false
		}
	}
	return true
}

// pickRichest answers the member with most complete levels, the lowest number of equals.
func pickRichest(counts map[int]census) int {
	best, most := -1, -1
	for _, member := range sortedKeys(counts) {
		n := 0
		for _, levels := range counts[member] {
			n += len(levels)
		}
		if n > most {
			best, most = member, n
		}
	}
	return best
}

// usefulSteps parts the steps with a fair share of the levels from the others.
func usefulSteps(c census) (steps, poor []int64) {
	most := 0
	for _, levels := range c {
		most = max(most, len(levels))
	}
	for _, step := range sortedKeys(c) {
		if n := len(c[step]); n >= 2 && 2*n >= most {
			steps = append(steps, step)
		} else {
			poor = append(poor, step)
		}
	}
	return steps, poor
}

// cutSteps keeps the steps that a flight between two instants can need.
func cutSteps(steps []int64, launch, end int64) []int64 {
	first, last := 0, len(steps)-1
	for first < last && steps[first+1] <= launch-int64(leadIn/time.Second) {
		first++
	}
	for last > first && steps[last-1] >= end {
		last--
	}
	return steps[first : last+1]
}

// setLevels takes the levels that are complete at every step, and names the others.
func (p *plan) setLevels(c census) {
	incomplete := map[int64][]string{}
	for _, k := range p.cycle.order {
		if k.pressure == 0 || k.variable > windNorth || !slices.Contains(p.steps, k.valid) {
			continue
		}
		everywhere := true
		for _, step := range p.steps {
			everywhere = everywhere && c[step][k.pressure]
		}
		if everywhere && !slices.Contains(p.pressures, k.pressure) {
			p.pressures = append(p.pressures, k.pressure)
		}
		if !everywhere && incomplete[k.pressure] == nil {
			incomplete[k.pressure] = p.lacks(k.member, k.pressure)
		}
	}
	slices.Sort(p.pressures)
	slices.Reverse(p.pressures)
	var texts []string
	for _, level := range slices.Backward(sortedKeys(incomplete)) {
		texts = append(texts, fmt.Sprintf("%s (no %s)", pressureText(level), strings.Join(incomplete[level], ", ")))
	}
	if len(texts) > 0 {
		p.unused = append(p.unused, "levels without all of height, temperature and wind: "+strings.Join(texts, ", "))
	}
}

// lacks names what a level lacks at the first step where it lacks something.
func (p *plan) lacks(member int, pressure int64) []string {
	for _, step := range p.steps {
		var names []string
		for _, v := range needed {
			if _, ok := p.cycle.entries[key{v, member, step, pressure}]; !ok {
				names = append(names, v.String())
			}
		}
		if len(names) > 0 {
			return names
		}
	}
	return []string{"complete set at every step"}
}

// setMembers takes the members that have every step and level.
func (p *plan) setMembers(counts map[int]census) {
	var short []string
	for _, member := range sortedKeys(counts) {
		whole := true
		for _, step := range p.steps {
			for _, level := range p.pressures {
				whole = whole && counts[member][step][level]
			}
		}
		if whole {
			p.members = append(p.members, member)
		} else {
			short = append(short, memberText(member))
		}
	}
	if len(short) > 0 {
		p.unused = append(p.unused, "members that lack a step or a level: "+strings.Join(short, ", "))
	}
}

// setHumidity uses humidity where every level that matters has it.
func (p *plan) setHumidity() {
	for _, v := range []variable{specific, relative} {
		whole, any := true, false
		for _, k := range p.humid(v) {
			_, ok := p.cycle.entries[k]
			whole, any = whole && (ok || k.pressure < dryAbove), any || ok
		}
		if any && whole && p.sameMesh(p.humid(v)) {
			p.humidity, p.hasHumid = v, true
			return
		}
		if any {
			p.unused = append(p.unused, fmt.Sprintf("%s, which is not on every level and the same grid: the air counts as dry", v))
		}
	}
}

// humid lists the humidity fields that the plan would take.
func (p *plan) humid(v variable) []key {
	var keys []key
	for _, member := range p.members {
		for _, step := range p.steps {
			for _, level := range p.pressures {
				keys = append(keys, key{v, member, step, level})
			}
		}
	}
	return keys
}

// sameMesh tells whether fields, as far as they are there, stand on the grid of the plan.
func (p *plan) sameMesh(keys []key) bool {
	for _, k := range keys {
		if e, ok := p.cycle.entries[k]; ok {
			if m, err := meshOf(e.field.Grid); err != nil || !m.same(p.grid) {
				return false
			}
		}
	}
	return true
}

// mesh answers the grid on which all fields of the cycle must stand.
func (c *cycle) mesh() (mesh, error) {
	if c.grid == nil {
		c.grid = &mesh{}
		c.gridErr = c.findMesh()
	}
	return *c.grid, c.gridErr
}

func (c *cycle) findMesh() error {
	var first *entry
	for _, k := range c.order {
		if k.variable > windNorth {
			continue
		}
		e := c.entries[k]
		m, err := meshOf(e.field.Grid)
		if err != nil {
			return &GridError{e.file.Name, fmt.Sprintf("%s: %v", e, err)}
		}
		if first == nil {
			first = &e
			*c.grid = m
		} else if !m.same(*c.grid) {
			return &GridError{e.file.Name, fmt.Sprintf("%s stands on %s, but %s in %s on %s: give files of one grid",
				e, gridText(e.field.Grid), first, first.file.Name, gridText(first.field.Grid))}
		}
	}
	return nil
}

// missing says what a cycle lacks.
func (c *cycle) missing() error {
	lacks := []string{}
	for _, v := range needed {
		if !slices.ContainsFunc(c.order, func(k key) bool { return k.variable == v && k.pressure > 0 }) {
			lacks = append(lacks, v.String())
		}
	}
	text := "no two pressure levels have all of height, temperature and wind (gh, t, u, v) at one time: fetch these four on the same levels"
	if len(lacks) > 0 {
		text = fmt.Sprintf("%s on pressure levels is missing: fetch gh, t, u and v on pressure levels together", strings.Join(lacks, ", "))
	}
	return &MissingError{Files: c.files, Lacks: lacks, Text: text}
}
