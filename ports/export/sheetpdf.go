package export

import (
	"bytes"
	"fmt"
	"strings"
	"time"

	"github.com/go-pdf/fpdf"

	"pappus/desk/papers"
)

// Measures of a printed sheet, mm and points.
const (
	pageMargin  = 16.0
	pageFoot    = 18.0 // kept free for the stamp
	bodySize    = 10.0 // pt
	lineHeight  = 4.7
	labelColumn = 38.0
	blankHeight = 8.5
	family      = "hand"
)

// SheetPDF prints a sheet as PDF. The date in its properties is the forecast's
// cycle or, without one, that of the first day of the calendar era, so that the
// same sheet gives the same octets.
func SheetPDF(s *papers.Sheet, paper Paper) ([]byte, error) {
	size := "A4"
	if paper == Letter {
		size = "Letter"
	}
	p := &sheetPDF{Fpdf: fpdf.New("P", "mm", size, ""), size: bodySize}
	var err error
	if p.shown, err = glyphsOf(regularFont); err != nil {
		return nil, err
	}
	p.AddUTF8FontFromBytes(family, "", regularFont)
	p.AddUTF8FontFromBytes(family, "B", boldFont)
	made := time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)
	if s.Stamp.Cycle != "" {
		if made, err = time.Parse(time.RFC3339, s.Stamp.Cycle); err != nil {
			return nil, fmt.Errorf("the stamp's cycle: %w", err)
		}
	}
	p.SetCreationDate(made)
	p.SetModificationDate(made)
	p.SetCatalogSort(true)
	p.SetProducer("pappus", false)
	p.SetTitle(p.text(s.Title+titleOf(s)), true)
	p.SetKeywords(s.Stamp.String(), false)
	p.SetMargins(pageMargin, pageMargin, pageMargin)
	p.SetAutoPageBreak(false, 0)
	p.AliasNbPages("{pages}")
	p.SetFooterFunc(func() { p.foot(s) })
	p.AddPage()
	width, _ := p.GetPageSize()
	p.width = width - 2*pageMargin
	p.head(s)
	for i := range s.Parts {
		p.part(&s.Parts[i])
	}
	p.stale(s)
	if p.failed != nil {
		return nil, p.failed
	}
	var b bytes.Buffer
	if err := p.Output(&b); err != nil {
		return nil, fmt.Errorf("the sheet %q as PDF: %w", s.Name, err)
	}
	return b.Bytes(), nil
}

func titleOf(s *papers.Sheet) string {
	if name := tidy(s.Stamp.Flight); name != "" {
		return ": " + name
	}
	return ""
}

// sheetPDF lays a sheet out from the top down.
type sheetPDF struct {
	*fpdf.Fpdf
	shown  glyphs
	width  float64
	size   float64 // pt, of the body
	failed error
}

// text makes a text fit to print, and remembers when it does not.
func (p *sheetPDF) text(text string) string {
	text = tidyLong(text)
	if err := p.shown.check(text); err != nil && p.failed == nil {
		p.failed = err
	}
	return text
}

// line is the height of a line of the body.
func (p *sheetPDF) line() float64 { return lineHeight * p.size / bodySize }

func (p *sheetPDF) ink(grey int) { p.SetTextColor(grey, grey, grey) }

// room starts a new page where a height does not fit on this one.
func (p *sheetPDF) room(height float64) {
	_, page := p.GetPageSize()
	if p.GetY()+height > page-pageFoot {
		p.AddPage()
		p.SetY(pageMargin)
	}
}

