// Package terrain gives the height of the ground above the sea at a place, with its error and its source.
//
// World is what the program carries: a relief with a post every 5 minutes of arc (9 km), put right at towns
// and airfields whose heights are known. It is good to some 10 m on plains and to hundreds of metres
// among mountains, and says which. A person's own SRTM tiles lie over it where they have any (Layers).
// Heights above the sea become heights above the ellipsoid, and back, by the EGM96 geoid (Geoid).
package terrain

import (
	_ "embed"
	"fmt"
	"math"
	"sync"
	"sync/atomic"

	"pappus/ground/terrain/gazetteer"
	"pappus/ground/terrain/nearby"
	"pappus/ground/terrain/packed"
	"pappus/measure/geo"
)

// Relief is anything that knows the height of the ground: World, a person's tiles over it, a plain.
// The error is one standard deviation, in metres. It must not allocate, and many may ask at once.
type Relief interface {
	Elevation(p geo.Point) (height geo.AltMSL, errorM float64, source string)
}

// Plain is ground of one height everywhere.
type Plain struct {
	Height geo.AltMSL
	ErrorM float64
	Source string
}

// Elevation is the plain's height.
func (f Plain) Elevation(geo.Point) (geo.AltMSL, float64, string) {
	return f.Height, f.ErrorM, f.Source
}

// The sources World names.
const (
	SourceCorrected = "ETOPO5 relief (9 km), corrected at towns and airfields"
	SourceCoarse    = "ETOPO5 relief (9 km)"
)

// The relief's tiles: 15 degrees on a side, with a margin so that a question needs one tile only.
const (
	nodesPerDegree = 12
	tileDegrees    = 15
	tileNodes      = tileDegrees * nodesPerDegree
	tileMargin     = 1
	tileWidth      = tileNodes + 1 + 2*tileMargin
	tileRows       = 180 / tileDegrees
	tileColumns    = 360 / tileDegrees
)

//go:embed relief.bin
var reliefFile []byte

// World is the relief that the program carries. Its parts are unpacked where they are first asked for, half a millisecond
// each, so that it costs little to have. It may be shared.
type World struct {
	file      *packed.File
	tiles     [tileRows * tileColumns]tile
	towns     *gazetteer.Towns
	airfields *gazetteer.Airfields
}

type tile struct {
	once    sync.Once
	heights atomic.Pointer[[]int16] // nil until unpacked; empty where all is sea
}

// LoadWorld opens the embedded relief, once.
var LoadWorld = sync.OnceValues(func() (*World, error) {
	file, err := packed.Open(reliefFile)
	if err != nil {
		return nil, fmt.Errorf("relief: %w", err)
	}
	if file.Sections() != tileRows*tileColumns {
		return nil, fmt.Errorf("relief: %d tiles, expected %d", file.Sections(), tileRows*tileColumns)
	}
	w := &World{file: file}
	if w.towns, err = gazetteer.LoadTowns(); err != nil {
		return nil, err
	}
	if w.airfields, err = gazetteer.LoadAirfields(); err != nil {
		return nil, err
	}
	return w, nil
})

// unpack gives a tile's heights, unpacking them at the first call.
func (w *World) unpack(i int) []int16 {
	t := &w.tiles[i]
	if h := t.heights.Load(); h != nil {
		return *h
	}
	t.once.Do(func() {
		h, err := decodeTile(w.file, i)
		if err != nil {
			panic(err) // the table is part of the program, and a test opens every tile
		}
		t.heights.Store(&h)
	})
	return *t.heights.Load()
}

// decodeTile undoes what tools/groundmap did: each height was stated less the median of its western neighbour, its
// southern one, and west plus south less south-west.
func decodeTile(file *packed.File, i int) ([]int16, error) {
	section, err := file.Section(i)
	if err != nil {
		return nil, err
	}
	if len(section) == 0 {
		return []int16{}, nil
	}
	if len(section) != 2*tileWidth*tileWidth {
		return nil, fmt.Errorf("relief: tile %d holds %d bytes, expected %d", i, len(section), 2*tileWidth*tileWidth)
	}
	folded := packed.Unplane(section)
	heights := make([]int16, len(folded))
	for k, v := range folded {
		x, guess := k%tileWidth, int16(0)
		switch {
		case x > 0 && k >= tileWidth:
			west, south, corner := heights[k-1], heights[k-tileWidth], heights[k-tileWidth-1]
			guess = min(max(west+south-corner, min(west, south)), max(west, south))
		case x > 0:
			guess = heights[k-1]
		case k >= tileWidth:
			guess = heights[k-tileWidth]
		}
		heights[k] = guess + (int16(v>>1) ^ -int16(v&1))
	}
	return heights, nil
}

// sample is the bare relief at a place: bilinear between four posts.
type sample struct {
	height float64
	land   float64 // share of the four posts, by weight, that are land
}

// locate finds the tile, the post to the south-west inside it, and the place between the posts.
func locate(p geo.Point) (tile, at int, x, y float64) {
	lon := p.LonDeg
	if lon < 0 {
		lon += 360
	}
	x, y = lon*nodesPerDegree, (p.LatDeg+90)*nodesPerDegree
	column := min(int(x)/tileNodes, tileColumns-1)
	row := min(int(y)/tileNodes, tileRows-1)
	x -= float64(column * tileNodes)
	y -= float64(row * tileNodes)
	i, j := min(int(x), tileNodes-1), min(int(y), tileNodes-1)
	return row*tileColumns + column, (j+tileMargin)*tileWidth + i + tileMargin, x - float64(i), y - float64(j)
}

