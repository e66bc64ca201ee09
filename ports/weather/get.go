package weather

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"pappus/measure/geo"
)

// Method is how octets are fetched.
type Method string

// The methods.
const (
	ByRegion Method = "region" // a service cuts out the area
	ByRanges Method = "ranges" // whole messages, by byte range; cut here
	Auto     Method = "auto"   // the service where it answers, else ranges; which one is said
)

// Job is what is to be fetched, and for what.
type Job struct {
	Source  Source
	Into    string // folder, made if it is not there
	Place   geo.Point
	RadiusM float64
	From    time.Time // the forecast is needed from here
	To      time.Time // to here
	TopAlt  geo.AltMSL
	Members []int     // of an ensemble
	Cycle   time.Time // zero: the newest that is complete
	Method  Method
	Back    int  // how many cycles back the newest is looked for; 0: twelve
	Ground  bool // fields near the ground too
	Replace bool // files of the same cycle on another area give way
	Tell    func(Progress)
}

// Progress is how far a fetch has come.
type Progress struct {
	Octets, WholeOctets int64 // whole: 0 where it is not known
	Files, WholeFiles   int
	Left                time.Duration // 0 where it is not known
}

// Report is what a fetch has brought.
type Report struct {
	Source  string
	Title   string
	Cycle   time.Time
	Method  Method // that brought it; empty when everything was there already
	Steps   []int  // h
	Members []int
	Levels  []float64 // Pa, lowest level first
	Window  Window
	Files   []ReportFile
	Fetched int64 // octets over the network
	Lacks   []string
}

// ReportFile is one file of a report.
type ReportFile struct {
	Path   string
	Octets int64
	Kept   bool // it was there already
}

// getter is one fetch at work.
type getter struct {
	client *Client
	job    Job
	window Window
	cycle  time.Time
	steps  []int
	levels []float64
	lacks  []string
	sheets []*sheet
	folder string // where parts lie
	meter  meter
}

// sheet is one file to be made: one step of one member.
type sheet struct {
	Name
	wish    wish
	remotes []*remote
	kept    bool // in the folder already
	staged  bool // whole, in the part folder
}

// remote is one file of the archive that a sheet draws on.
type remote struct {
	address, region string
	text            []byte
	index           Index
	wanted          []Message
	pieces          []Piece
}

// Get fetches what a job asks for. The folder is changed only once everything
// is whole; what was fetched before an error is kept aside for the next try.
func (c *Client) Get(ctx context.Context, job Job) (*Report, error) {
	c.begin()
	g, err := c.survey(ctx, job)
	if err != nil {
		return nil, err
	}
	return g.bring(ctx)
}

// survey settles the cycle and reads the indexes: what is to be fetched, and how
// much it is. Nothing is written.
func (c *Client) survey(ctx context.Context, job Job) (*getter, error) {
	g := &getter{client: c, job: job, window: WindowAround(job.Place, job.RadiusM, job.Source.GridDeg)}
	if err := g.checkJob(); err != nil {
		return nil, err
	}
	var err error
	if g.cycle, g.steps, err = g.find(ctx); err != nil {
		return nil, err
	}
	g.job.Source = job.Source.on(g.cycle)
	if err := g.checkRegion(); err != nil {
		return nil, err
	}
	g.folder = filepath.Join(job.Into, partFolder, fmt.Sprintf("%s_%s", job.Source.Name, g.cycle.Format("20060102T15Z")))
	return g, g.plan(ctx)
}

// bring fetches what a survey has settled.
func (g *getter) bring(ctx context.Context) (*Report, error) {
	if err := os.MkdirAll(g.folder, 0o755); err != nil {
		return nil, diskError(g.folder, err)
	}
	unlock, err := lockFolder(g.folder)
	if err != nil {
		return nil, err
	}
	defer unlock()
	// Another run may have brought some of it before this one had the lock.
	if err := g.look(); err != nil {
		return nil, err
	}
	replaced, err := g.clash()
	if err != nil {
		return nil, err
	}
	method, err := g.fetch(ctx)
	if err != nil {
		return nil, err
	}
	return g.finish(method, replaced)
}

