package cli

import (
	"context"
	"fmt"
	"slices"
	"time"

	"pappus/flight"
	"pappus/odds/ensemble"
	"pappus/record"
)

const usualMembers = 2000

// laggedReach is how much older than the newest a lagged cycle may be: beyond a
// day an older cycle is clearly the worse one (judgement).
const laggedReach = 24 * time.Hour

var laggedOption = option{"lagged", isSwitch, "", "fly the older cycles of the last 24 h among the files as ensemble members beside the newest"}

var oddsCommand = command{
	name: "odds", operands: "FILE",
	summary: "where the flight comes down and how sure that is, through a forecast",
	text: "The forecast must cover the launch place and time. Ground is the forecast's own surface, shifted to the launch\n" +
		"elevation at the launch; without it the launch elevation; your own terrain tiles go before both.",
	options: slices.Concat([]option{weatherOption, membersOption(usualMembers), seedOption, nominalOption}, landOptions, []option{laggedOption}, exportOptions()),
	example: "pappus odds flight.toml --weather forecasts/*.grib2 --members 2000",
	run: func(ctx context.Context, d *Desk, a *arguments) error {
		path, err := a.operand("flight file")
		if err != nil {
			return err
		}
		f, err := readFlight(path)
		if err != nil {
			return err
		}
		if len(a.flags["weather"]) == 0 {
			return usage("name the forecast: --weather PATH…")
		}
		files, err := readWeather(a.flags["weather"])
		if err != nil {
			return err
		}
		read := []string{path}
		for _, file := range files {
			read = append(read, file.Name)
		}
		if err := checkExports(a, read); err != nil {
			return err
		}
		sky := flight.Sky{Files: files, Workers: d.Workers}
		if a.has("lagged") {
			sky.Lagged = laggedReach
		}
		return d.odds(ctx, a, f, sky)
	},
}

// odds answers for a flight and its sky.
func (d *Desk) odds(ctx context.Context, a *arguments, f *record.Flight, sky flight.Sky) error {
	system, err := a.system(unitsOf(f))
	if err != nil {
		return err
	}
	members, seed, err := a.draw(usualMembers)
	if err != nil {
		return err
	}
	land, err := a.land()
	if err != nil {
		return err
	}
	progress, clear := d.progress("flights", members)
	answer, err := flight.Where(ctx, f, sky, flight.OddsOptions{
		Members: members, Seed: seed, Workers: d.Workers, System: system,
		Nominal: a.has("nominal-only"), Land: land, Progress: progress,
	})
	clear()
	if err != nil {
		return err
	}
	if err := writeExports(a, answer, f.Name); err != nil {
		return err
	}
	d.warnOf(&answer.Answer.Weather)
	if a.has("json") {
		return d.printJSON(answer.Answer)
	}
	return d.print(oddsPage(f, answer, system))
}

// warnOf says in a line each where an answer rests on a value that was held.
func (d *Desk) warnOf(w *ensemble.WeatherUsed) {
	for _, h := range w.Held {
		fmt.Fprintf(d.Err, "pappus: warning: %s from %s in %s of the flights\n", h.What, h.From, percent(h.Share))
	}
	if len(w.Steps) == 1 {
		fmt.Fprintf(d.Err, "pappus: warning: the files hold one step alone, so the sky stands still at %s\n", w.Steps[0])
	}
}

// progress shows how far long work has come, on a terminal and only once it
// has lasted a moment.
func (d *Desk) progress(what string, whole int) (show func(int), clear func()) {
	if !d.Terminal {
		return nil, func() {}
	}
	const patience, pace = 400 * time.Millisecond, 100 * time.Millisecond
	start, last, shown := time.Now(), time.Time{}, false
	show = func(done int) {
		now := time.Now()
		if now.Sub(start) < patience || now.Sub(last) < pace {
			return
		}
		last, shown = now, true
		left := time.Duration(float64(now.Sub(start)) * (float64(whole)/float64(max(done, 1)) - 1)).Round(time.Second)
		fmt.Fprintf(d.Err, "\r%d of %d %s, %v left \x1b[K", done, whole, what, left)
	}
	return show, func() {
		if shown {
			fmt.Fprint(d.Err, "\r\x1b[K")
		}
	}
}
