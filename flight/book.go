package flight

import (
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"
)

// MaxDocument is the most bytes that a flight file may have in the book. A full
// file with every table is some 10 kB.
const MaxDocument = 1 << 20

// MaxNote is the most bytes of the text that says what a revision changed.
const MaxNote = 500

// Entry is one flight as the list of the book shows it.
type Entry struct {
	ID       string    // stands in addresses and never changes
	Name     string    // as the document at the head has it
	Head     int64     // the revision the flight stands at
	Newest   int64     // the highest revision number; above Head after an undo
	Created  time.Time // when the first revision was made
	Changed  time.Time // when the revision at the head was made
	Archived time.Time // zero when the flight is not archived
	Deleted  time.Time // zero when the flight is not deleted
	CanUndo  bool
	CanRedo  bool
}

// Revision is one state of a flight's document. Revisions are never changed and
// never removed; undo and redo only move the flight's head among them.
type Revision struct {
	Flight   string
	Number   int64 // counts from 1 within the flight
	Parent   int64 // the revision it was made from, 0 for the first
	Made     time.Time
	Name     string // the flight's name in this document
	What     string // what changed, in a few words
	Hash     string // SHA-256 of the document, hexadecimal
	Document []byte // nil in a history, which lists revisions without them
}

// Draft is a document on its way into the book.
type Draft struct {
	Name     string
	What     string
	Document []byte
	Made     time.Time
}

var (
	// ErrNotFound means that the book has no such flight or revision.
	ErrNotFound = errors.New("the book has no such flight or revision")
	// ErrDeleted means that the flight must be restored before it is changed.
	ErrDeleted = errors.New("the flight is deleted: restore it first")
	// ErrNothingToUndo means that the flight stands at its first revision.
	ErrNothingToUndo = errors.New("there is no earlier revision to go back to")
	// ErrNothingToRedo means that nothing was made from the revision at the head.
	ErrNothingToRedo = errors.New("there is no later revision to go on to")
	// ErrBookFull means that the disk has no room; what was saved before is kept.
	ErrBookFull = errors.New("the disk that holds the book is full: free some space, then save again; all that was saved before is still there")
	// ErrBookBusy means that another program held the book for too long.
	ErrBookBusy = errors.New("the book is held by another program: close it, then try again")
)

// Conflict is the answer to a save made from a revision that is no longer the
// head. It holds what both sides have, so that neither is lost: Base is what the
// save was made from, Head is what stands in the book, and the document that was
// not saved is still with the one who sent it.
type Conflict struct {
	Base, Head Revision
}

func (c *Conflict) Error() string {
	return fmt.Sprintf("the flight stands at revision %d (%s), and this was made from revision %d: look at both, then save from revision %d",
		c.Head.Number, c.Head.What, c.Base.Number, c.Head.Number)
}

// Check reports what keeps the draft out of the book.
func (d Draft) Check() error {
	switch {
	case strings.TrimSpace(d.Name) == "":
		return errors.New("the flight has no name: give it one")
	case len(d.Name) > 200:
		return fmt.Errorf("the flight's name has %d bytes: at most 200 fit", len(d.Name))
	case strings.TrimSpace(d.What) == "":
		return errors.New("the revision does not say what changed: say it in a few words")
	case len(d.What) > MaxNote:
		return fmt.Errorf("the text of what changed has %d bytes: at most %d fit", len(d.What), MaxNote)
	case len(d.Document) == 0:
		return errors.New("the flight file is empty")
	case len(d.Document) > MaxDocument:
		return fmt.Errorf("the flight file has %d bytes: at most %d fit", len(d.Document), MaxDocument)
	case d.Made.IsZero():
		return errors.New("the revision has no time")
	}
	return nil
}

// Slug makes the part of an address from a flight's name: lower-case letters and
// digits of any script, with single hyphens between words.
func Slug(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		if b.Len() >= 60 {
			break
		}
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			b.WriteRune(r)
		} else if b.Len() > 0 && !strings.HasSuffix(b.String(), "-") {
			b.WriteByte('-')
		}
	}
	if slug := strings.TrimRight(b.String(), "-"); slug != "" {
		return slug
	}
	return "flight"
}
