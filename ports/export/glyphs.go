package export

import (
	_ "embed"
	"encoding/binary"
	"errors"
	"fmt"
)

//go:embed fonts/regular.ttf
var regularFont []byte

//go:embed fonts/bold.ttf
var boldFont []byte

// NoGlyph is a text that the printed font cannot show.
type NoGlyph struct{ Rune rune }

func (e *NoGlyph) Error() string {
	return fmt.Sprintf("the font of the PDF sheets has no character %q (U+%04X), which stands in the flight file: take text or HTML, or leave it out of the file", e.Rune, e.Rune)
}

var errFont = errors.New("the embedded font has no map of characters that can be read")

// glyphs are the characters a font shows: the ranges of its character map.
type glyphs [][2]rune

// glyphsOf reads the character map for the basic multilingual plane of a
// TrueType font, format 4 [OPENTYPE, cmap].
func glyphsOf(font []byte) (glyphs, error) {
	at := func(offset int) int {
		if offset < 0 || offset+2 > len(font) {
			return 0
		}
		return int(binary.BigEndian.Uint16(font[offset:]))
	}
	long := func(offset int) int { return at(offset)<<16 | at(offset+2) }
	for i := range at(4) {
		record := 12 + 16*i
		if record+16 > len(font) || string(font[record:record+4]) != "cmap" {
			continue
		}
		table := long(record + 8)
		for j := range at(table + 2) {
			sub := table + long(table+4+8*j+4)
			if at(sub) == 4 {
				return segments(at, sub), nil
			}
		}
	}
	return nil, errFont
}

func segments(at func(int) int, sub int) glyphs {
	double := at(sub + 6) // twice the number of segments
	var g glyphs
	for i := 0; i < double; i += 2 {
		end, start := at(sub+14+i), at(sub+16+double+i)
		if start < 0xffff && start <= end {
			g = append(g, [2]rune{rune(start), rune(end)})
		}
	}
	return g
}

func (g glyphs) has(r rune) bool {
	for _, span := range g {
		if r >= span[0] && r <= span[1] {
			return true
		}
	}
	return false
}

// check refuses a text with a character that would come out as an empty box.
func (g glyphs) check(text string) error {
	for _, r := range text {
		if !g.has(r) {
			return &NoGlyph{r}
		}
	}
	return nil
}
