package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"pappus/desk/papers"
	"pappus/flight"
)

// wholeFile is a file to write.
type wholeFile struct {
	path string
	data []byte
}

// writeFiles writes all files beside their places and moves them there only when
// every one of them is safely on the disk.
func writeFiles(files []wholeFile) error {
	var beside []string
	remove := func() {
		for _, name := range beside {
			os.Remove(name)
		}
	}
	for _, file := range files {
		name := filepath.Join(filepath.Dir(file.path), ".pappus-"+filepath.Base(file.path))
		if err := writeFile(name, file.data); err != nil {
			remove()
			return err
		}
		beside = append(beside, name)
	}
	for i, file := range files {
		if err := os.Rename(beside[i], file.path); err != nil {
			remove()
			return fault{fmt.Errorf("%s: %w", file.path, err)}
		}
	}
	return nil
}

func writtenPage(made *flight.Papers, written []string) string {
	p := &page{}
	p.title(made.Flight, "papers")
	for _, name := range written {
		p.item("-", name)
	}
	p.WriteByte('\n')
	p.lines("", "Made from "+made.Stamp.Words()+".")
	p.lines("", "A notice is no permit. Print them again when the flight or the forecast changes: pappus papers --check says when.")
	return p.String()
}

// checkedPaper is one written sheet held against the flight as it is now.
type checkedPaper struct {
	File  string   `json:"file"`
	Stale bool     `json:"stale"`
	Why   []string `json:"why"`
}

// paperCheck is what a folder of written sheets is worth.
type paperCheck struct {
	Stamp papers.Stamp   `json:"stamp"`
	Files []checkedPaper `json:"files"`
	Stale int            `json:"stale"`
	Notes []string       `json:"notes,omitempty"`
}

// checkPapers lists the sheets of a folder that are stale.
func (d *Desk) checkPapers(a *arguments, r *paperRun) error {
	folder := a.last("check", "")
	now, err := flight.StampOf(r.file, r.sky, r.options.Beside)
	if err != nil {
		return err
	}
	entries, err := os.ReadDir(folder)
	if err != nil {
		return fmt.Errorf("%s: no such folder can be read: --check wants the one that --out wrote", folder)
	}
	check := paperCheck{Stamp: now, Files: []checkedPaper{}}
	for _, e := range entries {
		if e.IsDir() || !slices.Contains([]string{".txt", ".html", ".pdf", ".ics"}, strings.ToLower(filepath.Ext(e.Name()))) {
			continue
		}
		data, err := readFile(filepath.Join(folder, e.Name()))
		if err != nil {
			return err
		}
		stamp, ours := papers.FindStamp(data)
		if !ours {
			continue
		}
		why := stamp.Against(now)
		if why == nil {
			why = []string{}
		} else {
			check.Stale++
		}
		check.Files = append(check.Files, checkedPaper{e.Name(), len(why) > 0, why})
	}
	if len(check.Files) == 0 {
		return fmt.Errorf("%s: no sheet of ours is in this folder: write them with --out %s", folder, folder)
	}
	if len(r.sky.Files) == 0 {
		check.Notes = append(check.Notes, "the forecast was not looked at: name the newest one with --weather PATH")
	}
	if a.has("json") {
		return d.printJSON(check)
	}
	return d.print(checkPage(folder, &check))
}

func checkPage(folder string, c *paperCheck) string {
	p := &page{}
	p.title(c.Stamp.Flight, "sheets in "+folder)
	p.lines("", fmt.Sprintf("Held against %s.", c.Stamp.Words()))
	p.WriteByte('\n')
	good := " is up to date"
	if len(c.Notes) > 0 {
		good = " is of this revision"
	}
	for _, f := range c.Files {
		if f.Stale {
			p.item("!", f.File+" is stale: "+strings.Join(f.Why, "; "))
		} else {
			p.item("-", f.File+good)
		}
	}
	for _, n := range c.Notes {
		p.item("?", n)
	}
	if c.Stale > 0 {
		p.WriteByte('\n')
		p.lines("", fmt.Sprintf("%d of %d are stale: throw the printed ones away, and write them again with --out.", c.Stale, len(c.Files)))
	}
	return p.String()
}
