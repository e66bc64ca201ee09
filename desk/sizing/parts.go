// Package sizing turns the parts in hand into a flight: how much gas, how
// fast up, how high, how hard down, and what to watch.
package sizing

import (
	"fmt"
	"math"

	"pappus/air/forecast"
	"pappus/craft/canopy"
	"pappus/craft/envelope"
	"pappus/craft/inflation"
	"pappus/craft/liftgas"
	"pappus/craft/train"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
	"pappus/record"
)

// boxDrag is the drag coefficient of a cube-like box on its mean face
// (Hoerner, Fluid-Dynamic Drag, cube face on, from memory).
const boxDrag = 1.05

// Parts is a flight file as the physics wants it, not yet filled with gas.
type Parts struct {
	File       *record.Flight
	Craft      ensemble.Craft
	Spread     ensemble.Spread
	Train      train.Train
	HeavyBox   float64 // kg, the heaviest box with all that is in it
	HeavyName  string
	CanopyDrag float64
	Textbook   bool
	Measured   []Measured // what ground tests put in place of what is typical
}

// FromFile reads the parts out of a flight file.
func FromFile(f *record.Flight) (*Parts, error) {
	p := &Parts{File: f, Spread: ensemble.UsualSpread(), Textbook: !f.Envelope.Drag.Varying}
	for i := range f.Train {
		p.Train = append(p.Train, part(&f.Train[i]))
	}
	if h := p.Train.HeaviestBox(); h >= 0 {
		p.HeavyBox, p.HeavyName = p.Train[h].Mass, p.Train[h].Name
	}
	i := p.Train.Canopy()
	if i < 0 {
		return nil, fmt.Errorf("the train has no parachute: add a part of that kind with a diameter or a rating")
	}
	c, err := canopyOf(f.Train[i].Canopy)
	if err != nil {
		return nil, err
	}
	p.CanopyDrag = c.Drag
	e := f.Envelope
	early := envelope.EarlyShare(e.Made.Known(), age(f))
	p.Craft = ensemble.Craft{
		Gas:          liftgas.Gas{Kind: f.Gas.Kind, Purity: f.Gas.Purity.Value},
		EnvelopeMass: e.Mass,
		TrainMass:    f.TrainMass(),
		Burst:        envelope.NewBurstLaw(e.BurstDiameter.Value, e.BurstSpread.Value, early),
		CanopyArea:   c.DragArea(),
		FillingWay:   c.FillingDistance(),
		BodyArea:     bodyArea(f.Train),
		Remains:      ensemble.Remains{Low: f.Remains.Low, Centre: f.Remains.Centre, High: f.Remains.High},
	}
	if p.Textbook {
		p.Craft.Drag.Constant = e.Drag.Coefficient
		p.Craft.FillingWay, p.Craft.BodyArea = 0, 0
		p.Spread.GasOffset = 0
	}
	p.measure()
	return p, nil
}

// age is how old the envelope is at launch, in years; zero when unknown.
func age(f *record.Flight) float64 {
	made := f.Envelope.Made
	if !made.Known() {
		return 0
	}
	t := f.Launch.Time
	return float64(t.Year()-made.Year) + float64(t.Month()-made.Month)/12
}

func part(p *record.Part) train.Part {
	roles := map[record.PartKind]train.Role{
		record.Line: train.Line, record.Parachute: train.Parachute, record.Reflector: train.Reflector,
		record.Box: train.Box, record.Other: train.Other,
	}
	return train.Part{
		Role: roles[p.Kind], Name: p.Name, Mass: p.Total(), Length: p.Length.Value,
		BreakingLoad: p.BreakingLoad.Value, BreakingLoadKnown: p.BreakingLoad.Given,
	}
}

func canopyOf(c record.Canopy) (canopy.Canopy, error) {
	if c.Rated.Given {
		return canopy.FromRating(c.Rated.Mass, c.Rated.Speed), nil
	}
	kind, err := canopy.ByName(c.Kind)
	if err != nil {
		return canopy.Canopy{}, err
	}
	return canopy.FromDiameter(kind, c.Diameter.Value, c.Drag.Value), nil
}

// bodyArea is the drag area of the boxes whose size is given: a tumbling box
// shows its mean face.
func bodyArea(parts []record.Part) float64 {
	sum := 0.0
	for _, p := range parts {
		if p.Kind == record.Box && p.Size.Given {
			e := p.Size.Edges
			sum += boxDrag * (e[0]*e[1] + e[1]*e[2] + e[2]*e[0]) / 3
		}
	}
	return sum
}

// Setting is where and in what air a flight starts.
type Setting struct {
	Sky    *forecast.Cube
	Ground trajectory.Ground
	Start  trajectory.Place
}

// StandardSetting is the standard atmosphere without wind over flat ground at
// the launch elevation.
func StandardSetting(f *record.Flight) Setting {
	sky := forecast.StandardSky()
	return Setting{
		Sky: sky, Ground: trajectory.Flat(f.Launch.Elevation),
		Start: trajectory.Place{LatDeg: f.Launch.Point.LatDeg, LonDeg: f.Launch.Point.LonDeg, Alt: float64(f.Launch.Elevation)},
	}
}

// launchAir is the air in which the balloon is filled.
func (s *Setting) launchAir() inflation.Air {
	sampler := s.Sky.Sampler(0)
	a := sampler.At(s.Start.LatDeg, s.Start.LonDeg, s.Start.Alt, s.Start.Seconds)
	return inflation.Air{Pressure: a.Pressure, Temperature: a.Temperature, Density: a.Density}
}

// nominal flies the filled parts with every spread at its centre.
func (p *Parts) nominal(s *Setting, moles float64) trajectory.Outcome {
	c := p.Craft
	c.GasMoles = moles
	flight := c.Nominal(s.Start)
	sampler := s.Sky.Sampler(0)
	return flight.Fly(&sampler, s.Ground, nil)
}

// rise flies the way up alone.
func (p *Parts) rise(s *Setting, moles float64) (burstAlt, meanRate float64, ok bool) {
	c := p.Craft
	c.GasMoles = moles
	flight := c.Nominal(s.Start)
	sampler := s.Sky.Sampler(0)
	out := flight.Rise(&sampler)
	took := out.Burst.Seconds - s.Start.Seconds
	if out.Status != trajectory.Landed || took <= 0 {
		return out.Burst.Alt, 0, false
	}
	return out.Burst.Alt, (out.Burst.Alt - s.Start.Alt) / took, !math.IsNaN(out.Burst.Alt)
}
