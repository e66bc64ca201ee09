package flight

import (
	"context"

	"pappus/desk/sizing"
	"pappus/motion/trajectory"
	"pappus/record"
)

// FillDay answers what to weigh on the field and what the measured lift means.
// What is absent of the day is taken from the file's [flown] table.
func FillDay(ctx context.Context, f *record.Flight, sky Sky, day sizing.FillDay, o PlanOptions) (*sizing.FillAnswer, error) {
	parts, err := sizing.FromFile(f)
	if err != nil {
		return nil, err
	}
	setting, err := settingOf(f, sky)
	if err != nil {
		return nil, err
	}
	setting.Ground = trajectory.Flat(f.Launch.Elevation)
	return parts.FillDay(ctx, setting, day.FromFile(f), sizing.Options{
		Members: o.Members, Seed: o.Seed, Workers: o.Workers, System: o.System, NominalOnly: o.Nominal,
	})
}
