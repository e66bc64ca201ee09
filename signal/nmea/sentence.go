// Package nmea reads the sentences of satellite receivers [NMEA0183] and puts those of
// one moment together into a position report.
package nmea

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Sentence is one sentence whose frame is sound.
type Sentence struct {
	Talker  string // "GP", "GN", …; "P" for a maker's own
	Kind    string // "GGA", "RMC", …; a maker's own keeps its whole name
	Fields  []string
	Checked bool // it carried a checksum, which was right
}

// ErrChecksum is why a sentence is refused that was damaged on its way.
var ErrChecksum = errors.New("checksum does not fit")

// ErrNoSentence is why a line is refused that holds no sentence.
var ErrNoSentence = errors.New("no NMEA sentence")

// The standard allows 82 characters; receivers with more digits exceed it.
const longest = 256

// Parse takes a line apart. What stands before the last "$" is passed over: a time
// stamp of a log, or the rest of a sentence that was cut off.
func Parse(line string) (Sentence, error) {
	at := strings.LastIndexByte(line, '$')
	if at < 0 {
		return Sentence{}, fmt.Errorf("%w: a sentence begins with $", ErrNoSentence)
	}
	body := strings.TrimRight(line[at+1:], " \r\n\t\x00")
	if len(body) > longest {
		return Sentence{}, fmt.Errorf("%w: %d characters, a sentence has at most %d", ErrNoSentence, len(body), longest)
	}
	for i := range len(body) {
		if body[i] < ' ' || body[i] > '~' {
			return Sentence{}, fmt.Errorf("%w: byte %#02x in it", ErrNoSentence, body[i])
		}
	}
	body, told, checked := strings.Cut(body, "*")
	if checked {
		want, err := strconv.ParseUint(told, 16, 8)
		if err != nil || len(told) != 2 {
			return Sentence{}, fmt.Errorf("%w: after * come two hexadecimal digits, not %q", ErrChecksum, told)
		}
		if sum := Checksum(body); uint64(sum) != want {
			return Sentence{}, fmt.Errorf("%w: the line says %02X, its characters give %02X", ErrChecksum, want, sum)
		}
	}
	fields := strings.Split(body, ",")
	name := fields[0]
	for i := range len(name) {
		if !(name[i] >= 'A' && name[i] <= 'Z' || name[i] >= '0' && name[i] <= '9') {
			return Sentence{}, fmt.Errorf("%w: %q is no name of one", ErrNoSentence, name)
		}
	}
	s := Sentence{Fields: fields[1:], Checked: checked}
	switch {
	case strings.HasPrefix(name, "P") && len(name) > 1:
		s.Talker, s.Kind = "P", name
	case len(name) == 5:
		s.Talker, s.Kind = name[:2], name[2:]
	default:
		return Sentence{}, fmt.Errorf("%w: %q is no name of one", ErrNoSentence, name)
	}
	return s, nil
}

// Checksum is the exclusive or of the characters between $ and * [NMEA0183].
func Checksum(body string) byte {
	var sum byte
	for i := range len(body) {
		sum ^= body[i]
	}
	return sum
}

// field answers a field, or "" where the sentence ends before it.
func (s Sentence) field(i int) string {
	if i < len(s.Fields) {
		return strings.TrimSpace(s.Fields[i])
	}
	return ""
}

// number reads a field of digits; an empty one is no number and no fault.
func (s Sentence) number(i int, what string) (value float64, known bool, err error) {
	text := s.field(i)
	if text == "" {
		return 0, false, nil
	}
	value, ok := decimal(text)
	if !ok {
		return 0, false, fmt.Errorf("%s: %s is %q, expected a number", s.Kind, what, text)
	}
	return value, true, nil
}

// decimal reads a plain decimal number: no exponent, no "inf".
func decimal(text string) (float64, bool) {
	for i := range len(text) {
		if c := text[i]; !(c >= '0' && c <= '9' || c == '.' || i == 0 && (c == '-' || c == '+')) {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
}

// angle reads degrees and minutes run together (ddmm.mmm, dddmm.mmm) and a letter. The
// step is that of the last digit, in degrees.
func (s Sentence) angle(i, degreeDigits int, positive, negative string) (deg, step float64, known bool, err error) {
	text, side := s.field(i), s.field(i+1)
	if text == "" && side == "" {
		return 0, 0, false, nil
	}
	fault := func() (float64, float64, bool, error) {
		return 0, 0, false, fmt.Errorf("%s: %q %q is no angle, expected %d digits of degrees, then minutes below 60, then %s or %s", s.Kind, text, side, degreeDigits, positive, negative)
	}
	if len(text) < degreeDigits+2 {
		return fault()
	}
	whole, ok := decimal(text[:degreeDigits])
	minutes, ok2 := decimal(text[degreeDigits:])
	if !ok || !ok2 || text[0] == '-' || text[0] == '+' || text[degreeDigits] == '-' || text[degreeDigits] == '+' || minutes >= 60 {
		return fault()
	}
	deg = whole + minutes/60
	switch side {
	case positive:
	case negative:
		deg = -deg
	default:
		return fault()
	}
	step = 1.0 / 60
	if dot := strings.IndexByte(text, '.'); dot >= 0 {
		for range len(text) - dot - 1 {
			step /= 10
		}
	}
	return deg, step, true, nil
}
