package forecast

import (
	"fmt"
	"math"
	"sync"
	"sync/atomic"
	"time"

	"pappus/air/atmosphere"
	"pappus/measure/geo"
	"pappus/measure/unit"
)

// mostNodes bounds the memory of a cube: 20 bytes a node, and half as much again
// while it is built. About addedLevels of the levels come from the standard.
const (
	mostNodes   = 40_000_000
	addedLevels = 27
)

// radii are what is tried, in m, when the request names none. In the strongest
// jet streams a flight of three hours drifts by some 700 km (judgement).
var radii = []float64{1500e3, 1000e3, 700e3}

// job is one field to decode and where its values go: every stride-th place
// of `into` from `offset` on, in the order of the window.
type job struct {
	entry
	into           []float32
	offset, stride int
	low, high      float64 // what the variable can be
	expected       string
}

// loading is a plan being carried out.
type loading struct {
	plan
	window
	raw   raw
	humid []float32 // as the files give it; nil without
	jobs  []job
	area  int // points of the window
}

// load decodes what a plan names and builds the cube.
func (p plan) load(want Request) (*Cube, error) {
	w, narrowed, err := p.windowFor(want)
	if err != nil {
		return nil, err
	}
	l := &loading{plan: p, window: w, area: w.rowN * w.colN}
	columns := len(p.members) * len(p.steps) * l.area
	l.raw = raw{axes: l.cut(), members: len(p.members), info: p.info()}
	for _, step := range p.steps {
		l.raw.times = append(l.raw.times, time.Unix(step, 0).UTC())
	}
	for _, pressure := range p.pressures {
		l.raw.pressures = append(l.raw.pressures, float64(pressure)/keysPerPascal)
	}
	n := columns * len(p.pressures)
	l.raw.geopotential, l.raw.temperature = make([]float32, n), make([]float32, n)
	l.raw.east, l.raw.north = make([]float32, n), make([]float32, n)
	if narrowed > 0 {
		l.raw.info.Notes = append(l.raw.info.Notes, fmt.Sprintf("so many members and steps leave memory for %.0f km around the place only", narrowed/unit.Kilometre))
	}
	if p.hasHumid {
		l.humid = make([]float32, n)
	}
	l.list()
	if err := l.decode(want.Workers); err != nil {
		return nil, err
	}
	if err := l.fillColumns(); err != nil {
		return nil, err
	}
	l.moisten()
	l.setUsed()
	return build(l.raw), nil
}

// windowFor cuts out what the request asks for, or what fits in memory; then
// `narrowed` is the radius.
func (p plan) windowFor(want Request) (w window, narrowed float64, err error) {
	tried := radii
	if want.RadiusM > 0 {
		tried = []float64{want.RadiusM}
	}
	nodes := 0
	apart := 0.0
	for _, site := range want.Also {
		way, _, _ := geo.Inverse(want.Place, site)
		apart = max(apart, way)
	}
	for i, radius := range tried {
		w = windowAround(p.grid, want.Place, radius+apart)
		nodes = len(p.members) * len(p.steps) * w.rowN * w.colN * (len(p.pressures) + addedLevels)
		if i > 0 {
			narrowed = radius
		}
		if nodes <= mostNodes {
			return w, narrowed, nil
		}
	}
	return w, 0, &SizeError{Nodes: nodes, Most: mostNodes}
}

func (p plan) info() Info {
	return Info{Source: centreText(p.cycle.centre), Cycle: p.cycle.reference, Kind: Gridded, Unused: p.unused, Notes: p.notes}
}

