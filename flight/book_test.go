package flight

import (
	"strings"
	"testing"
	"time"
)

func TestSlug(t *testing.T) {
	for name, want := range map[string]string{
		"Meadow Lark 2":         "meadow-lark-2",
		"  Łódź -- wiosna!  ":   "łódź-wiosna",
		"../../etc/passwd":      "etc-passwd",
		"???":                   "flight",
		strings.Repeat("a", 99): strings.Repeat("a", 60),
	} {
		if got := Slug(name); got != want {
			t.Errorf("Slug(%q) = %q, want %q", name, got, want)
		}
	}
}

func TestDraftCheckNamesTheFault(t *testing.T) {
	good := Draft{Name: "Lark", What: "begun", Document: []byte("format = 1\n"), Made: time.Unix(1, 0)}
	if err := good.Check(); err != nil {
		t.Fatalf("a good draft is refused: %v", err)
	}
	for word, spoil := range map[string]func(*Draft){
		"no name":  func(d *Draft) { d.Name = " " },
		"at most":  func(d *Draft) { d.Document = make([]byte, MaxDocument+1) },
		"empty":    func(d *Draft) { d.Document = nil },
		"changed":  func(d *Draft) { d.What = "" },
		"no time":  func(d *Draft) { d.Made = time.Time{} },
		"what cha": func(d *Draft) { d.What = strings.Repeat("x", MaxNote+1) },
	} {
		bad := good
		spoil(&bad)
		if err := bad.Check(); err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("want an error with %q, got %v", word, err)
		}
	}
}
