// Command groundmap reduces open data about the ground to the small tables that the program carries.
// README.md says where each input comes from; an input that is not named leaves its table as it is.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

type inputs struct {
	out, relief, geoid, towns, airfields, states, lakes, rivers, urban string
}

func main() {
	var in inputs
	flag.StringVar(&in.out, "out", "ground", "the folder of the ground packages, to write into")
	flag.StringVar(&in.relief, "relief", "", "ETOPO5 as classic netCDF (needs -states too, to tell land from sea)")
	flag.StringVar(&in.geoid, "geoid", "", "EGM96 geoid, 15 minutes, as GTX")
	flag.StringVar(&in.towns, "towns", "", "GeoNames cities500.txt (needs -states too)")
	flag.StringVar(&in.airfields, "airfields", "", "OurAirports as tab-separated text (needs -states too)")
	flag.StringVar(&in.states, "states", "", "Natural Earth 1:10m states and provinces as GeoJSON")
	flag.StringVar(&in.lakes, "lakes", "", "Natural Earth 1:50m lakes as pn2")
	flag.StringVar(&in.rivers, "rivers", "", "Natural Earth 1:50m rivers as pn2")
	flag.StringVar(&in.urban, "urban", "", "Natural Earth 1:50m urban areas as pn2")
	flag.Parse()
	if err := run(in); err != nil {
		fmt.Fprintln(os.Stderr, "groundmap:", err)
		os.Exit(1)
	}
}

func run(in inputs) error {
	var land *states
	if in.states != "" {
		var err error
		if land, err = readStates(in.states); err != nil {
			return err
		}
		if err := writeRegions(in, land); err != nil {
			return err
		}
	}
	if land == nil && in.relief+in.towns+in.airfields != "" {
		return fmt.Errorf("relief, towns and airfields need -states, to know what is land and whose")
	}
	for _, step := range []struct {
		input string
		do    func() error
	}{
		{in.relief, func() error { return writeRelief(in, land) }},
		{in.geoid, func() error { return writeGeoid(in) }},
		{in.towns, func() error { return writeTowns(in, land) }},
		{in.airfields, func() error { return writeAirfields(in, land) }},
		{in.lakes, func() error { return writeOutlines(in, in.lakes, "lakes.bin") }},
		{in.urban, func() error { return writeOutlines(in, in.urban, "urban.bin") }},
		{in.rivers, func() error { return writeOutlines(in, in.rivers, "rivers.bin") }},
	} {
		if step.input == "" {
			continue
		}
		if err := step.do(); err != nil {
			return fmt.Errorf("%s: %w", step.input, err)
		}
	}
	return nil
}

// save writes one table and says how big it became.
func save(data []byte, parts ...string) error {
	path := filepath.Join(parts...)
	fmt.Printf("%9d bytes  %s\n", len(data), path)
	return os.WriteFile(path, data, 0o644)
}
