package cli

import (
	"fmt"
	"strings"
)

// Manual is the page of all commands, made from their own help.
func Manual() string {
	var b strings.Builder
	b.WriteString("# Commands\n\nWritten by `go run ./tools/clidoc` from the program's own help.\n\n```\n")
	(&Desk{}).overview(&b)
	b.WriteString("```\n")
	for _, c := range commands() {
		fmt.Fprintf(&b, "\n## pappus %s\n\n```\n", c.name)
		c.help(&b)
		b.WriteString("```\n")
	}
	return b.String()
}
