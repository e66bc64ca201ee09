package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"pappus/air/forecast"
	"pappus/desk/hours"
	"pappus/flight"
	"pappus/measure/unit"
	"pappus/ports/export"
	"pappus/record"
)

const usualHourMembers = 300

var hoursCommand = command{
	name: "hours", operands: "FILE",
	summary: "every launch time of a window at every site: go, wait or no by your own limits, and why",
	text: "Instants without a zone are in that of the file's launch time. Limits are those of [limits] in the file, else the usual\n" +
		"ones. An hour that no forecast covers waits. A verdict says nothing of the law, and names what it did not look at.",
	options: slices.Concat([]option{weatherOption,
		{"from", isValue, "T", "first launch, such as 2027-04-17T06:00:00-05:00"},
		{"to", isValue, "T", "last launch"},
		{"every", isValue, "1h", "time from launch to launch (default 1h)"},
		{"sites", isWords, "NAME…", "only these sites of the file, by name (default: the launch place and all sites)"},
		{"regions", isSwitch, "", "answer the landing regions of every hour too (slower, and a long document)"},
		membersOption(usualHourMembers), seedOption,
		{"csv", isValue, "FILE", "write a table with a row for every hour and site"},
	}, landOptions),
	example: "pappus hours flight.toml --weather forecasts/ --from 2027-04-17T06:00 --to 2027-04-18T20:00 --every 1h",
	run:     runHours,
}

func runHours(ctx context.Context, d *Desk, a *arguments) error {
	in, err := d.weatherAnswer(a, usualHourMembers)
	if err != nil {
		return err
	}
	o := flight.HoursOptions{Sites: a.flags["sites"], Members: in.members, Seed: in.seed, Workers: d.Workers, System: in.system, Regions: a.has("regions"), Land: in.land}
	if err := a.window(&o, in.file.Launch.Time.Location()); err != nil {
		return err
	}
	if a.has("csv") {
		if err := in.mayWrite(a.last("csv", "")); err != nil {
			return err
		}
	}
	var clear func()
	o.Progress, clear = d.progressOf("launches")
	answer, err := flight.Hours(ctx, in.file, in.sky, o)
	clear()
	var window *hours.BadWindow
	var site *hours.NoSite
	if errors.As(err, &window) || errors.As(err, &site) {
		return usage("%v", err)
	} else if err != nil {
		return err
	}
	if a.has("csv") {
		data, err := export.HoursCSV(answer)
		if err != nil {
			return fault{err}
		}
		if err := writeFile(a.last("csv", ""), data); err != nil {
			return err
		}
	}
	if a.has("json") {
		return d.printJSON(answer)
	}
	return d.print(hoursPage(in.file, answer, in.system))
}

// window reads the flags of a window.
func (a *arguments) window(o *flight.HoursOptions, zone *time.Location) error {
	for _, end := range []struct {
		name string
		into *time.Time
	}{{"from", &o.From}, {"to", &o.To}} {
		text := a.last(end.name, "")
		if text == "" {
			return usage("name the window: --from T --to T")
		}
		t, ok := instant(text, zone)
		if !ok {
			return usage("--%s: %q is no instant such as 2027-04-17T06:00:00-05:00", end.name, text)
		}
		*end.into = t
	}
	every, err := time.ParseDuration(a.last("every", "1h"))
	if err != nil {
		return usage("--every: %q is no time such as 1h or 30m", a.last("every", ""))
	}
	o.Every = every
	return nil
}

// instant reads an instant; one without a zone is in the zone given.
func instant(text string, zone *time.Location) (time.Time, bool) {
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		return t.In(zone), true
	}
	for _, form := range []string{"2006-01-02T15:04Z07:00", "2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02 15:04", time.DateOnly} {
		if t, err := time.ParseInLocation(form, text, zone); err == nil {
			return t.In(zone), true
		}
	}
	return time.Time{}, false
}

// weatherAnswer is what commands through forecasts read first.
type weatherAnswer struct {
	file    *record.Flight
	sky     flight.Sky
	land    flight.Land
	system  unit.System
	members int
	seed    uint64
	read    []string
}

func (d *Desk) weatherAnswer(a *arguments, members int) (in weatherAnswer, err error) {
	path, err := a.operand("flight file")
	if err != nil {
		return in, err
	}
	if in.file, err = readFlight(path); err != nil {
		return in, err
	}
	if in.system, err = a.system(unitsOf(in.file)); err != nil {
		return in, err
	}
	if in.members, in.seed, err = a.draw(members); err != nil {
		return in, err
	}
	if len(a.flags["weather"]) == 0 {
		return in, usage("name the forecast: --weather PATH…")
	}
	if in.land, err = a.land(); err != nil {
		return in, err
	}
	var files []forecast.File
	if files, err = readWeather(a.flags["weather"]); err != nil {
		return in, err
	}
	in.sky = flight.Sky{Files: files, Workers: d.Workers}
	in.read = append(in.read, path)
	for _, file := range files {
		in.read = append(in.read, file.Name)
	}
	return in, nil
}

// mayWrite refuses to write over what was read.
func (in *weatherAnswer) mayWrite(path string) error {
	if path == "" {
		return usage("--csv needs the name of a file to write")
	}
	for _, other := range in.read {
		if sameFile(other, path) {
			return usage("--csv: %s is read for this answer and is not overwritten: choose another name", path)
		}
	}
	return nil
}

// progressOf shows progress of work whose size is known once it has begun.
func (d *Desk) progressOf(what string) (show func(done, all int), clear func()) {
	if !d.Terminal {
		return nil, func() {}
	}
	var inner func(int)
	end := func() {}
	return func(done, all int) {
		if inner == nil {
			inner, end = d.progress(what, all)
		}
		inner(done)
	}, func() { end() }
}

// launches writes a number of launches.
func launches(n int) string {
	if n == 1 {
		return "1 launch"
	}
	return fmt.Sprintf("%d launches", n)
}
