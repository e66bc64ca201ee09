package grib2

import (
	"bytes"
	"errors"
	"math"
	"testing"
)

// section3 makes the octets of a grid of template 3.0 by hand.
func section3(ni, nj int, la1, lo1, la2, lo2, di, dj float64, scan byte) octets {
	o := make(octets, 72)
	put32(o, 1, 72)
	o[4], o[14], o[54], o[71] = 3, 6, 0x30, scan
	put32(o, 7, ni*nj)
	put32(o, 31, ni)
	put32(o, 35, nj)
	for octet, degrees := range map[int]float64{47: la1, 51: lo1, 56: la2, 60: lo2, 64: di, 68: dj} {
		v := int(math.Round(math.Abs(degrees) * 1e6))
		if degrees < 0 {
			v += 1 << 31
		}
		put32(o, octet, v)
	}
	return o
}

func gridOf(t *testing.T, o octets) Grid {
	t.Helper()
	g, err := parseGrid(o, 0)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// TestScanning numbers the points of a grid of four columns and three rows in
// every scanning direction. The place of a point must not depend on it.
func TestScanning(t *testing.T) {
	for scan := 0; scan < 256; scan += 16 {
		la1, la2, lo1, lo2 := 50.0, 40.0, 350.0, 5.0
		if scan&0x40 != 0 {
			la1, la2 = la2, la1
		}
		if scan&0x80 != 0 {
			lo1, lo2 = lo2, lo1
		}
		g := gridOf(t, section3(4, 3, la1, lo1, la2, lo2, 5, 5, byte(scan)))
		if err := g.Regular(); err != nil {
			t.Fatalf("mode %02x: %v", scan, err)
		}
		seen := map[int]bool{}
		for j := range 3 {
			for i := range 4 {
				index := g.Index(i, j)
				if index < 0 || index >= 12 || seen[index] {
					t.Fatalf("mode %02x: column %d, row %d is %d", scan, i, j, index)
				}
				seen[index] = true
				lat, lon := g.At(index)
				if math.Abs(lat-(50-5*float64(j))) > 1e-12 || math.Abs(lon-(-10+5*float64(i))) > 1e-12 {
					t.Errorf("mode %02x: column %d, row %d lies at %v, %v", scan, i, j, lat, lon)
				}
			}
		}
		for _, outside := range [][2]int{{-1, 0}, {0, -1}, {4, 0}, {0, 3}} {
			if g.Index(outside[0], outside[1]) != -1 {
				t.Errorf("mode %02x: there is a point at %v", scan, outside)
			}
		}
	}
	// Flag table 3.4 in words, for the second row from the north: mode 0 runs on
	// eastward, 16 runs back, 32 goes down the columns.
	for scan, want := range map[byte][4]int{0: {4, 5, 6, 7}, 16: {7, 6, 5, 4}, 32: {1, 4, 7, 10}, 48: {1, 4, 7, 10}, 128: {7, 6, 5, 4}, 64: {4, 5, 6, 7}} {
		g := gridOf(t, section3(4, 3, 50, 350, 40, 5, 5, 5, scan))
		for i := range 4 {
			if got := g.Index(i, 1); got != want[i] {
				t.Errorf("mode %d: column %d of the second row is %d, not %d", scan, i, got, want[i])
			}
		}
	}
}

// TestGridEdges places grids around the globe, across Greenwich, across the
// antimeridian and at the poles, with longitudes counted in both ways.
func TestGridEdges(t *testing.T) {
	type point struct {
		index    int
		lat, lon float64
	}
	for name, c := range map[string]struct {
		grid   octets
		points []point
	}{
		"global from 0":                 {section3(1440, 721, 90, 0, -90, 359.75, 0.25, 0.25, 0), []point{{0, 90, 0}, {720, 90, -180}, {1439, 90, -0.25}, {1440*721 - 1, -90, -0.25}}},
		"global from -180":              {section3(360, 181, 90, -180, -90, 179, 1, 1, 0), []point{{0, 90, -180}, {359, 90, 179}, {180, 90, 0}}},
		"global from 180":               {section3(900, 451, 90, 180, -90, 179.6, 0.4, 0.4, 0), []point{{0, 90, -180}, {450, 90, 0}, {899, 90, 179.6}}},
		"global, first column repeated": {section3(361, 3, 10, 0, 0, 360, 1, 5, 0), []point{{360, 10, 0}, {361, 5, 0}}},
		"across Greenwich":              {section3(5, 2, 55, 358, 54, 2, 1, 1, 0), []point{{0, 55, -2}, {2, 55, 0}, {4, 55, 2}}},
		"across the antimeridian":       {section3(5, 2, 55, 178, 54, -178, 1, 1, 0), []point{{0, 55, 178}, {2, 55, -180}, {4, 55, -178}}},
		"south to north":                {section3(2, 181, -90, 10, 90, 11, 1, 1, 64), []point{{0, -90, 10}, {361, 90, 11}}},
		"thirds of a degree":            {section3(1080, 2, 10, 0, 9, 359.666667, 0.333333, 1, 0), []point{{540, 10, -180}, {1079, 10, -0.333333}}},
		"counted past 360":              {section3(36, 18, -84.875, 184.875, 85.125, 534.875, 10, 10, 64), []point{{0, -84.875, -175.125}, {35, -84.875, 174.875}}},
		"one point":                     {section3(1, 1, 33.9, 242.4, 33.9, 242.4, 0.01, 0.01, 64), []point{{0, 33.9, -117.6}}},
	} {
		g := gridOf(t, c.grid)
		if err := g.Regular(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		for _, p := range c.points {
			lat, lon := g.At(p.index)
			// Corners are coded to a millionth of a degree.
			if math.Abs(lat-p.lat) > 1e-6 || math.Abs(math.Remainder(lon-p.lon, 360)) > 1e-6 || lon < -180 || lon >= 180 {
				t.Errorf("%s: point %d lies at %v, %v, not %v, %v", name, p.index, lat, lon, p.lat, p.lon)
			}
		}
		if lat, lon := g.At(g.Points); !math.IsNaN(lat) || !math.IsNaN(lon) {
			t.Errorf("%s: there is a point after the last", name)
		}
	}
}

// TestGridRefuses checks grids that contradict themselves or are of other kinds.
func TestGridRefuses(t *testing.T) {
	good := func() octets { return section3(4, 3, 50, 0, 40, 15, 5, 5, 0) }
	for name, spoil := range map[string]func(o octets) octets{
		"points":       func(o octets) octets { put32(o, 7, 13); return o },
		"latitude":     func(o octets) octets { put32(o, 47, 90_100_000); return o },
		"longitude":    func(o octets) octets { put32(o, 51, 800_000_000); return o },
		"length":       func(o octets) octets { return o[:60] },
		"subdivisions": func(o octets) octets { put32(o, 39, 1); return o },
	} {
		var damage *DamageError
		if _, err := parseGrid(spoil(good()), 0); !errors.As(err, &damage) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, spoil := range map[string]func(o octets) octets{
		"rows of different lengths": func(o octets) octets { put32(o, 31, math.MaxUint32); return o },
		"shifted rows":              func(o octets) octets { o[71] = 0x08; return o },
		"rotated":                   func(o octets) octets { o[13] = 1; return append(o, make([]byte, 12)...) },
		"Gaussian":                  func(o octets) octets { o[13] = 40; return o },
		"unknown":                   func(o octets) octets { o[12] = 7; return o },
	} {
		g, err := parseGrid(spoil(good()), 0)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		var unsupported *UnsupportedError
		if !errors.As(g.Regular(), &unsupported) {
			t.Errorf("%s: %v", name, g.Regular())
		}
		if lat, _ := g.At(0); !math.IsNaN(lat) {
			t.Errorf("%s: there is a place all the same", name)
		}
	}
	backwards := gridOf(t, section3(4, 3, 40, 0, 50, 15, 5, 5, 0))
	if backwards.Regular() == nil {
		t.Error("rows run north although the scanning mode says south")
	}
}

// TestBasicAngle gives angles as fractions of a basic angle: 90 degrees in 3600
// parts make steps of a fortieth of a degree.
func TestBasicAngle(t *testing.T) {
	o := section3(3, 2, 0, 0, 0, 0, 0, 0, 0)
	put32(o, 39, 90)
	put32(o, 43, 3600)
	for octet, parts := range map[int]int{47: 2000, 51: 400, 56: 1960, 60: 480, 64: 40, 68: 40} {
		put32(o, octet, parts)
	}
	g := gridOf(t, o)
	if g.La1 != 50 || g.Lo1 != 10 || g.La2 != 49 || g.Lo2 != 12 || g.Di != 1 || g.Dj != 1 {
		t.Errorf("%+v", g)
	}
}

// TestProducts reads product templates from octets.
func TestProducts(t *testing.T) {
	reference := invented(2, 2).Reference
	head := func(template, octets int) octets {
		o := make([]byte, octets)
		put32(o, 1, octets)
		o[4], o[8], o[9], o[10], o[17] = 4, byte(template), 2, 3, 1
		put32(o, 19, 6)
		o[22], o[28], o[29] = 103, 255, 255
		put32(o, 25, 10)
		put32(o, 31, math.MaxUint32)
		return o
	}
	interval := func(o octets, octet int, ranges byte) octets {
		copy(o[octet-1:], []byte{0x07, 0xeb, 4, 17, 18, 0, 0, ranges, 0, 0, 0, 0, 1, 2, 1, 0, 0, 0, 6})
		return o
	}
	for template, c := range map[int]struct {
		octets     octets
		end        int64
		statistic  uint8
		member, of int
	}{
		0:  {head(0, 34), 6 * 3600, 255, -1, -1},
		1:  {append(head(1, 37)[:34], 3, 7, 20), 6 * 3600, 255, 7, 20},
		2:  {append(head(2, 36)[:34], 0, 20), 6 * 3600, 255, -1, 20},
		8:  {interval(head(8, 58), 35, 1), 12 * 3600, 1, -1, -1},
		11: {interval(append(head(11, 61)[:34], append([]byte{3, 7, 20}, make([]byte, 24)...)...), 38, 2), 12 * 3600, 1, 7, 20},
		12: {interval(append(head(12, 60)[:34], append([]byte{0, 20}, make([]byte, 24)...)...), 37, 1), 12 * 3600, 1, -1, 20},
	} {
		p, err := parseProduct(c.octets, 0, reference)
		if err != nil {
			t.Errorf("template 4.%d: %v", template, err)
			continue
		}
		if !p.Known || p.Category != 2 || p.Number != 3 || p.ForecastSeconds != 6*3600 || p.EndSeconds != c.end || p.Statistic != c.statistic ||
			p.Statistical != (c.statistic != 255) || p.Member != c.member || p.MembersInEnsemble != c.of || p.First != (Surface{103, 10, false}) || p.Second.Type != 255 {
			t.Errorf("template 4.%d: %+v", template, p)
		}
		if _, err := parseProduct(c.octets[:len(c.octets)-1], 0, reference); err == nil {
			t.Errorf("template 4.%d: one octet is missing, yet it was taken", template)
		}
	}
	odd := head(0, 34)
	odd[8] = 99
	if p, err := parseProduct(odd, 0, reference); err != nil || p.Known || p.Template != 99 || p.Category != 2 {
		t.Errorf("an unknown template gives %+v, %v", p, err)
	}
	odd[8], odd[17] = 0, 200
	if _, err := parseProduct(odd, 0, reference); err == nil {
		t.Error("a time unit that does not exist was taken")
	}
}

// TestNames checks names and levels against the words of code tables 4.2 and 4.5.
func TestNames(t *testing.T) {
	none := Surface{Type: 255, Missing: true}
	for _, c := range []struct {
		d, c, n          uint8
		first, second    Surface
		parameter, level string
	}{
		{0, 3, 5, Surface{100, 50000, false}, none, "gh", "500 hPa"},
		{0, 0, 0, Surface{100, 250, false}, none, "t", "2.5 hPa"},
		{0, 2, 2, Surface{103, 10, false}, none, "10u", "10 m above ground"},
		{0, 2, 3, Surface{103, 100, false}, none, "100v", "100 m above ground"},
		{0, 2, 2, Surface{103, 80, false}, none, "u", "80 m above ground"},
		{0, 0, 0, Surface{103, 2, false}, none, "2t", "2 m above ground"},
		{0, 3, 0, Surface{1, 0, true}, none, "sp", "surface"},
		{0, 3, 5, Surface{1, 0, true}, none, "orog", "surface"},
		{0, 3, 1, Surface{101, 0, true}, none, "prmsl", "mean sea level"},
		{0, 2, 22, Surface{1, 0, true}, none, "gust", "surface"},
		{0, 6, 1, Surface{10, 0, true}, Surface{255, 0, true}, "tcc", "whole atmosphere"},
		{2, 0, 2, Surface{106, 0, false}, Surface{106, 0.1, false}, "st", "0 to 0.1 m below ground"},
		{0, 2, 2, Surface{108, 3000, false}, Surface{108, 0, false}, "u", "30 to 0 hPa above ground"},
		{0, 2, 10, Surface{109, -2e-6, false}, none, "absv", "-2 PVU"},
		{0, 2, 2, Surface{7, 0, true}, none, "u", "tropopause"},
		{0, 19, 238, Surface{77, 3, false}, none, "0.19.238", "surface type 77 at 3"},
		{10, 0, 200, none, none, "10.0.200", "no level"},
	} {
		f := Field{Discipline: c.d, Product: Product{Known: true, Category: c.c, Number: c.n, First: c.first, Second: c.second}}
		if got := f.Parameter(); got != c.parameter {
			t.Errorf("%d.%d.%d at %s is called %s, not %s", c.d, c.c, c.n, c.level, got, c.parameter)
		}
		if got := f.Level(); got != c.level {
			t.Errorf("level %+v %+v is %q, not %q", c.first, c.second, got, c.level)
		}
	}
}

// TestJunk puts text and false starts between messages.
func TestJunk(t *testing.T) {
	good := smallGood(t)["simple"]
	file := bytes.Join([][]byte{[]byte("junk GRIB of no edition "), good, []byte("\x00\x00GRIB\x00\x00"), good, []byte("7777 tail GRI")}, nil)
	fields, faults := Scan(file)
	if len(fields) != 2 || len(faults) != 0 || fields[1].Message != 2 || fields[1].Offset != 24+len(good)+8 {
		t.Errorf("%d fields, faults %v", len(fields), faults)
	}
	// A message whose end is spoilt costs only itself.
	spoilt := append([]byte(nil), good...)
	spoilt[len(spoilt)-1] = '8'
	fields, faults = Scan(bytes.Join([][]byte{good, spoilt, good}, nil))
	if len(fields) != 2 || len(faults) != 1 || faults[0].Message != 2 || faults[0].Offset != len(good) {
		t.Errorf("%d fields, faults %v", len(fields), faults)
	}
}
