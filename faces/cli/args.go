package cli

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// flagKind says how many words a flag takes.
type flagKind uint8

const (
	isSwitch flagKind = iota // none
	isValue                  // one, whatever it looks like: negative numbers are values
	isWords                  // one or more, up to the next flag
)

// option is one flag of a command.
type option struct {
	name  string // without dashes
	kind  flagKind
	value string // what the help calls the value
	text  string
}

// common are the flags that every command has.
var common = []option{
	{"json", isSwitch, "", "print one JSON document to standard output"},
	{"units", isValue, "us|metric", "units to read the answer in (default: as the flight's rules, US or metric)"},
	{"help", isSwitch, "", "show this help"},
}

// usageError is a command line that does not make sense: exit status 2.
type usageError struct{ message string }

func (e *usageError) Error() string { return e.message }

func usage(format string, words ...any) error { return &usageError{fmt.Sprintf(format, words...)} }

// arguments are a command line taken apart.
type arguments struct {
	operands []string
	flags    map[string][]string
}

// parse takes a command line apart. Flags may stand before or after operands.
func parse(words []string, options []option) (*arguments, error) {
	a := &arguments{flags: map[string][]string{}}
	for i := 0; i < len(words); i++ {
		word := words[i]
		if word == "--" {
			a.operands = append(a.operands, words[i+1:]...)
			break
		}
		if !isFlag(word) {
			a.operands = append(a.operands, word)
			continue
		}
		name, value, joined := strings.Cut(strings.TrimLeft(word, "-"), "=")
		if name == "h" {
			name = "help"
		}
		at := slices.IndexFunc(options, func(o option) bool { return o.name == name })
		if at < 0 {
			return nil, usage("unknown flag --%s%s", name, nearest(name, options))
		}
		switch o := options[at]; {
		case o.kind == isSwitch && joined:
			return nil, usage("--%s takes no value", name)
		case o.kind == isSwitch:
			a.flags[name] = []string{}
		case joined:
			a.flags[name] = append(a.flags[name], value)
		case i+1 >= len(words) || o.kind == isWords && isFlag(words[i+1]):
			return nil, usage("--%s needs a value: --%s %s", name, name, o.value)
		case o.kind == isValue:
			i++
			a.flags[name] = append(a.flags[name], words[i])
		default:
			for i+1 < len(words) && !isFlag(words[i+1]) {
				i++
				a.flags[name] = append(a.flags[name], words[i])
			}
		}
	}
	return a, nil
}

// isFlag tells a flag from a value: a dash followed by a letter or a dash.
func isFlag(word string) bool {
	if len(word) < 2 || word[0] != '-' {
		return false
	}
	c := word[1]
	return c == '-' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
}

// nearest offers the flag that was likely meant.
func nearest(name string, options []option) string {
	for _, o := range options {
		if strings.HasPrefix(o.name, name) || strings.HasPrefix(name, o.name) {
			return fmt.Sprintf(" (did you mean --%s?)", o.name)
		}
	}
	return "; --help lists what there is"
}

func (a *arguments) has(name string) bool {
	_, ok := a.flags[name]
	return ok
}

// last answers a flag's value, the last one given.
func (a *arguments) last(name, fallback string) string {
	if v := a.flags[name]; len(v) > 0 {
		return v[len(v)-1]
	}
	return fallback
}

func (a *arguments) number(name string, fallback float64) (float64, error) {
	text := a.last(name, "")
	if text == "" {
		return fallback, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, usage("--%s: %q is not a number", name, text)
	}
	return v, nil
}

// whole answers a whole number between bounds.
func (a *arguments) whole(name string, fallback, low, high int) (int, error) {
	text := a.last(name, "")
	if text == "" {
		return fallback, nil
	}
	v, err := strconv.Atoi(text)
	if err != nil || v < low || v > high {
		return 0, usage("--%s: %q is not a whole number from %d to %d", name, text, low, high)
	}
	return v, nil
}

// operand answers the only operand of a command.
func (a *arguments) operand(what string) (string, error) {
	switch len(a.operands) {
	case 1:
		return a.operands[0], nil
	case 0:
		return "", usage("name the %s", what)
	}
	return "", usage("one %s is wanted, and %d words stand there: %s", what, len(a.operands), strings.Join(a.operands, " "))
}
