// Package landcover tells what lies at a place and how far away what is: sea, lakes, rivers, towns, airfields,
// country and state borders, and areas that the person has drawn.
//
// All of it is coarse (see doc/ground.md): coasts and borders to half a kilometre or a kilometre, only lakes and rivers
// that show on a map of the world, built-up land to a kilometre. What is not in it at all, NotLookedAt names.
package landcover

import (
	"embed"
	"fmt"
	"math"
	"strings"
	"sync"

	"pappus/ground/terrain/gazetteer"
	"pappus/ground/terrain/nearby"
	"pappus/ground/terrain/packed"
	"pappus/measure/geo"
)

//go:embed regions.bin lakes.bin urban.bin rivers.bin
var files embed.FS

// Map is the world's ground with the person's own areas over it. It may be shared; With makes another one.
type Map struct {
	*layers
	own []OwnArea
}

// layers are the embedded tables, unpacked.
type layers struct {
	regions   *areas
	lakes     *areas
	urban     *areas
	table     []Region
	countries []uint16 // for each region, the number of the first region of its country
	towns     *gazetteer.Towns
	airfields *gazetteer.Airfields
	lines     [lineKinds]func() *lines
	rivers    func() *outlines
}

// Region is a state or province, or a country that has none.
type Region struct {
	State   string // or province; may be empty
	Country string
	ISO     string // the country's two letters, or three where Natural Earth gives no two
	Code    string // of the state, ISO 3166-2, where known
}

// Name is the state and the country, as far as they differ.
func (r Region) Name() string {
	if r.State == "" || r.State == r.Country {
		return r.Country
	}
	return r.State + ", " + r.Country
}

// World unpacks the embedded tables, once, in about a tenth of a second.
var World = sync.OnceValues(func() (*Map, error) {
	l := &layers{}
	var wait sync.WaitGroup
	var townsErr, fieldsErr error
	wait.Go(func() {
		l.towns, townsErr = gazetteer.LoadTowns()
		l.airfields, fieldsErr = gazetteer.LoadAirfields()
	})
	err := l.unpack()
	wait.Wait()
	for _, e := range []error{err, townsErr, fieldsErr} {
		if e != nil {
			return nil, e
		}
	}
	return &Map{layers: l}, nil
})

func open(name string) (*packed.File, error) {
	data, err := files.ReadFile(name)
	if err != nil {
		return nil, err
	}
	return packed.Open(data)
}

// unpackAreas reads one table of areas; the last section belongs to the caller.
func unpackAreas(name string, cellsPerDegree int) (*areas, []byte, error) {
	file, err := open(name)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	o, err := decodeOutlines(file)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	last, err := file.Section(3)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	return newAreas(o, cellsPerDegree), last, nil
}

func (l *layers) unpack() error {
	var table []byte
	var err error
	if l.regions, table, err = unpackAreas("regions.bin", 4); err != nil {
		return err
	}
	if l.lakes, _, err = unpackAreas("lakes.bin", 2); err != nil {
		return err
	}
	if l.urban, _, err = unpackAreas("urban.bin", 2); err != nil {
		return err
	}
	first := map[string]uint16{}
	l.table, l.countries = make([]Region, 1), make([]uint16, 1)
	for row := range strings.Lines(string(table)) {
		f := strings.Split(strings.TrimSuffix(row, "\n"), "\t")
		if len(f) != 4 {
			return fmt.Errorf("regions.bin: row %d has %d columns, expected 4", len(l.table), len(f))
		}
		n := uint16(len(l.table))
		if _, seen := first[f[1]]; !seen {
			first[f[1]] = n
		}
		l.table = append(l.table, Region{State: f[0], Country: f[1], ISO: f[2], Code: f[3]})
		l.countries = append(l.countries, first[f[1]])
	}
	l.rivers = sync.OnceValue(func() *outlines {
		file, err := open("rivers.bin")
		if err != nil {
			panic(err) // part of the program; a test opens it
		}
		o, err := decodeOutlines(file)
		if err != nil {
			panic(err)
		}
		return o
	})
	l.prepareLines()
	return nil
}

