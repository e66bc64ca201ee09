package cli

import (
	"os"
	"path/filepath"
	"strings"

	"pappus/flight"
	"pappus/ground/landcover"
	"pappus/ground/terrain"
)

// landOptions are the flags about the ground.
var landOptions = []option{
	{"terrain", isWords, "PATH…", "SRTM tiles (.hgt or zipped) or folders of them, or the word world for the embedded coarse relief"},
	{"areas", isWords, "FILE…", "GeoJSON areas of your own: keep out, permission, airspace, forest, …"},
}

// land reads what the person knows of the ground.
func (a *arguments) land() (flight.Land, error) {
	var land flight.Land
	for _, path := range a.flags["areas"] {
		data, err := readFile(path)
		if err != nil {
			return land, err
		}
		areas, err := landcover.ParseAreas(path, data)
		if err != nil {
			return land, err
		}
		land.Areas = append(land.Areas, areas...)
	}
	for _, path := range a.flags["terrain"] {
		if path == "world" {
			land.World = true
			continue
		}
		names, err := tilesAt(path)
		if err != nil {
			return land, err
		}
		for _, name := range names {
			data, err := readFile(name)
			if err != nil {
				return land, err
			}
			tile, err := terrain.ParseHGT(filepath.Base(name), data)
			if err != nil {
				return land, err
			}
			land.Tiles = append(land.Tiles, tile)
		}
	}
	return land, nil
}

// tilesAt answers a file, or the tiles of a folder.
func tilesAt(path string) ([]string, error) {
	entries, err := os.ReadDir(path)
	if err != nil {
		return []string{path}, nil // a file, or nothing: reading it says which
	}
	var names []string
	for _, e := range entries {
		name := strings.ToLower(e.Name())
		if !e.IsDir() && (strings.HasSuffix(name, ".hgt") || strings.HasSuffix(name, ".hgt.zip")) {
			names = append(names, filepath.Join(path, e.Name()))
		}
	}
	return names, nil
}
