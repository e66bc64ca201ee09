package weather

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"net"
	"net/http"
	"net/url"
	"os"
	"strconv"
	"strings"

	"pappus/air/grib2"
)

// mostOpenPiece bounds a piece whose end the index does not tell.
const mostOpenPiece = 256 << 20

// piece brings a stretch of a file into a file on disk, going on from what an
// earlier try or run has left there. came is told of octets as they arrive.
func (c *Client) piece(ctx context.Context, address string, s span, path string, came func(int64)) error {
	c.begin()
	file, err := os.OpenFile(path, os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o644)
	if err != nil {
		return diskError(path, err)
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return diskError(path, err)
	}
	have, want := info.Size(), s.to-s.from+1
	if s.to < 0 || have > want {
		have = 0
		if err := file.Truncate(0); err != nil && info.Mode().IsRegular() {
			return diskError(path, err)
		}
	}
	etag := ""
	return c.try(ctx, func() (bool, error) {
		if s.to >= 0 && have == want {
			return false, nil
		}
		before := have
		got, changed, err := c.pourPiece(ctx, address, span{s.from + have, s.to}, &etag, have > 0, file, came)
		have += got
		var more *again
		if changed || errors.As(err, &more) && s.to < 0 { // an open end cannot be gone on with
			came(-have)
			have, etag = 0, ""
			if err := file.Truncate(0); err != nil {
				return false, diskError(path, err)
			}
		}
		var write *os.PathError
		if errors.As(err, &write) {
			err = diskError(path, err)
		}
		return have > before, err
	})
}

// pourPiece is one try. changed means that the file behind the address is no
// longer the one of the try before.
func (c *Client) pourPiece(ctx context.Context, address string, s span, etag *string, resumed bool, file io.Writer, came func(int64)) (got int64, changed bool, err error) {
	watched, count, stop := c.watch(ctx)
	defer stop()
	asked := ""
	if resumed {
		asked = *etag
	}
	answer, err := c.ask(watched, address, s, asked)
	if err != nil {
		return 0, false, err
	}
	defer answer.Body.Close()
	if asked != "" && answer.StatusCode == http.StatusOK {
		return 0, true, &again{err: &RangeError{Address: address, Text: "the file was changed while it was being fetched: run the same command again"}}
	}
	if answer.StatusCode == http.StatusOK {
		if err := partOfWhole(answer, address, s, count); err != nil {
			return 0, false, err
		}
	}
	length, err := checkRange(answer, address, s)
	if err != nil {
		return 0, false, err
	}
	if tag := answer.Header.Get("ETag"); !strings.HasPrefix(tag, "W/") {
		*etag = tag
	}
	got, err = c.pour(watched, address, file, answer, length, func(n int) { count(n); came(int64(n)) })
	if err == nil && s.to >= 0 && got != s.to-s.from+1 {
		err = &again{err: &AwayError{address, fmt.Errorf("%d of %d octets came", got, s.to-s.from+1)}}
	}
	return got, false, err
}

// mostWhole is how long a file may be to be read through for a part of it,
// unless it comes from this machine.
const mostWhole = 64 << 20

// partOfWhole makes the body of an answer the part that was asked for, when a
// simple server sends the whole file instead.
func partOfWhole(answer *http.Response, address string, s span, count func(int)) error {
	body := bufio.NewReader(answer.Body)
	if begin, _ := body.Peek(100); looksLikePage(begin) {
		return page(address, begin) // a login page comes whatever is asked for
	}
	whole := answer.ContentLength
	switch {
	case s == wholeFile:
		answer.Body = readCloser{body, answer.Body}
		return nil
	case whole < 0 || whole > mostWhole && !loopback(answer.Request.URL):
		return &RangeError{Address: address, Text: "the server sends whole files where a part is asked for (status 200, not 206), and this one is too long for that: use another mirror, a folder on disk, or --method region"}
	case s.to >= whole || s.from >= whole:
		return &RangeError{Address: address, Text: fmt.Sprintf("the file is shorter than its index says (it has %d octets): it may still be on its way into the archive; try again in some minutes", whole), Short: true}
	}
	for left := s.from; left > 0; {
		n, err := body.Discard(int(min(left, 64<<10)))
		count(n)
		left -= int64(n)
		if err != nil {
			return &again{err: &AwayError{address, err}}
		}
	}
	if s.to < 0 {
		s.to = whole - 1
	}
	answer.ContentLength = s.to - s.from + 1
	answer.Body = readCloser{io.LimitReader(body, answer.ContentLength), answer.Body}
	return nil
}

// readCloser reads from one and closes the other.
type readCloser struct {
	io.Reader
	io.Closer
}

// loopback tells addresses of this machine, folders among them.
func loopback(u *url.URL) bool {
	ip := net.ParseIP(u.Hostname())
	return u.Scheme == "file" || u.Hostname() == "localhost" || ip != nil && ip.IsLoopback()
}

