// Command pappus is the flight desk for a camera sent to the stratosphere
// under a latex balloon.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime"
	"syscall"

	"golang.org/x/term"

	"pappus/faces/cli"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	desk := cli.Desk{Out: os.Stdout, Err: os.Stderr, Terminal: term.IsTerminal(int(os.Stderr.Fd())), Workers: runtime.NumCPU(), StartApp: startApp}
	status := desk.Run(ctx, os.Args[1:])
	stop()
	os.Exit(status)
}
