// Package gazetteer holds the world's towns and airfields: where they are, how high, how many people, what runways.
//
// Towns are GeoNames' places of 500 people and more; airfields are OurAirports' without the closed ones.
// Both are snapshots (see NOTICE.md) reduced by tools/groundmap: places to 10 m, heights to 1 m, populations to three
// figures. A small aerodrome may be missing, private or long given up, and a village under 500 people is not there.
package gazetteer

import (
	_ "embed"
	"fmt"
	"sync"

	"pappus/ground/terrain/nearby"
	"pappus/ground/terrain/packed"
	"pappus/measure/geo"
)

// TownBands and AirfieldBands cut the globe for the two indexes: cells of 28 and of 56 km, a few points in each
// where many people live.
const (
	TownBands     = 720
	AirfieldBands = 360
)

// UnknownHeight stands in the tables where a height is not known.
const UnknownHeight = -32768

//go:embed towns.bin
var townsFile []byte

//go:embed airfields.bin
var airfieldsFile []byte

// Towns are the towns of the world.
type Towns struct {
	Index       *nearby.Index
	points      []geo.Point
	heights     []int16
	populations []int32
	regions     []uint16
	classes     []uint8
	names       func() (words, error)
}

// The classes of towns by people, for the index's mask.
const (
	TownFrom500   uint8 = 1 << iota // fewer than 5000
	TownFrom5000                    // fewer than 50,000
	TownFrom50000                   // and more
	AnyTown       = TownFrom500 | TownFrom5000 | TownFrom50000
)

// LoadTowns decodes the embedded towns, once.
var LoadTowns = sync.OnceValues(func() (*Towns, error) { return decodeTowns(townsFile) })

func decodeTowns(data []byte) (*Towns, error) {
	grid := nearby.NewGrid(TownBands)
	f, err := packed.Open(data)
	if err != nil {
		return nil, fmt.Errorf("towns: %w", err)
	}
	d := decoder{file: f, what: "towns"}
	t := &Towns{}
	t.points = d.points(0, grid)
	n := len(t.points)
	t.heights = column[int16](&d, 1, n, true)
	t.populations = column[int32](&d, 2, n, false)
	t.regions = column[uint16](&d, 3, n, true)
	t.names = d.lazyWords(4, n)
	if d.err != nil {
		return nil, d.err
	}
	t.classes = make([]uint8, n)
	for i, people := range t.populations {
		switch {
		case people >= 50000:
			t.classes[i] = TownFrom50000
		case people >= 5000:
			t.classes[i] = TownFrom5000
		default:
			t.classes[i] = TownFrom500
		}
	}
	if t.Index, err = nearby.New(grid, t.points, t.classes); err != nil {
		return nil, fmt.Errorf("towns: %w", err)
	}
	return t, nil
}

// Len is the number of towns.
func (t *Towns) Len() int { return len(t.points) }

// Point is where a town's centre is.
func (t *Towns) Point(i int) geo.Point { return t.points[i] }

// Height is GeoNames' height of the centre from a digital elevation model (some 90 m wide there), where known.
func (t *Towns) Height(i int) (geo.AltMSL, bool) {
	return geo.AltMSL(t.heights[i]), t.heights[i] != UnknownHeight
}

// Population is rounded to three figures.
func (t *Towns) Population(i int) int { return int(t.populations[i]) }

// Region is the number of the state or province in the landcover package's table.
func (t *Towns) Region(i int) int { return int(t.regions[i]) }

// Name is the town's own name in Latin letters.
func (t *Towns) Name(i int) string { return nameAt(t.names, i) }

// Kind is what sort of airfield it is, in OurAirports' terms.
type Kind uint8

// The kinds. Large and medium fields usually have a tower; tower data are absent here.
const (
	Large Kind = iota
	Medium
	Small
	Heliport
	Seaplane
	Balloonport
	Kinds int = iota
)

var kindWords = [...]string{"large airport", "medium airport", "small airport", "heliport", "seaplane base", "balloonport"}

// String names the kind in words.
func (k Kind) String() string {
	if int(k) < len(kindWords) {
		return kindWords[k]
	}
	return fmt.Sprintf("kind %d", uint8(k))
}

// Mask is the kind's bit for the index.
func (k Kind) Mask() uint8 { return 1 << k }

// AnyField lets every kind pass; Runways those with a strip for aeroplanes.
const (
	AnyField uint8 = 1<<Kinds - 1
	Runways  uint8 = 1<<Large | 1<<Medium | 1<<Small
)

// Airfields are the airfields of the world.
type Airfields struct {
	Index    *nearby.Index
	points   []geo.Point
	heights  []int16
	kinds    []uint8
	regions  []uint16
	lengths  []uint16
	headings []uint16
	idents   func() (words, error)
	names    func() (words, error)
}

// LoadAirfields decodes the embedded airfields, once.
var LoadAirfields = sync.OnceValues(func() (*Airfields, error) { return decodeAirfields(airfieldsFile) })

func decodeAirfields(data []byte) (*Airfields, error) {
	grid := nearby.NewGrid(AirfieldBands)
	f, err := packed.Open(data)
	if err != nil {
		return nil, fmt.Errorf("airfields: %w", err)
	}
	d := decoder{file: f, what: "airfields"}
	a := &Airfields{}
	a.points = d.points(0, grid)
	n := len(a.points)
	a.heights = column[int16](&d, 1, n, true)
	kinds := column[uint16](&d, 2, n, false)
	a.regions = column[uint16](&d, 3, n, true)
	a.lengths = column[uint16](&d, 4, n, false)
	a.headings = column[uint16](&d, 5, n, false)
	a.idents = d.lazyWords(6, n)
	a.names = d.lazyWords(7, n)
	if d.err != nil {
		return nil, d.err
	}
	masks := make([]uint8, n)
	a.kinds = make([]uint8, n)
	for i, k := range kinds {
		if int(k) >= Kinds {
			return nil, fmt.Errorf("airfields: row %d is of kind %d, expected one below %d", i, k, Kinds)
		}
		a.kinds[i], masks[i] = uint8(k), Kind(k).Mask()
	}
	if a.Index, err = nearby.New(grid, a.points, masks); err != nil {
		return nil, fmt.Errorf("airfields: %w", err)
	}
	return a, nil
}

// Len is the number of airfields.
func (a *Airfields) Len() int { return len(a.points) }

// Point is the field's reference point.
func (a *Airfields) Point(i int) geo.Point { return a.points[i] }

// Height is the field's elevation as published, where known.
func (a *Airfields) Height(i int) (geo.AltMSL, bool) {
	return geo.AltMSL(a.heights[i]), a.heights[i] != UnknownHeight
}

// Kind is what sort of field it is.
func (a *Airfields) Kind(i int) Kind { return Kind(a.kinds[i]) }

// Region is the number of the state or province in the landcover package's table.
func (a *Airfields) Region(i int) int { return int(a.regions[i]) }

// Ident is the identifier: the ICAO code where there is one.
func (a *Airfields) Ident(i int) string { return nameAt(a.idents, i) }

// Name is the field's name.
func (a *Airfields) Name(i int) string { return nameAt(a.names, i) }

// Runway is the longest runway's length and the true heading of its lower-numbered end.
// known is false when no runway with a length is listed; a heading of 360 is north, 0 unknown.
func (a *Airfields) Runway(i int) (lengthM, headingDeg float64, known bool) {
	return float64(a.lengths[i]), float64(a.headings[i]), a.lengths[i] > 0
}
