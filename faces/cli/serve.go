package cli

import (
	"context"
	"fmt"
	"net"
	"os"
	"path/filepath"
)

// App is what the commands that open the app ask of the one who builds it.
type App struct {
	Book   string // folder of the book; empty for a book that is gone afterwards
	Listen string // address and port on this machine
	Open   bool   // show the app in the browser
	First  *Flight
	// Weather is the forecasts, files and folders of them, that the person names.
	Weather []string
	Demo    bool // offer the invented forecast
	// Ready is told the app's address once it answers.
	Ready func(address string) error
}

// Flight is a document that a new book begins with.
type Flight struct {
	Name, What string
	Document   []byte
}

const usualListen = "127.0.0.1:8765"

var (
	listenOption = option{"listen", isValue, "ADDRESS", "where on this machine the app answers (default " + usualListen + "; port 0 takes any that is free)"}
	openOption   = option{"open", isSwitch, "", "show the app in the browser"}
)

var serveCommand = command{
	name:    "serve",
	summary: "open the app on your own flights, for the browser on this machine",
	text: "It prints its address and runs until it is interrupted. Forecasts are those that --weather names, and those that are dropped into the app, which are kept beside the book. Every change is saved as it is made; nothing is lost when it is stopped. Nothing is fetched from anywhere unless you press fetch. " +
		"Without --book the flights are kept in the folder for this program's files that the system names for you.",
	options: []option{{"book", isValue, "DIR", "folder that keeps the flights; made when there is none"}, weatherOption, listenOption, openOption},
	example: "pappus serve --book ~/flights --weather ~/forecasts --open",
	run: func(ctx context.Context, d *Desk, a *arguments) error {
		if len(a.operands) > 0 {
			return usage("serve takes no file: the flights are in the book")
		}
		folder := a.last("book", "")
		if folder == "" {
			home, err := os.UserConfigDir()
			if err != nil {
				return usage("--book: the system names no folder for your files, so name one: %v", err)
			}
			folder = filepath.Join(home, "pappus")
		}
		weather := a.flags["weather"]
		for i, path := range weather {
			if _, err := os.Stat(path); err != nil {
				return fmt.Errorf("%s: there is no such file or folder", path)
			}
			if whole, err := filepath.Abs(path); err == nil {
				weather[i] = whole
			}
		}
		return d.openApp(ctx, a, App{Book: folder, Weather: weather}, "Your flights are in "+folder+".")
	},
}

// openApp starts the app and says where it is.
func (d *Desk) openApp(ctx context.Context, a *arguments, app App, words string) error {
	app.Listen, app.Open = a.last("listen", usualListen), a.has("open")
	if err := onThisMachine(app.Listen); err != nil {
		return err
	}
	app.Ready = func(address string) error {
		if a.has("json") {
			return d.printJSON(map[string]any{"address": address})
		}
		return d.print(fmt.Sprintf("Pappus is open at %s\n%s\nInterrupt it (Ctrl+C) to end it.\n", address, words))
	}
	return d.StartApp(ctx, app)
}

// onThisMachine refuses addresses that other machines reach: whoever comes in
// may read and change every flight.
func onThisMachine(listen string) error {
	host, _, err := net.SplitHostPort(listen)
	if err != nil {
		return usage("--listen: %q is no address with a port, such as %s", listen, usualListen)
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return usage("--listen: %q can be reached from other machines, and whoever comes in may read and change every flight: expected an address of this machine alone, such as %s", listen, usualListen)
	}
	return nil
}
