package record

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Written is one key of a flight file with its value as the person wrote it. A
// row of several, such as train[2], stands in the list too, without a text.
type Written struct {
	Path string
	Text string
	Line int
}

// Outline lists what a flight file says, in its own words. It reads what it can
// of a file with faults.
func Outline(data []byte) []Written {
	var list []Written
	readDocument("", data).root.outline(&list)
	return list
}

func (t *table) outline(list *[]Written) {
	for _, key := range t.keys {
		switch v := t.values[key]; v.kind {
		case isTable:
			v.table.outline(list)
		case isRows:
			for _, row := range v.rows {
				*list = append(*list, Written{Path: row.path, Line: row.line})
				row.outline(list)
			}
		case isList:
			var parts []string
			for _, item := range v.items {
				parts = append(parts, item.text)
			}
			*list = append(*list, Written{v.path, strings.Join(parts, listJoint), v.line})
		default:
			*list = append(*list, Written{v.path, v.text, v.line})
		}
	}
}

// listJoint stands between the edges of a box as a person reads and types them.
const listJoint = " × "

// EditKind is what an edit does.
type EditKind string

// The edits. Paths are those of faults: "envelope.mass", "train[2].length".
const (
	Set    EditKind = "set"    // the key at Path reads Text; an empty Text takes the key away
	Add    EditKind = "add"    // a row with the keys of Row, which becomes Path
	Remove EditKind = "remove" // the row at Path goes
	Move   EditKind = "move"   // the row at Path becomes number To
)

// Edit is one change of a flight file. All that it does not touch stays as it
// was written, comments included.
type Edit struct {
	Kind EditKind
	Path string
	Text string
	Row  []KeyText
	To   int // counted from 1, as in paths
}

// KeyText is a key of a new row.
type KeyText struct{ Key, Text string }

// mostEdits bounds the work of one request: each edit reads the file anew.
const mostEdits = 200

// Apply changes a flight file. It does not judge values: an impossible one is
// written as it stands, and Parse then says what was expected.
func Apply(data []byte, edits []Edit) ([]byte, error) {
	if len(edits) > mostEdits {
		return nil, fmt.Errorf("%d edits at once: at most %d are taken", len(edits), mostEdits)
	}
	for _, e := range edits {
		d := readDocument("", data)
		if d.starts == nil {
			return nil, d.faults
		}
		steps, err := readPath(e.Path)
		if err != nil {
			return nil, err
		}
		changed, err := d.apply(e, steps)
		if err != nil {
			return nil, err
		}
		data = changed
	}
	return data, nil
}

func (d *document) apply(e Edit, steps []step) ([]byte, error) {
	last := steps[len(steps)-1]
	switch {
	case e.Kind == Set && last.row == 0:
		return d.set(steps, strings.TrimSpace(e.Text))
	case e.Kind == Add && len(steps) == 1 && last.row > 0:
		return d.addRow(last, e.Row)
	case (e.Kind == Remove || e.Kind == Move) && len(steps) == 1 && last.row > 0:
		return d.moveRow(last, e)
	}
	return nil, fmt.Errorf("%q of %q: expected set with the path of a key, or add, remove or move with that of a row such as train[2]", e.Kind, e.Path)
}

// step is one name of a path; row counts from 1, 0 for a name without a number.
type step struct {
	name string
	row  int
}

var stepLike = regexp.MustCompile(`^([a-z_]+)(?:\[([1-9][0-9]{0,3})\])?$`)

func readPath(path string) ([]step, error) {
	var steps []step
	for _, word := range strings.Split(path, ".") {
		m := stepLike.FindStringSubmatch(word)
		if m == nil || len(steps) >= deepest {
			return nil, fmt.Errorf("%q is no path of a flight file: expected one such as train[2].length", path)
		}
		row, _ := strconv.Atoi(m[2]) // empty is 0: no number
		steps = append(steps, step{m[1], row})
	}
	return steps, nil
}

// inlineTables are written on one line; a fill is stated one way alone.
var inlineTables = []string{"fill", "rated"}

// set writes one key.
func (d *document) set(steps []step, text string) ([]byte, error) {
	key := steps[len(steps)-1].name
	t := d.root
	for i, s := range steps[:len(steps)-1] {
		v := t.values[s.name]
		switch {
		case slices.Contains(inlineTables, s.name):
			return d.setInline(t, s.name, v, key, text)
		case v != nil && v.kind == isTable && s.row == 0:
			t = v.table
		case v != nil && v.kind == isRows && s.row >= 1 && s.row <= len(v.rows):
			t = v.rows[s.row-1]
		case v == nil && s.row == 0 && i == 0 && len(steps) == 2:
			if text == "" {
				return d.data, nil
			}
			return d.atEnd(fmt.Sprintf("[%s]\n%s = %s\n", s.name, key, literal(key, text))), nil
		default:
			return nil, fmt.Errorf("%s: the file has no such table", s.name)
		}
	}
	if v := t.values[key]; v != nil {
		text = keepUnit(key, v.text, text)
	}
	return d.write(t, key, literal(key, text), text == "")
}