// fold breaks a text to a width in the present font.
func (p *sheetPDF) fold(text string, width float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(p.text(text)) {
		for line == "" && p.GetStringWidth(word) > width {
			// A word wider than its room is cut: a code, or an address.
			runes := []rune(word)
			n := len(runes) - 1
			for n > 1 && p.GetStringWidth(string(runes[:n])) > width {
				n--
			}
			lines = append(lines, string(runes[:n]))
			word = string(runes[n:])
		}
		longer := word
		if line != "" {
			longer = line + " " + word
		}
		if line != "" && p.GetStringWidth(longer) > width {
			lines = append(lines, line)
			longer = word
		}
		line = longer
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// put sets lines one below the other from a place.
func (p *sheetPDF) put(x, y float64, lines []string) {
	for i, line := range lines {
		p.SetXY(x, y+float64(i)*p.line())
		p.CellFormat(0, p.line(), line, "", 0, "L", false, 0, "")
	}
}

func (p *sheetPDF) head(s *papers.Sheet) {
	p.ink(0)
	p.SetFont(family, "B", 17)
	y := p.GetY()
	for _, line := range p.fold(s.Title+titleOf(s), p.width) {
		p.SetXY(pageMargin, y)
		p.CellFormat(0, 8, line, "", 0, "L", false, 0, "")
		y += 8
	}
	p.SetFont(family, "", p.size)
	p.SetXY(pageMargin, y)
	p.paragraph("For " + s.For + ".")
}

// foot is the stamp on every page.
func (p *sheetPDF) foot(s *papers.Sheet) {
	_, height := p.GetPageSize()
	p.ink(70)
	p.SetDrawColor(120, 120, 120)
	p.SetLineWidth(0.2)
	p.Line(pageMargin, height-pageFoot+4, pageMargin+p.footWidth(), height-pageFoot+4)
	p.SetFont(family, "", 8)
	p.SetXY(pageMargin, height-pageFoot+5)
	p.CellFormat(0, 4, p.text(s.Stamp.Words()), "", 0, "L", false, 0, "")
	p.SetXY(pageMargin, height-pageFoot+9)
	p.CellFormat(p.footWidth(), 4, fmt.Sprintf("page %d of {pages}", p.PageNo()), "", 0, "L", false, 0, "")
	p.ink(0)
}

func (p *sheetPDF) footWidth() float64 {
	width, _ := p.GetPageSize()
	return width - 2*pageMargin
}

// stale stands below the last part.
func (p *sheetPDF) stale(s *papers.Sheet) {
	p.SetY(p.GetY() + 3)
	p.size = 8.5
	p.ink(70)
	p.SetFont(family, "", p.size)
	p.paragraph("Stale when " + strings.Join(s.Stale, "; ") + ".")
}

func (p *sheetPDF) part(part *papers.Part) {
	if part.Large {
		p.framed(part)
		return
	}
	p.SetY(p.GetY() + 3)
	if part.Heading != "" {
		p.SetFont(family, "B", 12)
		p.room(8 + 3*p.line())
		y := p.GetY()
		p.SetXY(pageMargin, y)
		p.CellFormat(0, 6, p.text(part.Heading), "", 0, "L", false, 0, "")
		p.SetDrawColor(0, 0, 0)
		p.SetLineWidth(0.4)
		p.Line(pageMargin, y+6.5, pageMargin+p.width, y+6.5)
		p.SetY(y + 8)
	}
	for _, c := range part.Cautions {
		p.caution(c)
	}
	if part.Lead != "" {
		p.SetFont(family, "", p.size)
		p.paragraph(part.Lead)
		p.SetY(p.GetY() + 1)
	}
	for _, r := range part.Rows {
		p.row(r)
	}
	if part.Table != nil {
		p.table(part.Table)
	}
	for _, c := range part.Checks {
		p.check(c)
	}
	p.SetFont(family, "", p.size)
	for _, text := range part.Text {
		p.SetY(p.GetY() + 1)
		p.paragraph(text)
	}
	if part.Figure != nil {
		p.figure(part.Figure)
	}
}

func (p *sheetPDF) paragraph(text string) {
	for _, line := range p.fold(text, p.width) {
		p.room(p.line())
		y := p.GetY()
		p.put(pageMargin, y, []string{line})
		p.SetY(y + p.line())
	}
}

// caution is a text beside a thick bar.
func (p *sheetPDF) caution(text string) {
	p.SetFont(family, "B", p.size)
	lines := p.fold("Take care. "+text, p.width-8)
	height := float64(len(lines))*p.line() + 2
	p.room(height + 1.5)
	y := p.GetY()
	p.SetFillColor(253, 241, 241)
	p.Rect(pageMargin, y, p.width, height, "F")
	p.SetFillColor(176, 0, 32)
	p.Rect(pageMargin, y, 1.6, height, "F")
	p.put(pageMargin+4, y+1, lines)
	p.SetY(y + height + 1.5)
}

// row is a label with its answer beside it.
func (p *sheetPDF) row(r papers.Row) {
	column := labelColumn * p.size / bodySize
	p.SetFont(family, "", p.size)
	labels := p.fold(r.Label, column-2)
	style := "B"
	if r.Blank {
		style = ""
	}
	p.SetFont(family, style, p.size)
	texts := p.fold(r.Text, p.width-column)
	height := float64(max(len(labels), len(texts), 1))*p.line() + 1.4
	if r.Blank {
		height = max(height, blankHeight*p.size/bodySize)
	}
	p.room(height)
	y := p.GetY()
	p.SetFont(family, "", p.size)
	p.ink(70)
	p.put(pageMargin, y+0.7, labels)
	if !r.Blank {
		p.ink(0)
		p.SetFont(family, "B", p.size)
	}
	p.put(pageMargin+column, y+0.7, texts)
	p.ink(0)
	p.SetLineWidth(0.15)
	p.SetDrawColor(205, 205, 205)
	p.Line(pageMargin, y+height, pageMargin+p.width, y+height)
	if r.Blank {
		p.SetDrawColor(0, 0, 0)
		p.Line(pageMargin+column, y+height, pageMargin+p.width, y+height)
	}
	p.SetY(y + height)
}

func (p *sheetPDF) check(c papers.Check) {
	p.SetFont(family, "", p.size)
	lines := p.fold(c.Text, p.width-8)
	height := float64(len(lines))*p.line() + 2
	p.room(height)
	y := p.GetY()
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(0.3)
	p.Rect(pageMargin+0.3, y+1.2, 4, 4, "D")
	p.put(pageMargin+8, y+1, lines)
	p.SetY(y + height)
}

// framed is a label: large, in a frame, never over two pages.
func (p *sheetPDF) framed(part *papers.Part) {
	p.size = 13
	defer func() { p.size = bodySize }()
	p.SetY(p.GetY() + 5)
	p.room(110)
	top := p.GetY()
	p.SetFont(family, "B", 30)
	p.SetXY(pageMargin, top+3)
	p.CellFormat(p.width, 13, p.text(part.Heading), "", 0, "C", false, 0, "")
	p.SetY(top + 18)
	left, right, _, _ := p.GetMargins()
	for _, r := range part.Rows {
		p.row(r)
	}
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(0.8)
	p.Rect(left-4, top, p.width+4+right-pageMargin+4, p.GetY()+3-top, "D")
	p.SetY(p.GetY() + 6)
}

// figureSide is how wide a code is printed, mm, with what must stay light around it.
const figureSide = 52.0

func (p *sheetPDF) figure(f *papers.Figure) {
	c, err := code(f)
	if err != nil {
		p.failed = err
		return
	}
	p.SetFont(family, "", p.size)
	lines := p.fold(f.Caption, p.width-figureSide-4)
	p.room(figureSide + 2)
	y := p.GetY() + 1
	module := figureSide / float64(c.Size+2*quiet)
	p.SetFillColor(0, 0, 0)
	for row := range c.Size {
		for from := 0; from < c.Size; from++ {
			to := from
			for c.Black(to, row) {
				to++
			}
			if to > from {
				p.Rect(pageMargin+float64(from+quiet)*module, y+float64(row+quiet)*module, float64(to-from)*module, module, "F")
				from = to
			}
		}
	}
	p.put(pageMargin+figureSide+4, y+float64(quiet)*module, lines)
	p.SetY(y + figureSide + 1)
}
