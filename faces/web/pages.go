package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"sync"
	"time"
)

//go:embed ui basemap/world.pmtiles
var embedded embed.FS

// mimeTypes are given here, since the operating system's own table may be wrong.
var mimeTypes = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8",
	".js": "text/javascript; charset=utf-8", ".mjs": "text/javascript; charset=utf-8",
	".svg": "image/svg+xml", ".woff2": "font/woff2", ".pmtiles": "application/vnd.pmtiles",
	"": "text/plain; charset=utf-8", // LICENSE and SOURCE
}

// page is one embedded file, ready to be served.
type page struct {
	name, kind string
	content    []byte
	tag        string
	zipped     func() []byte // nil for what is compressed in itself
}

// pages holds the embedded files by the path they are served under, and the one
// document that every address of the app opens.
type pages struct {
	files map[string]*page
	index *page
	csp   string
}

func loadPages() (*pages, error) {
	p := &pages{files: map[string]*page{}}
	err := fs.WalkDir(embedded, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := embedded.ReadFile(name)
		if err != nil {
			return err
		}
		kind, known := mimeTypes[path.Ext(name)]
		if !known {
			return fmt.Errorf("web: no MIME type is known for %s", name)
		}
		p.files["/"+name] = newPage(name, kind, content)
		return nil
	})
	if err != nil {
		return nil, err
	}
	p.index = p.files["/ui/index.html"]
	if p.index == nil {
		return nil, errors.New("web: ui/index.html is not embedded")
	}
	hash, err := importMapHash(p.index.content)
	p.csp = strings.Join([]string{
		"default-src 'none'", "script-src 'self' '" + hash + "'", "style-src 'self'", "img-src 'self' data: blob:",
		"font-src 'self'", "connect-src 'self'", "worker-src 'self'", "base-uri 'none'", "form-action 'none'", "frame-ancestors 'none'",
	}, "; ")
	return p, err
}

func newPage(name, kind string, content []byte) *page {
	sum := sha256.Sum256(content)
	p := &page{name: name, kind: kind, content: content, tag: hex.EncodeToString(sum[:12])}
	if strings.HasPrefix(kind, "text/") || strings.HasPrefix(kind, "image/svg") {
		p.zipped = sync.OnceValue(func() []byte {
			var b bytes.Buffer
			w := gzip.NewWriter(&b)
			w.Write(content) // a buffer takes everything
			w.Close()
			return b.Bytes()
		})
	}
	return p
}

// importMapHash is the hash by which the Content-Security-Policy allows the one
// inline element of the page, which must be inline: the import map.
func importMapHash(index []byte) (string, error) {
	_, rest, found := bytes.Cut(index, []byte(`<script type="importmap">`))
	text, _, closed := bytes.Cut(rest, []byte("</script>"))
	if !found || !closed {
		return "", errors.New("web: ui/index.html has no import map")
	}
	sum := sha256.Sum256(text)
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:]), nil
}

// register adds the pages to the server. Addresses of the app all open the same
// document, whose script reads the address.
func (p *pages) register(mux *http.ServeMux) {
	for _, address := range []string{"/{$}", "/about", "/compare", "/f/{flight}", "/f/{flight}/{place}", "/f/{flight}/plan/fill"} {
		mux.HandleFunc("GET "+address, func(w http.ResponseWriter, r *http.Request) { p.write(w, r, p.index) })
	}
	for address, file := range p.files {
		if file != p.index {
			mux.HandleFunc("GET "+address, func(w http.ResponseWriter, r *http.Request) { p.write(w, r, file) })
		}
	}
}

// write serves a file: asked anew each time, but sent only when it has changed.
// Parts of it (ranges) are served uncompressed.
func (p *pages) write(w http.ResponseWriter, r *http.Request, file *page) {
	h := w.Header()
	h.Set("Content-Type", file.kind)
	h.Set("Content-Security-Policy", p.csp)
	h.Set("Cache-Control", "no-cache")
	content, tag := file.content, file.tag
	if file.zipped != nil {
		h.Add("Vary", "Accept-Encoding")
		if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") && r.Header.Get("Range") == "" {
			h.Set("Content-Encoding", "gzip")
			content, tag = file.zipped(), tag+"-gzip"
		}
	}
	h.Set("ETag", `"`+tag+`"`)
	http.ServeContent(w, r, file.name, time.Time{}, bytes.NewReader(content))
}
