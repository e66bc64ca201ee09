package record

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Encode writes the flight file in its one form: tables and keys in a fixed
// order, quantities in the unit that makes the shortest number, a comment behind
// what is not plain. Reading it gives the same flight again, notes included; what
// was left out stays left out. Comments the person wrote are not kept, their
// note keys are.
func (f *Flight) Encode() []byte {
	w := writer{comments: true}
	w.flight(f)
	return []byte(w.text.String())
}

// Revision tells one content of a flight file from another, whatever its layout
// and comments.
type Revision [sha256.Size]byte

// String is the start of the hash, enough to tell the revisions of a flight apart.
func (r Revision) String() string { return hex.EncodeToString(r[:6]) }

// MarshalText writes the whole hash.
func (r Revision) MarshalText() ([]byte, error) { return []byte(hex.EncodeToString(r[:])), nil }

// Revision is the hash of the written form without its comments, so that a new
// wording of ours makes no new revision of a flight.
func (f *Flight) Revision() Revision {
	w := writer{}
	w.flight(f)
	return sha256.Sum256([]byte(w.text.String()))
}

// writer lays out the written form.
type writer struct {
	text     strings.Builder
	comments bool
}

// headings stand above the tables of the written form.
const (
	headLaunch    = "Where and when it starts."
	headEnvelope  = "The balloon itself."
	headGas       = "What lifts."
	headCylinder  = "Gas at hand or on order."
	headTrain     = "What hangs below the envelope, in order from the top."
	headReporter  = "What says where it is."
	headSite      = "Other places to launch from."
	headLimits    = "Your own thresholds for going."
	headContact   = "Whom to call."
	headRemains   = "What stays of the envelope after the burst."
	headTest      = "Ground tests done."
	headSpare     = "What is bought twice or carried along."
	headCost      = "What is paid beside the parts."
	headRecovery  = "Your own judgement of getting it back."
	headFlown     = "As flown."
	commentColumn = 36
)

func (w *writer) flight(f *Flight) {
	w.fields(f.fields())
	w.table("[launch]", headLaunch, f.Launch.fields())
	w.table("[envelope]", headEnvelope, f.Envelope.fields())
	w.table("[gas]", headGas, f.Gas.fields())
	for i := range f.Cylinders {
		w.table("[[cylinder]]", first(i, headCylinder), f.Cylinders[i].fields())
	}
	for i := range f.Train {
		w.table("[[train]]", first(i, headTrain), f.Train[i].fields())
		for j := range f.Train[i].Items {
			w.table("[[train.item]]", "", f.Train[i].Items[j].fields())
		}
	}
	for i := range f.Reporters {
		w.table("[[reporter]]", first(i, headReporter), f.Reporters[i].fields())
	}
	for i := range f.Sites {
		w.table("[[site]]", first(i, headSite), f.Sites[i].fields())
	}
	w.optional("[limits]", headLimits, f.Limits.fields())
	for i := range f.Contacts {
		w.table("[[contact]]", first(i, headContact), f.Contacts[i].fields())
	}
	w.optional("[remains]", headRemains, f.Remains.fields())
	for i := range f.Tests {
		w.table("[[test]]", first(i, headTest), f.Tests[i].fields())
	}
	for i := range f.Spares {
		w.table("[[spare]]", first(i, headSpare), f.Spares[i].fields())
	}
	w.optional("[cost]", headCost, f.Cost.fields())
	w.optional("[recovery]", headRecovery, f.Recovery.fields())
	if f.Flown != nil {
		w.table("[flown]", headFlown, f.Flown.fields())
	}
}

// first keeps a heading for the first row of several.
func first(i int, heading string) string {
	if i > 0 {
		return ""
	}
	return heading
}

func (w *writer) table(header, heading string, fields []field) {
	w.text.WriteByte('\n')
	if w.comments && heading != "" {
		w.text.WriteString("# " + heading + "\n")
	}
	w.text.WriteString(header + "\n")
	w.fields(fields)
}

// optional leaves out a table in which nothing stands.
func (w *writer) optional(header, heading string, fields []field) {
	for _, f := range fields {
		if f.write() != "" {
			w.table(header, heading, fields)
			return
		}
	}
}

func (w *writer) fields(fields []field) {
	for _, f := range fields {
		text := f.write()
		if text == "" {
			continue
		}
		line := f.key + " = " + text
		w.text.WriteString(line)
		if w.comments && f.remark != "" {
			w.text.WriteString(strings.Repeat(" ", max(2, commentColumn-utf8.RuneCountInString(line))) + "# " + f.remark)
		}
		w.text.WriteByte('\n')
	}
}

// quoted writes a basic TOML string.
func quoted(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case unicode.IsControl(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

func quotedOrNothing(text string) string {
	if text == "" {
		return ""
	}
	return quoted(text)
}
