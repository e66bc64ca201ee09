package weather

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"maps"
	"math"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	toml "github.com/pelletier/go-toml/v2"
)

//go:embed defaults.toml
var defaults []byte

// DefaultSettings is the text of the settings that hold without a settings file.
func DefaultSettings() []byte { return bytes.Clone(defaults) }

// Settings say where forecasts are fetched and how politely.
type Settings struct {
	Connections int
	Tries       int
	Idle        time.Duration
	Slowest     float64 // octets per second
	Patience    time.Duration
	Sources     map[string]Source
}

// Source is one forecast of one archive.
type Source struct {
	Name    string
	Title   string
	GridDeg float64
	Cycles  []int    // hours of the day
	Steps   [][2]int // up to an hour, every so many hours
	Members int      // 0: not an ensemble; member 0 is the control
	Root    string
	Files   []string // addresses with {…}
	Index   string   // what is added to the address of a file
	Region  []string // one address for each file, or none
	Dated   []Dated  // where the cycles of some dates stand elsewhere
}

// settingsText is a settings file as it is written; nil where a key is left out.
type settingsText struct {
	Format      *int                   `toml:"format"`
	Connections *int                   `toml:"connections"`
	Tries       *int                   `toml:"tries"`
	Idle        *float64               `toml:"idle_s"`
	Slowest     *float64               `toml:"slowest_octets_s"`
	Patience    *float64               `toml:"patience_s"`
	Sources     map[string]*sourceText `toml:"source"`
}

type sourceText struct {
	Title   *string  `toml:"title"`
	GridDeg *float64 `toml:"grid_deg"`
	Cycles  []int    `toml:"cycle_hours"`
	Steps   [][]int  `toml:"steps"`
	Members *int     `toml:"members"`
	Root    *string  `toml:"root"`
	Files   []string `toml:"files"`
	Index   *string  `toml:"index"`
	Region  []string `toml:"region"`

	Dated []datedText `toml:"dated"`
}

// ParseSettings reads a settings file on top of the defaults; nil text gives
// the defaults alone. Folders are named relative to the file.
func ParseSettings(name string, text []byte) (*Settings, error) {
	s := &Settings{Sources: map[string]Source{}}
	if err := s.read("the default settings", defaults); err != nil {
		return nil, err
	}
	if text == nil {
		return s, nil
	}
	if err := s.read(name, text); err != nil {
		return nil, err
	}
	for key, source := range s.Sources {
		source.Root = place(name, source.Root)
		for i := range source.Files {
			source.Files[i] = place(name, source.Files[i])
		}
		for _, d := range source.Dated {
			for i := range d.Files {
				d.Files[i] = place(name, d.Files[i])
			}
		}
		s.Sources[key] = source
	}
	return s, nil
}

// place turns a folder into an address; an address stays as it is.
func place(settings, text string) string {
	if text == "" || strings.Contains(text, "://") || strings.HasPrefix(text, "{root}") {
		return text
	}
	if !filepath.IsAbs(text) {
		text = filepath.Join(filepath.Dir(settings), text)
	}
	if absolute, err := filepath.Abs(text); err == nil {
		text = absolute
	}
	path := (&url.URL{Path: filepath.ToSlash(text)}).EscapedPath()
	// Braces stand for what is filled in later.
	path = strings.NewReplacer("%7B", "{", "%7D", "}").Replace(path)
	return "file://" + path
}

func (s *Settings) read(name string, text []byte) error {
	var t settingsText
	decoder := toml.NewDecoder(bytes.NewReader(text)).DisallowUnknownFields()
	if err := decoder.Decode(&t); err != nil {
		return fmt.Errorf("%s: %w", name, settingsFault(err))
	}
	if t.Format == nil || *t.Format != 1 {
		return fmt.Errorf("%s: format = 1 is expected at the top", name)
	}
	set(&s.Connections, t.Connections)
	set(&s.Tries, t.Tries)
	set(&s.Slowest, t.Slowest)
	for _, stretch := range []struct {
		key  string
		to   *time.Duration
		from *float64
	}{{"idle_s", &s.Idle, t.Idle}, {"patience_s", &s.Patience, t.Patience}} {
		if stretch.from == nil {
			continue
		}
		if !(*stretch.from >= 0 && *stretch.from <= 1e6) {
			return fmt.Errorf("%s: %s: 0 to a million seconds is expected, not %g", name, stretch.key, *stretch.from)
		}
		*stretch.to = time.Duration(*stretch.from * float64(time.Second))
	}
	for _, key := range slices.Sorted(maps.Keys(t.Sources)) {
		source, err := s.Sources[key].with(key, t.Sources[key])
		if err != nil {
			return fmt.Errorf("%s: source.%s: %w", name, key, err)
		}
		s.Sources[key] = source
	}
	switch {
	case s.Connections < 1 || s.Connections > 16:
		return fmt.Errorf("%s: connections: 1 to 16 is expected, not %d", name, s.Connections)
	case s.Tries < 1 || s.Tries > 50:
		return fmt.Errorf("%s: tries: 1 to 50 is expected, not %d", name, s.Tries)
	case s.Idle < 10*time.Millisecond:
		return fmt.Errorf("%s: idle_s: at least 0.01 is expected", name)
	case !(s.Slowest >= 0):
		return fmt.Errorf("%s: slowest_octets_s: a number from 0 up is expected", name)
	}
	return nil
}

