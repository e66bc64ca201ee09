package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// paperLine answers a command line.
func paperLine(words ...string) (status int, out, err string) {
	var o, e bytes.Buffer
	d := &Desk{Out: &o, Err: &e, Workers: 2}
	status = d.Run(context.Background(), append([]string{"papers"}, words...))
	return status, o.String(), e.String()
}

const paperFlight, paperSky = "../../demo/flight.toml", "../../demo/sky.grib2"

func TestPapersWrittenAndChecked(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "papers")
	file := filepath.Join(t.TempDir(), "flight.toml")
	text, err := os.ReadFile(paperFlight)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, text, 0o644); err != nil {
		t.Fatal(err)
	}
	line := []string{file, "--weather", paperSky, "--members", "100"}
	write := append(line, "--out", dir, "--format", "pdf", "html", "text")
	if status, _, errors := paperLine(write...); status != exitAnswered {
		t.Fatalf("%d %s", status, errors)
	}
	// Twelve sheets in three formats, and the calendar.
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 37 {
		t.Fatalf("%d files, %v", len(entries), err)
	}
	type answer struct {
		Files []checkedPaper
		Stale int
		Notes []string
	}
	check := func(words ...string) answer {
		t.Helper()
		status, out, errors := paperLine(append(words, "--check", dir, "--json")...)
		var c answer
		if err := json.Unmarshal([]byte(out), &c); status != exitAnswered || err != nil {
			t.Fatalf("%d %v %s", status, err, errors)
		}
		return c
	}
	if c := check(line...); c.Stale != 0 || len(c.Files) != 37 {
		t.Errorf("fresh sheets: %+v", c)
	}
	if c := check(file); c.Stale != 0 || len(c.Notes) != 1 {
		t.Errorf("without weather: %d stale, notes %v", c.Stale, c.Notes)
	}
	changed := strings.Replace(string(text), `"1300 g"`, `"1310 g"`, 1)
	if err := os.WriteFile(file, []byte("# a comment changes nothing\n"+changed), 0o644); err != nil {
		t.Fatal(err)
	}
	if c := check(line...); c.Stale != 37 || !strings.Contains(c.Files[0].Why[0], "revision") {
		t.Errorf("after a change: %d stale, %v", c.Stale, c.Files[0].Why)
	}
}

// A file that is no sheet is never written over, and then none is written.
func TestPapersLeaveOtherFilesAlone(t *testing.T) {
	dir := t.TempDir()
	mine := filepath.Join(dir, "recovery.txt")
	if err := os.WriteFile(mine, []byte("my own notes"), 0o644); err != nil {
		t.Fatal(err)
	}
	status, _, errors := paperLine(paperFlight, "--out", dir, "--format", "text", "--members", "50")
	if status != exitInput || !strings.Contains(errors, "no sheet of ours") {
		t.Errorf("%d %s", status, errors)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 1 {
		t.Errorf("%d files are there, %v", len(entries), err)
	}
	if data, _ := os.ReadFile(mine); string(data) != "my own notes" {
		t.Errorf("the file is now %q", data)
	}
}

func TestPapersUsage(t *testing.T) {
	for name, c := range map[string]struct {
		words  []string
		status int
	}{
		"no file": {nil, exitUsage}, "pdf to the terminal": {[]string{paperFlight, "--format", "pdf"}, exitUsage},
		"unknown format": {[]string{paperFlight, "--format", "odt"}, exitUsage}, "unknown paper": {[]string{paperFlight, "--paper", "a3"}, exitUsage},
		"unknown sheet": {[]string{paperFlight, "--only", "poem"}, exitUsage}, "seat without a sky": {[]string{paperFlight, "--only", "seat", "--members", "50"}, exitInput},
		"check of nothing": {[]string{paperFlight, "--check", t.TempDir()}, exitInput}, "out is a file": {[]string{paperFlight, "--out", paperFlight}, exitInput},
	} {
		if status, _, errors := paperLine(c.words...); status != c.status || errors == "" {
			t.Errorf("%s: %d, want %d: %s", name, status, c.status, errors)
		}
	}
	status, out, _ := paperLine(paperFlight, "--members", "50")
	if status != exitAnswered || !strings.HasPrefix(out, "Notice sheet") || strings.Contains(out, "Crew brief") {
		t.Errorf("without a flag it prints %.60q", out)
	}
	if status, again, _ := paperLine("--members", "50", paperFlight); status != exitAnswered || again != out {
		t.Error("the same words in another order print another sheet")
	}
}
