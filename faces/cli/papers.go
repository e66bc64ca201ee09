package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"pappus/desk/papers"
	"pappus/flight"
	"pappus/ports/export"
	"pappus/record"
)

const usualPaperMembers = 2000

// paperFormats are what sheets can be written as.
var paperFormats = []string{"text", "html", "pdf"}

var papersCommand = command{
	name: "papers", operands: "FILE",
	summary: "the sheets for authority, crew, filling, launch, chase and landowner, and the timeline for a calendar",
	text: "Without --out it prints the notice sheet, or those named with --only, as text. The sheets: " + strings.Join(papers.Names(), ", ") + ".\n" +
		"With --out every sheet is written, as PDF unless --format says otherwise, and the timeline as timeline.ics too; all files or none.\n" +
		"Each file carries the flight's revision and the forecast's cycle: --check tells which of those in a folder are stale.\n" +
		"A notice is no permit, and nothing here says that a flight is legal or safe.",
	options: slices.Concat([]option{weatherOption,
		{"out", isValue, "DIR", "write the sheets into this folder, which is made if need be"},
		{"format", isWords, "text|html|pdf…", "how to write them; several may be named (default: pdf with --out, else text)"},
		{"paper", isValue, "a4|letter", "what they are printed on (default: letter for US units, else a4)"},
		{"only", isWords, "NAME…", "only these sheets"},
		{"check", isValue, "DIR", "write nothing: list the sheets in this folder that are stale, and why"},
		membersOption(usualPaperMembers), seedOption,
	}, landOptions),
	example: "pappus papers flight.toml --weather forecasts/ --out papers --format pdf html",
	run:     runPapers,
}

// paperRun is a command line of papers, read.
type paperRun struct {
	file    *record.Flight
	sky     flight.Sky
	options flight.PapersOptions
	formats []string
	paper   export.Paper
	out     string
	read    []string // files that must not be written over
}

func runPapers(ctx context.Context, d *Desk, a *arguments) error {
	r, err := d.paperRun(a)
	if err != nil {
		return err
	}
	if a.has("check") {
		return d.checkPapers(a, r)
	}
	if r.out == "" && len(r.options.Only) == 0 && !a.has("json") {
		r.options.Only = []string{"notice"}
	}
	if r.out != "" {
		if err := r.mayWriteInto(); err != nil {
			return err
		}
	}
	progress, clear := d.progress("flights", r.options.Members)
	r.options.Progress = progress
	made, err := flight.PapersOf(ctx, r.file, r.sky, r.options)
	clear()
	var unknown *papers.NoSheet
	if errors.As(err, &unknown) {
		return usage("--only: %v", err)
	} else if err != nil {
		return err
	}
	var written []string
	if r.out != "" {
		if written, err = r.write(made); err != nil {
			return err
		}
	}
	switch {
	case a.has("json"):
		return d.printJSON(made)
	case r.out != "":
		return d.print(writtenPage(made, written))
	}
	return d.printSheets(made, r)
}

func (d *Desk) paperRun(a *arguments) (*paperRun, error) {
	r := &paperRun{out: a.last("out", ""), formats: a.flags["format"]}
	path, err := a.operand("flight file")
	if err != nil {
		return nil, err
	}
	if r.file, err = readFlight(path); err != nil {
		return nil, err
	}
	o := &r.options
	o.Only, o.Workers = a.flags["only"], d.Workers
	if o.System, err = a.system(unitsOf(r.file)); err != nil {
		return nil, err
	}
	if o.Members, o.Seed, err = a.draw(usualPaperMembers); err != nil {
		return nil, err
	}
	if r.paper, err = a.paper(r); err != nil {
		return nil, err
	}
	if err := r.settleFormats(a); err != nil {
		return nil, err
	}
	if o.Land, err = a.land(); err != nil {
		return nil, err
	}
	if o.Beside, err = a.landFiles(); err != nil {
		return nil, err
	}
	files, err := readWeather(a.flags["weather"])
	if err != nil {
		return nil, err
	}
	r.sky = flight.Sky{Files: files, Workers: d.Workers}
	r.read = append([]string{path}, a.flags["areas"]...)
	for _, file := range files {
		r.read = append(r.read, file.Name)
	}
	return r, nil
}

