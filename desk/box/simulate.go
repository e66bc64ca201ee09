package box

import (
	"math"

	"pappus/odds/ensemble"
)

// clock is the span that is looked at, in seconds after the release.
type clock struct {
	begin, on, end float64
	step           float64 // s
	every          float64 // s between the rows that are kept
}

// stepLength keeps what half of it would change under a tenth of a kelvin (a test
// holds this).
const stepLength = 15.0

// extremes of one body or of the inside.
type extremes struct {
	before          float64 // the warmest until the release
	coldest, warmed float64 // from the release to the landing
	coldestAt       float64
	late            float64 // the coldest after the landing
	warmedAt        float64
}

func newExtremes() extremes {
	return extremes{before: math.Inf(-1), coldest: math.Inf(1), warmed: math.Inf(-1), late: math.Inf(1)}
}

func (e *extremes) see(temperature, after, landing float64) {
	switch {
	case after <= 0:
		e.before = max(e.before, temperature)
	case after <= landing:
		if temperature < e.coldest {
			e.coldest, e.coldestAt = temperature, after
		}
		if temperature > e.warmed {
			e.warmed, e.warmedAt = temperature, after
		}
	default:
		e.late = min(e.late, temperature)
	}
}

// trace is what is kept of one flight of a box.
type trace struct {
	inside   []float64
	bodies   [][]float64
	outside  []float64
	alt      []float64
	extremes []extremes // of the inside, then of the bodies
	supplies []supply
	last     []float64 // temperatures at the end, by body
	packHeat float64
	gained   ledgerOfHeat
	stored   float64 // at the end less at the start
	landing  float64
}

// rowCount is how many rows a clock keeps.
func (c *clock) rowCount() int { return int((c.end-c.begin)/c.every) + 1 }

// fly carries a box through one flight.
func (v *inventory) fly(w way, s *sky, c clock, d draw, room float64) *trace {
	n := v.network(d)
	n.start(room + d.start)
	begun := n.stored()
	t := &trace{bodies: make([][]float64, len(n.bodies)), extremes: make([]extremes, len(n.bodies)+1), landing: w.landing()}
	for i := range t.extremes {
		t.extremes[i] = newExtremes()
	}
	t.supplies = append(t.supplies, v.supplies...)
	for i := range t.supplies {
		t.supplies[i].energy *= d.content
	}
	burning := v.pack
	burning.leak = d.leak
	loads := make([]float64, len(n.bodies))
	ground := w[0]
	coat := v.shell.coat
	steps := int(math.Ceil((c.end - c.begin) / c.step))
	kept := 0
	for k := 0; k <= steps; k++ {
		after := c.begin + float64(k)*c.step
		for after >= c.begin+float64(kept)*c.every-1e-6 && kept < c.rowCount() {
			t.keep(n, w.at(after), d)
			kept++
		}
		t.note(n, after)
		if k == steps {
			break
		}
		m := w.at(after + c.step/2)
		growth := math.Log(w.at(after+c.step).pressure/w.at(after).pressure) / c.step
		l := lightAt(m.alt-ground.alt, m.pressure, ground.temperature+d.air, ground.pressure, s.at(after+c.step/2), d.albedo)
		around := outside{
			air: m.temperature + d.air, film: d.film * Film(m.pressure, m.temperature+d.air, m.speed, v.shell.length),
			sun: coat.absorbs * d.light * (l.direct + l.reflected), longWave: l.longWave, contact: thinContact(m.pressure),
		}
		v.load(t.supplies, n, loads, c, after, d)
		v.burn(&burning, loads, m.pressure, growth, n.inside, c.step)
		n.step(around, loads, c.step)
	}
	t.packHeat, t.gained, t.stored = burning.given, n.gained, n.stored()-begun
	t.last = append(t.last, n.warm...)
	return t
}

// load answers what each device gives off in the step after a time.
func (v *inventory) load(supplies []supply, n *network, loads []float64, c clock, after float64, d draw) {
	clear(loads)
	on := min(max((after+c.step-c.on)/c.step, 0), 1)
	if on == 0 {
		return
	}
	fed := make([]float64, len(v.items))
	for i := range fed {
		fed[i] = on
	}
	for i := range supplies {
		s := &supplies[i]
		watts := 0.0
		for _, j := range s.feeds {
			watts += v.items[j].Power.Value * float64(v.items[j].Count) * d.load * on
		}
		share := s.step(watts, n.warm[s.cells], after, c.step)
		for _, j := range s.feeds {
			fed[j] = on * share
		}
	}
	for i := range v.items {
		if p := v.items[i].Power; p.Given {
			loads[i] = p.Value * float64(v.items[i].Count) * d.load * fed[i]
		}
	}
}

// burn adds what the heat packs give, shared out by their size.
func (v *inventory) burn(p *packs, loads []float64, pressure, growth, temperature, dt float64) {
	if p.heat == 0 {
		return
	}
	power := p.step(pressure, growth, temperature, dt)
	for i := range v.items {
		if item := &v.items[i]; item.Kind == "heat pack" && item.Heat.Given {
			loads[i] += power * item.Heat.Value * float64(item.Count) / p.heat
		}
	}
}

func (t *trace) keep(n *network, m moment, d draw) {
	t.inside = append(t.inside, n.inside)
	t.outside = append(t.outside, m.temperature+d.air)
	t.alt = append(t.alt, m.alt)
	for i, warm := range n.warm {
		t.bodies[i] = append(t.bodies[i], warm)
	}
}

func (t *trace) note(n *network, after float64) {
	t.extremes[0].see(n.inside, after, t.landing)
	for i, warm := range n.warm {
		t.extremes[i+1].see(warm, after, t.landing)
	}
}

// bandOf is the middle and the tenths of values; the slice is sorted.
func bandOf(values []float64) *ensemble.Band {
	if len(values) == 0 {
		return nil
	}
	return ensemble.BandOf(values)
}
