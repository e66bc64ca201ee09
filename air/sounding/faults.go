package sounding

import (
	"fmt"
	"strings"
)

// mostNamed is how many faults of a table are written out; the rest are counted.
const mostNamed = 10

// Fault is one thing wrong with a table.
type Fault struct {
	File   string
	Row    int    // line of the file, the header being 1; 0 for the whole file
	Column string // name as in the header; empty for the whole row
	Text   string // what is wrong and what was expected
}

func (f Fault) Error() string {
	var where strings.Builder
	where.WriteString(f.File)
	if f.Row > 0 {
		fmt.Fprintf(&where, ", row %d", f.Row)
	}
	if f.Column != "" {
		fmt.Fprintf(&where, ", %s", f.Column)
	}
	return where.String() + ": " + f.Text
}

// Faults is all that is wrong with a table, in the order of its rows.
type Faults []Fault

func (f Faults) Error() string {
	lines := make([]string, 0, mostNamed+1)
	for i, fault := range f {
		if i == mostNamed {
			lines = append(lines, fmt.Sprintf("%s: and %d more of this kind", fault.File, len(f)-mostNamed))
			break
		}
		lines = append(lines, fault.Error())
	}
	return strings.Join(lines, "\n")
}
