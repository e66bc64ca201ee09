package sqlite

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"

	"pappus/flight"
)

const revisionColumns = "SELECT flight, number, coalesce(parent, 0), made_ms, name, what, hash, document FROM revision WHERE flight = ? AND number = ?"

type queryer interface {
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

func revision(ctx context.Context, q queryer, id string, number int64) (flight.Revision, error) {
	var r flight.Revision
	var made int64
	err := q.QueryRowContext(ctx, revisionColumns, id, number).
		Scan(&r.Flight, &r.Number, &r.Parent, &made, &r.Name, &r.What, &r.Hash, &r.Document)
	if errors.Is(err, sql.ErrNoRows) {
		return r, flight.ErrNotFound
	}
	if err != nil {
		return r, err
	}
	r.Made = fromMs(made)
	if sum := sha256.Sum256(r.Document); hex.EncodeToString(sum[:]) != r.Hash {
		return r, fmt.Errorf("revision %d of %s is damaged in the book: its document no longer matches its hash; restore the book from a copy", number, id)
	}
	return r, nil
}

// Revision gives one revision with its document.
func (b *Book) Revision(ctx context.Context, id string, number int64) (flight.Revision, error) {
	r, err := revision(ctx, b.db, id, number)
	return r, explain(err)
}

// History lists a flight's revisions without their documents, newest first: those
// below the number before (0: from the newest), at most limit of them.
func (b *Book) History(ctx context.Context, id string, before int64, limit int) ([]flight.Revision, error) {
	if _, err := b.Entry(ctx, id); err != nil {
		return nil, err
	}
	rows, err := b.db.QueryContext(ctx, `
SELECT flight, number, coalesce(parent, 0), made_ms, name, what, hash FROM revision
WHERE flight = ? AND (? = 0 OR number < ?) ORDER BY number DESC LIMIT ?`, id, before, before, limit)
	if err != nil {
		return nil, explain(err)
	}
	defer rows.Close()
	var list []flight.Revision
	for rows.Next() {
		var r flight.Revision
		var made int64
		if err := rows.Scan(&r.Flight, &r.Number, &r.Parent, &made, &r.Name, &r.What, &r.Hash); err != nil {
			return nil, explain(err)
		}
		r.Made = fromMs(made)
		list = append(list, r)
	}
	return list, explain(rows.Err())
}

// head reads where a flight stands, and refuses a deleted one.
func head(ctx context.Context, tx *sql.Tx, id string) (int64, error) {
	var number int64
	var deleted bool
	err := tx.QueryRowContext(ctx, "SELECT head, deleted_ms IS NOT NULL FROM flight WHERE id = ?", id).Scan(&number, &deleted)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return 0, flight.ErrNotFound
	case err == nil && deleted:
		return 0, flight.ErrDeleted
	}
	return number, err
}

// conflict tells the one who worked from base what stands in the book instead.
func conflict(ctx context.Context, tx *sql.Tx, id string, base, standing int64) error {
	var c flight.Conflict
	var err error
	if c.Base, err = revision(ctx, tx, id, base); err != nil {
		return err
	}
	if c.Head, err = revision(ctx, tx, id, standing); err != nil {
		return err
	}
	return &c
}

// Save adds a revision made from the revision base and moves the head to it. When
// the head is no longer base, nothing is written and the error is a
// *flight.Conflict, unless the head has the very same document already. A draft
// that changes nothing gives the head back and makes no revision.
func (b *Book) Save(ctx context.Context, id string, base int64, d flight.Draft) (flight.Revision, error) {
	if err := d.Check(); err != nil {
		return flight.Revision{}, err
	}
	var r flight.Revision
	err := b.change(ctx, func(tx *sql.Tx) error {
		standing, err := head(ctx, tx, id)
		if err != nil {
			return err
		}
		if r, err = revision(ctx, tx, id, standing); err != nil {
			return err
		}
		if sum := sha256.Sum256(d.Document); hex.EncodeToString(sum[:]) == r.Hash {
			return nil
		}
		if standing != base {
			return conflict(ctx, tx, id, base, standing)
		}
		var number int64
		if err := tx.QueryRowContext(ctx, "SELECT max(number) + 1 FROM revision WHERE flight = ?", id).Scan(&number); err != nil {
			return err
		}
		if err := insert(ctx, tx, id, number, base, d); err != nil {
			return err
		}
		if err := moveHead(ctx, tx, id, number); err != nil {
			return err
		}
		r, err = revision(ctx, tx, id, number)
		return err
	})
	return r, err
}

func moveHead(ctx context.Context, tx *sql.Tx, id string, number int64) error {
	_, err := tx.ExecContext(ctx, "UPDATE flight SET head = ? WHERE id = ?", number, id)
	return err
}

// Undo moves the head from the revision the caller sees to the one before it.
func (b *Book) Undo(ctx context.Context, id string, from int64) (flight.Revision, error) {
	return b.move(ctx, id, from, func(tx *sql.Tx) (int64, error) {
		return target(ctx, tx, "SELECT parent FROM revision WHERE flight = ? AND number = ?", id, from, flight.ErrNothingToUndo)
	})
}

// Redo moves the head from the revision the caller sees to the newest one that
// was made from it.
func (b *Book) Redo(ctx context.Context, id string, from int64) (flight.Revision, error) {
	return b.move(ctx, id, from, func(tx *sql.Tx) (int64, error) {
		return target(ctx, tx, "SELECT max(number) FROM revision WHERE flight = ? AND parent = ?", id, from, flight.ErrNothingToRedo)
	})
}

// Return moves the head from the revision the caller sees to any other one.
func (b *Book) Return(ctx context.Context, id string, from, to int64) (flight.Revision, error) {
	return b.move(ctx, id, from, func(*sql.Tx) (int64, error) { return to, nil })
}

func target(ctx context.Context, tx *sql.Tx, query, id string, from int64, none error) (int64, error) {
	var to sql.NullInt64
	if err := tx.QueryRowContext(ctx, query, id, from).Scan(&to); err != nil {
		return 0, err
	}
	if !to.Valid {
		return 0, none
	}
	return to.Int64, nil
}

func (b *Book) move(ctx context.Context, id string, from int64, choose func(*sql.Tx) (int64, error)) (flight.Revision, error) {
	var r flight.Revision
	err := b.change(ctx, func(tx *sql.Tx) error {
		standing, err := head(ctx, tx, id)
		if err != nil {
			return err
		}
		if standing != from {
			return conflict(ctx, tx, id, from, standing)
		}
		to, err := choose(tx)
		if err != nil {
			return err
		}
		if r, err = revision(ctx, tx, id, to); err != nil {
			return err
		}
		return moveHead(ctx, tx, id, to)
	})
	return r, err
}
