// Package trajectory flies one balloon from release to the ground: up, burst,
// down, carried sideways by the wind on the WGS-84 ellipsoid.
package trajectory

import (
	"math"

	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/motion/ascent"
	"pappus/motion/descent"
)

// Ground answers the height of the ground above the sea at a place.
type Ground interface {
	Elevation(at geo.Point) geo.AltMSL
}

// Flat is ground of one height everywhere.
type Flat geo.AltMSL

// Elevation is the same everywhere.
func (f Flat) Elevation(geo.Point) geo.AltMSL { return geo.AltMSL(f) }

// Place is a point of the flight in space and time; Seconds count from the sky's epoch.
type Place struct {
	LatDeg, LonDeg float64
	Alt            float64 // geometric, above the sea
	Seconds        float64
}

// Point is the place on the map.
func (p Place) Point() geo.Point { return geo.Point{LatDeg: p.LatDeg, LonDeg: p.LonDeg} }

// Status tells how a flight ended.
type Status uint8

// The ways in which a flight ends.
const (
	Landed Status = iota
	NoLift        // the gas does not carry the train off the ground
	Aloft         // still in the air when the time allowed ran out
)

// Flight is everything drawn for one flight.
type Flight struct {
	Balloon ascent.Balloon
	Fall    descent.Fall
	Start   Place
	Doubt   *Doubt // nil: the forecast as it is, the rise as it is worked out
	Steps   Steps
}

// Steps are the lengths of the integration's steps. Halving them moves a
// landing by less than 15 m in a sky with a jet (a test holds this).
type Steps struct {
	Rise float64 // s at the longest
	Fall float64 // s at the longest
	Way  float64 // m of height in a step at the most
	Most float64 // s in the air before the flight is given up
}

// UsualSteps are the steps of every answer.
var UsualSteps = Steps{Rise: 24, Fall: 12, Way: 150, Most: 12 * 3600}

// Halved answers half the steps.
func (s Steps) Halved() Steps {
	return Steps{Rise: s.Rise / 2, Fall: s.Fall / 2, Way: s.Way / 2, Most: s.Most}
}

// Steps at the start of each way are short, so that coming up to speed is
// followed; each is longer than the one before by this factor.
const (
	firstStep  = 0.5
	stepGrowth = 1.4
)

// mayBurst is how near its burst size a balloon must be to be looked at: no
// step stretches it by a fifth.
const mayBurst = 1.2

// Outcome is how one flight went.
type Outcome struct {
	Status       Status
	Burst        Place
	Landing      Place
	LandingSpeed float64 // m/s, downwards
	PeakSpeed    float64 // m/s, downwards
	PeakAlt      float64
	Edges        forecast.Held
}

// Row is one line of a recorded flight: the air is that of its place, with the
// flight's own departure from the forecast's wind.
type Row struct {
	Place
	Speed       float64 // m/s, upwards
	Diameter    float64 // m; zero on the way down
	Pressure    float64
	Temperature float64
	WindEast    float64
	WindNorth   float64
}

// Track keeps the rows of a flight for those who want to see it.
type Track struct {
	Up, Down []Row
}

// Fly flies to the ground. The sampler's edges are reset first. track may be nil.
func (f *Flight) Fly(sky *forecast.Sampler, ground Ground, track *Track) Outcome {
	sky.Reset()
	out := Outcome{}
	place, speed := f.Start, 0.0
	out.Status = f.rise(sky, &place, &speed, &out, track)
	out.Burst = place
	if out.Status == Landed {
		out.Status = f.fall(sky, ground, &place, -speed, &out, track)
	}
	out.Landing = place
	out.Edges = sky.Edges
	return out
}

// Rise flies the way up alone; the outcome's landing is left empty.
func (f *Flight) Rise(sky *forecast.Sampler) Outcome {
	sky.Reset()
	out := Outcome{}
	place, speed := f.Start, 0.0
	out.Status = f.rise(sky, &place, &speed, &out, nil)
	out.Burst = place
	out.Edges = sky.Edges
	return out
}

