package export

import (
	"slices"
	"strings"

	"pappus/desk/papers"
)

// Measures of a printed table.
const (
	cellGap     = 3.0 // mm between columns
	tableSize   = 9.0 // pt
	emptyHeight = 8.0 // mm of a row to write in
)

// table sets a table over the whole width; a row stays together, and the
// heading comes again on a new page.
func (p *sheetPDF) table(t *papers.Table) {
	was := p.size
	p.size = tableSize
	defer func() { p.size = was }()
	widths := p.columns(t)
	p.tableRow(t.Columns, widths, true)
	for _, row := range t.Rows {
		page := p.PageNo()
		p.room(p.rowHeight(row, widths))
		if p.PageNo() != page {
			p.tableRow(t.Columns, widths, true)
		}
		p.tableRow(row, widths, false)
	}
}

// columns answers how wide each column is.
func (p *sheetPDF) columns(t *papers.Table) []float64 {
	p.SetFont(family, "", p.size)
	n := len(t.Columns)
	least, wanted := make([]float64, n), make([]float64, n)
	for _, row := range append([][]string{t.Columns}, t.Rows...) {
		for i, cell := range row {
			wanted[i] = max(wanted[i], p.GetStringWidth(p.text(cell))+0.5)
			for _, word := range strings.Fields(cell) {
				least[i] = max(least[i], p.GetStringWidth(word)+0.5)
			}
		}
	}
	room := p.width - cellGap*float64(n-1)
	if toWriteIn(t) {
		return slices.Repeat([]float64{room / float64(n)}, n)
	}
	return columnWidths(least, wanted, room)
}

func (p *sheetPDF) rowHeight(row []string, widths []float64) float64 {
	lines := 1
	p.SetFont(family, "", p.size)
	for i, cell := range row {
		lines = max(lines, len(p.fold(cell, widths[i])))
	}
	height := float64(lines)*p.line() + 0.8
	if strings.Join(row, "") == "" {
		height = emptyHeight
	}
	return height
}

func (p *sheetPDF) tableRow(row []string, widths []float64, heading bool) {
	height := p.rowHeight(row, widths)
	y, x := p.GetY(), pageMargin
	p.SetDrawColor(205, 205, 205)
	if heading {
		p.ink(70)
		p.SetDrawColor(0, 0, 0)
	}
	for i, cell := range row {
		p.put(x, y+0.4, p.fold(cell, widths[i]))
		x += widths[i] + cellGap
	}
	p.ink(0)
	p.SetLineWidth(0.15)
	p.Line(pageMargin, y+height, pageMargin+p.width, y+height)
	p.SetY(y + height)
}
