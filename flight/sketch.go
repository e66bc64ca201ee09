package flight

import (
	"context"

	"pappus/desk/sizing"
	"pappus/measure/unit"
)

// Sketch looks for flights that meet a goal.
func Sketch(ctx context.Context, goal *sizing.Goal, system unit.System) (*sizing.Sketch, error) {
	return goal.Work(ctx, system)
}
