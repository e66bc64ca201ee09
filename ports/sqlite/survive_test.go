package sqlite

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"pappus/flight"
)

// TestMain turns this binary into a writer that can be killed.
func TestMain(m *testing.M) {
	if path := os.Getenv("PAPPUS_TEST_WRITER"); path != "" {
		write(path)
		return
	}
	os.Exit(m.Run())
}

// write saves without end and says each revision on stdout once it is acknowledged.
func write(path string) {
	ctx := context.Background()
	b, err := Open(ctx, path)
	if err != nil {
		fmt.Println("error:", err)
		return
	}
	e, err := b.Create(ctx, draft("begun", 1))
	for base := e.Head; err == nil; {
		fmt.Println(e.ID, base)
		var r flight.Revision
		r, err = b.Save(ctx, e.ID, base, draft(fmt.Sprintf("save after %d", base), 2))
		base = r.Number
	}
	fmt.Println("error:", err)
}

func integrity(t *testing.T, b *Book) {
	t.Helper()
	var verdict string
	if err := b.db.QueryRow("PRAGMA integrity_check").Scan(&verdict); err != nil || verdict != "ok" {
		t.Errorf("integrity check: %q, %v", verdict, err)
	}
	if rows := must(b.db.Query("PRAGMA foreign_key_check"))(t); rows.Next() {
		t.Error("a flight or revision points nowhere")
	} else {
		rows.Close()
	}
}

func TestKilledWriterLosesNothing(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "book.sqlite")
	for round := range 4 {
		writer := exec.Command(program)
		writer.Env = append(os.Environ(), "PAPPUS_TEST_WRITER="+path)
		out, err := writer.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := writer.Start(); err != nil {
			t.Fatal(err)
		}
		// The kill comes after a number of saves that differs, at no chosen
		// moment of the save after it; then all that was said is read.
		var id string
		var last int64
		lines := bufio.NewScanner(out)
		for n := 0; lines.Scan(); n++ {
			if n == 7+23*round {
				writer.Process.Kill()
			}
			who, number, _ := strings.Cut(lines.Text(), " ")
			if id = who; id == "error:" {
				t.Fatal(lines.Text())
			}
			if last, err = strconv.ParseInt(number, 10, 64); err != nil {
				t.Fatal(err)
			}
		}
		writer.Wait()
		b := open(t, path)
		e := must(b.Entry(context.Background(), id))(t)
		// One more save than was said may be on the disk: killed before the word.
		if last < int64(7+23*round) || e.Head < last || e.Head > last+1 {
			t.Errorf("round %d: acknowledged up to %d, the book stands at %d", round, last, e.Head)
		}
		for number := int64(1); number <= last; number++ {
			must(b.Revision(context.Background(), id, number))(t)
		}
		integrity(t, b)
		b.Close()
	}
}

func TestFullDisk(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.sqlite")
	b := open(t, path)
	b.db.SetMaxOpenConns(1) // the page limit below belongs to one connection
	ctx := context.Background()
	id := must(b.Create(ctx, draft("one", 1)))(t).ID
	if _, err := b.db.Exec("PRAGMA max_page_count = 60"); err != nil {
		t.Fatal(err)
	}
	base := int64(1)
	for n := 0; ; n++ {
		large := draft(strconv.Itoa(n), 2)
		large.Document = append(large.Document, strings.Repeat("# long\n", 3000)...)
		r, err := b.Save(ctx, id, base, large)
		if errors.Is(err, flight.ErrBookFull) {
			if !strings.Contains(err.Error(), "free some space") {
				t.Errorf("the error gives no advice: %v", err)
			}
			break
		}
		if err != nil || n > 100 {
			t.Fatalf("save %d: %v", n, err)
		}
		base = r.Number
	}
	if base < 3 {
		t.Fatalf("only %d revisions fitted: the test tests nothing", base)
	}
	if e := must(b.Entry(ctx, id))(t); e.Head != base {
		t.Errorf("after the full disk the book stands at %d, want %d", e.Head, base)
	}
	b.Close()

	again := open(t, path)
	integrity(t, again)
	for number := int64(1); number <= base; number++ {
		must(again.Revision(ctx, id, number))(t)
	}
	must(again.Save(ctx, id, base, draft("room again", 3)))(t)
}

// The kept book was written by tools/keptbook when migration 1 was the newest;
// what it holds is written here from that tool's text, by hand.
func TestKeptBookOpens(t *testing.T) {
	kept, err := os.ReadFile(filepath.Join("testdata", "book-1.sqlite"))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "book.sqlite")
	if err := os.WriteFile(path, kept, 0o600); err != nil {
		t.Fatal(err)
	}
	b, ctx := open(t, path), context.Background()
	list := must(b.List(ctx))(t)
	if len(list) != 2 || list[0].ID != "reed-warbler" || list[1].ID != "heath-lark" {
		t.Fatalf("list %+v", list)
	}
	lark := list[1]
	if lark.Name != "Heath Lark" || lark.Head != 2 || lark.Newest != 3 || !lark.CanUndo || !lark.CanRedo || !lark.Archived.IsZero() {
		t.Errorf("heath lark: %+v", lark)
	}
	if want := time.Date(2026, 11, 24, 10, 5, 0, 0, time.UTC); !list[0].Deleted.Equal(want) {
		t.Errorf("reed warbler deleted at %v, want %v", list[0].Deleted, want)
	}
	r := must(b.Revision(ctx, lark.ID, 3))(t)
	if string(r.Document) != "format = 1\nname = \"Heath Lark\"\n# three\n" || r.What != "third change" {
		t.Errorf("revision 3: %+v with %q", r, r.Document)
	}
	must(b.Redo(ctx, lark.ID, 2))(t)
	integrity(t, b)
}
