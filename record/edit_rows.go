package record

import (
	"fmt"
	"strings"
)

// rowsOf answers the rows of a name, none where there are none.
func (d *document) rowsOf(name string) []*table {
	if v := d.root.values[name]; v != nil && v.kind == isRows {
		return v.rows
	}
	return nil
}

// addRow writes a new row before the one that has its number now.
func (d *document) addRow(at step, keys []KeyText) ([]byte, error) {
	rows := d.rowsOf(at.name)
	if at.row > len(rows)+1 {
		return nil, fmt.Errorf("%s[%d]: the file has %d of them", at.name, at.row, len(rows))
	}
	text := "[[" + at.name + "]]\n"
	for _, k := range keys {
		if m := stepLike.FindStringSubmatch(k.Key); m == nil || m[2] != "" {
			return nil, fmt.Errorf("%q is no key of a flight file", k.Key)
		}
		text += k.Key + " = " + literal(k.Key, strings.TrimSpace(k.Text)) + "\n"
	}
	return d.insertRow(rows, at.row, text), nil
}

// insertRow puts the text of a row where number n is to stand.
func (d *document) insertRow(rows []*table, n int, text string) []byte {
	switch {
	case len(rows) == 0:
		return d.atEnd(text)
	case n == 1:
		start := d.starts[rows[0].line-1]
		return d.splice(start, start, text+"\n")
	}
	end := d.tableEnd(rows[n-2])
	if end > 0 && d.data[end-1] != '\n' {
		text = "\n" + text
	}
	return d.splice(end, end, "\n"+text)
}

// atEnd adds a table after all that is written, with a blank line before it.
func (d *document) atEnd(text string) []byte {
	if n := len(d.data); n > 0 && d.data[n-1] != '\n' {
		text = "\n" + text
	}
	return d.splice(len(d.data), len(d.data), "\n"+text)
}

// moveRow takes a row away, and puts it back in its new place where it moves.
func (d *document) moveRow(at step, e Edit) ([]byte, error) {
	rows := d.rowsOf(at.name)
	if at.row > len(rows) || e.Kind == Move && (e.To < 1 || e.To > len(rows)) {
		return nil, fmt.Errorf("%s: the file has %d rows of %s", e.Path, len(rows), at.name)
	}
	start, end := d.starts[rows[at.row-1].line-1], d.tableEnd(rows[at.row-1])
	text := strings.TrimRight(string(d.data[start:end]), "\r\n") + "\n"
	for end < len(d.data) && (d.data[end] == '\n' || d.data[end] == '\r') {
		end++ // the blank line behind the row goes with it
	}
	without := d.splice(start, end, "")
	if e.Kind == Remove {
		return without, nil
	}
	rest := readDocument("", without)
	return rest.insertRow(rest.rowsOf(at.name), e.To, text), nil
}

// tableEnd is behind the last line that belongs to a table, the rows inside it
// included.
func (d *document) tableEnd(t *table) int {
	end := 0
	if t != d.root {
		end = d.lineEnd(d.starts[t.line-1])
	}
	for _, key := range t.keys {
		switch v := t.values[key]; {
		case v.kind == isRows:
			for _, row := range v.rows {
				if t != d.root {
					end = max(end, d.tableEnd(row))
				}
			}
		case v.kind == isTable && !v.table.inline:
			if t != d.root {
				end = max(end, d.tableEnd(v.table))
			}
		default:
			end = max(end, d.keyEnd(v))
		}
	}
	return end
}

// keyEnd is behind the last line of a key's value.
func (d *document) keyEnd(v *value) int {
	start := d.starts[v.line-1]
	line := d.data[start:d.lineEnd(start)]
	if equals := strings.IndexByte(string(line), '='); equals >= 0 {
		return d.lineEnd(d.valueEnd(start + equals + 1))
	}
	return d.lineEnd(start)
}

// lineEnd is behind the end of the line that an octet stands in.
func (d *document) lineEnd(at int) int {
	for at < len(d.data) && d.data[at] != '\n' {
		at++
	}
	return min(at+1, len(d.data))
}

// valueEnd is behind the last octet of the value that begins at an octet: lists
// and long texts run over several lines, and a comment is not part of it.
func (d *document) valueEnd(at int) int {
	depth, end := 0, at
	for i := at; i < len(d.data); i++ {
		switch c := d.data[i]; {
		case c == '\n' && depth <= 0:
			return end
		case c == '#':
			for i+1 < len(d.data) && d.data[i+1] != '\n' {
				i++
			}
			continue
		case c == '"' || c == '\'':
			i = d.textEnd(i)
		case c == '[' || c == '{':
			depth++
		case c == ']' || c == '}':
			depth--
		case c == ' ' || c == '\t' || c == '\r' || c == '\n':
			continue
		}
		end = min(i+1, len(d.data))
	}
	return end
}

// textEnd is the closing quote of a text.
func (d *document) textEnd(at int) int {
	quote := string(d.data[at : at+1])
	if long := strings.Repeat(quote, 3); strings.HasPrefix(string(d.data[at:]), long) {
		if n := strings.Index(string(d.data[at+3:]), long); n >= 0 {
			return at + 3 + n + 2
		}
		return len(d.data)
	}
	for i := at + 1; i < len(d.data); i++ {
		switch {
		case d.data[i] == '\\' && quote == `"`:
			i++
		case d.data[i] == quote[0] || d.data[i] == '\n':
			return i
		}
	}
	return len(d.data)
}
