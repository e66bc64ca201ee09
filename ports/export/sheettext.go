package export

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"rsc.io/qr"

	"pappus/desk/papers"
)

// sheetWidth is how wide a sheet printed as text is, in characters.
const sheetWidth = 78

// labelWidth is how wide the column of labels is at the most.
const labelWidth = 20

// SheetText prints a sheet as plain text in UTF-8.
func SheetText(s *papers.Sheet) ([]byte, error) {
	t := &sheetText{}
	title := tidy(s.Title)
	if s.Stamp.Flight != "" {
		title += ": " + tidy(s.Stamp.Flight)
	}
	t.lines("", title)
	t.WriteString(strings.Repeat("=", min(utf8.RuneCountInString(title), sheetWidth)) + "\n")
	t.lines("", "For "+s.For+".")
	for i := range s.Parts {
		if err := t.part(&s.Parts[i]); err != nil {
			return nil, err
		}
	}
	t.WriteString("\n" + strings.Repeat("-", sheetWidth) + "\n")
	t.lines("", "Made from "+tidy(s.Stamp.Words())+".")
	t.lines("", "Stale when "+strings.Join(s.Stale, "; ")+".")
	t.WriteString(s.Stamp.String() + "\n")
	return []byte(t.String()), nil
}

type sheetText struct{ strings.Builder }

func (t *sheetText) part(p *papers.Part) error {
	t.WriteString("\n")
	if p.Heading != "" {
		t.lines("", p.Heading)
		t.WriteString(strings.Repeat("-", min(utf8.RuneCountInString(p.Heading), sheetWidth)) + "\n")
	}
	for _, c := range p.Cautions {
		t.hang("  ! ", c)
	}
	t.lines("  ", p.Lead)
	t.rows(p.Rows)
	if p.Table != nil {
		t.table(p.Table)
	}
	for _, c := range p.Checks {
		t.hang("  [ ] ", c.Text)
	}
	for _, text := range p.Text {
		t.lines("  ", text)
	}
	if p.Figure != nil {
		return t.figure(p.Figure)
	}
	return nil
}

// lines wraps a text.
func (t *sheetText) lines(indent, text string) {
	for _, line := range wrap(tidyLong(text), sheetWidth-utf8.RuneCountInString(indent)) {
		t.WriteString(indent + line + "\n")
	}
}

// hang wraps a text behind a mark.
func (t *sheetText) hang(mark, text string) {
	width := utf8.RuneCountInString(mark)
	for _, line := range wrap(tidyLong(text), sheetWidth-width) {
		t.WriteString(mark + line + "\n")
		mark = strings.Repeat(" ", width)
	}
}

func (t *sheetText) rows(rows []papers.Row) {
	width := 0
	for _, r := range rows {
		width = max(width, min(utf8.RuneCountInString(r.Label), labelWidth))
	}
	for _, r := range rows {
		labels := wrap(tidyLong(r.Label), width)
		text := tidyLong(r.Text)
		if r.Blank {
			if text != "" {
				text = "(" + text + ") "
			}
			room := sheetWidth - width - 4 - utf8.RuneCountInString(text)
			text += strings.Repeat("_", max(room, 12))
		}
		texts := wrap(text, sheetWidth-width-4)
		for i := range max(len(labels), len(texts)) {
			var label, line string
			if i < len(labels) {
				label = labels[i]
			}
			if i < len(texts) {
				line = texts[i]
			}
			t.WriteString(strings.TrimRight("  "+padded(label, width)+"  "+line, " ") + "\n")
		}
	}
}

func padded(text string, width int) string {
	return text + strings.Repeat(" ", max(width-utf8.RuneCountInString(text), 0))
}

