package unit

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// longest bounds the text of a quantity; nobody writes a longer one on purpose.
const longest = 80

// Parse reads a quantity with its unit and returns it in SI units.
//
// Spaces are free, also the ones typesetters use; "ft³", "ft^3" and "ft3" are
// the same; upper and lower case count only where they tell units apart (mW and
// MW). Several parts are added up when each has a unit: "1 h 20 min", "4 lb 6 oz".
// A temperature has one part. The decimal sign is a point, and there is no sign
// between thousands, since "1,200" means two things in two countries.
func Parse(text string, kind Kind) (float64, error) {
	if len(text) > longest {
		return 0, fmt.Errorf("a text of %d characters is too long for a %s: %s", len(text), kind, expected(kind))
	}
	rest := strings.TrimSpace(plain.Replace(text))
	if rest == "" {
		return 0, fmt.Errorf("empty: %s", expected(kind))
	}
	total, negative := 0.0, strings.HasPrefix(rest, "-")
	last := math.Inf(1)
	for first := true; rest != ""; first = false {
		value, name, after, err := part(rest, kind)
		if err != nil {
			return 0, err
		}
		s, err := find(name, kind)
		if err != nil {
			return 0, err
		}
		step := s.times / s.over
		if !first && (kind == Temperature || kind == Share) {
			return 0, fmt.Errorf("%q has two parts: a %s is one number, in %s", text, kind, kind.Expected())
		}
		if !first && (value < 0 || step >= last) {
			return 0, fmt.Errorf("%q: parts go from the large unit to the small one, each without a sign: %s", text, expected(kind))
		}
		if !first && negative {
			total -= s.toSI(value)
		} else {
			total += s.toSI(value)
		}
		rest, last = after, step
	}
	if math.IsInf(total, 0) || math.IsNaN(total) {
		return 0, fmt.Errorf("%q is beyond any %s", text, kind)
	}
	return total, nil
}

// ParseRange reads "10 % to 90 %" or "10 to 90 %"; a single quantity is a range
// without width.
func ParseRange(text string, kind Kind) (low, high float64, err error) {
	first, second, two := strings.Cut(plain.Replace(text), " to ")
	if !two {
		low, err = Parse(text, kind)
		return low, low, err
	}
	if high, err = Parse(second, kind); err != nil {
		return 0, 0, err
	}
	if low, err = Parse(first, kind); errors.As(err, new(missingUnit)) {
		_, name, _, _ := part(strings.TrimSpace(second), kind)
		low, err = Parse(strings.TrimSpace(first)+" "+name, kind)
	}
	if err == nil && low > high {
		err = fmt.Errorf("%q runs from the larger to the smaller: write the smaller first", text)
	}
	return low, high, err
}

// plain brings typesetters' signs to the keys of a keyboard.
var plain = strings.NewReplacer("\u00a0", " ", "\u2009", " ", "\u202f", " ", "\t", " ",
	"\u2212", "-", "³", "3", "²", "2", "^", "", "\u03bc", "µ", "⁻¹", "-1")

// missingUnit says that a number stands alone.
type missingUnit struct {
	text string
	kind Kind
}

func (m missingUnit) Error() string {
	return fmt.Sprintf("%q has no unit: %s", m.text, expected(m.kind))
}

// part splits the first number and its unit off a text.
func part(text string, kind Kind) (value float64, name, rest string, err error) {
	end := numberEnd(text)
	number := text[:end]
	if number == "" || strings.Trim(number, "+-.") == "" {
		return 0, "", "", fmt.Errorf("%q is not a number with a unit: %s", text, expected(kind))
	}
	if strings.HasPrefix(text[end:], ",") {
		return 0, "", "", fmt.Errorf("%q has a comma: write a point before decimals and nothing between thousands, such as 8.3 or 1200", text)
	}
	if value, err = strconv.ParseFloat(number, 64); err != nil {
		return 0, "", "", fmt.Errorf("%q is not a number: %s", number, expected(kind))
	}
	text = strings.TrimSpace(text[end:])
	end = nameEnd(text)
	name, rest = strings.TrimSpace(text[:end]), text[end:]
	if name == "" {
		return 0, "", "", missingUnit{number, kind}
	}
	return value, name, rest, nil
}

// numberEnd finds where a decimal number at the start of a text stops. It takes
// an exponent only with digits, so that the e of a unit is left alone.
func numberEnd(text string) int {
	digits := func(i int) int {
		for i < len(text) && text[i] >= '0' && text[i] <= '9' {
			i++
		}
		return i
	}
	i := 0
	if i < len(text) && (text[i] == '+' || text[i] == '-') {
		i++
	}
	i = digits(i)
	if i < len(text) && text[i] == '.' {
		i = digits(i + 1)
	}
	if i > 0 && i < len(text) && (text[i] == 'e' || text[i] == 'E') {
		exponent := i + 1
		if exponent < len(text) && (text[exponent] == '+' || text[exponent] == '-') {
			exponent++
		}
		if after := digits(exponent); after > exponent {
			i = after
		}
	}
	return i
}

// nameEnd finds where a unit stops: at a digit, sign or point that begins the
// next number, which stands after a space or directly after a letter ("1h20min").
// A digit right after a letter belongs to the unit where it closes it ("ft3", "ms-1").
func nameEnd(text string) int {
	for i := 0; i < len(text); i++ {
		c := text[i]
		if c == ',' {
			return i
		}
		if !(c >= '0' && c <= '9' || (c == '+' || c == '-' || c == '.') && i+1 < len(text) && text[i+1] >= '0' && text[i+1] <= '9') {
			continue
		}
		after := text[i+1:]
		exponent := i > 0 && text[i-1] != ' ' && (c == '2' || c == '3') && !(len(after) > 0 && (after[0] >= '0' && after[0] <= '9' || after[0] == '.'))
		inverse := c == '-' && strings.HasPrefix(text[i:], "-1") && len(text) == i+2
		if inverse {
			return len(text)
		}
		if !exponent {
			return i
		}
	}
	return len(text)
}

// find looks a unit up: as written, else regardless of case where that is not ambiguous.
func find(name string, kind Kind) (scale, error) {
	t := kind.table()
	squeezed := strings.Join(strings.Fields(name), " ")
	var loose []scale
	for _, s := range t.scales {
		for _, n := range s.names {
			if n == squeezed {
				return s, nil
			}
			if strings.EqualFold(n, squeezed) {
				loose = append(loose, s)
			}
		}
	}
	for _, s := range loose {
		if s.times/s.over != loose[0].times/loose[0].over {
			return scale{}, fmt.Errorf("%q could be two units: mind upper and lower case: %s", name, expected(kind))
		}
	}
	if len(loose) > 0 {
		return loose[0], nil
	}
	return scale{}, fmt.Errorf("%q is not a unit of %s: %s", name, t.name, expected(kind))
}

func expected(kind Kind) string { return "expected " + kind.Expected() }
