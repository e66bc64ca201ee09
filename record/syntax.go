package record

import (
	"errors"
	"regexp"
	"strings"

	toml "github.com/pelletier/go-toml/v2/unstable"
)

// nextWritten is the first line after an offset's line that is neither blank nor
// a comment: where the expression starts that could not be read.
func (d *document) nextWritten(offset int) int {
	line := d.lineAt(offset)
	if offset > d.starts[line-1] {
		line++
	}
	for ; line < len(d.starts); line++ {
		if text := strings.TrimSpace(d.lineText(line)); text != "" && text[0] != '#' {
			break
		}
	}
	return min(line, len(d.starts))
}

// noticed is the line where the parser stumbled: it can lie far below the line
// that is at fault, as with a quote that is never closed, but above it only in
// a comment.
func (d *document) noticed(from int, cause error) int {
	var problem *toml.ParserError
	rest := d.data[from:]
	if errors.As(cause, &problem) && cap(problem.Highlight) > 0 && cap(problem.Highlight) <= cap(rest) {
		return d.lineAt(len(d.data) - cap(problem.Highlight))
	}
	return len(d.starts)
}

var (
	startsKey    = regexp.MustCompile(`^\s*("[^"]*"|'[^']*'|[A-Za-z0-9_.-]+)\s*=\s*(.*)$`)
	startsHeader = regexp.MustCompile(`^\s*(\[\[?)\s*([A-Za-z0-9_.-]+)`)
	quantityLike = regexp.MustCompile(`^[-+]?[0-9.]+\s*[A-Za-z%°µ][A-Za-z0-9%°µ/³²^ ]*$`)
	wordLike     = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9 _-]*$`)
	yesLike      = regexp.MustCompile(`^(?i:true|false|yes|no|on|off)$`)
	commaLike    = regexp.MustCompile(`^[-+]?[0-9]+,[0-9]+`)
)

// resume is where reading goes on after a faulty line: at the next line that
// looks like a beginning, so that the rest of a torn list is not told line by line.
func (d *document) resume(line int) int {
	for line++; line <= len(d.starts); line++ {
		text := strings.TrimSpace(d.lineText(line))
		if text == "" || text[0] == '#' || startsHeader.MatchString(text) || startsKey.MatchString(text) {
			return d.starts[line-1]
		}
	}
	return len(d.data)
}

// syntax tells a line that is not TOML, in words for someone who has not heard
// of TOML, and remembers its key so that it does not count as missing.
func (d *document) syntax(line int, cause error) {
	text := d.lineText(line)
	if header := startsHeader.FindStringSubmatch(text); header != nil {
		path := strings.Split(strings.Trim(header[2], "."), ".")
		d.fault(line, header[2], `not a table name: expected a line such as [%s], or [[%s]] where there can be several`, header[2], header[2])
		told := len(d.faults)
		d.open(path, line, header[1] == "[[")
		d.faults = d.faults[:told]
		return
	}
	parts := startsKey.FindStringSubmatch(text)
	if parts == nil {
		d.fault(line, "", "%s: expected key = value, [table] or # comment", reason(cause))
		return
	}
	key := strings.Trim(parts[1], `"'`)
	written, _, _ := strings.Cut(parts[2], "#")
	written = strings.TrimSpace(written)
	path := d.current.pathTo(key)
	switch {
	case written == "":
		d.fault(line, path, "nothing stands after the equals sign")
	case commaLike.MatchString(written):
		d.fault(line, path, `%s has a comma: write a point before decimals, and quotes around a number with a unit, such as "8.3 m"`, excerpt(written))
	case quantityLike.MatchString(written):
		d.fault(line, path, `a number with a unit stands in quotes: %s = "%s"`, key, excerpt(written))
	case yesLike.MatchString(written):
		d.fault(line, path, "%s is not known: expected true or false, in small letters and without quotes", excerpt(written))
	case wordLike.MatchString(written):
		d.fault(line, path, `text stands in quotes: %s = "%s"`, key, excerpt(written))
	default:
		d.fault(line, path, "%s: expected a number, text in quotes, true or false, a time, a list in [ ] or a table in { }", reason(cause))
	}
	if _, there := d.current.values[key]; !there {
		d.current.set(key, &value{kind: isBroken, line: line, path: path})
	}
}

// reason takes the parser's word, which a fault may quote but does not rest on.
func reason(cause error) string {
	var problem *toml.ParserError
	if errors.As(cause, &problem) {
		return "not TOML (" + problem.Message + ")"
	}
	return "not TOML"
}

// longestExcerpt bounds what a fault repeats of the file.
const longestExcerpt = 60

func excerpt(text string) string {
	if len(text) <= longestExcerpt {
		return text
	}
	return strings.ToValidUTF8(text[:longestExcerpt], "") + "…"
}
