package web

import (
	"context"
	"net"
	"net/http"
	"strings"
	"testing"
)

func TestHostCheck(t *testing.T) {
	a := newApp(t)
	a.server.hosts = []string{"desk.local"}
	arrived := func(r *http.Request) *http.Request {
		return r.WithContext(context.WithValue(r.Context(), http.LocalAddrContextKey, &net.TCPAddr{IP: net.ParseIP("192.0.2.7"), Port: 8765}))
	}
	for host, status := range map[string]int{
		"127.0.0.1:8765": 200, "localhost:8765": 200, "LOCALHOST": 200, "[::1]:8765": 200, "desk.local:8765": 200, "192.0.2.7:8765": 200,
		"evil.example:8765": 421, "127.0.0.1.evil.example": 421, "192.0.2.8:8765": 421, "": 421, "localhost.evil.example": 421,
	} {
		w := a.send(get, apiPrefix+"/flights", "", func(r *http.Request) { *r = *arrived(r); r.Host = host })
		if w.Code != status {
			t.Errorf("host %q: %d, want %d", host, w.Code, status)
		}
	}
}

func TestOriginAndContentType(t *testing.T) {
	a := newApp(t)
	set := func(pairs ...string) func(*http.Request) {
		return func(r *http.Request) {
			for i := 0; i < len(pairs); i += 2 {
				r.Header.Set(pairs[i], pairs[i+1])
			}
		}
	}
	for name, c := range map[string]struct {
		alter  func(*http.Request)
		status int
	}{
		"own page":          {set("Origin", "http://127.0.0.1:8765", "Sec-Fetch-Site", "same-origin"), 201},
		"a command":         {set(), 201},
		"another site":      {set("Origin", "http://evil.example", "Sec-Fetch-Site", "cross-site"), 403},
		"an old browser":    {set("Origin", "http://evil.example"), 403},
		"another port":      {set("Origin", "http://127.0.0.1:9999"), 403},
		"a form":            {set("Content-Type", "application/x-www-form-urlencoded"), 415},
		"text as a form":    {set("Content-Type", "text/plain"), 415},
		"no type":           {func(r *http.Request) { r.Header.Del("Content-Type") }, 415},
		"JSON with charset": {set("Content-Type", "application/json; charset=utf-8"), 201},
	} {
		if w := a.send(post, apiPrefix+"/flights", `{"start":"first"}`, c.alter); w.Code != c.status {
			t.Errorf("%s: %d, want %d: %s", name, w.Code, c.status, w.Body)
		}
	}
	if w := a.send(get, apiPrefix+"/flights", "", set("Origin", "http://evil.example")); w.Header().Get("Access-Control-Allow-Origin") != "" {
		t.Error("another site may read the answers")
	}
}

func TestHeaders(t *testing.T) {
	a := newApp(t)
	for path, policy := range map[string]string{"/": "script-src 'self' 'sha256-", apiPrefix + "/flights": "default-src 'none'", "/ui/app.js": "default-src 'none'"} {
		w := a.send(get, path, "")
		h := w.Header()
		if csp := h.Get("Content-Security-Policy"); !strings.Contains(csp, policy) || strings.Contains(csp, "unsafe") {
			t.Errorf("%s: policy %q", path, csp)
		}
		if w.Code != 200 || h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Referrer-Policy") != "no-referrer" {
			t.Errorf("%s: %d with %v", path, w.Code, h)
		}
	}
	if h := a.send(get, apiPrefix+"/flights", "").Header(); h.Get("Cache-Control") != "no-store" {
		t.Errorf("answers may be kept: %v", h)
	}
}
