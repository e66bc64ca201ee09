package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"pappus/desk/hours"
	"pappus/flight"
	"pappus/measure/unit"
)

const usualDayMembers = 100

var seasonCommand = command{
	name: "season", operands: "FILE",
	summary: "past days flown at the flight's local hour: what such a time of year can do; no forecast",
	text: "Weeks ahead there is no forecast. Give files of past days (analyses or forecasts, one degree will do) of the same time\n" +
		"of year (pappus weather get FILE --years 2021..2025 fetches them); each day that they cover is flown once. The date of the launch is replaced by each day's own.",
	options: slices.Concat([]option{weatherOption,
		{"days", isWords, "DAY…", "only these days, such as 2025-04-17, by their date at the launch place (default: all in the files)"},
		{"members", isValue, "N", "how many flights are drawn for each day (default " + itoa(usualDayMembers) + ")"}, seedOption,
	}, landOptions),
	example: "pappus season flight.toml --weather aprils/ --days 2025-04-15 2025-04-16 2026-04-15",
	run: func(ctx context.Context, d *Desk, a *arguments) error {
		in, err := d.weatherAnswer(a, usualDayMembers)
		if err != nil {
			return err
		}
		o := flight.TrendOptions{Members: in.members, Seed: in.seed, Workers: d.Workers, System: in.system, Land: in.land}
		for _, text := range a.flags["days"] {
			day, err := time.ParseInLocation(time.DateOnly, text, in.file.Launch.Time.Location())
			if err != nil {
				return usage("--days: %q is no day such as 2025-04-17", text)
			}
			o.Days = append(o.Days, day)
		}
		var clear func()
		o.Progress, clear = d.progressOf("days")
		answer, err := flight.Season(ctx, in.file, in.sky, o)
		clear()
		if err != nil {
			return err
		}
		if a.has("json") {
			return d.printJSON(answer)
		}
		return d.print(seasonPage(answer, in.system))
	},
}

func seasonPage(a *hours.Season, s unit.System) string {
	p := &page{}
	p.title(a.Name, "the season, not a forecast")
	p.lines("", a.Label)
	p.lines("", a.Summary)
	for _, n := range a.Notes {
		p.item("!", n)
	}
	p.head("Which way")
	for _, petal := range a.Rose {
		far := ""
		if petal.Drift != nil {
			far = "  " + unit.FormatDistance(petal.Drift.P50, s) + " in the median"
		}
		fmt.Fprintf(p, "  %-3s %-24s %6s%s\n", petal.Towards, strings.Repeat("█", int(petal.Share*24+0.5)), percent(petal.Share), far)
	}
	p.head("Where")
	p.row("middle", "%s; one landing in two within %s, nine in ten within %s", coordinates(a.Landing.Median.Lat, a.Landing.Median.Lon),
		unit.FormatDistance(a.Landing.Radius50, s), unit.FormatDistance(a.Landing.Radius90, s))
	p.row("day to day", "the middle of a day's landings lies %s away (4 days in 5: %s to %s)", unit.FormatDistance(a.Spread.P50, s),
		unit.FormatDistance(a.Spread.P10, s), unit.FormatDistance(a.Spread.P90, s))
	if len(a.Chances) > 0 {
		p.head("Chances over the season")
		for _, c := range a.Chances {
			p.item("-", fmt.Sprintf("%s: %s", c.What, percent(c.Probability)))
		}
	}
	p.head("Day by day")
	for _, row := range a.Flown {
		line := fmt.Sprintf("%s towards %s", unit.FormatDistance(row.Drift, s), bearing(row.Bearing))
		if row.Water != nil && *row.Water > 0 {
			line += fmt.Sprintf(", in water %s", percent(*row.Water))
		}
		p.row(row.Day, "%s", line)
	}
	for _, l := range a.Left {
		p.item("!", fmt.Sprintf("not flown: %s: %s", l.Day, l.Why))
	}
	notSeen(p, a.NotSeen)
	p.head("How sure this is")
	p.lines("  ", fmt.Sprintf("%d flights drawn on each day, %d in all (seed %d); what the sample says is as good as the choice of days.", a.Members, a.Days, a.Seed))
	return p.String()
}