// list names the fields to decode, in the order of the cube.
func (l *loading) list() {
	targets := []struct {
		variable
		into      []float32
		low, high float64
		expected  string
	}{
		{height, l.raw.geopotential, -2000, 90000, "a height"},
		{temperature, l.raw.temperature, 120, 350, "an air temperature"},
		{windEast, l.raw.east, -250, 250, "a wind"},
		{windNorth, l.raw.north, -250, 250, "a wind"},
		// Packing and the models leave some values outside 0 to 100 %.
		{l.humidity, l.humid, -100, 300, "a humidity"},
	}
	if l.humidity == specific {
		targets[4].low, targets[4].high = -0.01, 0.1
	}
	block := 0
	for _, member := range l.members {
		for _, step := range l.steps {
			for k, level := range l.pressures {
				for _, t := range targets {
					e, ok := l.cycle.entries[key{t.variable, member, step, level}]
					if !ok || t.into == nil {
						continue // humidity alone can be missing: setLevels saw to the rest
					}
					l.jobs = append(l.jobs, job{e, t.into, block*l.area*len(l.pressures) + k, len(l.pressures), t.low, t.high, t.expected})
				}
			}
			block++
		}
	}
	l.listNear()
	if e, ok := l.groundEntry(); ok {
		l.raw.surface = make([]float32, l.area)
		l.jobs = append(l.jobs, job{e, l.raw.surface, 0, 1, -2000, 9500, "a height"})
	}
}

// groundEntry finds the height of the model's surface, which is the same at all
// times; of several the first in the files serves.
func (l *loading) groundEntry() (entry, bool) {
	for _, k := range l.cycle.order {
		if k.variable != ground {
			continue
		}
		e := l.cycle.entries[k]
		if m, err := meshOf(e.field.Grid); err == nil && m.same(l.mesh) {
			return e, true
		}
	}
	return entry{}, false
}

