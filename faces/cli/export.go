package cli

import (
	"os"

	"pappus/flight"
	"pappus/ports/export"
)

// exportFormats are the files that odds can write for other programs.
var exportFormats = []struct {
	option
	write func(o *flight.Odds, name string) ([]byte, error)
}{
	{option{"geojson", isValue, "FILE", "write flight, regions and landings as GeoJSON"}, export.GeoJSON},
	{option{"kml", isValue, "FILE", "write flight and regions as KML, with heights and times"}, export.KML},
	{option{"gpx", isValue, "FILE", "write the central flight as a GPX track with waypoints"}, export.GPX},
	{option{"csv", isValue, "FILE", "write a table with burst and landing of every flight drawn"}, export.CSV},
}

func exportOptions() []option {
	var options []option
	for _, format := range exportFormats {
		options = append(options, format.option)
	}
	return options
}

// checkExports refuses, before any work is done, a name that stands twice or is
// that of a file that was read.
func checkExports(a *arguments, read []string) error {
	var taken []string
	for _, format := range exportFormats {
		if !a.has(format.name) {
			continue
		}
		path := a.last(format.name, "")
		if path == "" {
			return usage("--%s needs the name of a file to write", format.name)
		}
		for _, other := range taken {
			if other == path || sameFile(other, path) {
				return usage("--%s: %s is to hold another format already: give each a file of its own", format.name, path)
			}
		}
		for _, other := range read {
			if sameFile(other, path) {
				return usage("--%s: %s is read for this answer and is not overwritten: choose another name", format.name, path)
			}
		}
		taken = append(taken, path)
	}
	return nil
}

func sameFile(a, b string) bool {
	first, err := os.Stat(a)
	if err != nil {
		return false // not there, so not the same
	}
	second, err := os.Stat(b)
	return err == nil && os.SameFile(first, second)
}

// writeExports writes the files asked for.
func writeExports(a *arguments, o *flight.Odds, name string) error {
	for _, format := range exportFormats {
		if !a.has(format.name) {
			continue
		}
		data, err := format.write(o, name)
		if err != nil {
			return fault{err}
		}
		if err := writeFile(a.last(format.name, ""), data); err != nil {
			return err
		}
	}
	return nil
}
