package weather

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Record is one line of an index: one field of the file beside it.
type Record struct {
	Number    int   // of the message, from 1
	Sub       int   // of the field in a message with several, from 1; 0 where the line gives none
	Offset    int64 // octets from the start of the file to the message
	Reference time.Time
	Variable  string // such as UGRD
	Level     string // such as "500 mb"
	Forecast  string // such as "6 hour fcst"
	Rest      string // whatever follows, such as ENS=+3
}

// Index is the text beside a forecast file that says where its messages lie.
type Index []Record

const (
	mostIndexOctets  = 8 << 20 // 40 times the longest index in use
	mostIndexRecords = 100_000
)

// ParseIndex reads an index: N:offset:d=YYYYMMDDHH:VAR:level:forecast: on each
// line, N.1 and N.2 where one message holds several fields. The offsets never
// fall. Every fault is an error, for half an index leads to the wrong octets.
func ParseIndex(text []byte) (Index, error) {
	if len(text) > mostIndexOctets {
		return nil, fmt.Errorf("the index has %d octets, more than any forecast needs (%d)", len(text), mostIndexOctets)
	}
	var index Index
	for number, line := range bytes.Split(text, []byte("\n")) {
		line = bytes.TrimSuffix(line, []byte("\r"))
		if len(line) == 0 {
			continue
		}
		if len(index) == mostIndexRecords {
			return nil, fmt.Errorf("the index has more than %d lines", mostIndexRecords)
		}
		r, err := parseRecord(string(line))
		if err != nil {
			return nil, fmt.Errorf("line %d of the index: %w", number+1, err)
		}
		if n := len(index); n > 0 && r.Offset < index[n-1].Offset {
			return nil, fmt.Errorf("line %d of the index: the offset %d is less than that of the line before", number+1, r.Offset)
		}
		index = append(index, r)
	}
	if len(index) == 0 {
		return nil, fmt.Errorf("the index is empty")
	}
	return index, nil
}

func parseRecord(line string) (Record, error) {
	parts := strings.SplitN(line, ":", 7)
	if len(parts) < 6 {
		return Record{}, fmt.Errorf("%.60q has %d parts, and number:offset:d=date:variable:level:forecast: is expected", line, len(parts))
	}
	r := Record{Variable: parts[3], Level: parts[4], Forecast: parts[5]}
	if len(parts) == 7 {
		r.Rest = parts[6]
	}
	number, sub, several := strings.Cut(parts[0], ".")
	var ok bool
	if r.Number, ok = natural(number); !ok || r.Number == 0 {
		return r, fmt.Errorf("%.20q is no message number", parts[0])
	}
	if several {
		if r.Sub, ok = natural(sub); !ok || r.Sub == 0 {
			return r, fmt.Errorf("%.20q is no number of a field in a message", parts[0])
		}
	}
	offset, ok := natural(parts[1])
	if r.Offset = int64(offset); !ok {
		return r, fmt.Errorf("%.20q is no offset", parts[1])
	}
	date, found := strings.CutPrefix(parts[2], "d=")
	form := map[int]string{10: "2006010215", 12: "200601021504"}[len(date)]
	var err error
	if r.Reference, err = time.Parse(form, date); !found || form == "" || err != nil {
		return r, fmt.Errorf("%.20q is no date such as d=2027041706", parts[2])
	}
	return r, nil
}

// natural reads a whole number without a sign.
func natural(text string) (int, bool) {
	if len(text) == 0 || len(text) > 15 || strings.Trim(text, "0123456789") != "" {
		return 0, false
	}
	v, err := strconv.Atoi(text)
	return v, err == nil
}

// Message is what an index says of one message: its octets and its fields.
type Message struct {
	From   int64
	To     int64 // the last octet; -1 where the message is the last one and its end is not known
	Fields []Record
}

// Messages gathers the lines that share an offset. A message ends where the
// next one begins.
func (x Index) Messages() []Message {
	var all []Message
	for _, r := range x {
		if n := len(all); n > 0 && all[n-1].From == r.Offset {
			all[n-1].Fields = append(all[n-1].Fields, r)
			continue
		} else if n > 0 {
			all[n-1].To = r.Offset - 1
		}
		all = append(all, Message{From: r.Offset, To: -1, Fields: []Record{r}})
	}
	return all
}

// Piece is a stretch of octets to ask for at once: messages that lie side by side.
type Piece struct {
	From, To int64 // To is -1 for the end of the file
	Messages []Message
}

// mostPiece is where a request is ended although the next message adjoins, so
// that a cut costs little and several connections have work.
const mostPiece = 16 << 20

// Pieces joins wanted messages that lie side by side into one request each.
func Pieces(wanted []Message) []Piece {
	var all []Piece
	for _, m := range wanted {
		if n := len(all); n > 0 && all[n-1].To+1 == m.From && m.From-all[n-1].From < mostPiece {
			all[n-1].To = m.To
			all[n-1].Messages = append(all[n-1].Messages, m)
			continue
		}
		all = append(all, Piece{m.From, m.To, []Message{m}})
	}
	return all
}

// octets is how many octets a piece has, 0 where that is not known.
func (p Piece) octets() int64 {
	if p.To < 0 {
		return 0
	}
	return p.To - p.From + 1
}