// look tells which files are there already, in the folder or beside it.
func (g *getter) look() error {
	for _, s := range g.sheets {
		var err error
		if s.kept, err = satisfied(filepath.Join(g.job.Into, s.String()), s.Name, s.wish, g.window); err != nil {
			return err
		}
		if s.staged = false; s.kept {
			continue
		}
		if s.staged, err = satisfied(filepath.Join(g.folder, s.String()), s.Name, s.wish, g.window); err != nil {
			return err
		}
	}
	return nil
}

func (g *getter) checkRegion() error {
	if j := g.job; j.Method == ByRegion && len(j.Source.Region) == 0 {
		return fmt.Errorf("no service that cuts out areas is named for %s: use --method ranges, or give source.%s.region in a settings file", j.Source.Name, j.Source.Name)
	}
	return nil
}

func (g *getter) checkJob() error {
	j := g.job
	switch {
	case j.Method != Auto && j.Method != ByRanges && j.Method != ByRegion:
		return fmt.Errorf("the method %q is none of auto, ranges, region", j.Method)
	case j.To.Before(j.From):
		return fmt.Errorf("the forecast is needed to %s, before it is needed from %s", timeText(j.To), timeText(j.From))
	case j.Source.Members == 0 && len(j.Members) > 0:
		return fmt.Errorf("%s has no members: leave --members out, or choose an ensemble", j.Source.Name)
	}
	for _, m := range j.Members {
		if m < 0 || m >= j.Source.Members {
			return fmt.Errorf("%s has members 0 to %d, and none with number %d", j.Source.Name, j.Source.Members-1, m)
		}
	}
	return nil
}

// members lists what is fetched: -1 stands for a forecast without members.
func (g *getter) members() []int {
	if g.job.Source.Members == 0 {
		return []int{-1}
	}
	if len(g.job.Members) > 0 {
		return g.job.Members
	}
	all := make([]int, g.job.Source.Members)
	for i := range all {
		all[i] = i
	}
	return all
}

// plan reads the indexes and settles what is wanted of each file.
func (g *getter) plan(ctx context.Context) error {
	source := g.job.Source
	var remotes []*remote
	for _, step := range g.steps {
		for _, member := range g.members() {
			s := &sheet{Name: Name{source.Name, g.cycle, member, int64(step) * 3600}}
			for i, template := range source.Files {
				r := &remote{address: source.address(template, g.cycle, step, member)}
				if len(source.Region) > 0 {
					r.region = source.Region[i]
				}
				s.remotes = append(s.remotes, r)
				remotes = append(remotes, r)
			}
			g.sheets = append(g.sheets, s)
		}
	}
	err := together(ctx, g.client.Settings.Connections, len(remotes), func(ctx context.Context, i int) error {
		return g.readIndex(ctx, remotes[i])
	})
	if err != nil {
		return err
	}
	for i, s := range g.sheets {
		if err := g.planSheet(s, i == 0); err != nil {
			return err
		}
	}
	return nil
}

func (g *getter) readIndex(ctx context.Context, r *remote) error {
	address := r.address + g.job.Source.Index
	text, err := g.client.text(ctx, address, mostIndexOctets)
	var not *NotThereError
	if errors.As(err, &not) {
		return &NotOutError{g.job.Source.Name, g.cycle, address + " is not there", g.advice("try again in some minutes, or take an older cycle with --cycle T")}
	}
	if err != nil {
		return err
	}
	if r.index, err = ParseIndex(text); err != nil {
		return &DamageError{address, err.Error()}
	}
	r.text = text
	for _, line := range r.index {
		if !line.Reference.Equal(g.cycle) {
			return &DamageError{address, fmt.Sprintf("it is of the cycle of %s, and %s was asked for", timeText(line.Reference), timeText(g.cycle))}
		}
	}
	return nil
}

// planSheet settles what of the archive's files one file is made of.
func (g *getter) planSheet(s *sheet, first bool) error {
	var indexes []Index
	for _, r := range s.remotes {
		indexes = append(indexes, r.index)
	}
	var levels []float64
	s.wish, levels = choose(indexes, s.Step, g.job.TopAlt, g.job.Ground)
	switch {
	case len(levels) < 2:
		return &DamageError{s.remotes[0].address, "its index names no two pressure levels with height, temperature and wind"}
	case first:
		g.levels = levels
		g.lacks = s.wish.lacking(g.job.Ground)
	case !slices.Equal(levels, g.levels):
		return &NotOutError{g.job.Source.Name, g.cycle, fmt.Sprintf("%s offers other pressure levels than the first file", s.remotes[0].address), g.advice("try again in some minutes, or take an older cycle with --cycle T")}
	}
	left := wish{}
	for m := range s.wish {
		left[m] = true
	}
	for _, r := range s.remotes {
		r.wanted = left.take(r.index, s.Step)
		r.pieces = Pieces(r.wanted)
	}
	return nil
}

