package grib2

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"time"
)

// Scan finds every field of every message in a file held in memory. Junk
// before, between and after messages is passed over. Nothing is decoded.
//
// A message with a fault gives no field at all, and one entry in faults. A file
// without any message gives one fault that says what it seems to be instead.
func Scan(data []byte) (fields []Field, faults []Fault) {
	message := 0
	suspect := 0 // up to here the octets belong to a message that is damaged
	for at := 0; ; {
		next := bytes.Index(data[at:], []byte("GRIB"))
		if next < 0 {
			break
		}
		at += next
		length, err := indicator(data, at)
		if err != nil && at < suspect && !plausible(data, at) {
			at += 4 // the four letters came about by chance inside packed values
			continue
		}
		if errors.Is(err, errNotAMessage) {
			at += 4
			continue
		}
		message++
		if err == nil {
			var found []Field
			if found, err = scanMessage(data, at, length, message); err == nil {
				fields = append(fields, found...)
				at += length
				continue
			}
		}
		faults = append(faults, Fault{Message: message, Offset: at, Err: err})
		if length > 0 && ends(data, at, length) {
			at += length
			continue
		}
		suspect = max(suspect, at+min(max(length, 0), len(data)-at))
		if length > len(data)-at {
			suspect = len(data)
		}
		at += 4
	}
	if message == 0 {
		faults = append(faults, Fault{Message: 0, Offset: 0, Err: stranger(data)})
	}
	return fields, faults
}

// errNotAMessage marks the letters GRIB in ordinary text.
var errNotAMessage = errors.New("not a message")

// indicator reads section 0. The length is given back, where it could be read,
// even with an error.
func indicator(data []byte, at int) (length int, err error) {
	rest := data[at:]
	if len(rest) < 8 {
		return 0, damage(0, at, "the file ends inside the indicator section")
	}
	switch rest[7] {
	case 1:
		length = int(rest[4])<<16 | int(rest[5])<<8 | int(rest[6])
		return length, &UnsupportedError{Section: 0, Template: 1,
			Advice: "this is GRIB edition 1, which is not supported: ask for GRIB2, or convert it with a tool such as grib_set -s edition=2"}
	case 2:
	default:
		return 0, errNotAMessage
	}
	if len(rest) < 16 {
		return 0, damage(0, at, "the file ends inside the indicator section")
	}
	total := binary.BigEndian.Uint64(rest[8:])
	if total > uint64(len(rest)) {
		length = len(rest) + 1 // more than there is; how much more does not matter
		return length, damage(0, at, "the message should have %d octets but the file has only %d left, so it was cut short", total, len(rest))
	}
	if total < 16+21+4 {
		return 0, damage(0, at, "the message says that it has %d octets, too few for any", total)
	}
	return int(total), nil
}

// plausible tells whether section 1 follows where it should, so that letters
// inside a damaged message are taken for a new message.
func plausible(data []byte, at int) bool {
	return len(data)-at >= 21 && data[at+7] == 2 && data[at+20] == 1 && binary.BigEndian.Uint32(data[at+16:]) >= 21
}

func ends(data []byte, at, length int) bool {
	return length >= 8 && length <= len(data)-at && string(data[at+length-4:at+length]) == "7777"
}

// stranger says what a file without a message seems to be.
func stranger(data []byte) error {
	has := func(prefix string) bool { return bytes.HasPrefix(data, []byte(prefix)) }
	text := bytes.ToLower(bytes.TrimSpace(data[:min(len(data), 512)]))
	what := "it holds no GRIB2 message: was the right file named?"
	switch {
	case len(data) == 0:
		what = "it is empty: fetch it again"
	case has("\x1f\x8b"):
		what = "it is packed with gzip: unpack it first (gunzip)"
	case has("BZh"):
		what = "it is packed with bzip2: unpack it first (bunzip2)"
	case has("PK\x03\x04"):
		what = "it is a zip archive: unpack it first"
	case has("CDF") || has("\x89HDF"):
		what = "it is netCDF: ask for GRIB2 instead"
	case bytes.HasPrefix(text, []byte("<")):
		what = "it is a web page, perhaps an error answer of the server: open it to read what it says, then fetch again"
	case has("{") || has("["):
		what = "it is JSON text, perhaps an error answer of the server: open it to read what it says, then fetch again"
	}
	return &StrangerError{Advice: what}
}

// reader walks through the sections of one message.
type reader struct {
	data   []byte // the whole file, cut after the message
	at     int    // next section
	bitmap []byte // the last bitmap that was defined
	mapped bool   // whether one was
	field  Field  // headers so far
	done   uint   // bit n: section n is defined
	fields []Field
}

func scanMessage(data []byte, at, length, message int) ([]Field, error) {
	end := at + length
	if !ends(data, at, length) {
		return nil, damage(8, end-4, "the message does not end with 7777")
	}
	r := reader{data: data[:end], at: at + 16}
	r.field = Field{Message: message, Offset: at, Length: length, Discipline: data[at+6]}
	for {
		if len(r.data)-r.at == 4 {
			r.at += 4 // 7777, checked above
			break
		}
		if err := r.section(); err != nil {
			return nil, err
		}
	}
	if len(r.fields) == 0 {
		return nil, damage(8, end-4, "the message ends before its first field")
	}
	if r.done&(1<<4) != 0 {
		return nil, damage(8, end-4, "the message ends inside a field")
	}
	return r.fields, nil
}

