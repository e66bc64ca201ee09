package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"io"
	"io/fs"
	"net/http"
	"path"
	"regexp"
	"strings"
	"testing"
)

func TestPagesAreServed(t *testing.T) {
	a := newApp(t)
	for address, kind := range map[string]string{
		"/": "text/html; charset=utf-8", "/about": "text/html; charset=utf-8", "/f/some-flight": "text/html; charset=utf-8",
		"/f/some-flight/plan": "text/html; charset=utf-8", "/ui/app.js": "text/javascript; charset=utf-8",
		"/ui/vendor/preact/preact.mjs": "text/javascript; charset=utf-8", "/ui/css/base.css": "text/css; charset=utf-8",
		"/ui/icon.svg": "image/svg+xml", "/ui/vendor/htm/LICENSE": "text/plain; charset=utf-8", "/basemap/world.pmtiles": "application/vnd.pmtiles",
		"/ui/vendor/atkinson-hyperlegible/atkinson-hyperlegible-latin-400-normal.woff2": "font/woff2",
	} {
		w := a.send(get, address, "")
		tag := w.Header().Get("ETag")
		if w.Code != 200 || w.Header().Get("Content-Type") != kind || tag == "" || w.Body.Len() == 0 || w.Header().Get("Cache-Control") != "no-cache" {
			t.Errorf("%s: %d, %v, %d bytes", address, w.Code, w.Header(), w.Body.Len())
		}
		if again := a.send(get, address, "", func(r *http.Request) { r.Header.Set("If-None-Match", tag) }); again.Code != 304 {
			t.Errorf("%s: asked again with its tag: %d", address, again.Code)
		}
	}
	for _, address := range []string{"/ui/", "/ui/../server.go", "/nowhere", "/f/", "/f/a/b/c", "/ui/index.html"} {
		if w := a.send(get, address, ""); w.Code == 200 {
			t.Errorf("%s: is served", address)
		}
	}
}

func TestPagesAreZipped(t *testing.T) {
	a := newApp(t)
	zipped := func(r *http.Request) { r.Header.Set("Accept-Encoding", "gzip, br") }
	w := a.send(get, "/ui/app.js", "", zipped)
	reader, err := gzip.NewReader(w.Body)
	if err != nil || w.Header().Get("Content-Encoding") != "gzip" || w.Header().Get("Vary") != "Accept-Encoding" {
		t.Fatalf("%v, %v", err, w.Header())
	}
	content, err := io.ReadAll(reader)
	plain := a.send(get, "/ui/app.js", "")
	if err != nil || !bytes.Equal(content, plain.Body.Bytes()) {
		t.Error("the zipped file unzips to something else")
	}
	if plain.Header().Get("ETag") == w.Header().Get("ETag") {
		t.Error("both forms have the same tag")
	}
	if w := a.send(get, "/basemap/world.pmtiles", "", zipped); w.Header().Get("Content-Encoding") != "" {
		t.Error("the map is zipped twice")
	}
}

// The header's fields are at the octets that [PMTiles], 3.1, gives them.
func TestOutsideBaseMapRanges(t *testing.T) {
	a := newApp(t)
	part := func(span string) []byte {
		w := a.send(get, "/basemap/world.pmtiles", "", func(r *http.Request) { r.Header.Set("Range", "bytes="+span) })
		if w.Code != 206 || w.Header().Get("Content-Range") == "" {
			t.Fatalf("range %s: %d %v", span, w.Code, w.Header())
		}
		return w.Body.Bytes()
	}
	head := part("0-126")
	if string(head[:7]) != "PMTiles" || head[7] != 3 {
		t.Fatalf("the map begins with %q", head[:8])
	}
	if tileType, low, high := head[99], head[100], head[101]; tileType != 1 || low != 0 || high != 6 {
		t.Errorf("tile type %d, zoom %d to %d", tileType, low, high)
	}
	whole := a.send(get, "/basemap/world.pmtiles", "").Body.Len()
	data, length := binary.LittleEndian.Uint64(head[56:]), binary.LittleEndian.Uint64(head[64:])
	if data+length != uint64(whole) {
		t.Errorf("the tiles end at %d of %d", data+length, whole)
	}
	if whole > 6e6 {
		t.Errorf("the map has %d bytes: it is to stay near 4 MB", whole)
	}
}

