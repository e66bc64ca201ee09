package flight

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"pappus/measure/geo"
	"pappus/record"
)

// Summary is what the strip over every place says of a flight.
type Summary struct {
	Name    string    // empty when the file cannot be read
	Missing []Missing // what the person must change before the flight can be worked out
	Launch  *Launch   // nil when the file cannot be read
}

// Launch is where and when the flight is to start.
type Launch struct {
	Place     string // may be empty
	Point     geo.Point
	Elevation geo.AltMSL
	Time      time.Time // with the offset the person wrote
}

// Missing is one thing that stands between a flight and its answers.
type Missing struct {
	Line int // in the written form
	Key  string
	Text string
}

// Describe sums up a flight's document.
func Describe(document []byte) Summary {
	f, err := record.Parse("flight", document)
	if err != nil {
		var s Summary
		var faults record.Faults
		if !errors.As(err, &faults) {
			return Summary{Missing: []Missing{{Text: err.Error()}}}
		}
		for _, fault := range faults {
			s.Missing = append(s.Missing, Missing{fault.Line, fault.Key, fault.Message})
		}
		return s
	}
	return Summary{Name: f.Name, Launch: &Launch{f.Launch.Place, f.Launch.Point, f.Launch.Elevation, f.Launch.Time}}
}

// Start is a document that a new flight can begin from.
type Start struct {
	Kind     string
	Text     string // what it is, in one sentence
	Document []byte
}

// Starts gives the starting files there are.
func Starts() ([]Start, error) {
	var all []Start
	for _, kind := range record.TemplateKinds() {
		document, err := record.Template(kind)
		if err != nil {
			return nil, err
		}
		first, _, _ := strings.Cut(string(document), "\n")
		all = append(all, Start{kind, strings.TrimSpace(strings.TrimPrefix(first, "#")), document})
	}
	return all, nil
}

// Rename gives the document another name and leaves every other line as it is.
func Rename(document []byte, name string) ([]byte, error) {
	lines := strings.Split(string(document), "\n")
	for i, line := range lines {
		word := strings.TrimSpace(line)
		if strings.HasPrefix(word, "[") {
			break
		}
		if key, _, cut := strings.Cut(word, "="); cut && strings.TrimSpace(key) == "name" {
			lines[i] = "name = " + quoted(name)
			renamed := []byte(strings.Join(lines, "\n"))
			if s := Describe(renamed); len(s.Missing) == 0 && s.Name != name {
				return nil, fmt.Errorf("the flight's name %q cannot stand in a flight file: choose a shorter or plainer one", name)
			}
			return renamed, nil
		}
	}
	return append([]byte("name = "+quoted(name)+"\n"), document...), nil
}

// quoted writes a basic string of TOML.
func quoted(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteRune('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
