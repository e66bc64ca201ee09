package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pappus/flight"
	"pappus/flight/jobs"
	"pappus/ports/sqlite"
)

type app struct {
	testing.TB
	server *Server
	log    *bytes.Buffer
}

func newApp(t testing.TB) *app {
	t.Helper()
	book, err := sqlite.Open(context.Background(), filepath.Join(t.TempDir(), "book.sqlite"))
	if err != nil {
		t.Fatal(err)
	}
	clock := time.Date(2027, 4, 1, 12, 0, 0, 0, time.UTC)
	a := &app{TB: t, log: &bytes.Buffer{}}
	a.server, err = New(Config{Book: book, Now: func() time.Time { return clock }, Version: "test", Log: slog.New(slog.NewTextHandler(a.log, nil))})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		a.server.Close()
		book.Close()
	})
	return a
}

// send makes a request as the app's own page would, and gives the answer.
func (a *app) send(method, path, body string, alter ...func(*http.Request)) *httptest.ResponseRecorder {
	a.Helper()
	r := httptest.NewRequest(method, "http://127.0.0.1:8765"+path, strings.NewReader(body))
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, f := range alter {
		f(r)
	}
	w := httptest.NewRecorder()
	a.server.ServeHTTP(w, r)
	return w
}

// want sends, checks the status and reads the JSON.
func (a *app) want(status int, method, path, body string) map[string]any {
	a.Helper()
	w := a.send(method, apiPrefix+path, body)
	if w.Code != status {
		a.Fatalf("%s %s: %d, want %d: %s", method, path, w.Code, status, w.Body)
	}
	var value map[string]any
	if err := json.Unmarshal(w.Body.Bytes(), &value); err != nil {
		a.Fatalf("%s %s: %v in %s", method, path, err, w.Body)
	}
	return value
}

func dig(value any, keys ...string) any {
	for _, key := range keys {
		value = value.(map[string]any)[key]
	}
	return value
}

func text(value any) string {
	b, _ := json.Marshal(value)
	return string(b)
}

func TestFlightFromBeginToConflict(t *testing.T) {
	a := newApp(t)
	made := a.want(201, post, "/flights", `{"start":"first","name":"Heath \"Lark\" 7"}`)
	if made["id"] != "heath-lark-7" || made["name"] != `Heath "Lark" 7` {
		t.Fatalf("made %v", made)
	}
	open := a.want(200, get, "/flights/heath-lark-7", "")
	document := dig(open, "revision", "document").(string)
	if dig(open, "summary", "place") == nil || dig(open, "summary", "elevation_m") != 610.0 || text(dig(open, "summary", "missing")) != "[]" {
		t.Errorf("summary %v", open["summary"])
	}
	changed := strings.Replace(document, `mass = "600 g"`, `mass = "800 g"`, 1)
	save := func(from int, document string) string {
		return fmt.Sprintf(`{"from":%d,"what":"changed envelope mass","document":%s}`, from, text(document))
	}
	saved := a.want(201, post, "/flights/heath-lark-7/revisions", save(1, changed))
	if dig(saved, "flight", "head") != 2.0 || dig(saved, "flight", "can_undo") != true {
		t.Errorf("saved %v", saved["flight"])
	}
	conflict := a.want(409, post, "/flights/heath-lark-7/revisions", save(1, document+"# mine\n"))
	if dig(conflict, "head", "document") != changed || dig(conflict, "base", "document") != document {
		t.Errorf("the conflict does not hold both: %v", conflict["detail"])
	}
	if broken := a.want(201, post, "/flights/heath-lark-7/revisions", save(2, "name = 3\n")); dig(broken, "flight", "name") != `Heath "Lark" 7` || text(dig(broken, "summary", "missing")) == "[]" {
		t.Errorf("a broken file lost the flight's name or its faults: %v", broken)
	}
	a.want(200, post, "/flights/heath-lark-7/undo", `{"from":3}`)
	a.want(409, post, "/flights/heath-lark-7/undo", `{"from":3}`)
	a.want(200, post, "/flights/heath-lark-7/return", `{"from":2,"to":1}`)
	a.want(422, post, "/flights/heath-lark-7/undo", `{"from":1}`)
	a.want(200, post, "/flights/heath-lark-7/redo", `{"from":1}`)
	if list := dig(a.want(200, get, "/flights/heath-lark-7/revisions?limit=2", ""), "revisions").([]any); len(list) != 2 || dig(list[0], "number") != 3.0 {
		t.Errorf("history %v", list)
	}
	if r := a.want(200, get, "/flights/heath-lark-7/revisions/2", ""); r["document"] != changed {
		t.Errorf("revision 2 %v", r)
	}
}

