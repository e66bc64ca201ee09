package cli

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"time"

	"pappus/flight"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/ports/weather"
	"pappus/record"
)

const (
	usualFolder   = "weather"
	usualSource   = "gfs025"
	usualRadiusKM = 1500.0
)

var weatherGetCommand = command{
	name: "weather get", operands: "FILE",
	summary: "fetch what the flight needs of a forecast from an open archive, and keep it in a folder",
	text: "Only the levels, steps and area that the flight may reach. Each message is checked before it counts; the folder is\n" +
		"changed only once everything is whole. After a cut, the same command goes on from there. Addresses stand in a\n" +
		"settings file (pappus weather settings prints the usual one); proxies are taken from the environment.",
	options: []option{
		{"into", isValue, "DIR", "folder to keep it in (default " + usualFolder + "; with --years " + usualSeasonFolder + ")"},
		{"source", isValue, "NAME", "gfs025, gfs050, gfs100, gefs050, or one of the settings file (default " + usualSource + "; with --years " + usualSeasonSource + ")"},
		{"members", isValue, "N|A-B", "of an ensemble: the first N, counting the control, or numbers A to B with 0 the control (default all)"},
		{"cycle", isValue, "latest|T", "cycle to fetch, such as 2027-04-17T06:00:00Z (default latest: the newest that is complete)"},
		{"radius", isValue, "KM", "how far around the launch place, in km (default 1500)"},
		{"hours", isValue, "H", "how long after the launch the forecast must reach, in hours (default: the flight and an hour)"},
		{"from", isValue, "T", "first launch time, to compare hours (default the file's)"},
		{"to", isValue, "T", "last launch time (default the file's)"},
		{"method", isValue, "auto|ranges|region", "auto: a service that cuts out the area, else whole messages by byte range, and it says so"},
		{"settings", isValue, "FILE", "settings file with other addresses"},
		{"aloft-only", isSwitch, "", "leave out surface height, 10 m wind, gust, cloud and sea-level pressure"},
		{"replace", isSwitch, "", "let the new files take the place of those of the same cycle on another area"},
		{"years", isValue, "Y,Y..Y", "past days instead of a forecast, for pappus season: of these years, such as 2021..2025"},
		{"days", isValue, "D,D..D", "with --years: days of the month (default " + usualSeasonDays + ")"},
		{"month", isValue, "M,M..M", "with --years: months by number (default the launch's)"},
	},
	example: "pappus weather get flight.toml --into weather --source gfs025",
	run: func(ctx context.Context, d *Desk, a *arguments) error {
		path, err := a.operand("flight file")
		if err != nil {
			return err
		}
		f, err := readFlight(path)
		if err != nil {
			return err
		}
		settings, err := a.weatherSettings()
		if err != nil {
			return err
		}
		if a.has("years") || a.has("days") || a.has("month") {
			return d.weatherDays(ctx, a, f, settings)
		}
		job, err := a.weatherJob(settings, usualFolder, usualSource)
		if err != nil {
			return err
		}
		if err := a.span(ctx, d, f, &job); err != nil {
			return err
		}
		report, err := d.fetch(ctx, settings, job)
		if err != nil {
			return err
		}
		if a.has("json") {
			return d.printJSON(fetchAnswer(report))
		}
		return d.print(fetchPage(report, job.Into))
	},
}

func (a *arguments) weatherSettings() (*weather.Settings, error) {
	path := a.last("settings", "")
	if path == "" {
		return weather.ParseSettings("", nil)
	}
	text, err := readFile(path)
	if err != nil {
		return nil, err
	}
	return weather.ParseSettings(path, text)
}

// weatherJob reads what does not depend on the flight.
func (a *arguments) weatherJob(settings *weather.Settings, folder, source string) (weather.Job, error) {
	job := weather.Job{Into: a.last("into", folder), Method: weather.Method(a.last("method", string(weather.Auto))), Ground: !a.has("aloft-only"), Replace: a.has("replace")}
	var err error
	if job.Source, err = settings.Source(a.last("source", source)); err != nil {
		return job, usage("--source: %v", err)
	}
	if job.Method != weather.Auto && job.Method != weather.ByRanges && job.Method != weather.ByRegion {
		return job, usage("--method: %q is none of auto, ranges, region", job.Method)
	}
	if text := a.last("members", ""); text != "" {
		if job.Members, err = memberNumbers(text); err != nil {
			return job, err
		}
	}
	if text := a.last("cycle", "latest"); text != "latest" {
		if job.Cycle, err = time.Parse(time.RFC3339, text); err != nil {
			return job, usage("--cycle: %q is neither latest nor an instant such as 2027-04-17T06:00:00Z", text)
		}
	}
	km, err := a.radius()
	job.RadiusM = km
	return job, err
}

func (a *arguments) radius() (metres float64, err error) {
	km, err := a.number("radius", usualRadiusKM)
	if err == nil && !(km >= 50 && km <= 21000) {
		err = usage("--radius: 50 to 21000 km is expected, not %g", km)
	}
	return km * unit.Kilometre, err
}

