package sqlite

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"strconv"
	"time"

	"pappus/flight"
)

const entryColumns = `
SELECT f.id, r.name, f.head, r.made_ms, f.archived_ms, f.deleted_ms,
       (SELECT max(number) FROM revision WHERE flight = f.id),
       (SELECT made_ms FROM revision WHERE flight = f.id AND number = 1),
       r.parent IS NOT NULL,
       EXISTS (SELECT 1 FROM revision c WHERE c.flight = f.id AND c.parent = f.head)
FROM flight f JOIN revision r ON r.flight = f.id AND r.number = f.head`

func scanEntry(row interface{ Scan(...any) error }) (flight.Entry, error) {
	var e flight.Entry
	var changed, created int64
	var archived, deleted sql.NullInt64
	err := row.Scan(&e.ID, &e.Name, &e.Head, &changed, &archived, &deleted, &e.Newest, &created, &e.CanUndo, &e.CanRedo)
	if errors.Is(err, sql.ErrNoRows) {
		err = flight.ErrNotFound
	}
	e.Changed, e.Created = fromMs(changed), fromMs(created)
	if archived.Valid {
		e.Archived = fromMs(archived.Int64)
	}
	if deleted.Valid {
		e.Deleted = fromMs(deleted.Int64)
	}
	return e, err
}

func fromMs(ms int64) time.Time { return time.UnixMilli(ms).UTC() }

// List gives every flight, archived and deleted ones too, the last changed first.
func (b *Book) List(ctx context.Context) ([]flight.Entry, error) {
	rows, err := b.db.QueryContext(ctx, entryColumns+" ORDER BY r.made_ms DESC, f.id")
	if err != nil {
		return nil, explain(err)
	}
	defer rows.Close()
	var list []flight.Entry
	for rows.Next() {
		e, err := scanEntry(rows)
		if err != nil {
			return nil, explain(err)
		}
		list = append(list, e)
	}
	return list, explain(rows.Err())
}

// Entry gives one flight.
func (b *Book) Entry(ctx context.Context, id string) (flight.Entry, error) {
	e, err := scanEntry(b.db.QueryRowContext(ctx, entryColumns+" WHERE f.id = ?", id))
	return e, explain(err)
}

// Create adds a flight with the draft as its first revision. The flight's id is
// made from its name, with a number after it where the id is taken.
func (b *Book) Create(ctx context.Context, d flight.Draft) (flight.Entry, error) {
	if err := d.Check(); err != nil {
		return flight.Entry{}, err
	}
	var e flight.Entry
	err := b.change(ctx, func(tx *sql.Tx) error {
		id, err := freeID(ctx, tx, flight.Slug(d.Name))
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO flight (id, head) VALUES (?, 1)", id); err != nil {
			return err
		}
		if err := insert(ctx, tx, id, 1, 0, d); err != nil {
			return err
		}
		e, err = scanEntry(tx.QueryRowContext(ctx, entryColumns+" WHERE f.id = ?", id))
		return err
	})
	return e, err
}

func freeID(ctx context.Context, tx *sql.Tx, slug string) (string, error) {
	id := slug
	for n := 2; ; n++ {
		var taken bool
		if err := tx.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM flight WHERE id = ?)", id).Scan(&taken); err != nil || !taken {
			return id, err
		}
		id = slug + "-" + strconv.Itoa(n)
	}
}

func insert(ctx context.Context, tx *sql.Tx, id string, number, parent int64, d flight.Draft) error {
	sum := sha256.Sum256(d.Document)
	_, err := tx.ExecContext(ctx,
		"INSERT INTO revision (flight, number, parent, made_ms, name, what, hash, document) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
		id, number, sql.NullInt64{Int64: parent, Valid: parent > 0}, d.Made.UnixMilli(), d.Name, d.What, hex.EncodeToString(sum[:]), d.Document)
	return err
}

// SetArchived puts a flight away among the old ones (at a time), or takes it back
// out (the zero time).
func (b *Book) SetArchived(ctx context.Context, id string, at time.Time) (flight.Entry, error) {
	return b.mark(ctx, id, "UPDATE flight SET archived_ms = ? WHERE id = ? AND deleted_ms IS NULL", at)
}

// SetDeleted deletes a flight (at a time), or restores it (the zero time). A
// deleted flight keeps its revisions, so that a restored one lacks nothing.
func (b *Book) SetDeleted(ctx context.Context, id string, at time.Time) (flight.Entry, error) {
	return b.mark(ctx, id, "UPDATE flight SET deleted_ms = ? WHERE id = ?", at)
}

func (b *Book) mark(ctx context.Context, id, update string, at time.Time) (flight.Entry, error) {
	var e flight.Entry
	err := b.change(ctx, func(tx *sql.Tx) error {
		done, err := tx.ExecContext(ctx, update, sql.NullInt64{Int64: at.UnixMilli(), Valid: !at.IsZero()}, id)
		if err != nil {
			return err
		}
		if e, err = scanEntry(tx.QueryRowContext(ctx, entryColumns+" WHERE f.id = ?", id)); err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, fmt.Errorf("%s: %w", e.Name, flight.ErrDeleted))
		}
		return nil
	})
	return e, err
}