// settingsFault says where a settings file cannot be read.
func settingsFault(err error) error {
	var strict *toml.StrictMissingError
	var decode *toml.DecodeError
	switch {
	case errors.As(err, &strict) && len(strict.Errors) > 0:
		row, _ := strict.Errors[0].Position()
		return fmt.Errorf("line %d: unknown key %q: pappus weather settings prints those there are", row, strings.Join(strict.Errors[0].Key(), "."))
	case errors.As(err, &decode):
		row, column := decode.Position()
		return fmt.Errorf("line %d, column %d: %s", row, column, strings.TrimPrefix(decode.Error(), "toml: "))
	}
	return err
}

func set[T any](to *T, from *T) {
	if from != nil {
		*to = *from
	}
}

var sourceName = regexp.MustCompile(`^[a-z][a-z0-9-]{0,30}$`)

// with answers a source with the keys of a settings file changed.
func (s Source) with(name string, t *sourceText) (Source, error) {
	s.Name = name
	set(&s.Title, t.Title)
	set(&s.GridDeg, t.GridDeg)
	set(&s.Members, t.Members)
	set(&s.Root, t.Root)
	set(&s.Index, t.Index)
	if t.Cycles != nil {
		s.Cycles = t.Cycles
	}
	if t.Steps != nil {
		s.Steps = nil
		for _, pair := range t.Steps {
			if len(pair) != 2 {
				return s, fmt.Errorf("steps: pairs such as [120, 1] are expected")
			}
			s.Steps = append(s.Steps, [2]int{pair[0], pair[1]})
		}
	}
	if t.Root != nil || t.Files != nil {
		s.Region = nil // another place: the old one's service is not asked
	}
	if t.Files != nil {
		s.Files, s.Dated = t.Files, nil // the old one's dates are not this one's
	}
	if t.Region != nil {
		s.Region = t.Region
	}
	if t.Dated != nil {
		s.Dated = nil
		for _, entry := range t.Dated {
			s.Dated = append(s.Dated, entry.dated())
		}
	}
	return s, s.check()
}

func (s Source) check() error {
	if !sourceName.MatchString(s.Name) {
		return fmt.Errorf("the name of a source has small letters, digits and dashes")
	}
	if turns := 360 / s.GridDeg; !(s.GridDeg >= 0.05 && s.GridDeg <= 10) || math.Abs(turns-math.Round(turns)) > 1e-6 || math.Abs(turns/2-math.Round(turns/2)) > 1e-6 {
		return fmt.Errorf("grid_deg: a step of 0.05 to 10 degrees that divides 180 is expected, not %g", s.GridDeg)
	}
	if len(s.Cycles) == 0 || len(s.Cycles) > 24 || slices.ContainsFunc(s.Cycles, func(h int) bool { return h < 0 || h > 23 }) {
		return fmt.Errorf("cycle_hours: hours of the day, 0 to 23, are expected")
	}
	last := -1
	for _, pair := range s.Steps {
		if pair[0] <= last || pair[1] < 1 || pair[0] > 1000 {
			return fmt.Errorf("steps: rising pairs of an hour up to 1000 and a spacing from 1 up are expected")
		}
		last = pair[0]
	}
	switch {
	case len(s.Steps) == 0:
		return fmt.Errorf("steps: at least one pair such as [120, 1] is expected")
	case s.Members < 0 || s.Members > 100:
		return fmt.Errorf("members: 0 to 100 is expected, not %d", s.Members)
	case len(s.Files) == 0 || len(s.Files) > 8:
		return fmt.Errorf("files: one to eight addresses are expected")
	case len(s.Region) != 0 && len(s.Region) != len(s.Files):
		return fmt.Errorf("region: one address for each of the %d files, or none, is expected", len(s.Files))
	case s.Index == "":
		return fmt.Errorf("index: what is added to an address to name its index is expected, such as \".idx\"")
	}
	return s.checkDated()
}

// Source finds a source by name.
func (s *Settings) Source(name string) (Source, error) {
	if source, ok := s.Sources[name]; ok {
		return source, nil
	}
	return Source{}, fmt.Errorf("there is no source %q: choose from %s", name, strings.Join(slices.Sorted(maps.Keys(s.Sources)), ", "))
}

// address fills in a template.
func (s Source) address(template string, cycle time.Time, step, member int, more ...string) string {
	name := fmt.Sprintf("p%02d", member)
	if member == 0 {
		name = "c00"
	}
	pairs := append([]string{"{date}", cycle.Format("20060102"), "{hour}", cycle.Format("15"), "{step}", fmt.Sprintf("%03d", step),
		"{member}", name, "{number}", fmt.Sprintf("%02d", max(member, 0))}, more...)
	return strings.NewReplacer(pairs...).Replace(strings.ReplaceAll(template, "{root}", strings.TrimSuffix(s.Root, "/")))
}

// schedule lists the steps of a source, in hours.
func (s Source) schedule() []int {
	steps := []int{0}
	for _, pair := range s.Steps {
		for next := steps[len(steps)-1] + pair[1]; next <= pair[0]; next += pair[1] {
			steps = append(steps, next)
		}
	}
	return steps
}
