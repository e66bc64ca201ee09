package flight

import (
	"context"

	"pappus/desk/money"
	"pappus/record"
)

// Cost answers what a flight costs and how likely the box comes back; with a sky
// the share of landings in water is that of the odds.
func Cost(ctx context.Context, f *record.Flight, sky Sky, chances money.Chances, o OddsOptions) (*money.Answer, error) {
	if len(sky.Files) == 0 {
		return money.Of(f, chances), nil
	}
	odds, err := Where(ctx, f, sky, o)
	if err != nil {
		return nil, err
	}
	chances.OddsWater = record.Given(odds.Result.WaterShare(odds.Land))
	return money.Of(f, chances), nil
}