// lacking names what near the ground is not offered.
func (w wish) lacking(ground bool) []string {
	var names []string
	for _, f := range atGround {
		s, _ := parseLevel(f.level)
		if ground && !w[markOf(f.variable, s)] {
			names = append(names, f.variable+" at "+f.level)
		}
	}
	return names
}

// clash finds files of the same cycle that stand on another grid or area: with
// both in one folder, neither could be used.
func (g *getter) clash() (replaced []string, err error) {
	cycles, _, err := List(g.job.Into)
	if err != nil {
		return nil, err
	}
	ours := func(base string) bool {
		return slices.ContainsFunc(g.sheets, func(s *sheet) bool { return s.String() == base })
	}
	for _, c := range cycles {
		if !c.Reference.Equal(g.cycle) {
			continue
		}
		for _, f := range c.Files {
			same := f.Name.Source == g.job.Source.Name
			if same && f.onWindow(g.window) {
				continue
			}
			if !g.job.Replace {
				return nil, &OtherGridError{fmt.Sprintf("%s holds the same cycle on another grid or area, and one folder can hold a cycle only once: fetch into another folder with --into, or let the new files take its place with --replace", f.Path)}
			}
			if !same {
				return nil, &OtherGridError{fmt.Sprintf("%s is not of %s, and is not replaced: fetch into another folder with --into", f.Path, g.job.Source.Name)}
			}
			if !ours(filepath.Base(f.Path)) {
				replaced = append(replaced, f.Path)
			}
		}
	}
	return replaced, nil
}

// finish moves the files to their places and reports.
func (g *getter) finish(method Method, replaced []string) (*Report, error) {
	report := &Report{Source: g.job.Source.Name, Title: g.job.Source.Title, Cycle: g.cycle, Method: method, Steps: g.steps,
		Levels: g.levels, Window: g.window, Fetched: g.meter.brought(), Lacks: g.lacks}
	if g.job.Source.Members > 0 {
		report.Members = g.members()
	}
	var names []string
	for _, s := range g.sheets {
		if !s.kept {
			names = append(names, s.String())
		}
	}
	for _, path := range replaced {
		if err := os.Remove(path); err != nil {
			return nil, diskError(path, err)
		}
	}
	if err := commit(g.folder, g.job.Into, names); err != nil {
		return nil, err
	}
	if err := os.RemoveAll(g.folder); err != nil {
		return nil, diskError(g.folder, err)
	}
	os.Remove(filepath.Dir(g.folder)) // stays while another fetch has parts there
	for _, s := range g.sheets {
		path := filepath.Join(g.job.Into, s.String())
		info, err := os.Stat(path)
		if err != nil {
			return nil, diskError(path, err)
		}
		report.Files = append(report.Files, ReportFile{path, info.Size(), s.kept})
	}
	return report, nil
}

// fetch brings everything by the method that serves.
func (g *getter) fetch(ctx context.Context) (Method, error) {
	if !slices.ContainsFunc(g.sheets, func(s *sheet) bool { return !s.kept && !s.staged }) {
		return "", nil
	}
	if g.job.Method == ByRanges || g.job.Method == Auto && len(g.job.Source.Region) == 0 {
		return ByRanges, g.byRanges(ctx)
	}
	err := g.byRegion(ctx)
	var full *FullError
	if err == nil || g.job.Method == ByRegion || ctx.Err() != nil || errors.As(err, &full) {
		return ByRegion, err
	}
	if g.client.Warn != nil {
		g.client.Warn(fmt.Sprintf("the service that cuts out areas did not serve (%s): fetching whole messages instead, which is more to fetch", strings.TrimSpace(err.Error())))
	}
	return ByRanges, g.byRanges(ctx)
}