// decode works through the jobs. Jobs are taken in order, so that the first
// error in that order is the same however many work at it.
func (l *loading) decode(workers int) error {
	errs := make([]error, len(l.jobs))
	var next atomic.Int64
	var failed atomic.Bool
	var wait sync.WaitGroup
	for range min(workers, len(l.jobs)) {
		wait.Go(func() {
			var values []float64
			for !failed.Load() {
				i := int(next.Add(1)) - 1
				if i >= len(l.jobs) {
					return
				}
				if values, errs[i] = l.run(l.jobs[i], values); errs[i] != nil {
					failed.Store(true)
				}
			}
		})
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// run decodes one field and copies the window out of it.
func (l *loading) run(j job, buffer []float64) ([]float64, error) {
	values, err := j.field.Decode(buffer)
	if err != nil {
		return buffer, &FileError{j.file.Name, fmt.Errorf("message %d at octet %d, %s: %w", j.field.Message, j.field.Offset, j.entry, err)}
	}
	to := j.offset
	for row := range l.rowN {
		for col := range l.colN {
			from := l.index(j.field.Grid, row, col)
			if from < 0 || from >= len(values) {
				return values, &GridError{j.file.Name, fmt.Sprintf("%s: the grid has fewer points than it says: fetch the file again", j.entry)}
			}
			v := values[from] * j.times
			if v < j.low || v > j.high {
				return values, l.invalid(j.entry, row, col, v, j.expected)
			}
			j.into[to] = float32(v)
			to += j.stride
		}
	}
	return values, nil
}

func (l *loading) invalid(e entry, row, col int, value float64, expected string) error {
	return &ValueError{File: e.file.Name, Field: e.String(), Place: l.place(row, col), Value: value, Expected: expected}
}

// maskedBelow is the lowest pressure at which a missing value can be inside a
// mountain: the highest summit stands at about 310 hPa in winter (from memory).
const maskedBelow = 30000.0

// fillColumns looks at each column from above. Levels that a file leaves out
// because they lie inside the ground are filled in from the lowest level above,
// as below the lowest level of any cube; no flight gets there while the ground
// is known. Anything else that is missing is an error, and so are heights that
// do not rise.
func (l *loading) fillColumns() error {
	levels := len(l.pressures)
	filled := 0
	for column := range len(l.raw.geopotential) / levels {
		lowest, bad := 0, -1
		for k := levels - 1; k >= 0 && bad < 0; k-- {
			if l.hole(column*levels + k) {
				bad = k
			}
		}
		if bad >= 0 {
			lowest = bad + 1
			if lowest == levels || l.raw.pressures[bad] < maskedBelow || !l.emptyBelow(column, bad) {
				return l.missingAt(column, bad)
			}
			l.fillGround(column, lowest)
			filled++
		}
		for k := lowest + 1; k < levels; k++ {
			i := column*levels + k
			if !(l.raw.geopotential[i] > l.raw.geopotential[i-1]) {
				e, row, col := l.at(column, k, height)
				return l.invalid(e, row, col, float64(l.raw.geopotential[i]), fmt.Sprintf("more than the %.6g of the level below", l.raw.geopotential[i-1]))
			}
		}
	}
	for i, h := range l.raw.surface {
		if h != h {
			e, _ := l.groundEntry()
			return l.invalid(e, i/l.colN, i%l.colN, math.NaN(), "a height")
		}
	}
	if filled > 0 {
		l.raw.info.Notes = append(l.raw.info.Notes, fmt.Sprintf("%d of %d columns have no values inside the ground: the lowest level was carried on down", filled, len(l.raw.geopotential)/levels))
	}
	return nil
}

// hole tells whether a variable is missing at a node.
func (l *loading) hole(i int) bool {
	sum := l.raw.geopotential[i] + l.raw.temperature[i] + l.raw.east[i] + l.raw.north[i]
	if l.humid != nil {
		sum += l.humid[i]
	}
	return sum != sum
}

// emptyBelow tells whether the levels up to a hole are holes too.
func (l *loading) emptyBelow(column, bad int) bool {
	for k := range bad {
		if !l.hole(column*len(l.pressures) + k) {
			return false
		}
	}
	return true
}

// fillGround carries the level `lowest` of a column down: the standard lapse,
// hydrostatic balance, the wind held.
func (l *loading) fillGround(column, lowest int) {
	r := &l.raw
	from := column*len(l.pressures) + lowest
	for k := lowest - 1; k >= 0; k-- {
		i := column*len(l.pressures) + k
		dz := dropBelow(float64(r.temperature[i+1]), math.Log(r.pressures[k]/r.pressures[k+1]))
		r.geopotential[i] = r.geopotential[i+1] + float32(dz)
		r.temperature[i] = r.temperature[i+1] + float32(heldLapse*dz)
		r.east[i], r.north[i] = r.east[from], r.north[from]
		if l.humid != nil {
			l.humid[i] = l.humid[from]
		}
	}
}

// at finds the field and the place of a node.
func (l *loading) at(column, level int, v variable) (e entry, row, col int) {
	block, point := column/l.area, column%l.area
	member, step := l.members[block/len(l.steps)], l.steps[block%len(l.steps)]
	return l.cycle.entries[key{v, member, step, l.pressures[level]}], point / l.colN, point % l.colN
}

func (l *loading) missingAt(column, level int) error {
	i := column*len(l.pressures) + level
	v, expected := height, "a height"
	switch {
	case l.raw.temperature[i] != l.raw.temperature[i]:
		v, expected = temperature, "an air temperature"
	case l.raw.east[i] != l.raw.east[i]:
		v, expected = windEast, "a wind"
	case l.raw.north[i] != l.raw.north[i]:
		v, expected = windNorth, "a wind"
	case l.humid != nil && l.humid[i] != l.humid[i]:
		v, expected = l.humidity, "a humidity"
	}
	e, row, col := l.at(column, level, v)
	return l.invalid(e, row, col, math.NaN(), expected)
}

// moisten turns humidity into virtual temperature.
func (l *loading) moisten() {
	if l.humid == nil {
		return
	}
	l.raw.virtual = l.humid // the one becomes the other in place
	for i, h := range l.humid {
		t := float64(l.raw.temperature[i])
		pressure := l.raw.pressures[i%len(l.pressures)]
		virtual := atmosphere.VirtualTemperature(t, pressure, float64(h)*unit.Percent)
		if l.humidity == specific {
			virtual = t * (1 + vapourLightness*max(float64(h), 0))
		}
		l.raw.virtual[i] = float32(virtual)
	}
}

// vapourLightness is 1/ε - 1 with ε the ratio of the molar masses of water
// (0.01801528 kg/mol) and dry air: the virtual temperature is T(1 + 0.608 q).
const vapourLightness = atmosphere.MolarMassAir/0.01801528 - 1

// setUsed names the files that gave a field.
func (l *loading) setUsed() {
	used := map[string]bool{}
	for _, j := range l.jobs {
		if !used[j.file.Name] {
			used[j.file.Name] = true
			l.raw.info.Files = append(l.raw.info.Files, j.file.Name)
		}
	}
}