// checkRange holds the head of an answer against what was asked for, and
// answers how many octets may come.
func checkRange(answer *http.Response, address string, s span) (int64, error) {
	if s.to < 0 && answer.ContentLength > mostOpenPiece {
		return 0, &RangeError{Address: address, Text: fmt.Sprintf("%d octets are announced for the last message, which is out of all proportion", answer.ContentLength)}
	}
	most := int64(mostOpenPiece)
	if s.to >= 0 {
		most = s.to - s.from + 1
	}
	if answer.StatusCode == http.StatusOK {
		return most, nil // partOfWhole saw to it
	}
	text := answer.Header.Get("Content-Range")
	from, to, ok := parseContentRange(text)
	switch {
	case !ok || from != s.from || s.to >= 0 && to > s.to:
		return 0, &RangeError{Address: address, Text: fmt.Sprintf("octets %d to %d were asked for, and the server answers with %.60q", s.from, s.to, text)}
	case s.to >= 0 && to < s.to:
		return 0, &RangeError{Address: address, Text: fmt.Sprintf("the file is shorter than its index says (it ends at octet %d): it may still be on its way into the archive; try again in some minutes", to), Short: true}
	case to-from+1 > most:
		return 0, &RangeError{Address: address, Text: "more is announced for the last message than any has"}
	}
	return to - from + 1, nil
}

// parseContentRange reads "bytes 0-99/1000".
func parseContentRange(text string) (from, to int64, ok bool) {
	rest, found := strings.CutPrefix(text, "bytes ")
	rest, _, slash := strings.Cut(rest, "/")
	first, last, dash := strings.Cut(rest, "-")
	from, err := strconv.ParseInt(first, 10, 64)
	to, errTo := strconv.ParseInt(last, 10, 64)
	return from, to, found && slash && dash && err == nil && errTo == nil && from >= 0 && to >= from && to < math.MaxInt64
}

// target is what a message must be, besides what its index line says.
type target struct {
	address string
	step    int64 // s
	member  int   // -1: not of an ensemble
}

// check holds octets that came against their index lines: whole messages that
// lie where the index says, end where they should, and are what it calls them.
func (p Piece) check(data []byte, t target) ([]grib2.Field, error) {
	damage := func(format string, words ...any) error {
		return &DamageError{t.address, fmt.Sprintf(format, words...)}
	}
	if looksLikePage(data) {
		return nil, page(t.address, data)
	}
	if p.To >= 0 && int64(len(data)) != p.octets() {
		return nil, damage("%d octets came, and the index announces %d", len(data), p.octets())
	}
	if !strings.HasPrefix(string(data[:min(4, len(data))]), "GRIB") {
		return nil, damage("no message begins at octet %d, where the index says that one does", p.From)
	}
	fields, faults := grib2.Scan(data)
	if len(faults) > 0 {
		return nil, damage("%v", faults[0])
	}
	next := 0
	for i, m := range p.Messages {
		at := m.From - p.From
		end := int64(len(data))
		if i+1 < len(p.Messages) {
			end = p.Messages[i+1].From - p.From
		}
		for n, r := range m.Fields {
			if next >= len(fields) || int64(fields[next].Offset) != at {
				return nil, damage("the message at octet %d holds fewer fields than the %d of the index", m.From, len(m.Fields))
			}
			f := &fields[next]
			if n == 0 && at+int64(f.Length) != end {
				return nil, damage("the message at octet %d has %d octets, and the index says %d", m.From, f.Length, end-at)
			}
			if err := r.agrees(f, t); err != nil {
				return nil, damage("the message at octet %d: %v", m.From, err)
			}
			next++
		}
	}
	if next != len(fields) {
		return nil, damage("more fields came than the index names")
	}
	return fields, nil
}

// agrees holds a decoded header against its index line.
func (r Record) agrees(f *grib2.Field, t target) error {
	if !f.Reference.Equal(r.Reference) {
		return fmt.Errorf("it belongs to the cycle of %s, and the index says %s", timeText(f.Reference), timeText(r.Reference))
	}
	if number, known := parameters[r.Variable]; known && number != [3]uint8{f.Discipline, f.Product.Category, f.Product.Number} {
		return fmt.Errorf("it holds %s, and the index says %s", f.Parameter(), r.Variable)
	}
	if s, known := parseLevel(r.Level); known {
		first := f.Product.First
		if first.Type == wholeAirLocal {
			first.Type = wholeAir
		}
		apart := math.Abs(first.Value-s.Value) > 1e-6*s.Value
		if first.Type != s.Type || (s.Type == atPressure || s.Type == aboveGround) && (first.Missing || apart) {
			return fmt.Errorf("its level is %s, and the index says %s", f.Level(), r.Level)
		}
	}
	if seconds, instant := parseForecast(r.Forecast); instant && (f.Product.Statistical || f.Product.ForecastSeconds != seconds) {
		return fmt.Errorf("it is for %d s after the cycle, and the index says %s", f.Product.EndSeconds, r.Forecast)
	}
	if t.member >= 0 && f.Product.Member != t.member {
		return fmt.Errorf("it is of member %d, and member %d was asked for", f.Product.Member, t.member)
	}
	return nil
}
