package main

import (
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pappus/faces/cli"
)

// The app answers at the address it names, keeps its book, and ends when told.
func TestAppAnswersAndEnds(t *testing.T) {
	for _, folder := range []string{filepath.Join(t.TempDir(), "new", "book"), ""} {
		ctx, stop := context.WithTimeout(context.Background(), 20*time.Second)
		var page string
		err := startApp(ctx, cli.App{
			Book: folder, Listen: "127.0.0.1:0", First: &cli.Flight{Name: "Lark", What: "begun", Document: []byte("name = \"Lark\"\n")},
			Ready: func(address string) error {
				go func() { // the app answers once this returns
					defer stop()
					if answer, err := http.Get(strings.Replace(address, "/f/", "/api/v1/flights/", 1)); err == nil {
						text, _ := io.ReadAll(answer.Body)
						answer.Body.Close()
						page = string(text)
					}
				}()
				return nil
			},
		})
		if err != nil || !strings.Contains(page, `"name":"Lark"`) {
			t.Errorf("%q: %v, answered %q", folder, err, page)
		}
		if folder != "" {
			if _, err := os.Stat(filepath.Join(folder, "book.sqlite")); err != nil {
				t.Error(err)
			}
		}
	}
}

func TestAppSaysThatItsPortIsTaken(t *testing.T) {
	ctx, stop := context.WithTimeout(context.Background(), 20*time.Second)
	defer stop()
	err := startApp(ctx, cli.App{Listen: "127.0.0.1:0", Ready: func(address string) error {
		inner := startApp(ctx, cli.App{Listen: strings.TrimSuffix(strings.TrimPrefix(address, "http://"), "/"), Ready: func(string) error { return nil }})
		if inner == nil || !strings.Contains(inner.Error(), "--listen") {
			t.Errorf("a taken port is told as %v", inner)
		}
		stop()
		return nil
	}})
	if err != nil {
		t.Error(err)
	}
}