// LaunchRate is the rate at which the balloon settles in the air of its release,
// upwards; it gets there within seconds. Zero where the gas lifts nothing.
func (f *Flight) LaunchRate(sky *forecast.Sampler) float64 {
	const (
		guess = 5.0  // m/s: a usual rise, where the drag coefficient is first read off
		while = 60.0 // s: each round settles from the speed of the one before
	)
	b, at := &f.Balloon, f.Start
	air := sky.At(at.LatDeg, at.LonDeg, at.Alt, at.Seconds)
	state := b.In(air)
	if state.Lift <= 0 {
		return 0
	}
	gravity := gravityAt(geo.Gravity(at.LatDeg), at.Alt)
	rate := guess
	for range 6 {
		rate, _ = b.Rise(air, state, gravity, 1, rate, while)
	}
	return rate
}

// gravityAt answers the acceleration at a height from that at the ellipsoid.
func gravityAt(surface, alt float64) float64 {
	const meanRadius = 6371008.8
	ratio := meanRadius / (meanRadius + alt)
	return surface * ratio * ratio
}

// rise brings the balloon to its burst. Each step takes the air at the step's
// middle, where the speed of the step before leads to.
func (f *Flight) rise(sky *forecast.Sampler, place *Place, speed *float64, out *Outcome, track *Track) Status {
	b := &f.Balloon
	var earth local
	surface := geo.Gravity(place.LatDeg)
	if f.Doubt != nil {
		f.Doubt.begin(place.Seconds)
	}
	air := sky.At(place.LatDeg, place.LonDeg, place.Alt, place.Seconds)
	state := b.In(air)
	if state.Lift <= 0 {
		return NoLift
	}
	if b.BurstAbove(air, state, surface) <= 0 {
		if track != nil {
			track.up(*place, *speed, state.Diameter, air)
		}
		return Landed // bursts where it stands
	}
	end := place.Seconds + f.Steps.Most
	dt := min(firstStep, f.Steps.Rise)
	if track != nil {
		track.up(*place, *speed, state.Diameter, air)
	}
	for place.Seconds < end {
		middle := *place
		middle.Alt += *speed * dt / 2
		middle.LatDeg, middle.LonDeg = earth.move(place.LatDeg, place.LonDeg, place.Alt, air.WindEast*dt/2, air.WindNorth*dt/2)
		air = sky.At(middle.LatDeg, middle.LonDeg, middle.Alt, place.Seconds+dt/2)
		east, north, rateFactor := 0.0, 0.0, 1.0
		if f.Doubt != nil {
			east, north, rateFactor = f.Doubt.up(middle.Alt)
			east, north = turned(east, north, f.Start.LonDeg, middle)
			air.WindEast += east
			air.WindNorth += north
		}
		gravity := gravityAt(surface, middle.Alt)
		state = b.In(air)
		newSpeed, way := b.Rise(air, state, gravity, rateFactor, *speed, dt)
		left := math.Inf(1)
		if state.Diameter*mayBurst > b.BurstDiameter {
			left = middle.Alt + b.BurstAbove(air, state, gravity) - place.Alt
		}
		share, burst := 1.0, left <= way
		if burst {
			share = min(max(left/way, 0), 1)
		}
		if f.Doubt != nil {
			f.Doubt.pass(place.Alt, place.Alt+way, place.Seconds, dt)
		}
		place.LatDeg, place.LonDeg = earth.move(place.LatDeg, place.LonDeg, middle.Alt, air.WindEast*dt*share, air.WindNorth*dt*share)
		place.Alt += way * share
		place.Seconds += dt * share
		*speed = newSpeed
		if track != nil { // air and diameter at the step's end are worked out for the record alone
			there := seen(sky, *place, east, north)
			track.up(*place, newSpeed, min(b.In(there).Diameter, b.BurstDiameter), there)
		}
		if burst {
			if f.Doubt != nil {
				f.Doubt.end(place.Alt, place.Seconds)
			}
			return Landed
		}
		dt = min(dt*stepGrowth, f.Steps.Rise, f.Steps.Way/max(math.Abs(newSpeed), 1))
	}
	return Aloft
}

