package cli

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/ports/weather"
)

// keptFile is one file in an answer.
type keptFile struct {
	File   string `json:"file"`
	Octets int64  `json:"octets"`
	Kept   bool   `json:"was_there"`
}

func keptFiles(files []weather.ReportFile) []keptFile {
	all := []keptFile{}
	for _, f := range files {
		all = append(all, keptFile{f.Path, f.Octets, f.Kept})
	}
	return all
}

// areaText is an area in an answer.
type areaAnswer struct {
	South float64 `json:"south_deg"`
	North float64 `json:"north_deg"`
	West  float64 `json:"west_deg"`
	East  float64 `json:"east_deg"`
}

type fetched struct {
	Source  string     `json:"source"`
	Title   string     `json:"title"`
	Cycle   time.Time  `json:"cycle"`
	Steps   []int      `json:"steps_h"`
	Members []int      `json:"members,omitempty"`
	Levels  []float64  `json:"levels_pa"`
	Grid    float64    `json:"grid_deg"`
	Area    areaAnswer `json:"area"`
	Lacks   []string   `json:"not_offered,omitempty"`
	Files   []keptFile `json:"files"`
}

func fetchAnswer(r *weather.Report) fetched {
	w := r.Window
	return fetched{Source: r.Source, Title: r.Title, Cycle: r.Cycle, Steps: r.Steps, Members: r.Members, Levels: r.Levels, Grid: w.StepDeg,
		Area: areaAnswer{w.SouthDeg, w.NorthDeg, geo.WrapLonDeg(w.WestDeg), geo.WrapLonDeg(w.EastDeg)}, Lacks: r.Lacks, Files: keptFiles(r.Files)}
}

func utcText(t time.Time) string { return t.UTC().Format("2006-01-02 15:04") + " UTC" }

func fetchPage(r *weather.Report, into string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", r.Title)
	fmt.Fprintf(&b, "  %-10s %s\n", "cycle", utcText(r.Cycle))
	fmt.Fprintf(&b, "  %-10s %d, from hour %d to hour %d\n", "steps", len(r.Steps), r.Steps[0], r.Steps[len(r.Steps)-1])
	if n := len(r.Members); n > 0 {
		fmt.Fprintf(&b, "  %-10s %d, from %d to %d\n", "members", n, r.Members[0], r.Members[n-1])
	}
	fmt.Fprintf(&b, "  %-10s %d, from %.4g to %.4g hPa\n", "levels", len(r.Levels), r.Levels[0]/unit.HectoPascal, r.Levels[len(r.Levels)-1]/unit.HectoPascal)
	fmt.Fprintf(&b, "  %-10s %s\n", "area", r.Window)
	if len(r.Lacks) > 0 {
		fmt.Fprintf(&b, "  %-10s %s\n", "not given", strings.Join(r.Lacks, ", "))
	}
	b.WriteString(filesText(r.Files))
	fmt.Fprintf(&b, "\nNext:\n  pappus odds FILE --weather %s\n", into)
	return b.String()
}

// filesText sums up files and names a few.
func filesText(files []weather.ReportFile) string {
	const most = 6
	var b strings.Builder
	octets, kept := int64(0), 0
	for i, f := range files {
		octets += f.Octets
		if f.Kept {
			kept++
		}
		if i < most {
			fmt.Fprintf(&b, "  %s\n", f.Path)
		}
	}
	if len(files) > most {
		fmt.Fprintf(&b, "  and %d more\n", len(files)-most)
	}
	fmt.Fprintf(&b, "  %d files, %s", len(files), octetText(octets))
	if kept > 0 {
		fmt.Fprintf(&b, ", %d of them there already", kept)
	}
	b.WriteString("\n")
	return b.String()
}

// keptCycle is one cycle of a folder in an answer.
type keptCycle struct {
	Source  string    `json:"source,omitempty"`
	Centre  uint16    `json:"centre"`
	Cycle   time.Time `json:"cycle"`
	From    time.Time `json:"from"`
	To      time.Time `json:"to"`
	Steps   int       `json:"steps"`
	Members int       `json:"members"`
	Top     float64   `json:"top_pa,omitempty"`
	Grids   []string  `json:"grids"`
	Files   int       `json:"files"`
	Octets  int64     `json:"octets"`
	Older   float64   `json:"older_than_newest_s"`
	Age     *float64  `json:"age_s,omitempty"` // with --now
}

func keptCycles(cycles []weather.Cycle, now time.Time) []keptCycle {
	all := []keptCycle{}
	for _, c := range cycles {
		k := keptCycle{Source: c.Source, Centre: c.Centre, Cycle: c.Reference, From: c.First, To: c.Last, Steps: len(c.Steps), Members: len(c.Members),
			Grids: c.Grids, Files: len(c.Files), Octets: c.Octets, Older: cycles[0].Reference.Sub(c.Reference).Seconds()}
		if n := len(c.Levels); n > 0 {
			k.Top = c.Levels[n-1]
		}
		if !now.IsZero() {
			age := now.Sub(c.Reference).Seconds()
			k.Age = &age
		}
		all = append(all, k)
	}
	return all
}

func cyclesPage(folder string, cycles []keptCycle) string {
	var b strings.Builder
	if len(cycles) == 0 {
		return fmt.Sprintf("%s holds no forecast. Fetch one with: pappus weather get FILE --into %s\n", folder, folder)
	}
	age := "older by"
	if cycles[0].Age != nil {
		age = "age"
	}
	fmt.Fprintf(&b, "%-14s %-16s %9s  %-16s %-16s %5s %7s %8s %9s\n", "source", "cycle (UTC)", age, "from (UTC)", "to (UTC)", "steps", "members", "top hPa", "size")
	total := int64(0)
	for _, c := range cycles {
		seconds := c.Older
		if c.Age != nil {
			seconds = *c.Age
		}
		source := c.Source
		if source == "" {
			source = fmt.Sprintf("centre %d", c.Centre)
		}
		const form = "2006-01-02 15:04"
		fmt.Fprintf(&b, "%-14s %-16s %8.1fh  %-16s %-16s %5d %7d %8.4g %9s\n", source, c.Cycle.Format(form), seconds/unit.Hour,
			c.From.Format(form), c.To.Format(form), c.Steps, c.Members, c.Top/unit.HectoPascal, octetText(c.Octets))
		if len(c.Grids) > 1 {
			fmt.Fprintf(&b, "  on %d different grids, which cannot be used together: move the files apart\n", len(c.Grids))
		}
		total += c.Octets
	}
	fmt.Fprintf(&b, "%d cycles, %s in %s\n", len(cycles), octetText(total), filepath.Clean(folder))
	return b.String()
}
