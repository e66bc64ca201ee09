// Package flight is what a person asks of pappus, one use case each: plan,
// odds, rules. It joins the flight file, the sky and the desks, and does no
// arithmetic of its own.
package flight

import (
	"context"
	"time"

	"pappus/air/forecast"
	"pappus/desk/sizing"
	"pappus/ground/landcover"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
	"pappus/record"
)

// Sky is what a flight flies through: weather files, or nothing for the
// standard atmosphere.
type Sky struct {
	Files   []forecast.File
	Workers int
	Lagged  time.Duration  // older cycles up to this age beside the newest fly as members
	cube    *forecast.Cube // decoded before
}

// settingOf loads the part of the sky that the flight may reach.
func settingOf(f *record.Flight, sky Sky) (sizing.Setting, error) {
	if len(sky.Files) == 0 && sky.cube == nil {
		return sizing.StandardSetting(f), nil
	}
	if sky.cube == nil {
		var err error
		if sky, err = sky.Decoded(f); err != nil {
			return sizing.Setting{}, err
		}
	}
	cube := sky.cube
	return sizing.Setting{
		Sky: cube, Ground: trajectory.GroundOf(cube, f.Launch.Point, f.Launch.Elevation),
		Start: trajectory.Place{
			LatDeg: f.Launch.Point.LatDeg, LonDeg: f.Launch.Point.LonDeg,
			Alt: float64(f.Launch.Elevation), Seconds: cube.Seconds(f.Launch.Time),
		},
	}, nil
}

// PlanOptions shape a plan.
type PlanOptions struct {
	Members int
	Seed    uint64
	Workers int
	System  unit.System // units of the messages
	Nominal bool        // leave the spreads out
	Film    bool        // count the film's own pressure
	Why     []string    // keys of the figures whose reasons are asked
}

// Plan answers what the parts of a flight make together.
func Plan(ctx context.Context, f *record.Flight, sky Sky, o PlanOptions) (*sizing.Answer, error) {
	parts, err := sizing.FromFile(f)
	if err != nil {
		return nil, err
	}
	setting, err := settingOf(f, sky)
	if err != nil {
		return nil, err
	}
	// A plan always lands at the launch elevation.
	setting.Ground = trajectory.Flat(f.Launch.Elevation)
	options := sizing.Options{
		Members: o.Members, Seed: o.Seed, Workers: o.Workers, System: o.System, NominalOnly: o.Nominal,
		Film: o.Film, Why: o.Why,
	}
	answer, err := parts.Work(ctx, setting, options)
	if err == nil {
		err = addBox(ctx, answer, parts, setting, options)
	}
	if err != nil {
		return nil, err
	}
	return answer, nil
}

// OddsOptions shape a landing distribution.
type OddsOptions struct {
	Members  int
	Seed     uint64
	Workers  int
	System   unit.System
	Nominal  bool // the central flight alone
	Land     Land
	Progress func(done int)
}

// Odds is a landing distribution with what drawing it needs.
type Odds struct {
	Answer  *ensemble.Answer
	Nominal *trajectory.Track
	Result  *ensemble.Result // nil for the central flight alone
	Sky     *forecast.Cube
	Start   time.Time
	Launch  geo.Point
	Land    *landcover.Map
	request ensemble.Request
}

// Where answers where a flight comes down and how sure that is.
func Where(ctx context.Context, f *record.Flight, sky Sky, o OddsOptions) (*Odds, error) {
	parts, err := sizing.FromFile(f)
	if err != nil {
		return nil, err
	}
	setting, err := settingOf(f, sky)
	if err != nil {
		return nil, err
	}
	if setting.Ground, err = o.Land.relief(setting.Ground, f.Launch.Point); err != nil {
		return nil, err
	}
	land, err := o.Land.mapOf()
	if err != nil {
		return nil, err
	}
	if err := parts.Fill(setting, o.System); err != nil {
		return nil, err
	}
	request := ensemble.Request{
		Craft: parts.Craft, Spread: parts.Spread, Sky: setting.Sky, Ground: setting.Ground, Start: setting.Start,
		LeadHours: ensemble.Lead(setting.Sky, f.Launch.Time), Members: o.Members, Seed: o.Seed, Workers: o.Workers, Progress: o.Progress,
	}
	out, track := ensemble.Nominal(request)
	odds := &Odds{Nominal: track, Sky: setting.Sky, Start: f.Launch.Time, Launch: f.Launch.Point, Land: land, request: request}
	if o.Nominal {
		odds.Answer, err = ensemble.AnswerNominal(&request, out)
	} else {
		odds.Result, err = ensemble.Run(ctx, request)
		if err == nil {
			odds.Answer, err = odds.Result.Answer(&request, out)
		}
		if err == nil {
			odds.Answer.Chances = append(odds.Result.LieOfTheLand(&request, land), odds.Answer.Chances...)
		}
	}
	if err != nil {
		return nil, err
	}
	odds.Answer.Name = f.Name
	odds.Answer.NotLookedAt = landcover.NotLookedAt(o.Land.kinds()...)
	return odds, nil
}
