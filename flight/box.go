package flight

import (
	"context"

	"pappus/desk/box"
	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/record"
)

// BoxOptions shape the box along the flight.
type BoxOptions struct {
	Members int // none: the middle flight alone
	Seed    uint64
	Workers int
	System  unit.System
	Pad     float64 // s before the release at which the closed box is set out
	On      float64 // s before the release at which everything is switched on
	After   float64 // s after the landing that are looked at
	Room    float64 // K, where it was packed
	Listen  box.Listeners
	Why     []string
}

// UsualBoxOptions are those of a usual launch day.
func UsualBoxOptions() BoxOptions {
	return BoxOptions{Members: 200, Seed: answersSeed, Pad: box.UsualPad, On: box.UsualOn, After: box.UsualAfter, Room: box.UsualRoom(), Listen: box.UsualListeners()}
}

// AlongBox answers how warm, powered, recording and heard the boxes are along the flight.
func AlongBox(ctx context.Context, f *record.Flight, sky Sky, o BoxOptions) (*box.Answer, error) {
	parts, err := sizing.FromFile(f)
	if err != nil {
		return nil, err
	}
	setting, err := settingOf(f, sky)
	if err != nil {
		return nil, err
	}
	if err := parts.Fill(setting, o.System); err != nil {
		return nil, err
	}
	return box.Work(ctx, box.Request{
		File: f, Parts: parts, Setting: setting, Lead: ensemble.Lead(setting.Sky, f.Launch.Time),
		Members: o.Members, Seed: o.Seed, Workers: o.Workers, System: o.System, Pad: o.Pad, On: o.On, After: o.After, Room: o.Room,
		Listen: o.Listen, Rows: box.UsualRows, Why: o.Why,
	})
}

// briefMembers are enough for the tenths that a plan shows of a box.
const briefMembers = 40

// shortestForBox is the least time up that a box is followed for: an envelope that
// bursts as it is let go says nothing of warmth or cells. A step of the box is
// well below it.
const shortestForBox = 5 * unit.Minute

// addBox lays the brief of the boxes into a plan, where the file knows anything
// of them.
func addBox(ctx context.Context, a *sizing.Answer, parts *sizing.Parts, setting sizing.Setting, o sizing.Options) error {
	if !box.Known(parts.File) || a.Ascent.Duration < shortestForBox {
		return nil
	}
	usual := UsualBoxOptions()
	members := min(o.Members, briefMembers)
	if o.NominalOnly {
		members = 0
	}
	answer, err := box.Work(ctx, box.Request{
		File: parts.File, Parts: parts, Setting: setting, Members: members, Seed: o.Seed, Workers: o.Workers, System: o.System,
		Lead: ensemble.Lead(setting.Sky, parts.File.Launch.Time), Pad: usual.Pad, On: usual.On, After: usual.After, Room: usual.Room, Listen: usual.Listen, Rows: box.UsualRows,
	})
	if err == nil {
		a.Box = answer.Brief()
	}
	return err
}
