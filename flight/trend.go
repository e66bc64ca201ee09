package flight

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"pappus/air/forecast"
	"pappus/desk/hours"
	"pappus/measure/unit"
	"pappus/record"
)

// TrendOptions shape a trend or a season.
type TrendOptions struct {
	Members  int
	Seed     uint64
	Workers  int
	System   unit.System
	Land     Land
	Regions  bool        // of a trend: answer each cycle's landing regions
	Days     []time.Time // of a season: only these, by their date at the launch place; none: all
	Progress func(done, all int)
}

func (o *TrendOptions) request(f *record.Flight, all int) (hours.Request, error) {
	q := hours.Request{File: f, Members: o.Members, Seed: o.Seed, Workers: o.Workers, System: o.System, Regions: o.Regions}
	if o.Progress != nil {
		q.Progress = func(done int) { o.Progress(done, all) }
	}
	return q, o.Land.lookFrom(&q)
}

// openCycles opens files that must hold cycles.
func openCycles(sky Sky, what string) (*forecast.Library, []forecast.Run, error) {
	library, err := forecast.Open(sky.Files)
	if err != nil {
		return nil, nil, err
	}
	if library.Table() {
		return nil, nil, fmt.Errorf("%s is a profile table, which has no cycle and no date: %s needs GRIB2 files", sky.Files[0].Name, what)
	}
	return library, library.Runs(), nil
}

// Trend flies the same launch through every cycle that the files hold.
func Trend(ctx context.Context, f *record.Flight, sky Sky, o TrendOptions) (*hours.Trend, error) {
	library, runs, err := openCycles(sky, "a trend")
	if err != nil {
		return nil, err
	}
	cycle := func(i int) (hours.CycleSky, error) {
		c := hours.CycleSky{Cycle: runs[i].Cycle, Source: runs[i].Source}
		var err error
		if c.Sky, err = library.LoadRun(i, launchOf(f, f.Launch.Time, sky.Workers)); err != nil {
			c.Sky, c.Why = nil, err.Error()
		}
		return c, nil
	}
	request, err := o.request(f, len(runs))
	if err != nil {
		return nil, err
	}
	return hours.FlyTrend(ctx, request, len(runs), cycle)
}

// mostDays bounds a season.
const mostDays = 1000

// seasonDay is a past launch and the cycle that serves it.
type seasonDay struct {
	launch time.Time
	run    int
}

// Season flies past days at the flight's local launch hour, as many as the files cover.
func Season(ctx context.Context, f *record.Flight, sky Sky, o TrendOptions) (*hours.Season, error) {
	library, runs, err := openCycles(sky, "a season")
	if err != nil {
		return nil, err
	}
	days := seasonDays(f, library, runs, o.Days)
	if len(days) > mostDays {
		return nil, fmt.Errorf("the files cover %d days, more than %d: name those to fly with --days", len(days), mostDays)
	}
	day := func(i int) (hours.PastDay, error) {
		d := days[i]
		past := hours.PastDay{Launch: d.launch, Cycle: runs[d.run].Cycle}
		var err error
		if past.Sky, err = library.LoadRun(d.run, launchOf(f, d.launch, sky.Workers)); err != nil {
			past.Sky, past.Why = nil, err.Error()
		}
		return past, nil
	}
	request, err := o.request(f, len(days))
	if err != nil {
		return nil, err
	}
	answer, err := hours.FlySeason(ctx, request, len(days), day)
	var none *hours.NoCycle
	if errors.As(err, &none) && len(days) == 0 && len(runs) > 0 {
		_, why := library.Serving(f.Launch.Point, hours.SameHour(f, runs[0].Cycle)[1])
		if why != nil {
			return nil, fmt.Errorf("%w (%w)", err, why)
		}
	}
	return answer, err
}

// seasonDays lists the launches that the files cover, each with the cycle that
// serves it, the earliest first.
func seasonDays(f *record.Flight, library *forecast.Library, runs []forecast.Run, only []time.Time) []seasonDay {
	var days []seasonDay
	for run := range runs {
		for _, step := range runs[run].Steps {
			for _, launch := range hours.SameHour(f, step) {
				known := slices.ContainsFunc(days, func(d seasonDay) bool { return d.launch.Equal(launch) })
				if known || len(only) > 0 && !slices.ContainsFunc(only, func(d time.Time) bool { return sameDate(d, launch) }) {
					continue
				}
				if serving, err := library.Serving(f.Launch.Point, launch); err == nil && serving == run {
					days = append(days, seasonDay{launch, run})
				}
			}
		}
	}
	slices.SortFunc(days, func(a, b seasonDay) int { return a.launch.Compare(b.launch) })
	return days
}

func sameDate(a, b time.Time) bool {
	return a.Format(time.DateOnly) == b.Format(time.DateOnly)
}
