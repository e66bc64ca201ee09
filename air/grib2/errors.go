package grib2

import "fmt"

// UnsupportedError says that a message is well formed but uses a layout that
// this package does not read. Advice says what the person can do.
type UnsupportedError struct {
	Section  int    // section that asks for the layout
	Template int    // its template number, or the code table entry in question
	Advice   string // one plain sentence, naming the layout and the way out
}

func (e *UnsupportedError) Error() string { return e.Advice }

// DamageError says that octets contradict themselves or are missing.
type DamageError struct {
	Section int    // section in which it was noticed
	Offset  int    // octets from the start of the file to that section or message
	What    string // what is wrong
}

func (e *DamageError) Error() string {
	return fmt.Sprintf("section %d at octet %d: %s: fetch the file again", e.Section, e.Offset, e.What)
}

// StrangerError says that a file holds no message at all.
type StrangerError struct {
	Advice string // what the file seems to be, and what to do
}

func (e *StrangerError) Error() string { return "this is not a GRIB2 file: " + e.Advice }

// Fault is what is wrong with one message of a file.
type Fault struct {
	Message int   // number of the message in the file, from 1; 0 when the file has none
	Offset  int   // octets from the start of the file to the message
	Err     error // one plain sentence
}

func (f Fault) Error() string {
	if f.Message == 0 {
		return f.Err.Error()
	}
	return fmt.Sprintf("message %d at octet %d: %v", f.Message, f.Offset, f.Err)
}

func (f Fault) Unwrap() error { return f.Err }

func damage(section, offset int, format string, args ...any) error {
	return &DamageError{Section: section, Offset: offset, What: fmt.Sprintf(format, args...)}
}
