package terrain

import (
	"archive/zip"
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"pappus/measure/geo"
)

// shared finds the real data kept beside the project.
func shared(t *testing.T, name string) []byte {
	t.Helper()
	root := os.Getenv("PAPPUS_DATA")
	if root == "" {
		dir, err := os.Getwd()
		if err != nil {
			t.Fatal(err)
		}
		for ; ; dir = filepath.Dir(dir) {
			if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
				break
			}
			if dir == filepath.Dir(dir) {
				t.Fatal("no go.mod above the test")
			}
		}
		root = filepath.Join(dir, "..", "shared", "data")
	}
	data, err := os.ReadFile(filepath.Join(root, name))
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("in CI the shared data must be there: %v", err)
		}
		t.Skipf("the shared data are not here (set PAPPUS_DATA): %v", err)
	}
	return data
}

// TestOutsideDEMTile holds a real tile against the heights stated with it.
func TestOutsideDEMTile(t *testing.T) {
	const name = "N44W072.SRTMGL3.hgt.zip"
	tile, err := ParseHGT(name, shared(t, "dem/"+name))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		lat, lon float64
		want     geo.AltMSL
	}{
		{44.270833, -71.303333, 1908}, {45, -72, 415}, {44, -72, 341}, {45, -71, 456}, {44, -71, 139},
	} {
		// 0.3 m: the place of the top is given to a millionth of a degree, a thousandth of a post.
		if got, ok := tile.At(geo.Point{LatDeg: c.lat, LonDeg: c.lon}); !ok || math.Abs(float64(got-c.want)) > 0.3 {
			t.Errorf("%v: %.2f, %v, want %v", c, got, ok, c.want)
		}
	}
	w := world(t)
	layers := NewLayers(w, tile)
	if h, e, source := layers.Elevation(geo.Point{LatDeg: 44.270833, LonDeg: -71.303333}); math.Abs(float64(h)-1908) > 0.3 || e > 10 || source != "SRTM tile N44W072 (90 m)" {
		t.Errorf("%v ± %v from %q", h, e, source)
	}
	if _, _, source := layers.Elevation(geo.Point{LatDeg: 43.9, LonDeg: -71.5}); source != SourceCorrected {
		t.Errorf("beside the tile: %q", source)
	}
	// How far the carried relief is off in this piece of the White Mountains, at places of no choice.
	sum, bare, held, n := 0.0, 0.0, 0.0, 0.0
	for y := range 60 {
		for x := range 60 {
			p := geo.Point{LatDeg: 44 + (float64(y)+0.5)/60, LonDeg: -72 + (float64(x)+0.5)/60}
			truth, ok := tile.At(p)
			if !ok {
				t.Fatalf("void at %v", p)
			}
			h, e, _ := w.Elevation(p)
			miss := float64(h - truth)
			if math.Abs(miss) <= e {
				held++
			}
			sum, bare, n = sum+miss*miss, bare+math.Pow(w.bare(p).height-float64(truth), 2), n+1
		}
	}
	t.Logf("the carried relief among these mountains: %.0f m RMS (uncorrected %.0f), %.0f %% within the error stated",
		math.Sqrt(sum/n), math.Sqrt(bare/n), 100*held/n)
	if sum > bare || held/n < 0.6 || held/n > 0.85 { // one standard deviation should hold 68 %
		t.Error("it is not as good as it says")
	}
}

// slope makes a tile whose height is known at every place: 2 a row from the north, 3 a column from the west.
func slope(posts int) []byte {
	data := make([]byte, 2*posts*posts)
	for j := range posts {
		for i := range posts {
			v := (2*j + 3*i) % 30000
			data[2*(j*posts+i)], data[2*(j*posts+i)+1] = byte(v>>8), byte(v)
		}
	}
	return data
}

func TestTileIsBilinear(t *testing.T) {
	for _, posts := range []int{1201, 3601} {
		tile, err := ParseHGT("S01E179.hgt", slope(posts))
		if err != nil {
			t.Fatal(err)
		}
		n := float64(posts - 1)
		for _, c := range [][2]float64{{0, 0}, {0.25, 0.5}, {10.5, 20.75}, {n, 0}, {0, n}, {n, n}, {n - 0.5, n - 0.25}} {
			p := geo.Point{LatDeg: 0 - c[0]/n, LonDeg: 179 + c[1]/n}
			got, ok := tile.At(p)
			if want := 2*c[0] + 3*c[1]; !ok || math.Abs(float64(got)-want) > 1e-6 {
				t.Errorf("%d posts, %v: %v, %v, want %v", posts, c, got, ok, want)
			}
		}
		if _, ok := tile.At(geo.Point{LatDeg: 0.01, LonDeg: 179.5}); ok {
			t.Error("a place north of the tile has a height")
		}
	}
}

