package cli

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"pappus/measure/geo"
	"pappus/ports/weather"
	"pappus/record"
)

// What a season is fetched from and how much of it. The days lie ten apart, so
// that each is other weather than the one before (judgement).
const (
	usualSeasonFolder = "season"
	usualSeasonSource = "gfs100"
	usualSeasonDays   = "5,15,25"
	mostSeasonDays    = 60
)

// weatherDays fetches past days from an archive.
func (d *Desk) weatherDays(ctx context.Context, a *arguments, f *record.Flight, settings *weather.Settings) error {
	job, err := a.daysJob(settings)
	if err != nil {
		return err
	}
	launches, missing, err := a.pastLaunches(f.Launch.Time)
	if err != nil {
		return err
	}
	if err := a.span(ctx, d, f, &job); err != nil {
		return err
	}
	var days []weather.Day
	for _, launch := range launches {
		shift := launch.Sub(f.Launch.Time)
		day := weather.Day{Launch: launch, From: job.From.Add(shift), To: job.To.Add(shift)}
		if day.To.After(time.Now()) {
			missing = append(missing, missingDay{launch.Format(time.DateOnly), "it has not passed yet"})
			continue
		}
		days = append(days, day)
	}
	client, clear := d.weatherClient(settings, &job)
	defer client.Close()
	reports, err := client.GetDays(ctx, job, days, func(s weather.Size) {
		fmt.Fprintf(d.Err, "pappus: %s to fetch for %d days", octetText(s.Octets), s.Days)
		if s.Whole > 0 {
			fmt.Fprintf(d.Err, ", %d of them fetched already", s.Whole)
		}
		fmt.Fprintf(d.Err, "; cut to the area they take a small part of that in %s\n", job.Into)
	})
	clear()
	if err != nil {
		return fetchError(ctx, err)
	}
	answer := seasonAnswer(job, reports, missing)
	for _, m := range answer.Missing {
		fmt.Fprintf(d.Err, "pappus: warning: %s is left out: %s\n", m.Day, m.Why)
	}
	if len(answer.Days) == 0 {
		return noDay(ctx, reports, len(answer.Missing))
	}
	if a.has("json") {
		return d.printJSON(answer)
	}
	return d.print(seasonFetchPage(answer, a.operands[0], job.Into))
}

// noDay is the error when no day came: with an archive that sends damaged
// files, its fault; else the days must be others.
func noDay(ctx context.Context, reports []weather.DayReport, all int) error {
	var err error
	for _, r := range reports {
		if r.Err != nil && (err == nil || machineFault(r.Err)) {
			err = r.Err
		}
	}
	if err == nil {
		return fmt.Errorf("none of the %d days has passed or exists: choose others with --years, --days and --month", all)
	}
	return fetchError(ctx, fmt.Errorf("none of the %d days came: choose others with --years, --days and --month, or an archive that reaches back so far with --settings (the last word: %w)", all, err))
}

// daysJob reads what does not depend on the flight.
func (a *arguments) daysJob(settings *weather.Settings) (weather.Job, error) {
	if !a.has("years") {
		return weather.Job{}, usage("--days and --month choose past days: say of which years, such as --years 2021..2025")
	}
	for _, name := range []string{"cycle", "members", "from", "to"} {
		if a.has(name) {
			return weather.Job{}, usage("--%s does not go with --years: each past day is taken from the cycle just before its own launch hour", name)
		}
	}
	job, err := a.weatherJob(settings, usualSeasonFolder, usualSeasonSource)
	switch {
	case err != nil:
		return job, err
	case job.Method == weather.ByRegion:
		return job, usage("--method region does not go with --years: the services that cut out areas hold recent days only")
	case job.Source.Members > 0:
		return job, usage("--source: %s is an ensemble, and a past day is flown once: choose %s", job.Source.Name, usualSeasonSource)
	}
	return job, nil
}

// missingDay is a day that was asked for and did not come.
type missingDay struct {
	Day string `json:"day"`
	Why string `json:"why"`
}