// follows says which sections must be defined before a section may come, and
// which are to be defined anew after it ([GRIB2] regulation 92.3.1 and notes).
var follows = [8]struct{ needs, clears uint }{
	1: {0, 0},
	2: {1 << 1, 1<<3 | 1<<4 | 1<<5 | 1<<6},
	3: {1 << 1, 1<<4 | 1<<5 | 1<<6},
	4: {1<<1 | 1<<3, 1<<5 | 1<<6},
	5: {1<<1 | 1<<3 | 1<<4, 1 << 6},
	6: {1<<1 | 1<<3 | 1<<4 | 1<<5, 0},
	7: {1<<1 | 1<<3 | 1<<4 | 1<<5 | 1<<6, 1<<4 | 1<<5 | 1<<6 | 1<<7},
}

func (r *reader) section() error {
	rest := octets(r.data[r.at:])
	if len(rest) < 5+4 {
		return damage(8, r.at, "%d octets are left over before the end of the message", len(rest))
	}
	length, number := rest.u32(1), rest.u8(5)
	if number < 1 || number > 7 {
		return damage(number, r.at, "there is no section %d", number)
	}
	if length < 5 || length > len(rest)-4 {
		return damage(number, r.at, "the section says that it has %d octets, but %d are left in the message", length, len(rest)-4)
	}
	if r.done&follows[number].needs != follows[number].needs || number == 1 && r.done != 0 || number > 3 && r.done&(1<<number) != 0 {
		return damage(number, r.at, "the section is out of order")
	}
	o := rest[:length:length]
	var err error
	switch number {
	case 1:
		err = r.identification(o)
	case 3:
		r.field.Grid, err = parseGrid(o, r.at)
	case 4:
		r.field.Product, err = parseProduct(o, r.at, r.field.Reference)
	case 5:
		r.field.packingAt = r.at
		r.field.Packing, err = parsePacking(o, r.at)
	case 6:
		err = r.bitMap(o)
	case 7:
		f := r.field
		f.Sub, f.values, f.valueAt = len(r.fields)+1, o[5:], r.at
		r.fields = append(r.fields, f)
	}
	r.done = (r.done | 1<<number) &^ follows[number].clears
	r.at += length
	return err
}

// identification reads section 1.
func (r *reader) identification(o octets) error {
	if len(o) < 21 {
		return damage(1, r.at, "the section has %d octets, not 21", len(o))
	}
	f := &r.field
	f.Centre, f.SubCentre = uint16(o.u16(6)), uint16(o.u16(8))
	f.TableVersion, f.LocalTables, f.Significance = o[9], o[10], o[11]
	var ok bool
	if f.Reference, ok = moment(o, 13); !ok {
		return damage(1, r.at, "the reference time %04d-%02d-%02d %02d:%02d:%02d does not exist", o.u16(13), o[14], o[15], o[16], o[17], o[18])
	}
	f.Status, f.DataType = o[19], o[20]
	return nil
}

// moment reads a time of seven octets: year, month, day, hour, minute, second.
func moment(o octets, octet int) (time.Time, bool) {
	year, month, day := o.u16(octet), o.u8(octet+2), o.u8(octet+3)
	hour, minute, second := o.u8(octet+4), o.u8(octet+5), o.u8(octet+6)
	if year > 9999 || month < 1 || month > 12 || day < 1 || hour > 23 || minute > 59 || second > 60 {
		return time.Time{}, false
	}
	t := time.Date(year, time.Month(month), day, hour, minute, second, 0, time.UTC)
	return t, t.Day() == day || second == 60
}

// bitMap reads section 6. Which points it leaves out is looked at in Decode.
func (r *reader) bitMap(o octets) error {
	if len(o) < 6 {
		return damage(6, r.at, "the section has %d octets, fewer than 6", len(o))
	}
	switch indicator := o.u8(6); indicator {
	case 255:
		r.field.bitmap = nil
	case 254:
		if !r.mapped {
			return damage(6, r.at, "it reuses a bitmap, but none was defined before")
		}
		r.field.bitmap = r.bitmap
	case 0:
		r.bitmap, r.mapped = o[6:], true
		r.field.bitmap = r.bitmap
	default:
		return &UnsupportedError{Section: 6, Template: indicator,
			Advice: fmt.Sprintf("bitmap %d is one that the producing centre keeps to itself, so the missing points cannot be told: ask for a file with its own bitmap", indicator)}
	}
	if b := r.field.bitmap; b != nil && len(b) < (r.field.Grid.Points+7)/8 {
		return damage(6, r.at, "the bitmap has %d octets for %d points", len(b), r.field.Grid.Points)
	}
	return nil
}