func TestVoidsFallThrough(t *testing.T) {
	data := slope(1201)
	const row, column = 600, 700
	data[2*(row*1201+column)], data[2*(row*1201+column)+1] = 0x80, 0
	tile, err := ParseHGT("N10E010.hgt", data)
	if err != nil {
		t.Fatal(err)
	}
	base := Plain{Height: 77, ErrorM: 50, Source: "a plain"}
	layers := NewLayers(base, tile)
	at := func(r, c float64) geo.Point { return geo.Point{LatDeg: 11 - r/1200, LonDeg: 10 + c/1200} }
	for _, c := range []struct {
		r, c float64
		void bool
	}{{row, column, true}, {row + 0.5, column + 0.5, true}, {row - 0.5, column - 0.5, true}, {row + 1.5, column, false}, {row, column - 1, false}} {
		h, _, source := layers.Elevation(at(c.r, c.c))
		if (source == "a plain") != c.void || (h == 77) != c.void {
			t.Errorf("%v: %v from %q", c, h, source)
		}
	}
}

func TestFinerTileWins(t *testing.T) {
	coarse, err := ParseHGT("N10E010.hgt", slope(1201))
	if err != nil {
		t.Fatal(err)
	}
	fine, err := ParseHGT("n10e010.HGT", slope(3601))
	if err != nil {
		t.Fatal(err)
	}
	for _, order := range [][]*Tile{{coarse, fine}, {fine, coarse}} {
		if _, _, source := NewLayers(Plain{}, order...).Elevation(geo.Point{LatDeg: 10.5, LonDeg: 10.5}); !strings.Contains(source, "30 m") {
			t.Errorf("%q", source)
		}
	}
}

func zipped(t *testing.T, name string, body []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	f, err := w.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Write(body); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestParseHGTRefuses(t *testing.T) {
	good := slope(1201)
	for name, c := range map[string]struct {
		file string
		data []byte
		says string
	}{
		"a short tile":    {"N44W072.hgt", good[:len(good)-2], "expected 2884802"},
		"no corner":       {"tile.hgt", good, "south-west corner"},
		"off the globe":   {"N95E010.hgt", good, "no square degree"},
		"nothing":         {"N44W072.hgt", nil, "0 bytes"},
		"a broken zip":    {"N44W072.zip", []byte("PK\x03\x04 and no more"), "zip"},
		"another archive": {"N44W072.zip", zipped(t, "readme.txt", good), "no .hgt"},
		"a zip bomb":      {"N44W072.zip", zipped(t, "N44W072.hgt", make([]byte, 60<<20)), "at most"},
	} {
		if _, err := ParseHGT(c.file, c.data); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want it to say %q", name, err, c.says)
		}
	}
	if tile, err := ParseHGT(`C:\tiles\whatever.zip`, zipped(t, "a/S33E151.hgt", good)); err != nil || tile.Corner() != (geo.Point{LatDeg: -33, LonDeg: 151}) {
		t.Errorf("a zipped tile: %v", err)
	}
}

func FuzzParseHGT(f *testing.F) {
	f.Add("N44W072.hgt", []byte("PK\x03\x04"))
	f.Add("S1E1", []byte{1, 2})
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		if tile, err := ParseHGT(name, data); err == nil {
			tile.At(tile.Corner())
		}
	})
}

// TestOutsideGeoid: 3 cm are the steps of 2 cm and the other program's own rounding of its posts.
func TestOutsideGeoid(t *testing.T) {
	g, err := LoadGeoid()
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("testdata/geoid.tsv")
	if err != nil {
		t.Fatal(err)
	}
	n, worst := 0, 0.0
	for line := range strings.Lines(string(text)) {
		f := strings.Fields(line)
		if f[0] == "#" {
			continue
		}
		var v [3]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(f[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		d := math.Abs(g.UndulationM(geo.Point{LatDeg: v[0], LonDeg: v[1]}) - v[2])
		n, worst = n+1, max(worst, d)
		if d > 0.03 {
			t.Errorf("%s: %.3f away", line, d)
		}
	}
	if n < 150 {
		t.Fatalf("only %d rows", n)
	}
	t.Logf("%d places, largest difference %.3f m", n, worst)
	// Two values by PROJ 9.1.1 with the same grid (SOURCE.md).
	for _, c := range [][3]float64{{0, 0, 17.1616}, {47.1, 9.5, 47.2121}} {
		if got := g.UndulationM(geo.Point{LatDeg: c[0], LonDeg: c[1]}); math.Abs(got-c[2]) > 0.02 {
			t.Errorf("%v: %.4f", c, got)
		}
	}
	p := geo.Point{LatDeg: 47.1, LonDeg: 9.5}
	if h := g.HAE(p, 450); math.Abs(float64(h)-497.21) > 0.02 || math.Abs(float64(g.MSL(p, h))-450) > 1e-9 {
		t.Errorf("450 m above the sea are %v above the ellipsoid", h)
	}
}

func TestAGL(t *testing.T) {
	if got := AGL(Plain{Height: 600}, geo.Point{}, 1000); got != 400 {
		t.Errorf("%v", got)
	}
}
