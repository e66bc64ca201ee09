package flight

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"pappus/air/forecast"
	"pappus/ground/landcover"
	"pappus/ground/terrain/gazetteer"
	"pappus/measure/geo"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
	"pappus/odds/landing"
	"pappus/record"
)

// Decoded reads the part of the sky that a flight may reach once and for all:
// what is answered through it needs the files no more. It serves the flight's
// launch time, and launch places that are near.
func (s Sky) Decoded(f *record.Flight) (Sky, error) {
	cube, err := forecast.Load(s.Files, forecast.Request{Place: f.Launch.Point, Launch: f.Launch.Time, Workers: s.Workers, Lagged: s.Lagged})
	return Sky{Workers: s.Workers, cube: cube}, err
}

// Covers tells whether a decoded sky reaches over a place.
func (s Sky) Covers(p geo.Point) bool { return s.cube != nil && s.cube.Covers(p) }

// Ways flies the first members again, recording the way of each.
func (o *Odds) Ways(members int) []*trajectory.Track {
	if o.Result == nil {
		return nil
	}
	ways := make([]*trajectory.Track, min(members, len(o.Result.Landings)))
	for i := range ways {
		_, ways[i] = ensemble.Fly(o.request, i)
	}
	return ways
}

// Shade is the landing density on a grid of at most so many cells, for drawing.
func (o *Odds) Shade(mostCells int) (landing.Density, error) {
	if o.Result == nil {
		return landing.Density{}, errors.New("the central flight alone has no density")
	}
	lat, lon := o.Result.Places()
	estimate, err := landing.NewEstimate(landing.Points{LatDeg: lat, LonDeg: lon})
	if err != nil {
		return landing.Density{}, err
	}
	return estimate.Density(mostCells)
}

// Moved writes another launch place into a flight file. The elevation there is
// that of the ground the odds land on: known at the old place, and from there by
// the sky's own surface. An empty name leaves the place's name as it is.
func Moved(document []byte, sky Sky, to geo.Point, name string) ([]byte, *record.Flight, error) {
	f, err := record.Parse("flight", document)
	if err != nil {
		return nil, nil, err
	}
	setting, err := settingOf(f, sky)
	if err != nil {
		return nil, nil, err
	}
	edits := []record.Edit{
		{Kind: record.Set, Path: "launch.latitude", Text: strconv.FormatFloat(to.LatDeg, 'f', 5, 64)},
		{Kind: record.Set, Path: "launch.longitude", Text: strconv.FormatFloat(to.LonDeg, 'f', 5, 64)},
		{Kind: record.Set, Path: "launch.elevation", Text: fmt.Sprintf("%.0f m", float64(setting.Ground.Elevation(to)))},
	}
	if name != "" {
		edits = append(edits, record.Edit{Kind: record.Set, Path: "launch.place", Text: name})
	}
	if document, err = record.Apply(document, edits); err != nil {
		return nil, nil, err
	}
	f, err = record.Parse("flight", document)
	return document, f, err
}

// Neighbourhood is what has a name in a box on the map, the weightiest first.
type Neighbourhood struct {
	Towns  []landcover.NearTown
	Fields []landcover.Field
}

// Box is a part of the map, no wider than the half of the world.
type Box struct{ South, West, North, East float64 }

// Named lists the towns and airfields in a box, at most so many of each.
func Named(b Box, atMost int) (*Neighbourhood, error) {
	land, err := landcover.World()
	if err != nil {
		return nil, fmt.Errorf("the embedded map of the ground: %w", err)
	}
	middle := geo.Point{LatDeg: (b.South + b.North) / 2, LonDeg: geo.WrapLonDeg((b.West + b.East) / 2)}
	within, _, _ := geo.Inverse(middle, geo.Point{LatDeg: b.North, LonDeg: geo.WrapLonDeg(b.East)})
	other, _, _ := geo.Inverse(middle, geo.Point{LatDeg: b.South, LonDeg: geo.WrapLonDeg(b.East)})
	within = max(within, other)
	outside := func(p geo.Point) bool {
		east := geo.WrapLonDeg(p.LonDeg - middle.LonDeg)
		return p.LatDeg < b.South || p.LatDeg > b.North || east < b.West-(b.West+b.East)/2 || east > b.East-(b.West+b.East)/2
	}
	n := &Neighbourhood{}
	const looked = 1000
	for _, mask := range [...]uint8{gazetteer.TownFrom50000, gazetteer.TownFrom5000, gazetteer.TownFrom500} {
		n.Towns = append(n.Towns, land.NearestTowns(middle, mask, within, looked)...)
	}
	n.Towns = slices.DeleteFunc(n.Towns, func(t landcover.NearTown) bool { return outside(t.Point) })
	slices.SortStableFunc(n.Towns, func(a, c landcover.NearTown) int { return c.Population - a.Population })
	n.Fields = slices.DeleteFunc(land.NearestFields(middle, gazetteer.Runways, within, looked), func(f landcover.Field) bool { return outside(f.Point) })
	slices.SortStableFunc(n.Fields, func(a, c landcover.Field) int { return int(a.Kind) - int(c.Kind) })
	n.Towns, n.Fields = n.Towns[:min(atMost, len(n.Towns))], n.Fields[:min(atMost, len(n.Fields))]
	return n, nil
}

// townReach is how far a town may be from a place that is named after it.
const townReach = 150e3

// TownNear is the town that a place on the map is told by.
func TownNear(p geo.Point) (landcover.NearTown, bool) {
	land, err := landcover.World()
	if err != nil {
		return landcover.NearTown{}, false
	}
	return land.NearestTown(p, gazetteer.AnyTown, townReach)
}

// PlaceWords tells a place on the map in a few words.
func PlaceWords(p geo.Point) string {
	return strconv.FormatFloat(p.LatDeg, 'f', 4, 64) + ", " + strconv.FormatFloat(p.LonDeg, 'f', 4, 64)
}