// Ground is what a place is, as far as a landing goes.
type Ground uint8

// The kinds of ground.
const (
	Land   Ground = iota // none of the others, as far as these data know
	Town                 // built-up
	Lake                 // a lake that shows on a map of the world, or one the person has drawn
	Sea                  // no country's land; the Caspian counts as sea
	Forest               // only where the person has drawn it
)

var groundWords = [...]string{"land", "town", "lake", "sea", "forest"}

// String names the ground in a word.
func (g Ground) String() string {
	if int(g) < len(groundWords) {
		return groundWords[g]
	}
	return fmt.Sprintf("ground %d", uint8(g))
}

// Here is what lies at a place.
type Here struct {
	Ground Ground
	// Region is the number of the state or province, 0 at sea. Lakes belong to the states around them.
	Region int
	// Drawn is true where the ground was set by one of the person's own areas.
	Drawn bool
	// Leave is what the person's own areas say about landing here; the one drawn last counts.
	Leave Leave
}

// At tells what lies at a place, without allocating.
func (m *Map) At(p geo.Point) Here {
	h := Here{Region: m.regions.at(p)}
	switch {
	case m.lakes.at(p) != 0:
		h.Ground = Lake
	case h.Region == 0:
		h.Ground = Sea
	case m.builtUp(p):
		h.Ground = Town
	}
	if len(m.own) > 0 {
		m.overlay(p, &h)
	}
	return h
}

// The built-up land of a town is taken as a disc of the area that its people would fill at 2500 to the square kilometre,
// a middling density of towns (judgement); 300 m at least, for a village is longer than it is dense.
const (
	peoplePerSquareKilometre = 2500
	smallestTownM            = 300
	largestTownM             = 6000 // larger ones are drawn as urban areas
)

// townRadiusM is the radius of a town's disc.
func townRadiusM(people int) float64 {
	r := 1000 * math.Sqrt(float64(people)/(math.Pi*peoplePerSquareKilometre))
	return math.Min(math.Max(r, smallestTownM), largestTownM)
}

func (m *Map) builtUp(p geo.Point) bool {
	if m.urban.at(p) != 0 {
		return true
	}
	// Each class is looked for no farther than its largest member reaches.
	for _, class := range [...]struct {
		mask   uint8
		people int
	}{{gazetteer.TownFrom500, 5000}, {gazetteer.TownFrom5000, 50000}, {gazetteer.TownFrom50000, math.MaxInt32}} {
		var near [8]nearby.Near
		n := m.towns.Index.Nearest(p, townRadiusM(class.people), class.mask, near[:])
		for _, t := range near[:n] {
			if t.DistanceM <= townRadiusM(m.towns.Population(int(t.Number))) {
				return true
			}
		}
	}
	return false
}

// Region gives a state or province by its number; number 0 is no country's land.
func (m *Map) Region(number int) Region {
	if number < 0 || number >= len(m.table) {
		return Region{}
	}
	return m.table[number]
}

// SameCountry tells whether two regions belong to one country. With 0 for either it is false.
func (m *Map) SameCountry(a, b int) bool {
	return a > 0 && b > 0 && a < len(m.countries) && b < len(m.countries) && m.countries[a] == m.countries[b]
}

// RegionNear is the region a place lies in or, off the coast, that of the nearest coast within a distance: a launch
// place on the shore should not be nobody's because the coast is coarse. 0 where there is none.
func (m *Map) RegionNear(p geo.Point, withinM float64) int {
	if r := m.regions.at(p); r != 0 {
		return r
	}
	coast := m.line(Coast)
	if _, arc, found := coast.nearest(p, withinM); found {
		return int(max(m.regions.left[arc], m.regions.right[arc]))
	}
	return 0
}
