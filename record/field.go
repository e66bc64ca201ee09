package record

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"pappus/measure/unit"
)

// field ties a key of the file to a place in the record: one list of fields
// reads a table, writes it and knows which keys exist.
type field struct {
	key      string
	remark   string // the comment behind it in the written form
	required bool
	expected string // what to say when it is missing
	read     func(v *value) error
	nested   func(d *document, v *value) // instead of read, where faults belong to keys inside
	write    func() string               // the value in TOML; empty when there is nothing to write
}

func (f field) must(expected string) field {
	f.required, f.expected = true, expected
	return f
}

// table reads the fields of a table and tells every key that is not one of them.
func (d *document) table(t *table, fields []field, others ...string) {
	known := slices.Clone(others)
	for _, f := range fields {
		known = append(known, f.key)
		v, there := t.values[f.key]
		switch {
		case !there && f.required:
			d.fault(t.line, t.pathTo(f.key), "missing: expected %s", f.expected)
		case !there || v.kind == isBroken:
		case f.nested != nil:
			f.nested(d, v)
		default:
			if err := f.read(v); err != nil {
				d.fault(v.line, v.path, "%s", err.Error())
			}
		}
	}
	for _, key := range t.keys {
		v := t.values[key]
		if slices.Contains(known, key) || v.kind == isBroken {
			continue
		}
		if d.full() {
			d.untold++
			continue
		}
		if meant, ok := near(key, known); ok {
			d.fault(v.line, excerpt(v.path), "not a key of a flight file: did you mean %s?", meant)
			continue
		}
		d.fault(v.line, excerpt(v.path), "not a key of a flight file: expected one of %s", strings.Join(known, ", "))
	}
}

// check says what an impossible number should have been.
type check func(value float64) error

func between(low, high float64, words string) check {
	return func(value float64) error {
		if value >= low && value <= high {
			return nil
		}
		return fmt.Errorf("impossible: expected %s", words)
	}
}

// above is between without its lower end.
func above(low, high float64, words string) check {
	return func(value float64) error {
		if value > low && value <= high {
			return nil
		}
		return fmt.Errorf("impossible: expected %s", words)
	}
}

// amount reads a number in SI or a text with a unit.
func (v *value) amount(kind unit.Kind) (float64, error) {
	if v.kind == isText {
		return unit.Parse(v.text, kind)
	}
	number, err := v.number()
	if err != nil {
		return 0, fmt.Errorf("expected a quantity in quotes with its unit: %s", kind.Expected())
	}
	return number, nil
}

// number reads a bare number, whole or not.
func (v *value) number() (float64, error) {
	text := strings.ReplaceAll(v.text, "_", "")
	switch v.kind {
	case isWhole:
		whole, err := strconv.ParseInt(text, 0, 64)
		if err != nil {
			return 0, fmt.Errorf("the number is too large")
		}
		return float64(whole), nil
	case isFraction:
		number, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsInf(number, 0) || math.IsNaN(number) {
			return 0, fmt.Errorf("expected a finite number")
		}
		return number + 0, nil // turns -0 into 0
	}
	return 0, fmt.Errorf("expected a bare number, not %s", v.what())
}

func (v *value) what() string {
	switch v.kind {
	case isText:
		return "text in quotes"
	case isWhole, isFraction:
		return "a number"
	case isFlag:
		return "true or false"
	case isMoment, isLocal:
		return "a date"
	case isList:
		return "a list"
	case isRows:
		return "a table in double brackets"
	}
	return "a table"
}

func numeral(value float64) string {
	text := strconv.FormatFloat(value, 'g', -1, 64)
	if size := math.Abs(value); size >= 1e-4 && size < 1e15 || value == 0 {
		return strconv.FormatFloat(value, 'f', -1, 64)
	}
	if !strings.ContainsAny(text, ".en") {
		text += ".0"
	}
	return text
}

func amountText(value float64, kind unit.Kind) string {
	if text, ok := unit.Text(value, kind); ok {
		return quoted(text)
	}
	return numeral(value)
}

// quantity is an optional number with a unit.
func quantity(key string, kind unit.Kind, at *Quantity, possible check, remark string) field {
	return field{key: key, remark: remark,
		read: func(v *value) error {
			number, err := v.amount(kind)
			if err == nil {
				err = possible(number)
			}
			if err == nil {
				*at = Given(number)
			}
			return err
		},
		write: func() string {
			if !at.Given {
				return ""
			}
			return amountText(at.Value, kind)
		}}
}