// settleFormats refuses what cannot be written where it is asked to go.
func (r *paperRun) settleFormats(a *arguments) error {
	for _, format := range r.formats {
		if !slices.Contains(paperFormats, format) {
			return usage("--format: %q is none of %s", format, strings.Join(paperFormats, ", "))
		}
	}
	switch {
	case a.has("out") && r.out == "":
		return usage("--out needs the name of a folder")
	case a.has("out") && a.has("check"):
		return usage("--check writes nothing: leave --out away")
	case r.out != "" && len(r.formats) == 0:
		r.formats = []string{"pdf"}
	case r.out == "" && len(r.formats) == 0:
		r.formats = []string{"text"}
	case r.out == "" && !slices.Equal(r.formats, []string{"text"}):
		if len(r.formats) > 1 || r.formats[0] == "pdf" || len(r.options.Only) > 1 {
			return usage("--format %s is written to files: name a folder with --out DIR", strings.Join(r.formats, " "))
		}
	}
	return nil
}

// paper answers what to print on: as people do where the units are used.
func (a *arguments) paper(r *paperRun) (export.Paper, error) {
	usual := export.A4
	if unitsOf(r.file) == r.options.System && r.file.Rules == "US" {
		usual = export.Letter
	}
	switch paper := export.Paper(a.last("paper", string(usual))); paper {
	case export.A4, export.Letter:
		return paper, nil
	default:
		return "", usage("--paper: %q is neither a4 nor letter", paper)
	}
}

// landFiles reads again the files about the ground: what stands in them counts
// for the stamp.
func (a *arguments) landFiles() ([][]byte, error) {
	var files [][]byte
	paths := slices.Clone(a.flags["areas"])
	for _, path := range a.flags["terrain"] {
		if path == "world" {
			files = append(files, []byte(path))
			continue
		}
		names, err := tilesAt(path)
		if err != nil {
			return nil, err
		}
		paths = append(paths, names...)
	}
	for _, path := range paths {
		data, err := readFile(path)
		if err != nil {
			return nil, err
		}
		files = append(files, data)
	}
	return files, nil
}

// printSheets prints sheets one after the other.
func (d *Desk) printSheets(made *flight.Papers, r *paperRun) error {
	for i := range made.Sheets {
		if i > 0 {
			if err := d.print("\n\n"); err != nil {
				return err
			}
		}
		data, err := printed(&made.Sheets[i], r.formats[0], r.paper)
		if err != nil {
			return err
		}
		if err := d.print(string(data)); err != nil {
			return err
		}
	}
	return nil
}

// printed is a sheet in one format.
func printed(s *papers.Sheet, format string, paper export.Paper) (data []byte, err error) {
	switch format {
	case "html":
		data, err = export.SheetHTML(s, paper)
	case "pdf":
		data, err = export.SheetPDF(s, paper)
	default:
		data, err = export.SheetText(s)
	}
	var glyph *export.NoGlyph
	if err != nil && !errors.As(err, &glyph) {
		return nil, fault{err}
	}
	return data, err
}

// mayWriteInto refuses a folder that is a file.
func (r *paperRun) mayWriteInto() error {
	info, err := os.Stat(r.out)
	if err == nil && !info.IsDir() {
		return fmt.Errorf("%s: this is a file, and --out wants a folder", r.out)
	}
	return nil
}

// write prints every sheet first, then writes all files or none.
func (r *paperRun) write(made *flight.Papers) ([]string, error) {
	var files []wholeFile
	for i := range made.Sheets {
		s := &made.Sheets[i]
		for _, format := range r.formats {
			data, err := printed(s, format, r.paper)
			if err != nil {
				return nil, err
			}
			ending := format
			if format == "text" {
				ending = "txt"
			}
			files = append(files, wholeFile{filepath.Join(r.out, s.Name+"."+ending), data})
		}
		if len(s.Events) > 0 {
			data, err := export.Calendar(s)
			if err != nil {
				return nil, fault{err}
			}
			files = append(files, wholeFile{filepath.Join(r.out, s.Name+".ics"), data})
		}
	}
	var names []string
	for _, file := range files {
		if err := r.mayReplace(file.path); err != nil {
			return nil, err
		}
		names = append(names, file.path)
	}
	if err := os.MkdirAll(r.out, 0o755); err != nil {
		return nil, fault{fmt.Errorf("%s: %w", r.out, err)}
	}
	return names, writeFiles(files)
}

// mayReplace lets only sheets be written over.
func (r *paperRun) mayReplace(path string) error {
	for _, other := range r.read {
		if sameFile(other, path) {
			return usage("--out: %s is read for these papers and is not overwritten: choose another folder", path)
		}
	}
	if _, err := os.Stat(path); err != nil {
		return nil
	}
	data, err := readFile(path)
	if err != nil {
		return err
	}
	if _, ours := papers.FindStamp(data); !ours {
		return fmt.Errorf("%s: this file is there already and is no sheet of ours: it is left as it is; choose another folder", path)
	}
	return nil
}