func TestCopyArchiveDeleteRestore(t *testing.T) {
	a := newApp(t)
	a.want(201, post, "/flights", `{"start":"heavy","name":"One"}`)
	if c := a.want(201, post, "/flights", `{"copy":"one","name":"Two"}`); c["name"] != "Two" {
		t.Errorf("copy %v", c)
	}
	if c := a.want(201, post, "/flights", `{"document":"not = a flight"}`); c["name"] != "Unnamed flight" {
		t.Errorf("brought in %v", c)
	}
	if f := a.want(200, post, "/flights/one/archive", ""); f["archived"] != "2027-04-01T12:00:00Z" {
		t.Errorf("archived %v", f)
	}
	a.want(200, post, "/flights/one/unarchive", "")
	a.want(200, drop, "/flights/one", "")
	a.want(410, post, "/flights/one/archive", "")
	a.want(200, post, "/flights/one/restore", "")
	if list := dig(a.want(200, get, "/flights", ""), "flights").([]any); len(list) != 3 {
		t.Errorf("list %v", list)
	}
}

func TestRefusals(t *testing.T) {
	a := newApp(t)
	a.want(201, post, "/flights", `{"start":"first","name":"Lark"}`)
	for _, c := range []struct {
		status             int
		method, path, body string
	}{
		{404, get, "/flights/none", ""},
		{404, get, "/nowhere", ""},
		{404, "PUT", "/flights", "{}"},
		{404, get, "/flights/lark/revisions/9", ""},
		{400, get, "/flights/lark/revisions/nine", ""},
		{400, get, "/flights/lark/revisions?limit=-1", ""},
		{400, post, "/flights", `{}`},
		{400, post, "/flights", `{"start":"first","copy":"lark"}`},
		{400, post, "/flights", `{"start":"none"}`},
		{400, post, "/flights", `{"start":"first","colour":"red"}`},
		{400, post, "/flights", `{"start":"first"} more`},
		{400, post, "/flights", `{"start":`},
		{400, post, "/flights/lark/revisions", `{"from":1,"document":"x = 1"}`},
		{400, post, "/flights/lark/revisions", `{"from":1,"what":"x","document":` + text(strings.Repeat("x", flight.MaxDocument+1)) + `}`},
		{404, post, "/flights/lark/revisions", `{"from":7,"what":"x","document":"x = 1"}`},
		{413, post, "/flights", `{"document":` + text(strings.Repeat("x", maxBody)) + `}`},
	} {
		p := a.want(c.status, c.method, c.path, c.body)
		if p["status"] != float64(c.status) || p["title"] == "" || p["detail"] == "" {
			t.Errorf("%s %s: the problem says %v", c.method, c.path, p)
		}
	}
	if a.log.Len() > 0 {
		t.Errorf("refusals were logged as faults: %s", a.log)
	}
}

// failing is a book whose disk is full or whose file is gone.
type failing struct {
	Book
	err error
}

func (f failing) List(context.Context) ([]flight.Entry, error) { return nil, f.err }

func TestFaultsAreSaidAndLogged(t *testing.T) {
	a := newApp(t)
	for err, status := range map[error]int{flight.ErrBookFull: 507, flight.ErrBookBusy: 503, io.ErrUnexpectedEOF: 500} {
		a.server.book = failing{a.server.book, fmt.Errorf("list: %w", err)}
		a.want(status, get, "/flights", "")
	}
	if !strings.Contains(a.log.String(), io.ErrUnexpectedEOF.Error()) {
		t.Errorf("the log has no word of the fault: %s", a.log)
	}
	a.server.book = nil // a handler that panics
	a.want(500, get, "/flights", "")
}

func TestJobsOverHTTP(t *testing.T) {
	a := newApp(t)
	begun := make(chan struct{})
	status, err := a.server.Jobs().Start("odds", "lark", func(ctx context.Context, progress jobs.Progress) (any, error) {
		progress(0.25, "flying")
		close(begun)
		<-ctx.Done()
		return nil, ctx.Err()
	})
	if err != nil {
		t.Fatal(err)
	}
	<-begun
	if j := a.want(200, get, "/jobs/"+status.ID, ""); j["state"] != "running" || j["share"] != 0.25 || j["flight"] != "lark" {
		t.Errorf("running job %v", j)
	}
	a.want(409, get, "/jobs/"+status.ID+"/result", "")
	a.want(200, post, "/jobs/"+status.ID+"/cancel", "")
	done, err := a.server.Jobs().Start("odds", "", func(context.Context, jobs.Progress) (any, error) { return map[string]int{"members": 3}, nil })
	if err != nil {
		t.Fatal(err)
	}
	for begin := time.Now(); ; time.Sleep(time.Millisecond) {
		one, two := a.want(200, get, "/jobs/"+status.ID, ""), a.want(200, get, "/jobs/"+done.ID, "")
		if one["state"] == "cancelled" && two["state"] == "done" {
			break
		}
		if time.Since(begin) > 10*time.Second {
			t.Fatalf("jobs stand at %v and %v", one, two)
		}
	}
	if r := a.want(200, get, "/jobs/"+done.ID+"/result", ""); r["members"] != 3.0 {
		t.Errorf("result %v", r)
	}
	if j := a.want(200, get, "/jobs/0-1", ""); j["state"] != "stopped" || j["text"] == "" {
		t.Errorf("a job of an earlier start: %v", j)
	}
	a.want(404, get, "/jobs/none", "")
	if list := dig(a.want(200, get, "/jobs", ""), "jobs").([]any); len(list) != 2 {
		t.Errorf("jobs %v", list)
	}
}
