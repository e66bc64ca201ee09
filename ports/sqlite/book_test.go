package sqlite

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"pappus/flight"
)

func open(t *testing.T, path string) *Book {
	t.Helper()
	b, err := Open(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return b
}

func fresh(t *testing.T) *Book {
	t.Helper()
	return open(t, filepath.Join(t.TempDir(), "book.sqlite"))
}

func draft(text string, minute int) flight.Draft {
	made := time.Date(2027, 4, 1, 8, minute, 0, 250e6, time.UTC)
	return flight.Draft{Name: "Meadow Lark", What: "now " + text, Document: []byte("note = \"" + text + "\"\n"), Made: made}
}

// must gives the value and ends the test on an error.
func must[T any](v T, err error) func(*testing.T) T {
	return func(t *testing.T) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func TestCreateSaveAndList(t *testing.T) {
	b, ctx := fresh(t), context.Background()
	first := must(b.Create(ctx, draft("one", 1)))(t)
	second := must(b.Create(ctx, draft("other", 2)))(t)
	if first.ID != "meadow-lark" || second.ID != "meadow-lark-2" {
		t.Errorf("ids %q and %q", first.ID, second.ID)
	}
	d := draft("two", 3)
	d.Name = "Meadow Lark, renamed"
	r := must(b.Save(ctx, first.ID, 1, d))(t)
	if r.Number != 2 || r.Parent != 1 || !r.Made.Equal(d.Made) || string(r.Document) != string(d.Document) || r.What != "now two" {
		t.Errorf("saved as %+v", r)
	}
	list := must(b.List(ctx))(t)
	if len(list) != 2 || list[0].ID != first.ID || list[0].Name != d.Name || list[0].Head != 2 || !list[0].CanUndo || list[0].CanRedo {
		t.Errorf("list %+v", list)
	}
	if again := must(b.Save(ctx, first.ID, 2, d))(t); again.Number != 2 {
		t.Errorf("a save that changes nothing made revision %d", again.Number)
	}
}

func TestUndoAndRedoLoseNothing(t *testing.T) {
	b, ctx := fresh(t), context.Background()
	id := must(b.Create(ctx, draft("one", 1)))(t).ID
	must(b.Save(ctx, id, 1, draft("two", 2)))(t)
	must(b.Save(ctx, id, 2, draft("three", 3)))(t)
	if r := must(b.Undo(ctx, id, 3))(t); r.Number != 2 {
		t.Errorf("undo went to %d", r.Number)
	}
	must(b.Undo(ctx, id, 2))(t)
	if _, err := b.Undo(ctx, id, 1); !errors.Is(err, flight.ErrNothingToUndo) {
		t.Errorf("undo at the first revision: %v", err)
	}
	if r := must(b.Redo(ctx, id, 1))(t); r.Number != 2 {
		t.Errorf("redo went to %d", r.Number)
	}
	must(b.Save(ctx, id, 2, draft("other three", 4)))(t)
	if _, err := b.Redo(ctx, id, 4); !errors.Is(err, flight.ErrNothingToRedo) {
		t.Errorf("redo at the newest: %v", err)
	}
	if r := must(b.Return(ctx, id, 4, 3))(t); r.What != "now three" {
		t.Errorf("return to the left revision gave %+v", r)
	}
	if _, err := b.Return(ctx, id, 3, 99); !errors.Is(err, flight.ErrNotFound) {
		t.Errorf("return to no revision: %v", err)
	}
	history := must(b.History(ctx, id, 0, 10))(t)
	if len(history) != 4 || history[0].Number != 4 || history[0].Parent != 2 || history[0].Document != nil {
		t.Errorf("history %+v", history)
	}
	if page := must(b.History(ctx, id, 4, 2))(t); len(page) != 2 || page[0].Number != 3 {
		t.Errorf("second page %+v", page)
	}
}

func TestConflictHoldsBoth(t *testing.T) {
	b, ctx := fresh(t), context.Background()
	id := must(b.Create(ctx, draft("one", 1)))(t).ID
	must(b.Save(ctx, id, 1, draft("theirs", 2)))(t)
	_, err := b.Save(ctx, id, 1, draft("mine", 3))
	var c *flight.Conflict
	if !errors.As(err, &c) {
		t.Fatalf("a save from an older revision: %v", err)
	}
	if c.Base.Number != 1 || c.Head.Number != 2 || !strings.Contains(string(c.Head.Document), "theirs") || !strings.Contains(string(c.Base.Document), "one") {
		t.Errorf("conflict %+v", c)
	}
	if len(must(b.History(ctx, id, 0, 9))(t)) != 2 {
		t.Error("a save in conflict was written")
	}
	if r := must(b.Save(ctx, id, 1, draft("theirs", 4)))(t); r.Number != 2 {
		t.Errorf("the same document as the head's: %+v", r)
	}
	if _, err := b.Undo(ctx, id, 1); !errors.As(err, &c) {
		t.Errorf("undo from an older revision: %v", err)
	}
}

func TestDeleteAndRestore(t *testing.T) {
	b, ctx := fresh(t), context.Background()
	id := must(b.Create(ctx, draft("one", 1)))(t).ID
	at := time.Date(2027, 5, 1, 0, 0, 0, 0, time.UTC)
	if e := must(b.SetArchived(ctx, id, at))(t); !e.Archived.Equal(at) {
		t.Errorf("archived: %+v", e)
	}
	if e := must(b.SetDeleted(ctx, id, at))(t); !e.Deleted.Equal(at) {
		t.Errorf("deleted: %+v", e)
	}
	if _, err := b.Save(ctx, id, 1, draft("two", 2)); !errors.Is(err, flight.ErrDeleted) {
		t.Errorf("save to a deleted flight: %v", err)
	}
	if _, err := b.SetArchived(ctx, id, time.Time{}); !errors.Is(err, flight.ErrDeleted) {
		t.Errorf("archive of a deleted flight: %v", err)
	}
	if e := must(b.SetDeleted(ctx, id, time.Time{}))(t); !e.Deleted.IsZero() || !e.Archived.Equal(at) {
		t.Errorf("restored: %+v", e)
	}
	for name, err := range map[string]error{
		"delete": second(b.SetDeleted(ctx, "no-such", at)),
		"save":   second(b.Save(ctx, "no-such", 1, draft("two", 2))),
		"entry":  second(b.Entry(ctx, "no-such")),
		"read":   second(b.Revision(ctx, id, 7)),
		"undo":   second(b.Undo(ctx, "no-such", 1)),
		"list":   second(b.History(ctx, "no-such", 0, 5)),
	} {
		if !errors.Is(err, flight.ErrNotFound) {
			t.Errorf("%s of what is not there: %v", name, err)
		}
	}
}

func second[T any](_ T, err error) error { return err }

// Eight writers, half through another handle as another program would have,
// each saving onto what it last saw: every save is either a revision or a
// conflict, and none is lost.
func TestConcurrentWriters(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.sqlite")
	books := []*Book{open(t, path), open(t, path)}
	ctx := context.Background()
	id := must(books[0].Create(ctx, draft("one", 1)))(t).ID
	var mu sync.Mutex
	saved := map[int64]string{}
	var wait sync.WaitGroup
	for writer := range 8 {
		wait.Add(1)
		go func() {
			defer wait.Done()
			b, base := books[writer%2], int64(1)
			for n := range 15 {
				text := fmt.Sprintf("writer %d save %d", writer, n)
				for {
					r, err := b.Save(ctx, id, base, draft(text, 2))
					var c *flight.Conflict
					if errors.As(err, &c) {
						base = c.Head.Number
						continue
					}
					if err != nil {
						t.Error(err)
						return
					}
					mu.Lock()
					if other, twice := saved[r.Number]; twice {
						t.Errorf("revision %d was given to %q and %q", r.Number, other, text)
					}
					saved[r.Number] = text
					mu.Unlock()
					base = r.Number
					break
				}
			}
		}()
	}
	wait.Wait()
	for number, text := range saved {
		r := must(books[0].Revision(ctx, id, number))(t)
		if !strings.Contains(string(r.Document), text) || r.Parent != number-1 {
			t.Errorf("revision %d holds %q from %d, want %q", number, r.Document, r.Parent, text)
		}
	}
	if len(saved) != 8*15 {
		t.Errorf("%d saves were acknowledged, want %d", len(saved), 8*15)
	}
}

func TestOpenRefusesWhatIsNoBook(t *testing.T) {
	ctx := context.Background()
	folder := t.TempDir()
	text := filepath.Join(folder, "notes.txt")
	if err := os.WriteFile(text, []byte(strings.Repeat("not a database\n", 100)), 0o600); err != nil {
		t.Fatal(err)
	}
	foreign := filepath.Join(folder, "foreign.sqlite")
	b := open(t, foreign)
	if _, err := b.db.Exec("PRAGMA application_id = 7"); err != nil {
		t.Fatal(err)
	}
	newer := filepath.Join(folder, "newer.sqlite")
	if _, err := open(t, newer).db.Exec("PRAGMA user_version = 99"); err != nil {
		t.Fatal(err)
	}
	for path, word := range map[string]string{
		text: "not a book", foreign: "another program", newer: "newer version", folder: "folder",
		filepath.Join(folder, "nowhere", "book.sqlite"): "cannot be written",
	} {
		if got, err := Open(ctx, path); err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("%s: want an error with %q, got %v", filepath.Base(path), word, err)
			if got != nil {
				got.Close()
			}
		}
	}
	if kept, err := os.ReadFile(text); err != nil || !strings.HasPrefix(string(kept), "not a database") {
		t.Error("a file that is no book was changed")
	}
}

func TestDamagedDocumentIsNamed(t *testing.T) {
	b, ctx := fresh(t), context.Background()
	id := must(b.Create(ctx, draft("one", 1)))(t).ID
	if _, err := b.db.Exec("UPDATE revision SET document = x'00'"); err == nil || !strings.Contains(err.Error(), "never changed") {
		t.Fatalf("a revision could be changed: %v", err)
	}
	if _, err := b.db.Exec("DROP TRIGGER revision_is_kept; UPDATE revision SET document = x'00'"); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Revision(ctx, id, 1); err == nil || !strings.Contains(err.Error(), "damaged") {
		t.Errorf("a changed document: %v", err)
	}
}
