package sqlite

import (
	"context"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"pappus/flight"
)

func TestTicksAreKeptWithTheFlight(t *testing.T) {
	path, ctx := filepath.Join(t.TempDir(), "book.sqlite"), context.Background()
	b := open(t, path)
	one, two := must(b.Create(ctx, draft("one", 1)))(t).ID, must(b.Create(ctx, draft("two", 1)))(t).ID
	first := time.Date(2027, 4, 17, 8, 30, 0, 0, time.UTC)
	for _, at := range []time.Time{first, first.Add(time.Hour)} {
		if err := b.SetTick(ctx, one, "launch.vent", at); err != nil {
			t.Fatal(err)
		}
	}
	if err := b.SetTick(ctx, one, "launch.knots", first); err != nil {
		t.Fatal(err)
	}
	if err := b.SetTick(ctx, one, "launch.knots", time.Time{}); err != nil {
		t.Fatal(err)
	}
	b.Close()

	again := open(t, path)
	ticks := must(again.Ticks(ctx, one))(t)
	if len(ticks) != 1 || !ticks["launch.vent"].Equal(first) {
		t.Errorf("after a reopen: %v", ticks)
	}
	if other := must(again.Ticks(ctx, two))(t); len(other) != 0 {
		t.Errorf("the other flight has %v", other)
	}
	if _, err := again.Ticks(ctx, "nobody"); !errors.Is(err, flight.ErrNotFound) {
		t.Errorf("ticks of no flight: %v", err)
	}
	if err := again.SetTick(ctx, "nobody", "x", first); !errors.Is(err, flight.ErrNotFound) {
		t.Errorf("a tick for no flight: %v", err)
	}
	must(again.SetDeleted(ctx, two, first))(t)
	if err := again.SetTick(ctx, two, "x", first); !errors.Is(err, flight.ErrDeleted) {
		t.Errorf("a tick for a deleted flight: %v", err)
	}
	integrity(t, again)
}