// setInline writes a key of a table that stands on one line.
func (d *document) setInline(t *table, name string, v *value, key, text string) ([]byte, error) {
	var parts []string
	written := false
	add := func(key, text string) { parts = append(parts, key+" = "+literal(key, text)) }
	if v != nil && v.kind == isTable {
		for _, other := range v.table.keys {
			old := v.table.values[other].text
			switch {
			case other == key && text != "":
				add(key, keepUnit(key, old, text))
				written = true
			case other != key && name != "fill":
				add(other, old)
			}
		}
	}
	if !written && text != "" {
		add(key, text)
	}
	return d.write(t, name, "{ "+strings.Join(parts, ", ")+" }", len(parts) == 0)
}

// write puts a value behind a key of a table, in its old place or after the
// table's last key, or takes the key away.
func (d *document) write(t *table, key, toml string, gone bool) ([]byte, error) {
	v := t.values[key]
	if v == nil {
		if gone {
			return d.data, nil
		}
		at := d.tableEnd(t)
		line := key + " = " + toml + "\n"
		if at > 0 && d.data[at-1] != '\n' {
			line = "\n" + line
		}
		return d.splice(at, at, line), nil
	}
	start := d.starts[v.line-1]
	line := string(d.data[start:])
	m := regexp.MustCompile(`^[^\n=]*\b` + regexp.QuoteMeta(key) + `["']?[ \t]*=[ \t]*`).FindStringIndex(line)
	if m == nil {
		return nil, fmt.Errorf("%s is written in a way that only the written form can change (line %d)", v.path, v.line)
	}
	from := start + m[1]
	to := d.valueEnd(from)
	if gone {
		return d.splice(start, d.lineEnd(to), ""), nil
	}
	// A comment behind the value keeps its column where there is room.
	rest := string(d.data[to:d.lineEnd(to)])
	if blanks := len(rest) - len(strings.TrimLeft(rest, " ")); strings.HasPrefix(rest[blanks:], "#") {
		was := utf8.RuneCount(d.data[from:to])
		room := max(2, blanks+was-utf8.RuneCountInString(toml))
		return d.splice(from, to+blanks, toml+strings.Repeat(" ", room)), nil
	}
	return d.splice(from, to, toml), nil
}

func (d *document) splice(from, to int, text string) []byte {
	out := make([]byte, 0, len(d.data)+len(text))
	out = append(out, d.data[:from]...)
	out = append(out, text...)
	return append(out, d.data[to:]...)
}

// bareKeys are written without quotes where their text allows it.
var bareKeys = []string{"format", "latitude", "longitude", "time", "drag", "count", "price", "deposit", "budget", "height_reported", "image_width"}

var (
	bareLike   = regexp.MustCompile(`^(true|false|[-+]?[0-9]+(\.[0-9]+)?|[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9:.]+([-+][0-9:]+|Z))$`)
	numberLike = regexp.MustCompile(`^[-+]?[0-9]+(?:\.[0-9]+)?$`)
	unitBehind = regexp.MustCompile(`^[-+]?[0-9]+(?:\.[0-9]+)?\s*([^\s0-9.][^0-9]*[23³²]?)$`)
	edgeJoint  = regexp.MustCompile(`\s*(?:[×,;]|\bx\b|\bby\b)\s*`)
)

// literal writes a text as TOML, as its key wants it.
func literal(key, text string) string {
	switch {
	case slices.Contains(bareKeys, key) && bareLike.MatchString(text):
		return text
	case key == "size":
		var edges []string
		for _, edge := range edgeJoint.Split(text, -1) {
			edges = append(edges, quoted(edge))
		}
		return "[" + strings.Join(edges, ", ") + "]"
	}
	return quoted(text)
}

// keepUnit gives a bare number the unit of the quantity that stood there: who
// types 1300 over "1200 g" means grams.
func keepUnit(key, old, text string) string {
	if slices.Contains(bareKeys, key) || slices.Contains([]string{"name", "place", "note"}, key) || !numberLike.MatchString(text) {
		return text
	}
	if m := unitBehind.FindStringSubmatch(old); m != nil {
		return text + " " + m[1]
	}
	return text
}
