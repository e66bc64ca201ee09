// Server runs the app on a book for the browser tests, and says its address in
// the first line of its output.
package main

import (
	"context"
	"flag"
	"fmt"
	"log"
	"log/slog"
	"math/rand/v2"
	"net"
	"os"
	"os/signal"
	"path/filepath"
	"time"

	"pappus/faces/web"
	"pappus/ports/sqlite"
	"pappus/ports/weather"
)

func main() {
	book := flag.String("book", "", "")
	listen := flag.String("listen", web.DefaultListen, "")
	demo := flag.Bool("demo", false, "")
	archive := flag.String("archive", "", "settings file of the archives that may be fetched from; none: nothing can be")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	b, err := sqlite.Open(ctx, *book)
	if err != nil {
		log.Fatal(err)
	}
	defer b.Close()
	config := web.Config{Book: b, Now: time.Now, Version: "dev", Log: slog.Default(), Weather: web.Weather{Folder: filepath.Dir(*book), Demo: *demo}}
	if *archive != "" {
		config.Archive = archives(*archive)
	}
	s, err := web.New(config)
	if err != nil {
		log.Fatal(err)
	}
	l, err := net.Listen("tcp", *listen)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("http://" + l.Addr().String() + "/")
	if err := s.Serve(ctx, l); err != nil {
		log.Fatal(err)
	}
}

// archives is only what a settings file names: tests play it on the loopback.
func archives(path string) web.Archives {
	text, err := os.ReadFile(path)
	if err != nil {
		log.Fatal(err)
	}
	settings, err := weather.ParseSettings(path, text)
	if err != nil {
		log.Fatal(err)
	}
	return web.Archives{
		Sources: []weather.Source{settings.Sources["gfs025"]},
		Client:  &weather.Client{Settings: settings, Now: time.Now, Random: rand.New(rand.NewPCG(1, 1))},
	}
}
