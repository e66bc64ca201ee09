package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"pappus/record"
)

var newCommand = command{
	name: "new", operands: "FILE",
	summary: "write a commented flight file to start from",
	text:    "A file that is already there is never overwritten.",
	options: []option{{"kind", isValue, strings.Join(record.TemplateKinds(), "|"), "which starting flight (default " + record.TemplateKinds()[0] + ")"}},
	example: "pappus new flight.toml",
	run: func(_ context.Context, d *Desk, a *arguments) error {
		path, err := a.operand("file to write")
		if err != nil {
			return err
		}
		text, err := record.Template(a.last("kind", record.TemplateKinds()[0]))
		if err != nil {
			return usage("--kind: %v", err)
		}
		if err := writeNew(path, text); err != nil {
			return err
		}
		if a.has("json") {
			return d.printJSON(map[string]string{"written": path})
		}
		return d.print(fmt.Sprintf("Wrote %s. Change it to your own parts, then:\n  pappus plan %s\n", path, path))
	},
}

// writeNew writes a file that is not there yet.
func writeNew(path string, data []byte) error {
	if _, err := os.Stat(path); err == nil {
		return fmt.Errorf("%s: this file is there already, and is left as it is: choose another name", path)
	} else if !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: %w", path, err)
	}
	return writeFile(path, data)
}
