package main

import (
	"context"
	"fmt"
	"log/slog"
	"maps"
	"math/rand/v2"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"time"

	"pappus/faces/cli"
	"pappus/faces/web"
	"pappus/flight"
	"pappus/ports/sqlite"
	"pappus/ports/weather"
)

// startApp opens the book and serves the app on it until ctx ends.
func startApp(ctx context.Context, app cli.App) error {
	folder := app.Book
	if folder == "" {
		temporary, err := os.MkdirTemp("", "pappus-")
		if err != nil {
			return fmt.Errorf("a folder for the book cannot be made: %w", err)
		}
		defer os.RemoveAll(temporary)
		folder = temporary
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return fmt.Errorf("the book's folder cannot be made: %w", err)
	}
	book, err := sqlite.Open(ctx, filepath.Join(folder, "book.sqlite"))
	if err != nil {
		return err
	}
	defer book.Close()
	listener, err := net.Listen("tcp", app.Listen)
	if err != nil {
		return fmt.Errorf("the app cannot answer at %s: %w; another program may be there: end it, or choose another port with --listen", app.Listen, err)
	}
	defer listener.Close()
	settings, err := weather.ParseSettings("", nil)
	if err != nil {
		return err
	}
	client := &weather.Client{Settings: settings, Now: time.Now, Random: rand.New(rand.NewPCG(uint64(time.Now().UnixNano()), uint64(os.Getpid())))}
	defer client.Close()
	server, err := web.New(web.Config{
		Book: book, Now: time.Now, Version: version(), Log: slog.New(slog.NewTextHandler(os.Stderr, nil)),
		Weather: web.Weather{Paths: app.Weather, Folder: folder, Demo: app.Demo},
		Archive: web.Archives{Sources: slices.Collect(maps.Values(settings.Sources)), Client: client},
	})
	if err != nil {
		return err
	}
	address := "http://" + listener.Addr().String() + "/"
	if first := app.First; first != nil {
		entry, err := book.Create(ctx, flight.Draft{Name: first.Name, What: first.What, Document: first.Document, Made: time.Now()})
		if err != nil {
			return err
		}
		address += "f/" + entry.ID
	}
	if err := app.Ready(address); err != nil {
		return err
	}
	if app.Open {
		if err := show(address); err != nil {
			fmt.Fprintf(os.Stderr, "pappus: the browser cannot be started (%v): open the address yourself\n", err)
		}
	}
	return server.Serve(ctx, listener)
}

// show asks the system's browser for an address.
func show(address string) error {
	switch runtime.GOOS {
	case "windows":
		return exec.Command("rundll32", "url.dll,FileProtocolHandler", address).Start()
	case "darwin":
		return exec.Command("open", address).Start()
	}
	return exec.Command("xdg-open", address).Start()
}

// version is the one that the program was built as.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "not stated"
}
