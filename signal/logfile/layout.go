// Package logfile reads positions from delimited text of unknown making: which
// character divides it, where its header stands, what its columns mean and in which
// units is guessed, told, and can be put right by the person before anything is read.
package logfile

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"pappus/signal/notation"
)

// Column is one column: what it is called, what it means, in which unit, and by what
// that was recognised.
type Column struct {
	Name    string
	Meaning Meaning
	Unit    string // a key of Units(Meaning), "" where the meaning needs none
	Why     string
	Sure    bool
}

// Layout says how a text is to be read. The person may change every part of it.
type Layout struct {
	Delimiter    rune // ' ' stands for any run of blanks
	DecimalComma bool
	Header       int // line of the header, from 1; 0: none
	First        int // line of the first row
	Columns      []Column
	Dates        notation.Order
	Notes        []string // what the person should look at
}

// What is read at most.
const (
	Longest     = 64 << 20 // bytes
	mostColumns = 256
	longestLine = 16 << 10
	sampled     = 400 // lines from which the layout is guessed
	sampleBytes = 128 << 10
	longestCell = 80 // of one that tells a number, a time or an angle
	mostRows    = 1 << 20
)

// plain turns a text into UTF-8 without byte order mark. What is no UTF-8 is taken for
// ISO 8859-1, in which every byte is a letter.
func plain(text []byte) (string, error) {
	if len(text) > Longest {
		return "", fmt.Errorf("log: the file has %d bytes, at most %d are read", len(text), Longest)
	}
	for _, mark := range []struct {
		bytes string
		order binary.ByteOrder
	}{{"\xFF\xFE", binary.LittleEndian}, {"\xFE\xFF", binary.BigEndian}} {
		if bytes.HasPrefix(text, []byte(mark.bytes)) {
			units := make([]uint16, 0, len(text)/2)
			for i := 2; i+1 < len(text); i += 2 {
				units = append(units, mark.order.Uint16(text[i:]))
			}
			return string(utf16.Decode(units)), nil
		}
	}
	text = bytes.TrimPrefix(text, []byte("\xEF\xBB\xBF"))
	if utf8.Valid(text) {
		return string(text), nil
	}
	wide := make([]byte, 0, len(text)+len(text)/8)
	for _, b := range text {
		wide = utf8.AppendRune(wide, rune(b))
	}
	return string(wide), nil
}

// split takes a line apart. Quotes keep a delimiter within a cell; two are one.
func split(line string, delimiter rune) []string {
	if delimiter == ' ' {
		cells := strings.Fields(line)
		return cells[:min(len(cells), mostColumns)]
	}
	var cells []string
	var cell strings.Builder
	quoted := false
	for _, c := range line {
		switch {
		case c == '"' && (quoted || strings.TrimSpace(cell.String()) == ""):
			quoted = !quoted
		case c == delimiter && !quoted:
			cells = append(cells, strings.TrimSpace(cell.String()))
			cell.Reset()
			if len(cells) == mostColumns {
				return cells
			}
		default:
			cell.WriteRune(c)
		}
	}
	return append(cells, strings.TrimSpace(cell.String()))
}

var (
	pointNumber = regexp.MustCompile(`^[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,2})?$`)
	commaNumber = regexp.MustCompile(`^[-+]?\d+,\d+$`)
)

// telling is whether a cell says something a row of figures would: a number, a time, an
// angle.
func telling(cell string) bool {
	if len(cell) > longestCell {
		return false
	}
	if pointNumber.MatchString(cell) || commaNumber.MatchString(cell) {
		return true
	}
	if _, ok := notation.FindMoment(cell, notation.Usual); ok {
		return true
	}
	_, err := notation.ParseAngle(cell)
	return err == nil
}

// Guess finds the layout of a text.
func Guess(text []byte) (Layout, error) {
	content, err := plain(text)
	if err != nil {
		return Layout{}, err
	}
	var lines []string
	size := 0
	for line := range strings.Lines(content) {
		line = strings.TrimRight(line, "\r\n")
		lines = append(lines, line[:min(len(line), longestLine)])
		size += len(line)
		if len(lines) == sampled || size > sampleBytes {
			break
		}
	}
	best, bestScore := table{}, 0.0
	for _, delimiter := range []rune{'\t', ';', '|', ',', ' '} {
		if t, score := tableOf(lines, delimiter); score > bestScore*1.02 {
			best, bestScore = t, score
		}
	}
	if bestScore == 0 {
		return Layout{}, errors.New("log: no table in it: expected rows of numbers divided by commas, semicolons, tabs or blanks")
	}
	return best.layout()
}

// table is a text taken apart by one delimiter: the rows of figures, and where they
// begin.
type table struct {
	lines     []string
	delimiter rune
	first     int // index of the first row
	rows      [][]string
}

