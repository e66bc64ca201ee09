package cli

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"pappus/measure/unit"
	"pappus/odds/ensemble"
)

// pageWidth is how wide a printed page is.
const pageWidth = 78

// labelWidth is how wide the left column of a page is.
const labelWidth = 16

// page gathers the lines of a printed answer.
type page struct {
	strings.Builder
}

func (d *Desk) print(text string) error {
	if _, err := io.WriteString(d.Out, text); err != nil {
		return fault{err}
	}
	return nil
}

// title is the page's first line.
func (p *page) title(name, what string) {
	line := what
	if name != "" {
		line = name + ": " + what
	}
	p.lines("", line)
	p.WriteString(strings.Repeat("=", min(utf8.RuneCountInString(line), pageWidth)) + "\n")
}

// head starts a part of the page.
func (p *page) head(text string) { p.WriteString("\n" + text + "\n") }

// row is a label with its answer, wrapped beside it.
func (p *page) row(label, format string, words ...any) {
	for i, line := range wrap(fmt.Sprintf(format, words...), pageWidth-labelWidth) {
		if i > 0 {
			label = ""
		}
		fmt.Fprintf(p, "  %-*s%s\n", labelWidth-2, label, line)
	}
}

// item is one point of a list.
func (p *page) item(mark, text string) {
	for i, line := range wrap(text, pageWidth-4) {
		if i > 0 {
			mark = ""
		}
		fmt.Fprintf(p, "  %-2s%s\n", mark, line)
	}
}

// lines is plain text.
func (p *page) lines(indent, text string) {
	for _, line := range wrap(text, pageWidth-len(indent)) {
		p.WriteString(indent + line + "\n")
	}
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
	return append(all, line)
}

// spread is a band in words: four flights in five lie between its ends.
func spread(band *ensemble.Band, format func(float64, unit.System) string, s unit.System) string {
	if band == nil {
		return ""
	}
	return fmt.Sprintf(" (4 in 5: %s to %s)", format(band.P10, s), format(band.P90, s))
}

// percent writes a chance.
func percent(share float64) string {
	switch {
	case share > 0 && share < 0.01:
		return "under 1 %"
	case share < 1 && share > 0.99:
		return "over 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}

// inTen says a chance in words.
func inTen(share float64) string {
	switch {
	case share < 0.001:
		return "hardly ever"
	case share < 0.095:
		return fmt.Sprintf("1 in %.0f", 1/share)
	case share > 0.995:
		return "nearly always"
	default:
		return fmt.Sprintf("%.0f in 10", 10*share)
	}
}

var compass = [...]string{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"}

// bearing writes a direction in degrees and as a point of the compass.
func bearing(deg float64) string {
	deg = math.Mod(deg+360, 360)
	return fmt.Sprintf("%s (%.0f°)", compass[int(math.Round(deg/22.5))%16], deg)
}

// coordinates writes a place.
func coordinates(lat, lon float64) string {
	ns, ew := "N", "E"
	if lat < 0 {
		ns = "S"
	}
	if lon < 0 {
		ew = "W"
	}
	return fmt.Sprintf("%.4f %s %.4f %s", math.Abs(lat), ns, math.Abs(lon), ew)
}

func itoa(n int) string { return strconv.Itoa(n) }

// sentenceCase begins a text with a capital.
func sentenceCase(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return text
	}
	return string(unicode.ToUpper(first)) + text[size:]
}
