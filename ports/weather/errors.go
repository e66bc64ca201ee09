package weather

import (
	"errors"
	"fmt"
	"net"
	"strings"
	"syscall"
	"time"
)

// NotThereError says that an archive does not hold a file.
type NotThereError struct{ Address string }

func (e *NotThereError) Error() string {
	return fmt.Sprintf("%s: the archive does not hold this file", e.Address)
}

// NotOutError says that a cycle is not in the archive, or only in part.
type NotOutError struct {
	Source string
	Cycle  time.Time // zero: none of those asked for
	Lacks  string
	Advice string
}

func (e *NotOutError) Error() string {
	if e.Cycle.IsZero() {
		return fmt.Sprintf("no cycle of %s with all that the flight needs was found: %s: %s", e.Source, e.Lacks, e.Advice)
	}
	return fmt.Sprintf("the cycle of %s of %s is not out yet in full: %s: %s", timeText(e.Cycle), e.Source, e.Lacks, e.Advice)
}

// PageError says that a web page came where data were asked for.
type PageError struct{ Address, Begins string }

func (e *PageError) Error() string {
	return fmt.Sprintf("%s: a web page came instead of data (it begins %q): the network may want you to log in, or the service may be closed; open the address in a browser to see", e.Address, e.Begins)
}

// BusyError says that a server asks to be left alone for longer than the
// person is made to wait.
type BusyError struct {
	Address string
	Wait    time.Duration
}

func (e *BusyError) Error() string {
	return fmt.Sprintf("%s: the server asks to come back in %v: run the same command again then; what has been fetched is kept", e.Address, e.Wait.Round(time.Second))
}

// StatusError is an answer that nothing better is known about.
type StatusError struct {
	Address string
	Status  int
}

func (e *StatusError) Error() string {
	return fmt.Sprintf("%s: the server answered with status %d", e.Address, e.Status)
}

// RangeError says that a server does not answer requests for a part of a file
// as it should.
type RangeError struct {
	Address, Text string
	Short         bool // the file ends before what its index names
}

func (e *RangeError) Error() string { return e.Address + ": " + e.Text }

// RedirectError says that a server sends elsewhere, where pappus does not follow.
type RedirectError struct{ Text string }

func (e *RedirectError) Error() string { return e.Text }

// DamageError says that octets that came are not what the index announces.
type DamageError struct{ Address, Text string }

func (e *DamageError) Error() string { return e.Address + ": " + e.Text }

// AwayError says that the network or a server cannot be reached.
type AwayError struct {
	Address string
	Err     error
}

func (e *AwayError) Error() string {
	var name *net.DNSError
	switch text := e.Err.Error(); {
	case errors.As(e.Err, &name):
		return fmt.Sprintf("%s: the name of the server cannot be looked up, so the network is probably away: nothing was changed, and what was fetched before is kept", e.Address)
	case errors.Is(e.Err, syscall.ECONNREFUSED), errors.Is(e.Err, syscall.ENETUNREACH), errors.Is(e.Err, syscall.EHOSTUNREACH):
		return fmt.Sprintf("%s: the server cannot be reached (the network or the server is away): nothing was changed, and what was fetched before is kept", e.Address)
	case errors.Is(e.Err, errStalled):
		return fmt.Sprintf("%s: too little came through (%s): run the same command again where the network is better; what has been fetched is kept", e.Address, text)
	default:
		return fmt.Sprintf("%s: the connection broke off (%s): run the same command again to go on from there", e.Address, strings.TrimSpace(text))
	}
}

func (e *AwayError) Unwrap() error { return e.Err }

// FullError says that the disk is full.
type FullError struct {
	Path string
	Err  error
}

func (e *FullError) Error() string {
	return fmt.Sprintf("%s: the disk is full: make room and run the same command again; what has been fetched is kept", e.Path)
}

func (e *FullError) Unwrap() error { return e.Err }

// diskError names a file and gives a full disk its own word.
func diskError(path string, err error) error {
	if err == nil {
		return nil
	}
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) {
		return &FullError{path, err}
	}
	if text := err.Error(); strings.Contains(text, path) {
		return err
	}
	return fmt.Errorf("%s: %w", path, err)
}

// OtherGridError says that files do not go together with those of a folder.
type OtherGridError struct{ Text string }

func (e *OtherGridError) Error() string { return e.Text }

func timeText(t time.Time) string { return t.UTC().Format("2006-01-02 15:04") + " UTC" }
