package export

import (
	"bytes"
	"encoding/csv"
	"math"
	"slices"
	"strings"
	"testing"

	"pappus/air/forecast"
	"pappus/flight"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
)

var writers = []struct {
	name  string
	write writer
}{{"GeoJSON", GeoJSON}, {"KML", KML}, {"GPX", GPX}, {"CSV", CSV}}

func TestSameOctets(t *testing.T) {
	o := scenes[1].odds(t)
	for _, w := range writers {
		if !bytes.Equal(write(t, w.write, o, "twice"), write(t, w.write, o, "twice")) {
			t.Errorf("%s differs from one time to the next", w.name)
		}
	}
}

// Whatever the name, a reader gets it back as one clean line.
func TestNames(t *testing.T) {
	o := nominalOnly(scenes[0].odds(t))
	for given, want := range map[string]string{
		`A & B <i>"quoted"</i> ]]>`:             `A & B <i>"quoted"</i> ]]>`,
		"two\nlines\tand \x00\x1b[31m a bell\a": "two lines and [31m a bell",
		"turned \u202eround\u202c":              "turned round",
		"not\xffUTF-8 \ufffe\uffff é 風船":        "notUTF-8 é 風船",
		strings.Repeat("ä", 300):                strings.Repeat("ä", 200),
	} {
		top, _ := readGeoJSON(t, write(t, GeoJSON, o, given))
		if top["name"] != want {
			t.Errorf("GeoJSON: %q came back as %q", given, top["name"])
		}
		for _, w := range writers[1:3] {
			if got := readXML(t, write(t, w.write, o, given)).value("name"); got != want {
				t.Errorf("%s: %q came back as %q", w.name, given, got)
			}
		}
	}
}

func TestRefuses(t *testing.T) {
	good := nominalOnly(scenes[0].odds(t))
	noTrack, lost, adrift := *good, *good, *scenes[0].odds(t)
	noTrack.Nominal = &trajectory.Track{}
	lost.Nominal = &trajectory.Track{Up: slices.Clone(good.Nominal.Up), Down: good.Nominal.Down}
	lost.Nominal.Up[3].LatDeg = math.NaN()
	adrift.Result.Landings[7].Lon = math.Inf(1)
	for _, w := range writers {
		for what, o := range map[string]*flight.Odds{"nothing": nil, "no track": &noTrack, "a place that is none": &lost} {
			if data, err := w.write(o, ""); err == nil || data != nil {
				t.Errorf("%s writes %s", w.name, what)
			}
		}
	}
	for _, w := range []writer{GeoJSON, CSV} {
		if _, err := w(&adrift, ""); err == nil || !strings.Contains(err.Error(), "member 8") {
			t.Errorf("a member that is nowhere: %v", err)
		}
	}
}

func readCSV(t *testing.T, data []byte) []map[string]string {
	t.Helper()
	lines, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var table []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, name := range lines[0] {
			row[name] = line[i]
		}
		table = append(table, row)
	}
	return table
}

func TestCSV(t *testing.T) {
	eachScene(t, func(t *testing.T, _ scene, o *flight.Odds) {
		o.Result.Landings[3].Edges = forecast.AboveTop | forecast.OutsideArea
		o.Result.Landings[4].Status = trajectory.NoLift
		// Still in the air: one on its way up, one on its way down.
		up, down := &o.Result.Landings[5], &o.Result.Landings[6]
		up.Status, down.Status = trajectory.Aloft, trajectory.Aloft
		up.Seconds = up.BurstSeconds
		table := readCSV(t, write(t, CSV, o, "any"))
		if len(table) != len(o.Result.Landings) {
			t.Fatalf("%d rows", len(table))
		}
		for i, row := range table {
			if number(t, row["member"]) != float64(i+1) {
				t.Fatalf("row %d is member %s", i, row["member"])
			}
			checkMember(t, row, &o.Result.Landings[i], i != 4 && i != 5, i < 4 || i > 6)
		}
		for i, want := range []string{"landed", "no_lift", "aloft", "aloft", "landed"} {
			if got := table[3+i]["status"]; got != want {
				t.Errorf("member %d is %s", 4+i, got)
			}
		}
		if table[3]["held"] != "above_top+outside_area" {
			t.Errorf("held %q", table[3]["held"])
		}
	})
}

