// Package sqlite keeps the book: one SQLite file with every flight's document in
// all its revisions. A revision is acknowledged only once it is on the disk.
package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"pappus/flight"
)

// ApplicationID marks a SQLite file as a book of this program: "papp" in ASCII,
// at octet 68 of the file.
const ApplicationID = 0x70617070

//go:embed migrations/*.sql
var migrations embed.FS

// Book is one open book. Its methods may be called from several goroutines, and
// several programs may have the same book open.
type Book struct {
	db *sql.DB
}

// Open opens the book at path, makes it when there is none, and brings an older
// one up to date.
func Open(ctx context.Context, path string) (*Book, error) {
	absolute, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("the book %s: %w", path, err)
	}
	if info, err := os.Stat(absolute); err == nil && info.IsDir() {
		return nil, fmt.Errorf("the book %s is a folder: name a file", path)
	}
	// Full sync: what is acknowledged survives a power cut. The lock is taken when
	// a transaction begins, so that it cannot fail half way for another writer.
	query := url.Values{
		"_pragma": {"busy_timeout(5000)", "foreign_keys(1)", "synchronous(FULL)"},
		"_txlock": {"immediate"},
	}
	slashed := filepath.ToSlash(absolute)
	if !strings.HasPrefix(slashed, "/") {
		slashed = "/" + slashed // a drive letter
	}
	address := url.URL{Scheme: "file", Path: slashed, RawQuery: query.Encode()}
	db, err := sql.Open("sqlite", address.String())
	if err != nil {
		return nil, fmt.Errorf("the book %s: %w", path, err)
	}
	db.SetMaxOpenConns(4)
	b := &Book{db}
	if err := b.prepare(ctx); err != nil {
		db.Close()
		return nil, fmt.Errorf("the book %s: %w", path, explain(err))
	}
	return b, nil
}

// Close closes the book. All that was acknowledged is on the disk already.
func (b *Book) Close() error { return b.db.Close() }

// prepare makes sure that the file is a book, and of this version.
func (b *Book) prepare(ctx context.Context) error {
	steps, err := fs.Glob(migrations, "migrations/*.sql")
	if err != nil {
		return err
	}
	var id, version, tables int
	for pragma, into := range map[string]*int{
		"PRAGMA application_id": &id, "PRAGMA user_version": &version, "SELECT count(*) FROM sqlite_schema": &tables,
	} {
		if err := b.db.QueryRowContext(ctx, pragma).Scan(into); err != nil {
			return err
		}
	}
	switch {
	case id != ApplicationID && (id != 0 || tables > 0):
		return errors.New("this file is a database of another program: name another file")
	case version > len(steps):
		return fmt.Errorf("it was written by a newer version of this program (its form is %d, this version knows up to %d): use the newer version", version, len(steps))
	}
	if _, err := b.db.ExecContext(ctx, "PRAGMA journal_mode = WAL"); err != nil {
		return err
	}
	if version == len(steps) {
		return nil
	}
	return b.change(ctx, func(tx *sql.Tx) error { return migrate(ctx, tx, steps) })
}

// migrate runs the steps that the book has not seen. The version is read again,
// since another program may have migrated between.
func migrate(ctx context.Context, tx *sql.Tx, steps []string) error {
	var version int
	if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
		return err
	}
	for number := version + 1; number <= len(steps); number++ {
		text, err := migrations.ReadFile(steps[number-1])
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, string(text)); err != nil {
			return fmt.Errorf("migration %d: %w", number, err)
		}
	}
	for pragma, value := range map[string]int{"application_id": ApplicationID, "user_version": len(steps)} {
		if _, err := tx.ExecContext(ctx, "PRAGMA "+pragma+" = "+strconv.Itoa(value)); err != nil {
			return err
		}
	}
	return nil
}

// change runs do in one transaction, which is on the disk when change returns nil.
func (b *Book) change(ctx context.Context, do func(*sql.Tx) error) error {
	tx, err := b.db.BeginTx(ctx, nil)
	if err != nil {
		return explain(err)
	}
	if err := do(tx); err != nil {
		return errors.Join(explain(err), rolledBack(tx.Rollback()))
	}
	return explain(tx.Commit())
}

// rolledBack hides that SQLite has already rolled back by itself, which it does
// after a full disk.
func rolledBack(err error) error {
	var coded *sqlite.Error
	if errors.Is(err, sql.ErrTxDone) || errors.As(err, &coded) && coded.Code() == sqlite3.SQLITE_ERROR {
		return nil
	}
	return err
}

// explain turns the database's codes that a person can act on into words.
func explain(err error) error {
	var coded *sqlite.Error
	if !errors.As(err, &coded) {
		return err
	}
	switch coded.Code() & 0xff {
	case sqlite3.SQLITE_FULL:
		return fmt.Errorf("%w (%v)", flight.ErrBookFull, err)
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return fmt.Errorf("%w (%v)", flight.ErrBookBusy, err)
	case sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT:
		return fmt.Errorf("the file is damaged or is not a book: restore it from a copy, or name another file (%w)", err)
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		return fmt.Errorf("the file cannot be written: check that its folder exists and is yours to write in (%w)", err)
	}
	return err
}
