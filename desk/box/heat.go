package box

import "math"

// body is something in the box.
type body struct {
	capacity float64 // J/K
	contact  float64 // W/K to the inside at sea level pressure
}

// network is the box as a star: the skin (the outer half of the foam), the inside
// (its air and the inner half of the foam), and the bodies, each tied to the
// inside alone.
type network struct {
	area, wall            float64 // m², W/K at 10 °C mean
	skinHeat, insideHeat  float64 // J/K
	emits                 float64
	bodies                []body
	skin, inside          float64   // K
	warm                  []float64 // K, by body
	rest, middle          []float64 // room for a step
	gained                ledgerOfHeat
	skinRest, skinMid     float64
	insideRest, insideMid float64
}

// ledgerOfHeat is where the heat went, J.
type ledgerOfHeat struct{ loads, sun, longWave, air, emitted float64 }

func (l ledgerOfHeat) sum() float64 { return l.loads + l.sun + l.longWave + l.air - l.emitted }

// outside is what surrounds a box during a step.
type outside struct {
	air      float64 // K
	film     float64 // W/(m² K)
	sun      float64 // W/m² absorbed, averaged over the outside
	longWave float64 // W/m² that arrive
	contact  float64 // factor on the contacts inside, from the pressure
}

// start sets all of the box to one temperature.
func (n *network) start(temperature float64) {
	n.skin, n.inside = temperature, temperature
	count := len(n.bodies)
	n.warm, n.rest, n.middle = make([]float64, count), make([]float64, count), make([]float64, count)
	for i := range n.warm {
		n.warm[i] = temperature
	}
}

// stored is the heat held above absolute zero, J.
func (n *network) stored() float64 {
	sum := n.skinHeat*n.skin + n.insideHeat*n.inside
	for i, b := range n.bodies {
		sum += b.capacity * n.warm[i]
	}
	return sum
}

// sdirk is the coefficient of the two-stage method: 1 - 1/√2. It is of second
// order and damps everything that is too fast for the step (Alexander 1977).
var sdirk = 1 - 1/math.Sqrt2

// step carries the box on by dt with loads in W by body. Both stages are implicit,
// so that any step is stable.
func (n *network) step(o outside, loads []float64, dt float64) {
	wall := Conductivity(n.wall, (n.skin+n.inside)/2)
	h := sdirk * dt
	// First stage, from the present.
	n.skinRest, n.insideRest = n.skin, n.inside
	copy(n.rest, n.warm)
	n.stage(&o, wall, loads, h)
	n.book(&o, loads, dt*(1-sdirk))
	n.skinRest += (1 - sdirk) / sdirk * (n.skinMid - n.skinRest)
	n.insideRest += (1 - sdirk) / sdirk * (n.insideMid - n.insideRest)
	for i := range n.rest {
		n.rest[i] += (1 - sdirk) / sdirk * (n.middle[i] - n.rest[i])
	}
	n.stage(&o, wall, loads, h)
	n.book(&o, loads, dt*sdirk)
	n.skin, n.inside = n.skinMid, n.insideMid
	copy(n.warm, n.middle)
}

// stage solves x = rest + h f(x). The bodies and the inside fall out by hand, for
// each is tied to one neighbour; the skin's radiation is left to Newton.
func (n *network) stage(o *outside, wall float64, loads []float64, h float64) {
	// Inside: a + b x(skin), all bodies put in.
	heat, flow := n.insideHeat/h*n.insideRest, n.insideHeat/h+wall
	for i, b := range n.bodies {
		tie := b.contact * o.contact
		own := b.capacity/h + tie
		heat += tie * (b.capacity/h*n.rest[i] + loads[i]) / own
		flow += tie - tie*tie/own
	}
	a, b := heat/flow, wall/flow
	emit := n.emits * stefanBoltzmann * n.area
	steady := n.skinHeat/h*n.skinRest + n.area*(o.film*o.air+o.sun+n.emits*o.longWave) + wall*a
	tied := n.skinHeat/h + n.area*o.film + wall*(1-b)
	x := n.skin
	const rounds = 6 // it doubles its digits each round; a step moves the skin by kelvins
	for range rounds {
		cube := x * x * x
		x -= (tied*x + emit*cube*x - steady) / (tied + 4*emit*cube)
	}
	n.skinMid, n.insideMid = x, a+b*x
	for i, b := range n.bodies {
		tie := b.contact * o.contact
		n.middle[i] = (b.capacity/h*n.rest[i] + loads[i] + tie*n.insideMid) / (b.capacity/h + tie)
	}
}

// book adds up where the heat of a stage came from.
func (n *network) book(o *outside, loads []float64, dt float64) {
	for _, l := range loads {
		n.gained.loads += l * dt
	}
	n.gained.sun += n.area * o.sun * dt
	n.gained.longWave += n.area * n.emits * o.longWave * dt
	n.gained.air += n.area * o.film * (o.air - n.skinMid) * dt
	n.gained.emitted += n.area * n.emits * stefanBoltzmann * math.Pow(n.skinMid, 4) * dt
}