func checkMember(t *testing.T, row map[string]string, l *ensemble.Landing, burst, landed bool) {
	t.Helper()
	figures := []struct {
		name            string
		there           bool
		want, tolerance float64 // half a unit of the last place, and a little
	}{
		{"burst_lat_deg", burst, l.BurstLat, 0.6e-7}, {"burst_lon_deg", burst, l.BurstLon, 0.6e-7}, {"burst_alt_m", burst, l.BurstAlt, 0.051},
		{"landing_lat_deg", landed, l.Lat, 0.6e-7}, {"landing_lon_deg", landed, l.Lon, 0.6e-7}, {"landing_alt_m", landed, l.Alt, 0.051},
		{"landing_speed_mps", landed, float64(l.Speed), 0.0051}, {"mean_rise_mps", burst, float64(l.Rise), 0.0051},
	}
	for _, f := range figures {
		if there := row[f.name] != ""; there != f.there || there && math.Abs(number(t, row[f.name])-f.want) > f.tolerance {
			t.Errorf("%s is %q, want %v (there: %v)", f.name, row[f.name], f.want, f.there)
		}
	}
	times := []struct {
		name    string
		there   bool
		seconds float64
	}{{"start_time", true, l.StartSeconds}, {"burst_time", burst, l.BurstSeconds}, {"landing_time", landed, l.Seconds}}
	for _, f := range times {
		if there := row[f.name] != ""; there != f.there || there && !near(instantOf(t, row[f.name]), trueInstant(f.seconds)) {
			t.Errorf("%s is %q, want %v", f.name, row[f.name], trueInstant(f.seconds))
		}
	}
	if row["early_burst"] == "true" != l.Early || row["fouled"] == "true" != l.Fouled {
		t.Errorf("early %s, fouled %s, want %v, %v", row["early_burst"], row["fouled"], l.Early, l.Fouled)
	}
}

// Without spreads the one row is the central flight.
func TestCSVWithoutSpreads(t *testing.T) {
	o := nominalOnly(scenes[0].odds(t))
	table := readCSV(t, write(t, CSV, o, ""))
	all := rows(o)
	end := all[len(all)-1]
	if len(table) != 1 || table[0]["member"] != "0" || table[0]["status"] != "landed" {
		t.Fatalf("%v", table)
	}
	if math.Abs(number(t, table[0]["landing_lon_deg"])-end.LonDeg) > 0.6e-7 || !near(instantOf(t, table[0]["landing_time"]), trueInstant(end.Seconds)) {
		t.Errorf("%v, want %v", table[0], end.Place)
	}
}

// Every edge of a sky has its word, and none has two.
func TestHeldWords(t *testing.T) {
	seen := map[string]bool{"": true}
	for _, edge := range forecast.HeldEdges() {
		word := heldWords(edge)
		if seen[word] {
			t.Errorf("%v is called %q, as another", edge, word)
		}
		seen[word] = true
	}
}

// Points on the antimeridian itself belong to both sides.
func TestCutLine(t *testing.T) {
	at := func(lon, lat float64) position { return position{lon: lon, lat: lat, at: epoch} }
	for _, c := range []struct {
		name string
		line []position
		want [][]xy
	}{
		{"no crossing", []position{at(1, 1), at(2, 2)}, [][]xy{{{1, 1}, {2, 2}}}},
		{"one point", []position{at(1, 1)}, nil},
		{"on the equator", []position{at(179, 0), at(-179, 0)}, [][]xy{{{179, 0}, {180, 0}}, {{-180, 0}, {-179, 0}}}},
		{"there and back", []position{at(-179, 0), at(179, 0), at(-179, 0)},
			[][]xy{{{-179, 0}, {-180, 0}}, {{180, 0}, {179, 0}, {180, 0}}, {{-180, 0}, {-179, 0}}}},
		{"a point on it", []position{at(179, 0), at(-180, 1), at(-179, 2)}, [][]xy{{{179, 0}, {180, 1}}, {{-180, 1}, {-179, 2}}}},
		{"begins on it", []position{at(-180, 1), at(179, 0)}, [][]xy{{{180, 1}, {179, 0}}}},
		{"ends on it", []position{at(179, 0), at(-180, 1)}, [][]xy{{{179, 0}, {180, 1}}}},
		{"along it", []position{at(-180, 1), at(-180, 2)}, [][]xy{{{-180, 1}, {-180, 2}}}},
	} {
		var got [][]xy
		for _, piece := range cutLine(c.line) {
			var flat []xy
			for _, p := range piece {
				flat = append(flat, xy{p.lon, p.lat})
			}
			got = append(got, flat)
		}
		if !slices.EqualFunc(got, c.want, slices.Equal[[]xy]) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	// Close to the pole a share of the longitudes would give latitude 89.1: the
	// chord from (89, 90 E) to (89.2, 100 W) meets the antimeridian nearer the
	// pole. In the plane about it, in degrees from it: (0, 1) to (-0.1389, -0.7878),
	// which meets the ray of 180 at 0.0777.
	pieces := cutLine([]position{at(90, 89), at(-100, 89.2)})
	if lat := pieces[0][1].lat; math.Abs(lat-(90-0.0777)) > 2e-4 {
		t.Errorf("crosses at %v", lat)
	}
}
