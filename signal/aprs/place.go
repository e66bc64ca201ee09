package aprs

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/signal/fix"
)

// place reads a position and what follows it [APRS101, chapters 6, 8 and 9].
func (r reader) place(text string) error {
	if text == "" {
		return errors.New("cut off before the position")
	}
	if c := text[0]; c >= '0' && c <= '9' || c == ' ' {
		return r.plain(text)
	}
	return r.compressed(text)
}

// plain reads ddmm.hhN, the symbol's table, dddmm.hhW, its code, and the comment.
func (r reader) plain(text string) error {
	const length = 19
	if len(text) < length {
		return fmt.Errorf("position cut off after %d of %d bytes", len(text), length)
	}
	blanks := 0
	lat, err := angle(text[:8], 2, 'N', 'S', &blanks, true)
	if err != nil {
		return err
	}
	lon, err := angle(text[9:18], 3, 'E', 'W', &blanks, false)
	if err != nil {
		return err
	}
	r.pos.Symbol = string([]byte{text[8], text[18]})
	if err := r.stand(lat, lon, blanks); err != nil {
		return err
	}
	rest := text[length:]
	if text[18] != '_' { // with the symbol of a weather station these are of the wind
		rest = r.courseAndSpeed(rest)
	}
	r.comment(rest, blanks == 0)
	return nil
}

// boxMinutes is how wide the box is that so many blank digits leave, in minutes of arc.
var boxMinutes = [5]float64{0.01, 0.1, 1, 10, 60}

// angle reads degrees and minutes with two decimals and a letter. Blank digits of a
// latitude count from the right and hold for the longitude too, whatever it shows. The
// answer is the middle of the box that they leave.
func angle(text string, degreeDigits int, positive, negative byte, blanks *int, counts bool) (float64, error) {
	fault := fmt.Errorf("%q is no angle, expected degrees, minutes with two decimals, then %c or %c", text, positive, negative)
	digits := text[:degreeDigits+2] + text[degreeDigits+3:degreeDigits+5]
	if text[degreeDigits+2] != '.' {
		return 0, fault
	}
	shown := strings.TrimRight(digits, " ")
	if counts {
		*blanks = len(digits) - len(shown)
	}
	if *blanks > 4 || len(digits)-len(shown) > 4 {
		return 0, fault
	}
	value := 0
	for i := range len(digits) {
		c := digits[i]
		if i >= len(digits)-*blanks {
			c = '0'
		}
		if c < '0' || c > '9' {
			return 0, fault
		}
		value = value*10 + int(c-'0')
	}
	minutes := float64(value%10000) / 100
	if minutes >= 60 {
		return 0, fault
	}
	if *blanks > 0 {
		minutes += boxMinutes[*blanks] / 2
	}
	deg := float64(value/10000) + minutes/60
	switch text[degreeDigits+5] &^ 0x20 { // small letters are in use too
	case positive:
		return deg, nil
	case negative:
		return -deg, nil
	}
	return 0, fault
}

// stand sets the place, and the error of a digit that can be anywhere in its box.
func (r reader) stand(lat, lon float64, blanks int) error {
	place, err := geo.NewPoint(lat, lon)
	if err != nil {
		return err
	}
	r.pos.Place, r.pos.HasPlace, r.pos.Ambiguity = place, true, blanks
	if blanks > 0 {
		r.pos.Assumed = append(r.pos.Assumed, "the sender left digits of its place blank: the middle of what they leave was taken")
	}
	r.resolution(boxMinutes[blanks])
	return nil
}

func (r reader) resolution(minutes float64) {
	r.pos.Expected.Across = math.Hypot(fix.AcrossUsual, minutes*unit.NauticalMile/math.Sqrt(12))
}

// courseAndSpeed reads ccc/sss in degrees and knots, where the comment begins with them.
// Course 000 is none; north is 360.
func (r reader) courseAndSpeed(text string) string {
	const length = 7
	if len(text) < length || text[3] != '/' {
		return text
	}
	course, ok := digits(text[:3])
	speed, ok2 := digits(text[4:length])
	silent := func(s string) bool { return s == "..." || s == "   " }
	if !ok && !silent(text[:3]) || !ok2 && !silent(text[4:length]) || course > 360 {
		return text
	}
	if ok && course > 0 {
		r.pos.CourseDeg = fix.Known(math.Mod(float64(course), 360))
	}
	if ok2 {
		r.pos.Speed = fix.Known(float64(speed) * unit.Knot)
	}
	return text[length:]
}

// digits reads a whole number of digits only.
func digits(text string) (int, bool) {
	value := 0
	for i := range len(text) {
		if text[i] < '0' || text[i] > '9' {
			return 0, false
		}
		value = value*10 + int(text[i]-'0')
	}
	return value, text != ""
}

// base91 reads digits of base 91, each the letter's code less 33.
func base91(text string) (int, bool) {
	value := 0
	for i := range len(text) {
		if text[i] < '!' || text[i] > '{' {
			return 0, false
		}
		value = value*91 + int(text[i]-'!')
	}
	return value, true
}

// Scales of a compressed position [APRS101, chapter 9].
const (
	latScale = 380926.0
	lonScale = 190463.0
)

// compressed reads table, YYYY, XXXX, code, cs and T, thirteen bytes.
func (r reader) compressed(text string) error {
	const length = 13
	if len(text) < length {
		return fmt.Errorf("compressed position cut off after %d of %d bytes", len(text), length)
	}
	table := text[0]
	switch {
	case table >= 'a' && table <= 'j':
		table = table - 'a' + '0' // a digit laid over the symbol
	case table == '/' || table == '\\' || table >= 'A' && table <= 'Z':
	default:
		return fmt.Errorf("%q begins no position", table)
	}
	y, ok := base91(text[1:5])
	x, ok2 := base91(text[5:9])
	if !ok || !ok2 {
		return fmt.Errorf("compressed position %q: a letter outside of base 91", text[1:9])
	}
	place, err := geo.NewPoint(90-float64(y)/latScale, -180+float64(x)/lonScale)
	if err != nil {
		return err
	}
	p := r.pos
	p.Place, p.HasPlace, p.Compressed = place, true, true
	p.Symbol = string([]byte{table, text[9]})
	r.resolution(60 / lonScale)
	r.compressedMotion(text[10], text[11], text[12])
	r.comment(text[length:], false)
	return nil
}

// compressedMotion reads height, or course and speed, or the radio's range. In the kind
// byte the bits 4 and 3 tell which sentence it was made of; 2 is the one with a height.
func (r reader) compressedMotion(c, s, kind byte) {
	first, ok := base91(string(c))
	second, ok2 := base91(string(s))
	if !ok || !ok2 || kind < '!' {
		return
	}
	switch {
	case (kind-'!')>>3&3 == 2:
		metres := math.Pow(1.002, float64(first*91+second)) * unit.Foot
		r.pos.Height = fix.Height{Metres: metres, Kind: fix.AboveSea}
		r.pos.Expected.Up = math.Hypot(fix.UpUsual, 0.002*metres/math.Sqrt(12))
	case c == '{':
		r.pos.Range = fix.Known(2 * math.Pow(1.08, float64(second)) * unit.StatuteMile)
	case r.pos.Symbol[1] != '_':
		r.pos.CourseDeg = fix.Known(math.Mod(float64(4*first), 360))
		r.pos.Speed = fix.Known((math.Pow(1.08, float64(second)) - 1) * unit.Knot)
	}
}
