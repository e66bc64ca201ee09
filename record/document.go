package record

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	toml "github.com/pelletier/go-toml/v2/unstable"
)

// Bounds of a document: nobody's flight file comes near them.
const (
	longestFile = 1 << 20
	deepest     = 6  // tables in tables
	mostSyntax  = 20 // faults of writing, after which the rest is not looked at
)

// valueKind says what stands to the right of an equals sign.
type valueKind int

const (
	isText valueKind = iota
	isWhole
	isFraction
	isFlag
	isMoment
	isLocal // a date or time without an offset
	isList
	isTable
	isRows   // an array of tables
	isBroken // something that could not be read; its fault is already told
)

// value is what a key stands for, with the place it was read from.
type value struct {
	kind  valueKind
	text  string
	line  int
	path  string
	items []*value // of a list
	table *table   // of a table
	rows  []*table // of rows
}

// table is a TOML table that remembers lines.
type table struct {
	path   string
	line   int
	header bool // stands under a header of its own
	inline bool
	keys   []string // in the order of the file
	values map[string]*value
}

func newTable(path string, line int) *table {
	return &table{path: path, line: line, values: map[string]*value{}}
}

func (t *table) set(key string, v *value) {
	t.keys = append(t.keys, key)
	t.values[key] = v
}

func (t *table) pathTo(key string) string {
	if t.path == "" {
		return key
	}
	return t.path + "." + key
}

// document reads TOML into tables and collects the faults of writing.
type document struct {
	file    string
	data    []byte
	starts  []int // where each line starts
	root    *table
	current *table
	faults  Faults
	untold  int // faults beyond the most that are kept
}

// full says that nobody will read a further fault.
func (d *document) full() bool { return len(d.faults) >= 10*mostFaults }

func (d *document) fault(line int, key, format string, args ...any) {
	if d.full() {
		d.untold++
		return
	}
	d.faults = append(d.faults, Fault{printable(d.file), line, printable(key), printable(fmt.Sprintf(format, args...))})
}

// readDocument reads the whole file. What stands after a faulty line is still
// read, so that a person hears of everything at once.
func readDocument(file string, data []byte) *document {
	d := &document{file: file, root: newTable("", 1)}
	d.current = d.root
	if !d.readable(data) {
		return d
	}
	d.data = slices.Clip(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))
	d.starts = []int{0}
	for i, c := range d.data {
		if c == '\n' {
			d.starts = append(d.starts, i+1)
		}
	}
	var parser toml.Parser
	for from, broken := 0, 0; ; broken++ {
		parser.Reset(slices.Clip(d.data[from:]))
		end := from
		for parser.NextExpression() {
			end = d.expression(parser.Expression(), from)
		}
		if parser.Error() == nil {
			return d
		}
		line := min(d.nextWritten(end), d.noticed(from, parser.Error()))
		d.syntax(line, parser.Error())
		if broken+1 >= mostSyntax {
			d.fault(line, "", "too many lines are not TOML: the rest was not read")
			return d
		}
		if from = d.resume(line); from >= len(d.data) {
			return d
		}
	}
}

// readable refuses what is not text in UTF-8.
func (d *document) readable(data []byte) bool {
	utf16 := bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) ||
		len(data) >= 4 && (data[0] == 0) != (data[1] == 0) && (data[2] == 0) != (data[3] == 0)
	switch {
	case len(data) > longestFile:
		d.fault(1, "", "the file has %d octets, expected at most %d: is it a flight file?", len(data), longestFile)
	case utf16:
		d.fault(1, "", `the file is saved as UTF-16 ("Unicode" in some editors): save it again as UTF-8`)
	case !utf8.Valid(data):
		good := 0
		for good < len(data) {
			r, size := utf8.DecodeRune(data[good:])
			if r == utf8.RuneError && size == 1 {
				break
			}
			good += size
		}
		d.fault(1+bytes.Count(data[:good], []byte("\n")), "", "a character is not UTF-8: save the file again as UTF-8")
	}
	return len(d.faults) == 0
}

// lineAt is the line, from 1, of an octet.
func (d *document) lineAt(offset int) int {
	line, found := slices.BinarySearch(d.starts, offset)
	if found {
		line++
	}
	return line
}

// lastLine is where what is missing is told: the last line with something on it.
func (d *document) lastLine() int {
	line := len(d.starts)
	for line > 1 && strings.TrimSpace(d.lineText(line)) == "" {
		line--
	}
	return line
}

func (d *document) lineText(line int) string {
	end := len(d.data)
	if line < len(d.starts) {
		end = d.starts[line]
	}
	return strings.TrimRight(string(d.data[d.starts[line-1]:end]), "\r\n")
}

// expression takes in one line of the document and returns where it ends.
func (d *document) expression(node *toml.Node, from int) int {
	var path []string
	first, end := -1, from
	for keys := node.Key(); keys.Next(); {
		raw := keys.Node().Raw
		if first < 0 {
			first = from + int(raw.Offset)
		}
		end = from + int(raw.Offset+raw.Length)
		path = append(path, string(keys.Node().Data))
	}
	line := d.lineAt(first)
	switch node.Kind {
	case toml.Table, toml.ArrayTable:
		d.open(path, line, node.Kind == toml.ArrayTable)
	case toml.KeyValue:
		end = from + int(node.Raw.Offset+node.Raw.Length)
		d.assign(d.current, path, line, node.Value(), from, 0)
	}
	return end
}

