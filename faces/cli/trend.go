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

var trendCommand = command{
	name: "trend", operands: "FILE",
	summary: "the same flight through every forecast cycle at hand: how its landing moved",
	text: "Give a folder with several cycles of one model. It also says whether the landing moved between cycles as much as the\n" +
		"assumed wind error lets expect.",
	options: slices.Concat([]option{weatherOption, membersOption(usualHourMembers), seedOption}, landOptions),
	example: "pappus trend flight.toml --weather forecasts/",
	run: func(ctx context.Context, d *Desk, a *arguments) error {
		in, err := d.weatherAnswer(a, usualHourMembers)
		if err != nil {
			return err
		}
		o := flight.TrendOptions{Members: in.members, Seed: in.seed, Workers: d.Workers, System: in.system, Land: in.land}
		var clear func()
		o.Progress, clear = d.progressOf("cycles")
		answer, err := flight.Trend(ctx, in.file, in.sky, o)
		clear()
		if err != nil {
			return err
		}
		if a.has("json") {
			return d.printJSON(answer)
		}
		return d.print(trendPage(answer, in.file.Launch.Time, in.system))
	},
}

func trendPage(t *hours.Trend, launch time.Time, s unit.System) string {
	p := &page{}
	p.title(t.Name, "how the answer moved")
	p.lines("", "launch "+launch.Format("Mon 2 Jan 2006 15:04 -07:00"))
	p.lines("", t.Summary)
	p.head("Cycle by cycle, the newest first; moved: from the newest median")
	fmt.Fprintf(p, "  %-17s%9s  %-20s%10s%10s  %s\n", "cycle (UTC)", "age", "median landing", "1 in 2", "9 in 10", "moved")
	for _, c := range t.Cycles {
		moved := "-"
		if c.Bearing != nil {
			moved = unit.FormatDistance(c.Moved, s) + " " + hours.Towards(*c.Bearing)
		}
		fmt.Fprintf(p, "  %-17s%9s  %-20s%10s%10s  %s\n", clockDay(c.Cycle), fmt.Sprintf("%.0f h", c.Age/unit.Hour),
			coordinates(c.Landing.Median.Lat, c.Landing.Median.Lon), unit.FormatDistance(c.Landing.Radius50, s), unit.FormatDistance(c.Landing.Radius90, s), moved)
	}
	for _, l := range t.Left {
		p.item("!", fmt.Sprintf("not flown: cycle %s: %s", clockDay(l.Cycle), l.Why))
	}
	p.head("Does that agree with the assumed wind error")
	p.lines("  ", t.Agreement.Text)
	notSeen(p, t.NotSeen)
	p.head("How sure this is")
	p.lines("  ", fmt.Sprintf("%d flights drawn through each cycle (seed %d).", t.Members, t.Seed))
	return p.String()
}

func notSeen(p *page, list []string) {
	p.head("Not looked at")
	for _, what := range list {
		p.item("-", what)
	}
}

// clockDay writes an answer's instant in UTC to the minute.
func clockDay(text string) string {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return strings.TrimSpace(text)
	}
	return t.UTC().Format("2006-01-02 15:04")
}
