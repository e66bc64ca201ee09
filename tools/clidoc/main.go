// Command clidoc writes doc/cli.md from the commands' own help. Run it from
// the root: go run ./tools/clidoc
package main

import (
	"log"
	"os"

	"pappus/faces/cli"
)

func main() {
	if err := os.WriteFile("doc/cli.md", []byte(cli.Manual()), 0o644); err != nil {
		log.Fatal(err)
	}
}