// table sets columns as wide as their longest cell where there is room; else
// cells are wrapped.
func (t *sheetText) table(table *papers.Table) {
	n := len(table.Columns)
	least, wanted := make([]float64, n), make([]float64, n)
	for _, row := range append([][]string{table.Columns}, table.Rows...) {
		for i, cell := range row {
			wanted[i] = max(wanted[i], float64(utf8.RuneCountInString(tidyLong(cell))))
			for _, word := range strings.Fields(cell) {
				least[i] = max(least[i], float64(utf8.RuneCountInString(word)))
			}
		}
	}
	toWrite := toWriteIn(table)
	for i := range n {
		if toWrite {
			wanted[i] = max(wanted[i], 12)
		}
	}
	widths := make([]int, n)
	for i, w := range columnWidths(least, wanted, float64(sheetWidth-2*n)) {
		widths[i] = int(w)
	}
	rule, room := make([]string, n), make([]string, n)
	for i, w := range widths {
		rule[i], room[i] = strings.Repeat("-", w), strings.Repeat("_", w)
	}
	t.tableRow(table.Columns, widths)
	t.tableRow(rule, widths)
	for _, row := range table.Rows {
		if toWrite {
			row = room
		}
		t.tableRow(row, widths)
	}
}

// toWriteIn tells whether a table is left empty, to be filled in with a pen.
func toWriteIn(t *papers.Table) bool {
	for _, row := range t.Rows {
		if strings.Join(row, "") != "" {
			return false
		}
	}
	return len(t.Rows) > 0
}

// columnWidths shares a room out: a column that wants no more than an even
// share has what it wants, and the others share what is left; none is narrower
// than its longest word while there is room for that.
func columnWidths(least, wanted []float64, room float64) []float64 {
	widths := make([]float64, len(least))
	settled := make([]bool, len(least))
	left, open := room, len(least)
	for changed := true; changed && open > 0; {
		changed = false
		share := left / float64(open)
		for i := range widths {
			if !settled[i] && (wanted[i] <= share || least[i] >= share) {
				widths[i] = min(wanted[i], max(least[i], share))
				settled[i], changed = true, true
				left, open = left-widths[i], open-1
				break
			}
		}
	}
	for i := range widths {
		if !settled[i] {
			widths[i] = left / float64(open)
		}
	}
	if left < 0 { // not even the longest words fit
		for i := range widths {
			widths[i] *= room / (room - left)
		}
	}
	return widths
}

func (t *sheetText) tableRow(row []string, widths []int) {
	cells := make([][]string, len(row))
	height := 1
	for i, cell := range row {
		cells[i] = wrap(tidyLong(cell), widths[i])
		height = max(height, len(cells[i]))
	}
	for k := range height {
		line := ""
		for i, w := range widths {
			text := ""
			if k < len(cells[i]) {
				text = cells[i][k]
			}
			line += "  " + padded(text, w)
		}
		t.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

// quiet is how many light modules must stand around a code [ISO18004].
const quiet = 4

// code makes the modules of a figure.
func code(f *papers.Figure) (*qr.Code, error) {
	if f.Kind != "qr" {
		return nil, fmt.Errorf("a figure of kind %q cannot be drawn", f.Kind)
	}
	c, err := qr.Encode(f.Content, qr.M)
	if err != nil {
		return nil, fmt.Errorf("the code for %q: %w", f.Content, err)
	}
	return c, nil
}

// figure draws a code with half blocks, two rows of modules in a line: dark
// modules are inked, as on white paper.
func (t *sheetText) figure(f *papers.Figure) error {
	c, err := code(f)
	if err != nil {
		return err
	}
	t.WriteString("\n")
	for y := -quiet; y < c.Size+quiet; y += 2 {
		var line strings.Builder
		for x := -quiet; x < c.Size+quiet; x++ {
			switch upper, lower := c.Black(x, y), c.Black(x, y+1); {
			case upper && lower:
				line.WriteRune('█')
			case upper:
				line.WriteRune('▀')
			case lower:
				line.WriteRune('▄')
			default:
				line.WriteByte(' ')
			}
		}
		t.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
	t.lines("  ", f.Caption)
	t.lines("  ", "(This code is for white paper; on a dark screen take the HTML or PDF sheet.)")
	return nil
}

// wrap breaks a text into lines at spaces.
func wrap(text string, width int) []string {
	var all []string
	line, length := "", 0
	for _, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		if length > 0 && length+1+n > width {
			all = append(all, line)
			line, length = "", 0
		}
		if length > 0 {
			line, length = line+" ", length+1
		}
		line, length = line+word, length+n
	}
	if length > 0 {
		all = append(all, line)
	}
	return all
}
