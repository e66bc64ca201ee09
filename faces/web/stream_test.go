package web

import (
	"bufio"
	"context"
	"errors"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

// serving runs the app on a real listener, as a browser meets it.
func serving(t *testing.T) (a *app, address string, stop func() error) {
	t.Helper()
	a = newApp(t)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.server.Serve(ctx, listener) }()
	stop = func() error {
		cancel()
		select {
		case err := <-ended:
			return err
		case <-time.After(10 * time.Second):
			return errors.New("the server does not end")
		}
	}
	t.Cleanup(cancel)
	return a, "http://" + listener.Addr().String(), stop
}

// listen opens the stream and gives its lines.
func listen(t *testing.T, address, last string) <-chan string {
	t.Helper()
	r, err := http.NewRequest(get, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	if last != "" {
		r.Header.Set("Last-Event-ID", last)
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	if kind := answer.Header.Get("Content-Type"); answer.StatusCode != 200 || kind != "text/event-stream" {
		t.Fatalf("%d %s", answer.StatusCode, kind)
	}
	lines := make(chan string, 1000)
	go func() {
		defer close(lines)
		defer answer.Body.Close()
		for scanner := bufio.NewScanner(answer.Body); scanner.Scan(); {
			lines <- scanner.Text()
		}
	}()
	return lines
}

// next gives the id, kind and data of the next event.
func next(t *testing.T, lines <-chan string) (id, kind, data string) {
	t.Helper()
	timeout := time.After(10 * time.Second)
	for {
		select {
		case line, open := <-lines:
			key, value, _ := strings.Cut(line, ": ")
			switch {
			case !open:
				return "", "closed", ""
			case key == "id":
				id = value
			case key == "event":
				kind = value
			case key == "data":
				data = value
			case line == "" && kind != "":
				return id, kind, data
			}
		case <-timeout:
			t.Fatal("no event comes")
		}
	}
}

func TestEventsAreReplayed(t *testing.T) {
	a, address, _ := serving(t)
	events := address + apiPrefix + "/events"
	lines := listen(t, events, "")
	first, kind, _ := next(t, lines)
	if kind != "begin" {
		t.Fatalf("the stream begins with %s", kind)
	}
	a.server.Events().Publish("flight", "lark", map[string]int{"head": 2})
	id, kind, data := next(t, lines)
	if kind != "flight" || data != `{"head":2}` || id == first {
		t.Fatalf("%s %s %s", id, kind, data)
	}
	a.server.Events().Publish("flight", "wren", 3)
	a.server.Events().Publish("job", "", 4)
	for name, again := range map[string]<-chan string{"header": listen(t, events, id), "query": listen(t, events+"?after="+id, "")} {
		_, _, three := next(t, again)
		_, _, four := next(t, again)
		if three != "3" || four != "4" {
			t.Errorf("after the cut, by %s: %s and %s", name, three, four)
		}
	}
	if _, _, data := next(t, listen(t, events+"?flight=lark", id)); data != "4" {
		t.Errorf("for one flight only: %s", data)
	}
}

func TestEventsResetWhenSomeAreLost(t *testing.T) {
	a, address, _ := serving(t)
	events := address + apiPrefix + "/events"
	id, _, _ := next(t, listen(t, events, ""))
	for n := range 600 { // more than are held
		a.server.Events().Publish("flight", "lark", n)
	}
	for _, last := range []string{id, "earlier-3", "nonsense"} {
		if _, kind, _ := next(t, listen(t, events, last)); kind != "reset" {
			t.Errorf("after %s: %s, want reset", last, kind)
		}
	}
}

func TestShutdownEndsOpenStreams(t *testing.T) {
	_, address, stop := serving(t)
	lines := listen(t, address+apiPrefix+"/events", "")
	next(t, lines)
	begin := time.Now()
	if err := stop(); err != nil {
		t.Fatal(err)
	}
	if took := time.Since(begin); took > 3*time.Second { // well under the 5 s after which connections are cut
		t.Errorf("the end took %v", took)
	}
	if _, kind, _ := next(t, lines); kind != "closed" {
		t.Errorf("after the end comes %s", kind)
	}
	if _, err := http.Get(address); err == nil {
		t.Error("the server still answers")
	}
}