// pastLaunches are the flight's local launch hours on the days asked for, the
// earliest first.
func (a *arguments) pastLaunches(launch time.Time) (days []time.Time, missing []missingDay, err error) {
	const firstYear, lastYear = 1979, 2200 // reanalyses begin there
	years, err := a.numbers("years", "", firstYear, lastYear)
	if err != nil {
		return nil, nil, err
	}
	months, err := a.numbers("month", strconv.Itoa(int(launch.Month())), 1, 12)
	if err != nil {
		return nil, nil, err
	}
	inMonth, err := a.numbers("days", usualSeasonDays, 1, 31)
	if err != nil {
		return nil, nil, err
	}
	if n := len(years) * len(months) * len(inMonth); n > mostSeasonDays {
		return nil, nil, usage("%d days are asked for, and at most %d are fetched at a time: take fewer --years, --days or --month", n, mostSeasonDays)
	}
	for _, year := range years {
		for _, month := range months {
			for _, day := range inMonth {
				at := time.Date(year, time.Month(month), day, launch.Hour(), launch.Minute(), launch.Second(), 0, launch.Location())
				if at.Day() != day {
					missing = append(missing, missingDay{fmt.Sprintf("%04d-%02d-%02d", year, month, day), "there is no such day"})
					continue
				}
				days = append(days, at)
			}
		}
	}
	return days, missing, nil
}

// numbers reads a list of numbers and ranges, such as 2019,2021..2023, in
// rising order and each once.
func (a *arguments) numbers(name, fallback string, low, high int) ([]int, error) {
	text := a.last(name, fallback)
	var all []int
	for part := range strings.SplitSeq(text, ",") {
		first, last, several := strings.Cut(strings.TrimSpace(part), "..")
		if !several {
			last = first
		}
		from, errFrom := strconv.Atoi(first)
		to, errTo := strconv.Atoi(last)
		if errFrom != nil || errTo != nil || from < low || to > high || to < from {
			return nil, usage("--%s: %q is no list of numbers and ranges from %d to %d, such as %d,%d..%d", name, text, low, high, low, low+1, low+3)
		}
		for n := from; n <= to; n++ {
			all = append(all, n)
		}
	}
	slices.Sort(all)
	return slices.Compact(all), nil
}

// fetchedDay is one past day in an answer.
type fetchedDay struct {
	Day    string     `json:"day"`
	Launch time.Time  `json:"launch"`
	Cycle  time.Time  `json:"cycle"`
	Steps  []int      `json:"steps_h"`
	Files  []keptFile `json:"files"`
}

type fetchedSeason struct {
	Source  string       `json:"source"`
	Title   string       `json:"title"`
	Grid    float64      `json:"grid_deg"`
	Area    *areaAnswer  `json:"area,omitempty"`
	Days    []fetchedDay `json:"days"`
	Missing []missingDay `json:"missing"`
}

func seasonAnswer(job weather.Job, reports []weather.DayReport, missing []missingDay) fetchedSeason {
	s := fetchedSeason{Source: job.Source.Name, Title: job.Source.Title, Grid: job.Source.GridDeg, Days: []fetchedDay{}, Missing: append([]missingDay{}, missing...)}
	for _, r := range reports {
		day := r.Launch.Format(time.DateOnly)
		if r.Report == nil {
			s.Missing = append(s.Missing, missingDay{day, r.Err.Error()})
			continue
		}
		w := r.Report.Window
		s.Area = &areaAnswer{w.SouthDeg, w.NorthDeg, geo.WrapLonDeg(w.WestDeg), geo.WrapLonDeg(w.EastDeg)}
		s.Days = append(s.Days, fetchedDay{day, r.Launch, r.Report.Cycle, r.Report.Steps, keptFiles(r.Report.Files)})
	}
	slices.SortFunc(s.Missing, func(x, y missingDay) int { return strings.Compare(x.Day, y.Day) })
	return s
}

func seasonFetchPage(s fetchedSeason, file, into string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: past days, for a season and not a forecast\n", s.Title)
	octets := int64(0)
	for _, day := range s.Days {
		fmt.Fprintf(&b, "  %s  cycle %s, hour %d to %d\n", day.Day, utcText(day.Cycle), day.Steps[0], day.Steps[len(day.Steps)-1])
		for _, f := range day.Files {
			octets += f.Octets
		}
	}
	fmt.Fprintf(&b, "  %d days, %s in %s", len(s.Days), octetText(octets), into)
	if n := len(s.Missing); n > 0 {
		fmt.Fprintf(&b, "; %d left out", n)
	}
	fmt.Fprintf(&b, "\n\nNext:\n  pappus season %s --weather %s\n", file, into)
	return b.String()
}
