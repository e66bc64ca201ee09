package papers

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"regexp"
	"strings"

	"pappus/record"
)

// Sheet is one paper as data: what stands on it, not how it is printed.
type Sheet struct {
	Name   string   `json:"name"` // also that of its file
	Title  string   `json:"title"`
	For    string   `json:"for"`
	Parts  []Part   `json:"parts"`
	Events []Event  `json:"events,omitempty"` // of the timeline
	Stamp  Stamp    `json:"stamp"`
	Stale  []string `json:"stale_when"`
}

// Part is one piece of a sheet under a heading. What is empty is not printed.
type Part struct {
	Heading  string   `json:"heading,omitempty"`
	Lead     string   `json:"lead,omitempty"`  // before all else
	Large    bool     `json:"large,omitempty"` // to be read from afar: a label
	Text     []string `json:"text,omitempty"`
	Rows     []Row    `json:"rows,omitempty"`
	Table    *Table   `json:"table,omitempty"`
	Checks   []Check  `json:"checks,omitempty"`
	Cautions []string `json:"cautions,omitempty"`
	Figure   *Figure  `json:"figure,omitempty"`
}

// Row is a question with its answer. Blank leaves room to write; what Text then
// says is a hint.
type Row struct {
	Label string `json:"label"`
	Text  string `json:"text,omitempty"`
	Blank bool   `json:"blank,omitempty"`
}

// Check is one box to tick. ID stays the same while the thing does, so that a
// tick can be kept.
type Check struct {
	ID   string `json:"id"`
	Text string `json:"text"`
}

// Table is rows of cells under column headings.
type Table struct {
	Columns []string   `json:"columns"`
	Rows    [][]string `json:"rows"`
}

// Figure is a code to be read by a camera.
type Figure struct {
	Kind    string `json:"kind"` // "qr"
	Content string `json:"content"`
	Caption string `json:"caption"`
}

// Event is one entry of the timeline. All-day entries have a Date, others From
// and To, all in UTC.
type Event struct {
	ID   string `json:"id"`
	UID  string `json:"uid"`
	Date string `json:"date,omitempty"` // 2027-02-06
	From string `json:"from,omitempty"` // RFC 3339
	To   string `json:"to,omitempty"`
	What string `json:"what"`
	Why  string `json:"why,omitempty"`
	Done bool   `json:"done,omitempty"`
}

// Stamp says what a sheet was made from.
type Stamp struct {
	Flight   string          `json:"flight"`
	Revision record.Revision `json:"revision"`
	Cycle    string          `json:"cycle,omitempty"` // RFC 3339; empty where the weather has none
	Weather  string          `json:"weather"`         // what it was, in words
	Inputs   string          `json:"inputs"`          // tells the files read beside the flight apart
}

// MarshalJSON adds the short form that stands in the written files.
func (s Stamp) MarshalJSON() ([]byte, error) {
	type plain Stamp
	return json.Marshal(struct {
		plain
		Short string `json:"revision_short"`
	}{plain(s), s.Revision.String()})
}

// String is the stamp's line as every written file carries it.
func (s Stamp) String() string {
	cycle := s.Cycle
	if cycle == "" {
		cycle = "none"
	}
	// Letters, digits and per cent signs alone: they stand unchanged in every format.
	name := strings.ReplaceAll(url.QueryEscape(s.Flight), "+", "%20")
	return fmt.Sprintf("pappus-stamp flight=%s revision=%s cycle=%s inputs=%s", name, s.Revision, cycle, s.Inputs)
}

// Words is the stamp for people.
func (s Stamp) Words() string {
	name := s.Flight
	if name == "" {
		name = "flight without a name"
	}
	return fmt.Sprintf("%s, revision %s; %s", name, s.Revision, s.Weather)
}

var stampLine = regexp.MustCompile(`pappus-stamp flight=(\S*) revision=([0-9a-f]{12}) cycle=(\S+) inputs=([0-9a-f]{12}|none)`)

// Written is a stamp as found in a file.
type Written struct{ flight, revision, cycle, inputs string }

// FindStamp looks for a stamp in a written file.
func FindStamp(file []byte) (Written, bool) {
	// A calendar folds its lines.
	m := stampLine.FindSubmatch(bytes.ReplaceAll(file, []byte("\r\n "), nil))
	if m == nil {
		return Written{}, false
	}
	name, err := url.QueryUnescape(string(m[1]))
	if err != nil {
		return Written{}, false
	}
	return Written{name, string(m[2]), string(m[3]), string(m[4])}, true
}

// Against says what has changed since a sheet was written; nothing when it is
// still right. A stamp made without weather says nothing about the forecast.
func (w Written) Against(now Stamp) []string {
	var why []string
	if w.flight != now.Flight {
		why = append(why, fmt.Sprintf("it is about another flight, %q", w.flight))
	}
	if revision := now.Revision.String(); w.revision != revision {
		why = append(why, fmt.Sprintf("the flight file has changed: it was revision %s and is %s", w.revision, revision))
	}
	cycle := now.Cycle
	if cycle == "" {
		cycle = "none"
	}
	switch {
	case now.Inputs == "none" && w.inputs != "none":
	case w.cycle != cycle:
		why = append(why, fmt.Sprintf("the forecast is another: the cycle was %s and is %s", w.cycle, cycle))
	case w.inputs != now.Inputs:
		why = append(why, "the weather, area or terrain files are others than those it was made from, though of the same cycle")
	}
	return why
}

// slug makes a part of an identity out of words.
func slug(words string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(words) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return strings.TrimSuffix(b.String(), "-")
}

// list gathers checks with identities that differ.
type list struct {
	prefix string
	checks []Check
	taken  map[string]int
}

func newList(prefix string) *list { return &list{prefix: prefix, taken: map[string]int{}} }

// addf is add with a format.
func (l *list) addf(id, format string, words ...any) { l.add(id, fmt.Sprintf(format, words...)) }

// add puts a box to tick on the list.
func (l *list) add(id, text string) {
	id = l.prefix + "." + id
	l.taken[id]++
	if n := l.taken[id]; n > 1 {
		id = fmt.Sprintf("%s-%d", id, n)
	}
	l.checks = append(l.checks, Check{id, text})
}

// part answers what was gathered, under a heading, and begins anew.
func (l *list) part(heading string, cautions ...string) Part {
	p := Part{Heading: heading, Checks: l.checks, Cautions: cautions}
	l.checks = nil
	return p
}