// open makes the table of a header the current one. Keys under a faulty header
// are read into a table that nobody looks at.
func (d *document) open(path []string, line int, row bool) {
	d.current = newTable(strings.Join(path, "."), line)
	name := strings.Join(path, ".")
	parent := d.descend(d.root, path[:len(path)-1], line)
	if parent == nil {
		return
	}
	key := path[len(path)-1]
	v, there := parent.values[key]
	switch {
	case row && !there:
		v = &value{kind: isRows, line: line, path: parent.pathTo(key)}
		parent.set(key, v)
	case !row && !there:
		v = &value{kind: isTable, line: line, path: parent.pathTo(key), table: newTable(parent.pathTo(key), line)}
		parent.set(key, v)
	case v.kind == isBroken:
		return
	case row && v.kind != isRows:
		d.fault(line, name, "stands as [[%s]] here and differently on line %d: expected one way only", name, v.line)
		return
	case !row && v.kind == isRows:
		d.fault(line, name, "expected [[%s]] in double brackets, as on line %d", name, v.line)
		return
	case !row && v.kind != isTable:
		d.fault(line, name, "already has a value on line %d", v.line)
		return
	case !row && (v.table.header || v.table.inline):
		d.fault(line, name, "this table already stands on line %d: put its keys there", v.line)
		return
	}
	if row {
		v.rows = append(v.rows, newTable(fmt.Sprintf("%s[%d]", v.path, len(v.rows)+1), line))
		d.current = v.rows[len(v.rows)-1]
		return
	}
	v.table.header = true
	v.table.line = line
	d.current = v.table
}

// descend walks to the table that a dotted name leads to, making tables on the
// way; the last row stands for an array of tables. It answers nil after a fault.
func (d *document) descend(t *table, path []string, line int) *table {
	if len(path) >= deepest {
		d.fault(line, excerpt(strings.Join(path, ".")), "tables are nested too deep: no flight file needs that")
		return nil
	}
	for _, key := range path {
		v, there := t.values[key]
		switch {
		case !there:
			v = &value{kind: isTable, line: line, path: t.pathTo(key), table: newTable(t.pathTo(key), line)}
			t.set(key, v)
			t = v.table
		case v.kind == isRows:
			t = v.rows[len(v.rows)-1]
		case v.kind == isTable && !v.table.inline:
			t = v.table
		case v.kind == isBroken:
			return nil
		default:
			d.fault(line, t.pathTo(key), "already has a value on line %d", v.line)
			return nil
		}
	}
	return t
}

// assign puts a key's value into a table.
func (d *document) assign(t *table, path []string, line int, node *toml.Node, from, depth int) {
	t = d.descend(t, path[:len(path)-1], line)
	if t == nil {
		return
	}
	key := path[len(path)-1]
	if earlier, there := t.values[key]; there {
		if earlier.kind != isBroken {
			d.fault(line, t.pathTo(key), "stands twice: first on line %d", earlier.line)
		}
		return
	}
	t.set(key, d.value(node, t.pathTo(key), line, from, depth))
}

// value turns a node of the parser into a value that outlives it.
func (d *document) value(node *toml.Node, path string, line, from, depth int) *value {
	if node.Raw.Length > 0 {
		line = d.lineAt(from + int(node.Raw.Offset))
	}
	v := &value{line: line, path: path, text: string(node.Data)}
	if depth >= deepest {
		d.fault(line, path, "lists and tables are nested too deep: no flight file needs that")
		v.kind = isBroken
		return v
	}
	switch node.Kind {
	case toml.String:
		v.kind = isText
	case toml.Bool:
		v.kind = isFlag
	case toml.Integer:
		v.kind = isWhole
	case toml.Float:
		v.kind = isFraction
	case toml.DateTime:
		v.kind = isMoment
	case toml.LocalDate, toml.LocalTime, toml.LocalDateTime:
		v.kind = isLocal
	case toml.Array:
		v.kind = isList
		for children := node.Children(); children.Next(); {
			if child := children.Node(); child.Kind != toml.Comment {
				v.items = append(v.items, d.value(child, fmt.Sprintf("%s[%d]", path, len(v.items)+1), line, from, depth+1))
			}
		}
	case toml.InlineTable:
		v.kind = isTable
		v.table = newTable(path, line)
		for children := node.Children(); children.Next(); {
			child := children.Node()
			if child.Kind != toml.KeyValue {
				continue
			}
			var keys []string
			at := line
			for names := child.Key(); names.Next(); {
				keys = append(keys, string(names.Node().Data))
				at = d.lineAt(from + int(names.Node().Raw.Offset))
			}
			d.assign(v.table, keys, at, child.Value(), from, depth+1)
		}
		v.table.inline = true
	}
	return v
}
