package export

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pappus/flight"
)

// tool answers a reader written by others. Where it is not installed the test is
// skipped, but under CI it must be there.
func tool(t *testing.T, name, from string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is not installed, and CI must have it: install %s", name, from)
		}
		t.Skipf("%s is not installed: install %s to run this check", name, from)
	}
	return path
}

// read runs a reader and answers its table.
func read(t *testing.T, path string, words ...string) []map[string]string {
	t.Helper()
	return readCSV(t, run(t, path, words...))
}

func run(t *testing.T, path string, words ...string) []byte {
	t.Helper()
	var out, complaint bytes.Buffer
	command := exec.Command(path, words...)
	command.Stdout, command.Stderr = &out, &complaint
	command.Env = append(os.Environ(), "TZ=UTC", "LC_ALL=C")
	if err := command.Run(); err != nil {
		t.Fatalf("%s %q: %v\n%s", filepath.Base(path), words, err, complaint.String())
	}
	if text := complaint.String(); strings.Contains(text, "ERROR") {
		t.Fatalf("%s %q complains: %s", filepath.Base(path), words, text)
	}
	return out.Bytes()
}

// put writes a file for the readers.
func put(t *testing.T, w writer, o *flight.Odds, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, write(t, w, o, "outside check"), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// clock reads an instant as the readers write it.
func clock(t *testing.T, text string) time.Time {
	t.Helper()
	for _, layout := range []string{"2006/01/02 15:04:05.999-07", "2006/01/02 15:04:05.999", "2006/01/02 15:04:05.999Z"} {
		if at, err := time.Parse(layout, text); err == nil {
			return at
		}
	}
	t.Fatalf("%q is no instant", text)
	return time.Time{}
}

// areas lets the reader measure each region on an equal-area plane about the
// median landing and holds it against what the answer says.
func areas(t *testing.T, ogr2ogr, path, layer, condition string, o *flight.Odds) {
	t.Helper()
	middle := o.Answer.Landing.Median
	flat := filepath.Join(t.TempDir(), "flat.gpkg")
	words := []string{"-f", "GPKG", flat, path, "-nln", "odds", "-nlt", "GEOMETRY",
		"-t_srs", fmt.Sprintf("+proj=laea +lat_0=%f +lon_0=%f +datum=WGS84 +units=m", middle.Lat, middle.Lon)}
	if layer != "" {
		words = append(words, layer)
	}
	run(t, ogr2ogr, words...)
	table := read(t, ogr2ogr, "-f", "CSV", "/vsistdout/", flat, "-dialect", "OGRSQL",
		"-sql", "SELECT probability, area_km2, OGR_GEOM_AREA AS measured_m2 FROM odds "+condition)
	if len(table) != len(o.Answer.Landing.Regions) {
		t.Fatalf("%d regions, want %d", len(table), len(o.Answer.Landing.Regions))
	}
	for _, row := range table {
		found := false
		for _, r := range o.Answer.Landing.Regions {
			if r.Probability != number(t, row["probability"]) {
				continue
			}
			found = true
			// The plane of the reader keeps areas; ours is worked out on a sphere: 1 % at
			// most between the equator and the poles.
			if measured := number(t, row["measured_m2"]) / 1e6; math.Abs(measured/r.Area-1) > 0.01 {
				t.Errorf("the region of %v measures %.3f km2, and the answer says %.3f", r.Probability, measured, r.Area)
			}
			if math.Abs(number(t, row["area_km2"])/r.Area-1) > 1e-5 {
				t.Errorf("area_km2 came back as %s, want %v", row["area_km2"], r.Area)
			}
		}
		if !found {
			t.Errorf("no region of %s was written", row["probability"])
		}
	}
}

func TestOutsideGeoJSON(t *testing.T) {
	ogr2ogr := tool(t, "ogr2ogr", "gdal-bin")
	eachScene(t, func(t *testing.T, _ scene, o *flight.Odds) {
		path := put(t, GeoJSON, o, "odds.geojson")
		areas(t, ogr2ogr, path, "", "WHERE kind = 'region'", o)
		all := rows(o)
		start, burst, end := all[0].Place, o.Nominal.Up[len(o.Nominal.Up)-1].Place, all[len(all)-1].Place
		table := read(t, ogr2ogr, "-f", "CSV", "/vsistdout/", path, "-lco", "GEOMETRY=AS_XYZ", "-where", "kind IN ('launch', 'burst', 'landing')")
		if len(table) != 3 {
			t.Fatalf("%d points", len(table))
		}
		for i, want := range []struct{ lat, alt, seconds float64 }{
			{start.LatDeg, start.Alt, start.Seconds}, {burst.LatDeg, burst.Alt, burst.Seconds}, {end.LatDeg, end.Alt, end.Seconds},
		} {
			row := table[i]
			if !near(clock(t, row["time"]), trueInstant(want.seconds)) || math.Abs(number(t, row["Y"])-want.lat) > 1e-6 || math.Abs(number(t, row["Z"])-want.alt) > 0.051 {
				t.Errorf("%s came back at %s %s %s", row["kind"], row["Y"], row["Z"], row["time"])
			}
		}
		landings := read(t, ogr2ogr, "-f", "CSV", "/vsistdout/", path, "-lco", "GEOMETRY=AS_XY", "-explodecollections", "-where", "kind = 'member_landings'")
		if len(landings) != drawnMembers {
			t.Errorf("%d landings came back", len(landings))
		}
		ways := read(t, ogr2ogr, "-f", "CSV", "/vsistdout/", path, "-where", "kind IN ('way_up', 'way_down')")
		if len(ways) != 2 || !near(clock(t, ways[0]["begin"]), trueInstant(start.Seconds)) || !near(clock(t, ways[0]["end"]), trueInstant(burst.Seconds)) ||
			!near(clock(t, ways[1]["begin"]), trueInstant(burst.Seconds)) || !near(clock(t, ways[1]["end"]), trueInstant(end.Seconds)) {
			t.Errorf("the ways came back as %v", ways)
		}
		if n := strings.Count(ways[0]["times"], "Z"); n < len(o.Nominal.Up) {
			t.Errorf("%d times of the way up came back, want %d or more", n, len(o.Nominal.Up))
		}
	})
}

func TestOutsideKML(t *testing.T) {
	ogr2ogr := tool(t, "ogr2ogr", "gdal-bin")
	eachScene(t, func(t *testing.T, s scene, o *flight.Odds) {
		path := put(t, KML, o, "odds.kml")
		areas(t, ogr2ogr, path, "where it may land", "", o)
		all := rows(o)
		for _, folder := range []string{"central flight", "central flight, minute by minute"} {
			table := read(t, ogr2ogr, "-f", "CSV", "/vsistdout/", path, folder, "-lco", "GEOMETRY=AS_WKT")
			last := trueInstant(all[0].Seconds)
			points := 0
			for _, row := range table {
				if begin := clock(t, row["begin"]); !near(begin, last) {
					t.Errorf("%s begins at %v, want %v", row["Name"], begin, last)
				}
				last = clock(t, row["end"])
				points += strings.Count(row["WKT"], ",") + 1
				if !strings.Contains(row["WKT"], " Z (") {
					t.Errorf("%s has no heights", row["Name"])
				}
			}
			if !near(last, trueInstant(all[len(all)-1].Seconds)) {
				t.Errorf("%s ends at %v", folder, last)
			}
			// Where one stretch ends the next begins: one more point for each but the
			// first, and two more for each cut.
			least := len(all) + len(table) - 1
			if s.crosses && points < least || !s.crosses && points != least {
				t.Errorf("%s: %d points came back, want %d", folder, points, least)
			}
		}
	})
}

func TestOutsideGPX(t *testing.T) {
	ogr2ogr, gpsbabel := tool(t, "ogr2ogr", "gdal-bin"), tool(t, "gpsbabel", "gpsbabel")
	eachScene(t, func(t *testing.T, _ scene, o *flight.Odds) {
		path, all := put(t, GPX, o, "odds.gpx"), rows(o)
		table := read(t, ogr2ogr, "-f", "CSV", "/vsistdout/", path, "track_points", "-lco", "GEOMETRY=AS_XY")
		other := read(t, gpsbabel, "-t", "-i", "gpx", "-f", path, "-o", "unicsv,utc=0", "-F", "-")
		if len(table) != len(all) || len(other) != len(all) {
			t.Fatalf("%d and %d points came back, want %d", len(table), len(other), len(all))
		}
		for i, r := range all {
			a, b := table[i], other[i]
			if math.Abs(number(t, a["Y"])-r.LatDeg) > 1e-6 || math.Abs(number(t, a["ele"])-r.Alt) > 0.051 || !near(clock(t, a["time"]), trueInstant(r.Seconds)) {
				t.Fatalf("point %d came back as %v, want %v", i, a, r.Place)
			}
			// This one writes six decimals and one of height.
			if math.Abs(number(t, b["Latitude"])-r.LatDeg) > 1e-6 || math.Abs(number(t, b["Altitude"])-r.Alt) > 0.11 || !near(clock(t, b["Date"]+" "+b["Time"]), trueInstant(r.Seconds)) {
				t.Fatalf("point %d came back as %v, want %v", i, b, r.Place)
			}
		}
		if marks := read(t, gpsbabel, "-w", "-i", "gpx", "-f", path, "-o", "unicsv,utc=0", "-F", "-"); len(marks) != 4 {
			t.Errorf("%d waypoints came back", len(marks))
		}
	})
}

func TestOutsideKMLElsewhere(t *testing.T) {
	gpsbabel := tool(t, "gpsbabel", "gpsbabel")
	eachScene(t, func(t *testing.T, _ scene, o *flight.Odds) {
		path, all := put(t, KML, o, "odds.kml"), rows(o)
		marks := read(t, gpsbabel, "-w", "-i", "kml", "-f", path, "-o", "unicsv,utc=0", "-F", "-")
		if len(marks) != 4 {
			t.Fatalf("%d points came back", len(marks))
		}
		end := all[len(all)-1]
		if row := marks[2]; math.Abs(number(t, row["Latitude"])-end.LatDeg) > 1e-6 || !near(clock(t, row["Date"]+" "+row["Time"]), trueInstant(end.Seconds)) {
			t.Errorf("the landing came back as %v, want %v", row, end.Place)
		}
	})
}

func TestOutsideCSV(t *testing.T) {
	ogr2ogr := tool(t, "ogr2ogr", "gdal-bin")
	eachScene(t, func(t *testing.T, _ scene, o *flight.Odds) {
		path := put(t, CSV, o, "odds.csv")
		table := read(t, ogr2ogr, "-f", "CSV", "/vsistdout/", path, "-lco", "GEOMETRY=AS_XY",
			"-oo", "AUTODETECT_TYPE=YES", "-oo", "X_POSSIBLE_NAMES=landing_lon_deg", "-oo", "Y_POSSIBLE_NAMES=landing_lat_deg")
		if len(table) != drawnMembers {
			t.Fatalf("%d rows came back", len(table))
		}
		for i, row := range table {
			l := &o.Result.Landings[i]
			if math.Abs(number(t, row["X"])-l.Lon) > 1e-6 || math.Abs(number(t, row["Y"])-l.Lat) > 1e-6 || !near(clock(t, row["landing_time"]), trueInstant(l.Seconds)) {
				t.Fatalf("member %d came back as %v, want %v", i+1, row, *l)
			}
		}
	})
}

// A parser of other authorship finds both XML files in order, whatever the name.
func TestOutsideWellFormed(t *testing.T) {
	xmllint := tool(t, "xmllint", "libxml2-utils")
	o := scenes[1].odds(t)
	for _, w := range writers[1:3] {
		path := filepath.Join(t.TempDir(), w.name)
		if err := os.WriteFile(path, write(t, w.write, o, "<b>&\x01\ufffe \"'"), 0o600); err != nil {
			t.Fatal(err)
		}
		run(t, xmllint, "--noout", path)
	}
}