func (w *World) bare(p geo.Point) sample {
	tile, at, x, y := locate(p)
	h := w.unpack(tile)
	if len(h) == 0 {
		return sample{}
	}
	var s sample
	for k, weight := range [4]float64{(1 - x) * (1 - y), x * (1 - y), (1 - x) * y, x * y} {
		v := h[at+k%2+k/2*tileWidth]
		s.height += weight * float64(v)
		if v != 0 {
			s.land += weight
		}
	}
	return s
}

// roughness is the span of heights among the sixteen posts around a place.
func (w *World) roughness(p geo.Point) float64 {
	tile, at, _, _ := locate(p)
	h := w.unpack(tile)
	if len(h) == 0 {
		return 0
	}
	low, high := h[at], h[at]
	for y := -1; y <= 2; y++ {
		for x := -1; x <= 2; x++ {
			v := h[at+y*tileWidth+x]
			low, high = min(low, v), max(high, v)
		}
	}
	return float64(high) - float64(low)
}

// The correction at known heights. These numbers were chosen by leaving a tenth of the towns and a fifth of the airfields
// out and asking for them, and on two squares of radar terrain (White Mountains 44 N 72 W, Colorado 37 N 106 to
// 104 W). The squares mattered most: towns and airfields lie in valleys, so that by themselves they would pull
// down the hills between. TestErrorIsAsStated and TestOutsideDEMTile repeat both in the small.
const (
	spots           = 6     // nearest known heights looked at; the last only bounds the others' reach
	spotReach       = 40e3  // m; farther ones tell nothing
	spotScale       = 5e3   // m; the weight falls as 1/distance in these
	spotNearness    = 0.01  // of a scale, so that a height known here is given as it is
	spotDoubt       = 0.02  // weight of no correction at all
	spotFade        = 7.5e3 // m; the whole correction fades with the square of the distance to the nearest in these
	coastReach      = 6e3   // m; where the relief shows only sea a known height is believed this far
	errorAtLeast    = 8.0   // m: of the known heights themselves, and of both data's levels
	errorSlope      = 0.5   // m for each km to the nearest known height
	errorSlopeReach = 16.0  // km; beyond it grows no more
	errorRough      = 0.06  // of the roughness, at a known height
	errorFar        = 0.04  // of the roughness, more for each km away
	errorFarReach   = 9.0   // km; beyond it the roughness counts no more
)

// Elevation gives the height of the ground above the sea. On open water it is the water's level where the relief
// knows it, 0 at sea.
func (w *World) Elevation(p geo.Point) (geo.AltMSL, float64, string) {
	var known [spots]nearby.Near
	var heights [spots]float64
	n := w.known(p, &known, &heights)
	return w.corrected(p, known[:n], heights[:n])
}

// known gathers the nearest known heights, nearest first, as corrections to the bare relief where they stand.
func (w *World) known(p geo.Point, known *[spots]nearby.Near, corrections *[spots]float64) int {
	var towns, fields [spots]nearby.Near
	nt := w.towns.Index.Nearest(p, spotReach, 0, towns[:])
	reach := spotReach
	if nt == spots {
		reach = towns[spots-1].DistanceM
	}
	nf := w.airfields.Index.Nearest(p, reach, gazetteer.Runways, fields[:])
	n := 0
	for t, f := 0, 0; n < spots && (t < nt || f < nf); {
		var height geo.AltMSL
		var ok bool
		var at geo.Point
		if f >= nf || t < nt && towns[t].DistanceM <= fields[f].DistanceM {
			i := int(towns[t].Number)
			known[n], at = towns[t], w.towns.Point(i)
			height, ok = w.towns.Height(i)
			t++
		} else {
			i := int(fields[f].Number)
			known[n], at = fields[f], w.airfields.Point(i)
			height, ok = w.airfields.Height(i)
			f++
		}
		if ok {
			corrections[n] = float64(height) - w.bare(at).height
			n++
		}
	}
	return n
}

// corrected shifts the bare relief by a mean of the corrections nearby. A correction counts as 1/distance, fading to
// nothing at the distance of the sixth, so that the height has no steps.
func (w *World) corrected(p geo.Point, known []nearby.Near, corrections []float64) (geo.AltMSL, float64, string) {
	s := w.bare(p)
	nearest, reach := spotReach, spotReach
	if len(known) == spots {
		reach = known[spots-1].DistanceM
		known = known[:spots-1]
	}
	source := SourceCoarse
	if len(known) > 0 {
		source = SourceCorrected
		nearest = known[0].DistanceM
		sum, weights := 0.0, spotDoubt
		for i, k := range known {
			fade := 1 - k.DistanceM/math.Max(reach, 1)
			weight := fade * fade / (k.DistanceM/spotScale + spotNearness)
			sum += weight * corrections[i]
			weights += weight
		}
		trust := math.Max(s.land, 1-nearest/coastReach) * math.Exp(-(nearest/spotFade)*(nearest/spotFade))
		s.height += sum / weights * trust
	}
	e := errorAtLeast + errorSlope*math.Min(nearest/1000, errorSlopeReach) +
		w.roughness(p)*(errorRough+errorFar*math.Min(nearest/1000, errorFarReach))
	return geo.AltMSL(s.height), e, source
}