func index(t *testing.T) string {
	t.Helper()
	content, err := embedded.ReadFile("ui/index.html")
	if err != nil {
		t.Fatal(err)
	}
	return string(content)
}

// The content policy allows no inline code but the import map, whose hash it holds.
func TestIndexHasNoInlineCode(t *testing.T) {
	a := newApp(t)
	text := index(t)
	inline := regexp.MustCompile(`(?i)<script([^>]*)>([^<]+)</script>`).FindAllStringSubmatch(text, -1)
	if len(inline) != 1 || !strings.Contains(inline[0][1], "importmap") {
		t.Fatalf("inline scripts: %v", inline)
	}
	sum := sha256.Sum256([]byte(inline[0][2]))
	hash := "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	if csp := a.send(get, "/", "").Header().Get("Content-Security-Policy"); !strings.Contains(csp, hash) {
		t.Errorf("the policy %q does not hold %s", csp, hash)
	}
	if found := regexp.MustCompile(`(?i)<style|\sstyle=|\son\w+=|javascript:`).FindString(text); found != "" {
		t.Errorf("inline code: %q", found)
	}
	if found := regexp.MustCompile(`https?://`).FindString(text); found != "" {
		t.Error("the page names another host")
	}
}

// Every module that a module imports is there, by the import map or by its path.
func TestImportsResolve(t *testing.T) {
	_, rest, _ := strings.Cut(index(t), `<script type="importmap">`)
	mapText, _, _ := strings.Cut(rest, "</script>")
	var importMap struct{ Imports map[string]string }
	if err := json.Unmarshal([]byte(mapText), &importMap); err != nil {
		t.Fatal(err)
	}
	exists := func(address string) bool {
		_, err := fs.Stat(embedded, strings.TrimPrefix(address, "/"))
		return err == nil
	}
	for name, address := range importMap.Imports {
		if !exists(address) {
			t.Errorf("the import map sends %s to %s, which is not there", name, address)
		}
	}
	imported := regexp.MustCompile(`(?m)(?:^(?:import|export) [^"\n]*from |^} from |^import |\bimport\()"([^"\n]+)"`)
	looked := 0
	err := fs.WalkDir(embedded, "ui", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".js" || strings.Contains(name, "/vendor/") {
			return err
		}
		content, err := embedded.ReadFile(name)
		for _, match := range imported.FindAllStringSubmatch(string(content), -1) {
			looked++
			target := match[1]
			if strings.HasPrefix(target, ".") {
				if target = path.Join(path.Dir(name), target); !exists(target) {
					t.Errorf("%s imports %s, which is not there", name, match[1])
				}
			} else if importMap.Imports[target] == "" {
				t.Errorf("%s imports %s, which the import map does not have", name, target)
			}
		}
		return err
	})
	if err != nil || looked < 50 {
		t.Errorf("%d imports were looked at: %v", looked, err)
	}
}

// What is vendored is what its SOURCE says, byte for byte, and has its licence.
func TestVendoredFilesArePinned(t *testing.T) {
	folders, err := fs.ReadDir(embedded, "ui/vendor")
	if err != nil || len(folders) == 0 {
		t.Fatal(folders, err)
	}
	for _, folder := range folders {
		root := "ui/vendor/" + folder.Name()
		source, err := embedded.ReadFile(root + "/SOURCE")
		if err != nil {
			t.Errorf("%s: %v", root, err)
			continue
		}
		pinned := map[string]string{"SOURCE": "", "LICENSE": ""}
		for line := range strings.Lines(string(source)) {
			if words := strings.Fields(line); len(words) >= 3 && words[0] == "sha256" {
				pinned[words[2]] = words[1]
			}
		}
		files, err := fs.ReadDir(embedded, root)
		if err != nil || len(files) != len(pinned) {
			t.Errorf("%s has %d files, SOURCE and LICENSE with them, and %d are pinned", root, len(files), len(pinned))
		}
		for _, file := range files {
			content, err := embedded.ReadFile(root + "/" + file.Name())
			hash, known := pinned[file.Name()]
			if sum := sha256.Sum256(content); err != nil || !known || hash != "" && hash != hex.EncodeToString(sum[:]) {
				t.Errorf("%s/%s is not the file that SOURCE names", root, file.Name())
			}
		}
	}
}
