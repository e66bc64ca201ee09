package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"pappus/flight"
)

// mostTicks bounds what one flight keeps: its lists have a few hundred boxes.
const mostTicks = 5000

// Ticks gives the boxes that are ticked on a flight's checklists, and since when.
func (b *Book) Ticks(ctx context.Context, id string) (map[string]time.Time, error) {
	if _, err := b.Entry(ctx, id); err != nil {
		return nil, err
	}
	rows, err := b.db.QueryContext(ctx, "SELECT box, ticked_ms FROM tick WHERE flight = ?", id)
	if err != nil {
		return nil, explain(err)
	}
	defer rows.Close()
	ticks := map[string]time.Time{}
	for rows.Next() {
		var box string
		var ms int64
		if err := rows.Scan(&box, &ms); err != nil {
			return nil, explain(err)
		}
		ticks[box] = fromMs(ms)
	}
	return ticks, explain(rows.Err())
}

// SetTick ticks a box at a time, or takes the tick away (the zero time). A box
// that is ticked already keeps the time at which it first was.
func (b *Book) SetTick(ctx context.Context, id, box string, at time.Time) error {
	return b.change(ctx, func(tx *sql.Tx) error {
		e, err := scanEntry(tx.QueryRowContext(ctx, entryColumns+" WHERE f.id = ?", id))
		if err != nil {
			return err
		}
		if !e.Deleted.IsZero() {
			return fmt.Errorf("%s: %w", e.Name, flight.ErrDeleted)
		}
		if at.IsZero() {
			_, err = tx.ExecContext(ctx, "DELETE FROM tick WHERE flight = ? AND box = ?", id, box)
			return err
		}
		var kept int
		if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM tick WHERE flight = ?", id).Scan(&kept); err != nil {
			return err
		}
		if kept >= mostTicks {
			return errors.New("this flight keeps no more ticks: take away those that are no longer needed")
		}
		_, err = tx.ExecContext(ctx, "INSERT INTO tick (flight, box, ticked_ms) VALUES (?, ?, ?) ON CONFLICT DO NOTHING", id, box, at.UnixMilli())
		return err
	})
}
