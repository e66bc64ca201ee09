package flight

import (
	"context"
	"fmt"

	"pappus/desk/ready"
	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/record"
)

// ReadyOptions shape the ledger of ground tests.
type ReadyOptions struct {
	// Effects flies the odds with and without each test that would narrow them.
	Effects bool
	Members int
	Seed    uint64
	Workers int
	System  unit.System
	Land    Land
}

// Ready answers what was tested on the ground and what was not.
func Ready(ctx context.Context, f *record.Flight, sky Sky, o ReadyOptions) (*ready.Ledger, error) {
	parts, err := sizing.FromFile(f)
	if err != nil {
		return nil, err
	}
	ledger := ready.Of(parts, o.System)
	if !o.Effects {
		return ledger, nil
	}
	setting, err := settingOf(f, sky)
	if err != nil {
		return nil, err
	}
	if setting.Ground, err = o.Land.relief(setting.Ground, f.Launch.Point); err != nil {
		return nil, err
	}
	if err := parts.Fill(setting, o.System); err != nil {
		return nil, err
	}
	request := ensemble.Request{
		Craft: parts.Craft, Spread: parts.Spread, Sky: setting.Sky, Ground: setting.Ground, Start: setting.Start,
		LeadHours: ensemble.Lead(setting.Sky, f.Launch.Time), Members: o.Members, Seed: o.Seed, Workers: o.Workers,
	}
	without, err := radiiOf(ctx, request)
	if err != nil {
		return nil, err
	}
	for _, m := range ledger.Missing {
		spread, narrows := sizing.AsIfTested(parts.Spread, m.ID)
		if !narrows {
			continue
		}
		tested := request
		tested.Spread = spread
		with, err := radiiOf(ctx, tested)
		if err != nil {
			return nil, err
		}
		ledger.Effects = append(ledger.Effects, ready.EffectOf(m.ID, without, with, o.System))
	}
	return ledger, nil
}

func radiiOf(ctx context.Context, q ensemble.Request) (ready.Radii, error) {
	out, _ := ensemble.Nominal(q)
	result, err := ensemble.Run(ctx, q)
	if err != nil {
		return ready.Radii{}, err
	}
	answer, err := result.Brief(&q, out)
	if err != nil {
		return ready.Radii{}, fmt.Errorf("the odds with and without a test: %w", err)
	}
	return ready.Radii{Radius50: answer.Landing.Radius50, Radius90: answer.Landing.Radius90}, nil
}
