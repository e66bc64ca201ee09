package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"pappus/ports/weather"
)

var weatherSettingsCommand = command{
	name:    "weather settings",
	summary: "print the settings that weather get works with, to change a copy of",
	example: "pappus weather settings > mirrors.toml",
	run: func(_ context.Context, d *Desk, a *arguments) error {
		if len(a.operands) > 0 {
			return usage("weather settings takes no file: give yours to weather get with --settings FILE")
		}
		if a.has("json") {
			return d.printJSON(map[string]string{"toml": string(weather.DefaultSettings())})
		}
		return d.print(string(weather.DefaultSettings()))
	},
}

// folder answers the only operand, a folder, or the usual one.
func (a *arguments) folder() (string, error) {
	folder := usualFolder
	if len(a.operands) > 0 {
		var err error
		if folder, err = a.operand("folder"); err != nil {
			return "", err
		}
	}
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return "", fmt.Errorf("%s: there is no such folder", folder)
	}
	return folder, nil
}

var weatherListCommand = command{
	name: "weather list", operands: "[DIR]",
	summary: "the cycles in a folder: steps, members, top level, size and age",
	text:    "Ages count from the newest cycle in the folder, or to the instant of --now.",
	options: []option{{"now", isValue, "T", "instant to which ages count, such as 2027-04-17T13:00:00Z"}},
	example: "pappus weather list weather",
	run: func(_ context.Context, d *Desk, a *arguments) error {
		folder, err := a.folder()
		if err != nil {
			return err
		}
		now := time.Time{}
		if text := a.last("now", ""); text != "" {
			if now, err = time.Parse(time.RFC3339, text); err != nil {
				return usage("--now: %q is no instant such as 2027-04-17T13:00:00Z (the zone is needed)", text)
			}
		}
		cycles, faults, err := weather.List(folder)
		if err != nil {
			return fault{err}
		}
		answer := keptCycles(cycles, now)
		if a.has("json") {
			err = d.printJSON(map[string]any{"folder": folder, "cycles": answer})
		} else {
			err = d.print(cyclesPage(folder, answer))
		}
		if err == nil && len(faults) > 0 {
			return faultLines(faults)
		}
		return err
	},
}

// faultLines names the first three faults and counts the others.
func faultLines(faults []error) error {
	const most = 3
	var lines []string
	for i, f := range faults {
		if i == most {
			lines = append(lines, fmt.Sprintf("and %d more faults like these", len(faults)-most))
			break
		}
		lines = append(lines, f.Error())
	}
	return errors.New(strings.Join(lines, "\n"))
}

var weatherPruneCommand = command{
	name: "weather prune", operands: "[DIR]",
	summary: "keep the newest cycles of each source in a folder and remove the others",
	text:    "Only files that pappus named are removed; others are left alone and named.",
	options: []option{{"keep", isValue, "N", "how many cycles of each source stay (needed)"}},
	example: "pappus weather prune weather --keep 4",
	run: func(_ context.Context, d *Desk, a *arguments) error {
		folder, err := a.folder()
		if err != nil {
			return err
		}
		if !a.has("keep") {
			return usage("say how many cycles of each source stay: --keep N")
		}
		const most = 100_000
		keep, err := a.whole("keep", 0, 0, most)
		if err != nil {
			return err
		}
		p, err := weather.Prune(folder, keep)
		if err != nil {
			return fault{err}
		}
		if a.has("json") {
			return d.printJSON(map[string]any{"kept": keptCycles(p.Kept, time.Time{}), "removed": append([]string{}, p.Removed...),
				"octets": p.Octets, "left_alone": append([]string{}, p.LeftAlone...)})
		}
		var b strings.Builder
		fmt.Fprintf(&b, "Kept %d cycles; removed %d files, %s.\n", len(p.Kept), len(p.Removed), octetText(p.Octets))
		for _, path := range p.LeftAlone {
			fmt.Fprintf(&b, "  left alone, for pappus did not name it: %s\n", path)
		}
		return d.print(b.String())
	},
}

var weatherImportCommand = command{
	name: "weather import", operands: "PATH…",
	summary: "take GRIB2 files or folders of them, from a stick or a mail, into a folder of forecasts",
	text: "The fields that a flight can use, each step and member in a file of its own; with --flight cut to the area around\n" +
		"its launch place, without any loss. A file with a fault stops the import, and then nothing is changed.",
	options: []option{
		{"into", isValue, "DIR", "folder to keep them in (default " + usualFolder + ")"},
		{"flight", isValue, "FILE", "cut to the area around the launch place of this flight"},
		{"radius", isValue, "KM", "how far around the launch place, in km (default 1500)"},
	},
	example: "pappus weather import /media/stick/*.grib2 --into weather --flight flight.toml",
	run: func(_ context.Context, d *Desk, a *arguments) error {
		if len(a.operands) == 0 {
			return usage("name at least one file or folder")
		}
		job := weather.ImportJob{Paths: a.operands, Into: a.last("into", usualFolder)}
		var err error
		if job.RadiusM, err = a.radius(); err != nil {
			return err
		}
		if path := a.last("flight", ""); path != "" {
			f, err := readFlight(path)
			if err != nil {
				return err
			}
			job.Cut, job.Place = true, f.Launch.Point
		} else if a.has("radius") {
			return usage("--radius needs --flight FILE, which names the place")
		}
		done, err := weather.Import(job)
		if err != nil {
			var full *weather.FullError
			if errors.As(err, &full) {
				return fault{err}
			}
			return err
		}
		if a.has("json") {
			return d.printJSON(map[string]any{"fields": done.Fields, "passed_over": done.Passed, "files": keptFiles(done.Files)})
		}
		return d.print(fmt.Sprintf("Imported %d fields; %d are of no use to a flight or were there already.\n", done.Fields, done.Passed) + filesText(done.Files))
	},
}
