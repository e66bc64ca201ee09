package web

import (
	"mime"
	"net"
	"net/http"
	"slices"
	"strings"
	"time"
)

// maxBody is the most bytes a request may carry: a flight file of the largest
// size, escaped as JSON, and some room.
const maxBody = 3 << 20

// longestUpload is how long a file may take to arrive.
const longestUpload = time.Hour

// guard stands before every handler. A page of another site must not read or
// write here: not through a name that it points at this machine (the Host check),
// nor through a form or script of its own (the Origin check).
func (s *Server) guard(next http.Handler) http.Handler {
	crossOrigin := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'")
		if !s.addressed(r) {
			writeProblem(w, http.StatusMisdirectedRequest, problem{Title: "wrong address", Detail: "this app answers only under the address it was started with, such as http://" + DefaultListen})
			return
		}
		if err := crossOrigin.Check(r); err != nil {
			writeProblem(w, http.StatusForbidden, problem{Title: "not from here", Detail: "only pages of this app may change anything: open the app itself"})
			return
		}
		if r.Method != http.MethodGet && r.Method != http.MethodHead && r.ContentLength != 0 {
			kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
			switch {
			case err == nil && kind == "application/octet-stream" && r.Method == http.MethodPut:
				// A large file over a slow network takes longer than a page; its
				// handler bounds its size.
				control := http.NewResponseController(w)
				control.SetReadDeadline(s.now().Add(longestUpload)) // fails only for a connection without deadlines
				control.SetWriteDeadline(s.now().Add(longestUpload))
			case err != nil || kind != "application/json":
				writeProblem(w, http.StatusUnsupportedMediaType, problem{Title: "not JSON", Detail: "send the body as application/json, or a file by PUT as application/octet-stream"})
				return
			default:
				r.Body = http.MaxBytesReader(w, r.Body, maxBody)
			}
		}
		next.ServeHTTP(w, r)
	})
}

// addressed says whether the request names this machine: by a loopback name, by
// a name the app was told, or by the very address the connection came in on.
func (s *Server) addressed(r *http.Request) bool {
	host := r.Host
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	host = strings.TrimSuffix(strings.TrimPrefix(strings.ToLower(host), "["), "]")
	if host == "localhost" || slices.ContainsFunc(s.hosts, func(h string) bool { return strings.EqualFold(h, host) }) {
		return true
	}
	ip := net.ParseIP(host)
	if ip == nil {
		return false
	}
	if ip.IsLoopback() {
		return true
	}
	local, ok := r.Context().Value(http.LocalAddrContextKey).(*net.TCPAddr)
	return ok && local.IP.Equal(ip)
}