// fall brings the train to the ground.
func (f *Flight) fall(sky *forecast.Sampler, ground Ground, place *Place, speed float64, out *Outcome, track *Track) Status {
	var earth local
	surface := geo.Gravity(place.LatDeg)
	end := f.Start.Seconds + f.Steps.Most
	dt, fallen := firstStep, 0.0
	air := sky.At(place.LatDeg, place.LonDeg, place.Alt, place.Seconds)
	under := float64(ground.Elevation(place.Point()))
	if place.Alt <= under {
		out.LandingSpeed = max(speed, 0)
		return Landed
	}
	for place.Seconds < end {
		middle := *place
		middle.Alt -= speed * dt / 2
		middle.LatDeg, middle.LonDeg = earth.move(place.LatDeg, place.LonDeg, place.Alt, air.WindEast*dt/2, air.WindNorth*dt/2)
		air = sky.At(middle.LatDeg, middle.LonDeg, middle.Alt, place.Seconds+dt/2)
		east, north := 0.0, 0.0
		if f.Doubt != nil {
			east, north = f.Doubt.down(middle.Alt, place.Seconds+dt/2)
			east, north = turned(east, north, f.Start.LonDeg, middle)
			air.WindEast += east
			air.WindNorth += north
		}
		newSpeed, way := f.Fall.Step(air, gravityAt(surface, middle.Alt), fallen, speed, dt)
		next := *place
		next.LatDeg, next.LonDeg = earth.move(place.LatDeg, place.LonDeg, middle.Alt, air.WindEast*dt, air.WindNorth*dt)
		next.Alt -= way
		next.Seconds += dt
		fallen += way
		if newSpeed > out.PeakSpeed {
			out.PeakSpeed, out.PeakAlt = newSpeed, next.Alt
		}
		if underNext, down := meets(ground, next); down {
			under = float64(ground.Elevation(place.Point()))
			share := (place.Alt - under) / ((place.Alt - under) - (next.Alt - underNext))
			*place = partWay(*place, next, share)
			place.Alt = float64(ground.Elevation(place.Point())) // a rough ground is not straight within the step
			// The step's speed belongs to the air of its middle; at the ground the
			// air is denser and a settled fall slower.
			out.LandingSpeed = newSpeed * math.Sqrt(air.Density/sky.At(place.LatDeg, place.LonDeg, place.Alt, place.Seconds).Density)
			if track != nil {
				track.down(*place, -out.LandingSpeed, seen(sky, *place, east, north))
			}
			return Landed
		}
		*place, speed = next, newSpeed
		if track != nil {
			track.down(*place, -speed, seen(sky, *place, east, north))
		}
		dt = min(dt*stepGrowth, f.Steps.Fall, f.Steps.Way/max(math.Abs(speed), 1))
	}
	return Aloft
}

// seen is the air at a place for the record. The edges that looking there meets
// are not the flight's.
func seen(sky *forecast.Sampler, p Place, east, north float64) forecast.Air {
	edges := sky.Edges
	air := sky.At(p.LatDeg, p.LonDeg, p.Alt, p.Seconds)
	sky.Edges = edges
	air.WindEast += east
	air.WindNorth += north
	return air
}

// highestGround is above every mountain: higher up the ground is not asked for.
const highestGround = 9000.0

// meets tells whether a place is on or under the ground, and how high that is.
func meets(ground Ground, p Place) (under float64, down bool) {
	if p.Alt > highestGround {
		return 0, false
	}
	under = float64(ground.Elevation(p.Point()))
	return under, p.Alt <= under
}

// partWay answers the place a share of a step's way on.
func partWay(from, to Place, share float64) Place {
	dLon := geo.WrapLonDeg(to.LonDeg - from.LonDeg)
	return Place{
		LatDeg:  from.LatDeg + share*(to.LatDeg-from.LatDeg),
		LonDeg:  geo.WrapLonDeg(from.LonDeg + share*dLon),
		Alt:     from.Alt + share*(to.Alt-from.Alt),
		Seconds: from.Seconds + share*(to.Seconds-from.Seconds),
	}
}

func (t *Track) up(place Place, speed, diameter float64, air forecast.Air) {
	t.Up = append(t.Up, rowOf(place, speed, diameter, air))
}

func (t *Track) down(place Place, speed float64, air forecast.Air) {
	t.Down = append(t.Down, rowOf(place, speed, 0, air))
}

func rowOf(place Place, speed, diameter float64, air forecast.Air) Row {
	return Row{
		Place: place, Speed: speed, Diameter: diameter, Pressure: air.Pressure,
		Temperature: air.Temperature, WindEast: air.WindEast, WindNorth: air.WindNorth,
	}
}
