// Server runs the app on a book for the browser tests, and says its address in
// the first line of its output.
package main

import (
	"context"
	"flag"
	"fmt"
	"log"
	"log/slog"
	"net"
	"os"
	"os/signal"
	"path/filepath"
	"time"

	"pappus/faces/web"
	"pappus/ports/sqlite"
)

func main() {
	book := flag.String("book", "", "")
	listen := flag.String("listen", web.DefaultListen, "")
	demo := flag.Bool("demo", false, "")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	b, err := sqlite.Open(ctx, *book)
	if err != nil {
		log.Fatal(err)
	}
	defer b.Close()
	s, err := web.New(web.Config{Book: b, Now: time.Now, Version: "dev", Log: slog.Default(), Weather: web.Weather{Folder: filepath.Dir(*book), Demo: *demo}})
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
