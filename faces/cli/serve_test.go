package cli

import (
	"bytes"
	"context"
	"strings"
	"testing"
)

// opened runs a command line with an app that only notes what it was asked.
func opened(words ...string) (app *App, status int, out, errs string) {
	var stdout, stderr bytes.Buffer
	desk := Desk{Out: &stdout, Err: &stderr, Workers: 1, StartApp: func(_ context.Context, a App) error {
		app = &a
		return a.Ready("http://127.0.0.1:1/")
	}}
	status = desk.Run(context.Background(), words)
	return app, status, stdout.String(), stderr.String()
}

func TestServeOpensTheBook(t *testing.T) {
	app, status, out, _ := opened("serve", "--book", "here", "--listen", "localhost:0")
	if status != exitAnswered || app.Book != "here" || app.Listen != "localhost:0" || app.First != nil || app.Open {
		t.Errorf("status %d, asked %+v", status, app)
	}
	if !strings.Contains(out, "http://127.0.0.1:1/\n") || !strings.Contains(out, "here") {
		t.Errorf("it says %q", out)
	}
	_, _, out, _ = opened("serve", "--book", "here", "--json")
	if document := decode(t, out); document["address"] != "http://127.0.0.1:1/" {
		t.Errorf("as JSON it says %q", out)
	}
}

func TestDemoOpensAnInventedFlight(t *testing.T) {
	app, status, _, _ := opened("demo", "--open")
	if status != exitAnswered || app.Book != "" || app.First == nil || len(app.First.Document) == 0 || !app.Open || app.Listen != usualListen {
		t.Errorf("status %d, asked %+v", status, app)
	}
}

// An address that other machines reach would let anyone in.
func TestServeStaysOnThisMachine(t *testing.T) {
	for _, listen := range []string{"0.0.0.0:80", ":8765", "[::]:1", "192.0.2.7:8765", "example.org:80", "8765"} {
		if app, status, _, errs := opened("serve", "--book", "here", "--listen", listen); status != exitUsage || app != nil || !strings.Contains(errs, listen) {
			t.Errorf("%s: status %d, %s", listen, status, errs)
		}
	}
	for _, listen := range []string{"127.0.0.1:1", "[::1]:1", "127.9.9.9:0"} {
		if _, status, _, errs := opened("demo", "--listen", listen); status != exitAnswered {
			t.Errorf("%s: status %d, %s", listen, status, errs)
		}
	}
}