// plainQuantity is a number with a unit that is always written.
func plainQuantity(key string, kind unit.Kind, at *float64, possible check, remark string) field {
	held := Given(*at)
	f := quantity(key, kind, &held, possible, remark)
	read := f.read
	f.read = func(v *value) error {
		err := read(v)
		*at = held.Value
		return err
	}
	return f
}

// coefficient is a bare number above zero.
func coefficient(key string, at *Quantity, most float64, remark string) field {
	return field{key: key, remark: remark,
		read: func(v *value) error {
			number, err := v.number()
			if err != nil || number <= 0 || number > most {
				return fmt.Errorf("expected a bare number above 0, at most %s", numeral(most))
			}
			*at = Given(number)
			return nil
		},
		write: func() string {
			if !at.Given {
				return ""
			}
			return numeral(at.Value)
		}}
}

// money is a bare number, for the currency stands at the top of the file.
func money(key string, at *Quantity, remark string) field {
	return field{key: key, remark: remark,
		read: func(v *value) error {
			number, err := v.number()
			if err != nil {
				return fmt.Errorf("expected a bare number in the file's currency, such as 340")
			}
			if number < 0 {
				return fmt.Errorf("impossible: expected a price of 0 or more")
			}
			*at = Given(number)
			return nil
		},
		write: func() string {
			if !at.Given {
				return ""
			}
			return numeral(at.Value)
		}}
}

// whole is a whole number within bounds; absent is written when it has that value.
func whole(key string, at *int, low, high, absent int, remark string) field {
	return field{key: key, remark: remark,
		read: func(v *value) error {
			number, err := v.number()
			if err != nil || number != math.Trunc(number) || number < float64(low) || number > float64(high) {
				return fmt.Errorf("expected a whole number from %d to %d", low, high)
			}
			*at = int(number)
			return nil
		},
		write: func() string {
			if *at == absent {
				return ""
			}
			return strconv.Itoa(*at)
		}}
}

// Bounds of texts.
const (
	longestName = 200
	longestNote = 20000
)

// text is one line of text.
func text(key string, at *string, remark string) field {
	return field{key: key, remark: remark,
		read: func(v *value) error {
			if v.kind != isText {
				return fmt.Errorf("expected text in quotes, not %s", v.what())
			}
			if len(v.text) > longestName {
				return fmt.Errorf("expected at most %d characters", longestName)
			}
			if strings.ContainsFunc(v.text, unicode.IsControl) {
				return fmt.Errorf("expected one line of text without control characters")
			}
			*at = v.text
			return nil
		},
		write: func() string { return quotedOrNothing(*at) }}
}

// notes is text of any number of lines.
func notes(key string, at *string, remark string) field {
	return field{key: key, remark: remark,
		read: func(v *value) error {
			if v.kind != isText {
				return fmt.Errorf("expected text in quotes, not %s", v.what())
			}
			lines := strings.ReplaceAll(v.text, "\r\n", "\n")
			if len(lines) > longestNote {
				return fmt.Errorf("expected at most %d characters", longestNote)
			}
			if strings.ContainsFunc(lines, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' }) {
				return fmt.Errorf("expected text without control characters")
			}
			*at = lines
			return nil
		},
		write: func() string { return quotedOrNothing(*at) }}
}

func note(at *string) field { return notes("note", at, "") }

// choice is one of a few words.
func choice(key string, at *string, words []string, remark string) field {
	f := text(key, at, remark)
	f.read = func(v *value) error {
		if v.kind == isText && slices.Contains(words, v.text) {
			*at = v.text
			return nil
		}
		offer := `"` + strings.Join(words, `", "`) + `"`
		if meant, ok := near(v.text, words); ok && v.kind == isText {
			return fmt.Errorf("%q is not known: did you mean %q? Expected one of %s", excerpt(v.text), meant, offer)
		}
		return fmt.Errorf("expected one of %s", offer)
	}
	return f
}

// flag is true or false.
func flag(key string, at *Flag, remark string) field {
	return field{key: key, remark: remark,
		read: func(v *value) error {
			if v.kind != isFlag {
				return fmt.Errorf("expected true or false, without quotes")
			}
			*at = Flag{v.text == "true", true}
			return nil
		},
		write: func() string {
			if !at.Given {
				return ""
			}
			return strconv.FormatBool(at.Value)
		}}
}
