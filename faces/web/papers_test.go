package web

import (
	"bytes"
	"strings"
	"testing"
)

func TestPapersMadeShownAndStale(t *testing.T) {
	a, _ := oddsApp(t)
	const id = "lark"
	d := described(t, a)
	of := apiPrefix + "/flights/" + id
	if w := a.send(get, of+"/papers/notice/pdf", ""); w.Code != 404 || !strings.Contains(w.Body.String(), "open Papers") {
		t.Errorf("a sheet before any was made: %d %s", w.Code, w.Body)
	}
	w := a.send(post, of+"/papers", `{"weather":["demo"]}`)
	if err := asDescribed(d, post, "/flights/{id}/papers", w); err != nil || w.Code != 200 {
		t.Fatalf("%d %v %s", w.Code, err, w.Body)
	}
	made := a.want(200, post, "/flights/"+id+"/papers", `{"weather":["demo"]}`)
	if text(made["stale"]) != "[]" || len(dig(made, "papers", "sheets").([]any)) != 12 {
		t.Errorf("stale %v, %d sheets", made["stale"], len(dig(made, "papers", "sheets").([]any)))
	}
	if weather := dig(made, "papers", "stamp", "weather").(string); !strings.Contains(weather, "cycle") {
		t.Errorf("the sheets stand on %q", weather)
	}
	if other := a.want(200, post, "/flights/"+id+"/papers", `{}`); text(other["stale"]) != "[]" {
		t.Errorf("without a look at the forecast: %v", other["stale"])
	}
	for kind, begin := range map[string]string{"pdf": "%PDF-", "txt": "Notice", "html": "<!"} {
		w := a.send(get, of+"/papers/notice/"+kind+"?paper=letter", "")
		if w.Code != 200 || !bytes.HasPrefix(w.Body.Bytes(), []byte(begin)) {
			t.Errorf("%s: %d %.40q", kind, w.Code, w.Body)
		}
	}
	if w := a.send(get, of+"/papers/timeline/ics", ""); w.Code != 200 || !strings.HasPrefix(w.Body.String(), "BEGIN:VCALENDAR") {
		t.Errorf("ics: %d %.40q", w.Code, w.Body)
	}
	for path, status := range map[string]int{"/papers/notice/ics": 404, "/papers/poem/pdf": 404, "/papers/notice/odt": 404, "/papers/notice/pdf?paper=a3": 400} {
		if w := a.send(get, of+path, ""); w.Code != status {
			t.Errorf("%s: %d, want %d", path, w.Code, status)
		}
	}
	document := dig(a.want(200, get, "/flights/"+id, ""), "revision", "document").(string)
	changed := strings.Replace(document, `"1300 g"`, `"1310 g"`, 1)
	if changed == document {
		t.Fatal("nothing was changed")
	}
	a.want(201, post, "/flights/"+id+"/revisions", `{"from":1,"what":"box","document":`+text(changed)+`}`)
	if old := a.want(200, post, "/flights/"+id+"/papers", `{"weather":["demo"]}`); !strings.Contains(text(old["stale"]), "revision") {
		t.Errorf("after an edit: %v", old["stale"])
	}
	if anew := a.want(200, post, "/flights/"+id+"/papers", `{"weather":["demo"],"again":true}`); text(anew["stale"]) != "[]" {
		t.Errorf("made anew: %v", anew["stale"])
	}
}

func TestTicksOverHTTP(t *testing.T) {
	a := newApp(t)
	d := described(t, a)
	a.want(201, post, "/flights", `{"start":"first","name":"Lark"}`)
	for _, c := range []struct {
		method, body string
		status       int
		holds        string
	}{
		{get, "", 200, `"ticks":[]`},
		{post, `{"id":"launch.vent","ticked":true}`, 200, "launch.vent"},
		{get, "", 200, "launch.vent"},
		{post, `{"id":"launch.vent","ticked":false}`, 200, `"ticks":[]`},
		{post, `{"id":"","ticked":true}`, 400, "octets"},
	} {
		w := a.send(c.method, apiPrefix+"/flights/lark/ticks", c.body)
		if err := asDescribed(d, c.method, "/flights/{id}/ticks", w); err != nil || w.Code != c.status || !strings.Contains(w.Body.String(), c.holds) {
			t.Errorf("%s %s: %d %v %s", c.method, c.body, w.Code, err, w.Body)
		}
	}
	a.want(404, get, "/flights/none/ticks", "")
}

func askPapers(ask func(method, template, path, body string)) {
	ask(post, "/flights/{id}/papers", "/flights/lark/papers", `{}`)
	ask(post, "/flights/{id}/papers", "/flights/none/papers", `{}`)
	ask(get, "/flights/{id}/ticks", "/flights/lark/ticks", "")
	ask(post, "/flights/{id}/ticks", "/flights/lark/ticks", `{"id":"launch.vent","ticked":true}`)
}