// tableOf takes the lines apart; the score is the number of telling cells in lines that
// have as many cells as most do, two at least.
func tableOf(lines []string, delimiter rune) (table, float64) {
	counts := map[int]int{}
	split0 := make([][]string, len(lines))
	figures := make([]int, len(lines))
	for i, line := range lines {
		split0[i] = split(line, delimiter)
		for _, cell := range split0[i] {
			if telling(cell) {
				figures[i]++
			}
		}
		if figures[i] >= 2 {
			counts[len(split0[i])]++
		}
	}
	width, most := 0, 0
	for w, n := range counts {
		if n > most || n == most && w > width {
			width, most = w, n
		}
	}
	t := table{lines: lines, delimiter: delimiter, first: -1}
	score := 0.0
	for i := range lines {
		if len(split0[i]) != width || figures[i] < 2 {
			continue
		}
		if t.first < 0 {
			t.first = i
		}
		t.rows = append(t.rows, split0[i])
		score += float64(figures[i]) * float64(figures[i]) / float64(width)
	}
	return t, score
}

// layout finds the header above the first row, and the meaning of each column.
func (t table) layout() (Layout, error) {
	l := Layout{Delimiter: t.delimiter, First: t.first + 1, DecimalComma: t.decimalComma()}
	width := len(t.rows[0])
	names, units := make([]string, width), make([]string, width)
	for back := 1; back <= 3 && t.first-back >= 0; back++ {
		line := strings.TrimLeft(t.lines[t.first-back], "#/% ")
		cells := split(line, t.delimiter)
		if len(cells) != width || words(cells) < (width+1)/2 {
			continue
		}
		// A line of units may stand between the names and the first row.
		if next := split(strings.TrimLeft(t.lines[max(t.first-back-1, 0)], "#/% "), t.delimiter); back < 3 && t.first-back-1 >= 0 && len(next) == width && words(next) >= (width+1)/2 && allUnits(cells) {
			copy(units, cells)
			copy(names, next)
			l.Header = t.first - back
		} else {
			copy(names, cells)
			l.Header = t.first - back + 1
		}
		break
	}
	l.Columns = make([]Column, width)
	for i := range l.Columns {
		l.Columns[i] = t.byName(names[i], units[i])
	}
	t.byContent(&l)
	if l.Header == 0 {
		l.Notes = append(l.Notes, "no header was found: the columns were recognised by what they hold")
	}
	if l.DecimalComma {
		l.Notes = append(l.Notes, "numbers have a decimal comma")
	}
	t.dateOrder(&l)
	return l, l.check()
}

func words(cells []string) int {
	n := 0
	for _, c := range cells {
		if c != "" && !telling(c) {
			n++
		}
	}
	return n
}

func (t table) decimalComma() bool {
	if t.delimiter == ',' {
		return false
	}
	commas, points := 0, 0
	for _, row := range t.rows {
		for _, cell := range row {
			if commaNumber.MatchString(cell) {
				commas++
			} else if strings.Contains(cell, ".") && pointNumber.MatchString(cell) {
				points++
			}
		}
	}
	return commas > points
}

// dateOrder finds a date that has only one reading.
func (t table) dateOrder(l *Layout) {
	slashed := regexp.MustCompile(`^\D*(\d{1,2})/(\d{1,2})/\d{2,4}`)
	dated := false
	for i, c := range l.Columns {
		if c.Meaning != When && c.Meaning != Date {
			continue
		}
		for _, row := range t.rows {
			m := slashed.FindStringSubmatch(row[i])
			if m == nil {
				continue
			}
			dated = true
			if len(m[1]) == 2 && m[1] > "12" {
				l.Dates = notation.DayFirst
				return
			}
			if len(m[2]) == 2 && m[2] > "12" {
				l.Dates = notation.MonthFirst
				return
			}
		}
	}
	if dated {
		l.Notes = append(l.Notes, "day and month of the dates could be exchanged: the month was taken to stand first")
	}
}

// check says what a layout lacks.
func (l Layout) check() error {
	var seen [meanings]int
	for _, c := range l.Columns {
		seen[c.Meaning]++
	}
	for m, n := range seen {
		if n > 1 && Meaning(m) != Ignored {
			return fmt.Errorf("log: %d columns mean %v: leave one", n, Meaning(m))
		}
	}
	if seen[Both] == 0 && (seen[Latitude] == 0 || seen[Longitude] == 0) {
		var names []string
		for i, c := range l.Columns {
			names = append(names, fmt.Sprintf("%d %.20q", i+1, c.Name))
		}
		return fmt.Errorf("log: no columns of latitude and longitude were recognised among %.400s: name them in the column map", strings.Join(names, ", "))
	}
	return nil
}
