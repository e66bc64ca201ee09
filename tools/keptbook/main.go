// Keptbook writes a small book of the present form, to be kept as test data: run
// it once for each new migration, so that later versions prove that they open it.
//
//	go run ./tools/keptbook ports/sqlite/testdata/book-N.sqlite
package main

import (
	"context"
	"log"
	"os"
	"time"

	"pappus/flight"
	"pappus/ports/sqlite"
)

func main() {
	if len(os.Args) != 2 {
		log.Fatal("usage: keptbook FILE")
	}
	if _, err := os.Stat(os.Args[1]); err == nil {
		log.Fatalf("%s is there already: a kept book is never written again", os.Args[1])
	}
	if err := write(context.Background(), os.Args[1]); err != nil {
		log.Fatal(err)
	}
}

func draft(name, what, last string, minute int) flight.Draft {
	return flight.Draft{
		Name: name, What: what, Made: time.Date(2026, 11, 24, 10, minute, 0, 0, time.UTC),
		Document: []byte("format = 1\nname = \"" + name + "\"\n# " + last + "\n"),
	}
}

func write(ctx context.Context, path string) error {
	b, err := sqlite.Open(ctx, path)
	if err != nil {
		return err
	}
	lark, err := b.Create(ctx, draft("Heath Lark", "begun", "one", 0))
	if err != nil {
		return err
	}
	for number, what := range []string{"second change", "third change"} {
		if _, err := b.Save(ctx, lark.ID, int64(number+1), draft("Heath Lark", what, []string{"two", "three"}[number], number+1)); err != nil {
			return err
		}
	}
	if _, err := b.Undo(ctx, lark.ID, 3); err != nil {
		return err
	}
	warbler, err := b.Create(ctx, draft("Reed Warbler", "begun", "one", 4))
	if err != nil {
		return err
	}
	if _, err := b.SetDeleted(ctx, warbler.ID, time.Date(2026, 11, 24, 10, 5, 0, 0, time.UTC)); err != nil {
		return err
	}
	return b.Close()
}
