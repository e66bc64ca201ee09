// Package cli is the command line: one file per command. Each parses its
// words, calls one use case and prints.
package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/record"
)

// Exit statuses.
const (
	exitAnswered = 0 // answered; findings and a verdict "no" are answers
	exitInput    = 1 // the person must change something, and the message says what
	exitUsage    = 2 // the command line does not make sense
	exitFault    = 3 // a fault of ours or of the machine
)

// Desk is what the command line works with.
type Desk struct {
	Out, Err io.Writer
	Terminal bool // Err is a terminal: progress may be shown
	Workers  int
	// StartApp serves the app until the context ends.
	StartApp func(ctx context.Context, app App) error
}

// command is one command of the program.
type command struct {
	name     string
	operands string // as the help shows them
	summary  string
	text     string // more for the help
	options  []option
	example  string
	run      func(ctx context.Context, d *Desk, a *arguments) error
}

// fault marks an error as ours or the machine's: exit status 3.
type fault struct{ error }

func (f fault) Unwrap() error { return f.error }

// Run answers a command line and gives the exit status.
func (d *Desk) Run(ctx context.Context, words []string) int {
	if len(words) == 0 || isHelp(words[0]) {
		d.overview(d.Out)
		return exitAnswered
	}
	c, rest := find(words)
	if c == nil && d.group(words) {
		return exitAnswered
	}
	if c == nil {
		fmt.Fprintf(d.Err, "pappus: there is no command %q; pappus help lists them\n", words[0])
		return exitUsage
	}
	options := append(append([]option{}, c.options...), common...)
	a, err := parse(rest, options)
	if err == nil && a.has("help") {
		c.help(d.Out)
		return exitAnswered
	}
	if err == nil {
		err = c.run(ctx, d, a)
	}
	return d.report(c, err)
}

func isHelp(word string) bool { return word == "help" || word == "--help" || word == "-h" }

// find answers the command of one or two words, and what follows it.
func find(words []string) (*command, []string) {
	table := commands()
	for i := range table {
		name := strings.Fields(table[i].name)
		if len(words) >= len(name) && strings.Join(words[:len(name)], " ") == table[i].name {
			return &table[i], words[len(name):]
		}
	}
	return nil, nil
}

// group answers help for the first word of several commands, such as weather.
func (d *Desk) group(words []string) bool {
	if len(words) < 2 || !isHelp(words[1]) {
		return false
	}
	found := false
	for _, c := range commands() {
		if strings.HasPrefix(c.name, words[0]+" ") {
			found = true
			fmt.Fprintf(d.Out, "pappus %s\n  %s\n  example: %s\n", strings.TrimSpace(c.name+" "+c.operands), c.summary, c.example)
		}
	}
	return found
}

// report says what went wrong and answers the exit status.
func (d *Desk) report(c *command, err error) int {
	var wrong *usageError
	var ours fault
	switch {
	case err == nil:
		return exitAnswered
	case errors.As(err, &wrong):
		fmt.Fprintf(d.Err, "pappus %s: %v\n  %s\n", c.name, err, c.line())
		return exitUsage
	case errors.Is(err, ensemble.ErrStopped), errors.Is(err, context.Canceled):
		fmt.Fprintf(d.Err, "pappus %s: stopped before the end: nothing is answered and nothing was written\n", c.name)
		return exitFault
	case errors.As(err, &ours):
		fmt.Fprintf(d.Err, "pappus %s: %v\n", c.name, err)
		return exitFault
	}
	var faults record.Faults
	if errors.As(err, &faults) {
		fmt.Fprintln(d.Err, faults.Error())
	} else {
		fmt.Fprintf(d.Err, "pappus %s: %v\n", c.name, err)
	}
	return exitInput
}

// printJSON writes one document. NaN and infinities have no form in JSON; the
// answers hold pointers where a number may be missing.
func (d *Desk) printJSON(document any) error {
	text, err := json.MarshalIndent(document, "", "  ")
	if err != nil {
		return fault{fmt.Errorf("the answer has no JSON form: %w", err)}
	}
	if _, err := d.Out.Write(append(text, '\n')); err != nil {
		return fault{err}
	}
	return nil
}

// system answers the units to read in.
func (a *arguments) system(fallback unit.System) (unit.System, error) {
	switch text := a.last("units", ""); text {
	case "":
		return fallback, nil
	case "us":
		return unit.US, nil
	case "metric":
		return unit.Metric, nil
	default:
		return 0, usage("--units: %q is neither us nor metric", text)
	}
}

// unitsOf answers the units that a flight's own rules suggest.
func unitsOf(f *record.Flight) unit.System {
	if f.Rules == "US" {
		return unit.US
	}
	return unit.Metric
}

func (c *command) line() string {
	line := "pappus " + c.name
	if c.operands != "" {
		line += " " + c.operands
	}
	for _, o := range c.options {
		line += " [--" + o.name
		if o.value != "" {
			line += " " + o.value
		}
		line += "]"
	}
	return line
}

func (c *command) help(out io.Writer) {
	fmt.Fprintf(out, "%s\n\n%s\n", c.line(), c.summary)
	if c.text != "" {
		fmt.Fprintf(out, "\n%s\n", c.text)
	}
	fmt.Fprintf(out, "\nflags\n")
	for _, o := range append(append([]option{}, c.options...), common...) {
		fmt.Fprintf(out, "  --%-28s %s\n", strings.TrimSpace(o.name+" "+o.value), o.text)
	}
	fmt.Fprintf(out, "\nexample\n  %s\n", c.example)
}

func (d *Desk) overview(out io.Writer) {
	fmt.Fprint(out, "pappus: the flight desk for a camera sent to the stratosphere under a latex balloon.\n\ncommands\n")
	for _, c := range commands() {
		fmt.Fprintf(out, "  %-34s %s\n", strings.TrimSpace(c.name+" "+c.operands), c.summary)
	}
	fmt.Fprint(out, "\nEvery command: --help with an example, --json, --units us|metric.\n"+
		"Exit status: 0 answered, 1 something in the input must change, 2 wrong usage, 3 a fault of the program or the machine.\n\nbegin with\n  pappus demo --once\n  pappus new flight.toml\n")
}
