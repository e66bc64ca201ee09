package record

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// Fault is one thing in a flight file that the person must change.
type Fault struct {
	File    string
	Line    int // from 1
	Key     string
	Message string // what was expected
}

// String is the line a person reads.
func (f Fault) String() string {
	if f.Key == "" {
		return fmt.Sprintf("%s:%d: %s", f.File, f.Line, f.Message)
	}
	return fmt.Sprintf("%s:%d: %s: %s", f.File, f.Line, f.Key, f.Message)
}

// printable keeps what a file holds from steering the terminal that shows a fault.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsPrint(r):
			return r
		case unicode.IsSpace(r):
			return ' '
		}
		return '\uFFFD'
	}, text)
}

// Faults are all faults of one file, by line. As an error it is one line each.
type Faults []Fault

func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i := range f {
		lines[i] = f[i].String()
	}
	return strings.Join(lines, "\n")
}

// mostFaults bounds the answer to a file that is something else altogether.
const mostFaults = 100

// sorted brings the faults into the order of the file, and counts those beyond
// the most that are told.
func (f Faults) sorted(untold int) Faults {
	slices.SortStableFunc(f, func(a, b Fault) int { return cmp.Compare(a.Line, b.Line) })
	if more := len(f) - mostFaults + untold; more > 0 {
		last := f[mostFaults]
		f = append(f[:mostFaults:mostFaults], Fault{last.File, last.Line, "", fmt.Sprintf("and %d more faults from here on", more)})
	}
	return f
}

// near finds the known word that a mistyped one most likely means: at most two
// letters away, and fewer for short words.
func near(word string, known []string) (string, bool) {
	word = strings.ToLower(strings.ReplaceAll(word, "-", "_"))
	best, bestDistance := "", 3
	for _, k := range known {
		if d := distance(word, k); d < bestDistance && 3*d <= max(len(k), 3) {
			best, bestDistance = k, d
		}
	}
	return best, best != ""
}

// distance counts the letters to insert, delete or replace (Levenshtein). Long
// words are not worth comparing.
func distance(a, b string) int {
	const longest = 40
	if len(a) > longest || len(b) > longest {
		return longest
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