// memberNumbers reads "5" (the first five) or "3-7".
func memberNumbers(text string) ([]int, error) {
	const most = 100
	first, last, several := strings.Cut(text, "-")
	low, err := strconv.Atoi(first)
	high, errHigh := low-1, err
	if several {
		high, errHigh = strconv.Atoi(last)
	} else {
		low = 0
	}
	if err != nil || errHigh != nil || low < 0 || high < low || high >= most {
		return nil, usage("--members: %q is neither a number of members such as 11 nor a range such as 1-10", text)
	}
	var all []int
	for m := low; m <= high; m++ {
		all = append(all, m)
	}
	return all, nil
}

// Room around what the plan of a flight says: for starts drawn early or late,
// for a delay on the field, and for days on which the air is warmer and its
// levels stand higher than in the standard atmosphere (judgement).
const (
	beforeLaunch = 30 * time.Minute
	afterLanding = 70 * time.Minute
	aboveBurst   = geo.AltMSL(3000)
)

// span settles the place, the time and the top that a flight may reach.
func (a *arguments) span(ctx context.Context, d *Desk, f *record.Flight, job *weather.Job) error {
	reach, err := flight.ReachOf(ctx, f, d.Workers)
	if err != nil {
		return err
	}
	first, last := reach.Launch, reach.Launch
	for i, to := range []*time.Time{&first, &last} {
		name := []string{"from", "to"}[i]
		if text := a.last(name, ""); text != "" {
			if *to, err = time.Parse(time.RFC3339, text); err != nil {
				return usage("--%s: %q is no instant such as 2027-04-17T13:00:00Z (the zone is needed)", name, text)
			}
		}
	}
	if last.Before(first) {
		return usage("--to lies before --from, or before the launch time of the file")
	}
	aloft := reach.Up + reach.Down + afterLanding
	if a.has("hours") {
		hours, err := a.number("hours", 0)
		if err != nil {
			return err
		}
		if !(hours > 0 && hours <= 384) {
			return usage("--hours: more than 0 and at most 384 is expected, not %g", hours)
		}
		aloft = time.Duration(hours * float64(time.Hour))
	}
	job.Place, job.TopAlt = reach.Place, reach.Burst+aboveBurst
	job.From, job.To = first.Add(-beforeLaunch), last.Add(aloft)
	return nil
}

// fetch runs a job with this machine's clock and network.
func (d *Desk) fetch(ctx context.Context, settings *weather.Settings, job weather.Job) (*weather.Report, error) {
	client, clear := d.weatherClient(settings, &job)
	defer client.Close()
	report, err := client.Get(ctx, job)
	clear()
	if err == nil {
		fmt.Fprintf(d.Err, "pappus: %s fetched\n", octetText(report.Fetched))
		return report, nil
	}
	return nil, fetchError(ctx, err)
}

// weatherClient is a client on this machine; on a terminal a job tells how far
// it has come, until it is cleared.
func (d *Desk) weatherClient(settings *weather.Settings, job *weather.Job) (client *weather.Client, clear func()) {
	client = &weather.Client{
		Settings: settings, Now: time.Now, Random: rand.New(rand.NewPCG(uint64(time.Now().UnixNano()), uint64(os.Getpid()))),
		Warn: func(text string) { fmt.Fprintf(d.Err, "pappus: warning: %s\n", text) },
	}
	shown := false
	if d.Terminal {
		last := time.Time{}
		job.Tell = func(p weather.Progress) {
			const pace = 200 * time.Millisecond
			if now := time.Now(); now.Sub(last) >= pace {
				last, shown = now, true
				fmt.Fprintf(d.Err, "\r%s\x1b[K", progressText(p))
			}
		}
	}
	return client, func() {
		if shown {
			fmt.Fprint(d.Err, "\r\x1b[K")
		}
	}
}

// fetchError sorts an error by who can change it.
func fetchError(ctx context.Context, err error) error {
	var notOut *weather.NotOutError
	var other *weather.OtherGridError
	switch {
	case ctx.Err() != nil:
		return fault{errors.New("interrupted: what has been fetched is kept, and the same command goes on from there")}
	case errors.As(err, &notOut), errors.As(err, &other), !machineFault(err):
		return err
	}
	return fault{err}
}

// machineFault tells faults of the network, a server or the disk from those
// that the person can change.
func machineFault(err error) bool {
	for _, is := range []func(error) bool{is[*weather.AwayError], is[*weather.FullError], is[*weather.BusyError], is[*weather.StatusError],
		is[*weather.PageError], is[*weather.RangeError], is[*weather.DamageError], is[*weather.RedirectError], is[*os.PathError]} {
		if is(err) {
			return true
		}
	}
	return false
}

func is[E error](err error) bool {
	var wanted E
	return errors.As(err, &wanted)
}

func progressText(p weather.Progress) string {
	text := octetText(p.Octets)
	if p.WholeOctets > 0 {
		text += " of " + octetText(p.WholeOctets)
	}
	text += fmt.Sprintf(", %d of %d files", p.Files, p.WholeFiles)
	if p.Left > 0 {
		text += ", " + unit.FormatDuration(p.Left.Seconds()) + " left"
	}
	return text
}

// octetText writes a size for people.
func octetText(n int64) string {
	const kilo, mega = 1e3, 1e6
	switch {
	case n < 10*kilo:
		return fmt.Sprintf("%d B", n)
	case n < 10*mega:
		return fmt.Sprintf("%.0f kB", float64(n)/kilo)
	}
	return fmt.Sprintf("%.0f MB", float64(n)/mega)
}
