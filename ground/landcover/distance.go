package landcover

import (
	"math"
	"sync"

	"pappus/ground/terrain/gazetteer"
	"pappus/ground/terrain/nearby"
	"pappus/measure/geo"
)

// Line is a kind of line on the ground.
type Line uint8

// The kinds of lines.
const (
	Coast         Line = iota // between land and sea
	CountryBorder             // between two countries, on land
	StateBorder               // between two states or provinces of one country
	LakeShore
	River
	lineKinds int = iota
)

// Found is where the nearest of something is: how far, and which way.
type Found struct {
	Point      geo.Point
	DistanceM  float64
	BearingDeg float64 // true, from the place asked
}

func (l *layers) prepareLines() {
	of := func(o func() *outlines, wanted func(o *outlines, arc int) bool) func() *lines {
		return sync.OnceValue(func() *lines {
			all := o()
			return newLines(all, func(arc int) bool { return wanted(all, arc) })
		})
	}
	regions := func() *outlines { return l.regions.outlines }
	l.lines[Coast] = of(regions, func(o *outlines, arc int) bool {
		return o.left[arc] == 0 || o.right[arc] == 0
	})
	inland := func(same bool) func(o *outlines, arc int) bool {
		return func(o *outlines, arc int) bool {
			a, b := o.left[arc], o.right[arc]
			return a != 0 && b != 0 && (l.countries[a] == l.countries[b]) == same
		}
	}
	l.lines[CountryBorder] = of(regions, inland(false))
	l.lines[StateBorder] = of(regions, inland(true))
	l.lines[LakeShore] = of(func() *outlines { return l.lakes.outlines }, func(*outlines, int) bool { return true })
	l.lines[River] = of(l.rivers, func(*outlines, int) bool { return true })
}

func (l *layers) line(kind Line) *lines { return l.lines[kind]() }

// Nearest finds the nearest line of a kind within a distance. The first call of a kind takes up to 0.1 s to lay it out;
// after that it does not allocate.
func (m *Map) Nearest(kind Line, p geo.Point, withinM float64) (Found, bool) {
	if int(kind) >= lineKinds {
		return Found{}, false
	}
	at, _, found := m.line(kind).nearest(p, withinM)
	if !found {
		return Found{}, false
	}
	return toward(p, at), true
}

func toward(p, at geo.Point) Found {
	d, bearing, _ := geo.Inverse(p, at)
	return Found{Point: at, DistanceM: d, BearingDeg: compass(bearing)}
}

func compass(deg float64) float64 {
	if deg = math.Mod(deg, 360); deg < 0 {
		deg += 360
	}
	return deg
}

// FieldsWithin tells which kinds of airfield have one within a distance, as bits (gazetteer.Kind.Mask). It does not allocate.
func (m *Map) FieldsWithin(p geo.Point, withinM float64) (kinds uint8) {
	var near [1]nearby.Near
	for k := range gazetteer.Kinds {
		if mask := gazetteer.Kind(k).Mask(); m.airfields.Index.Nearest(p, withinM, mask, near[:]) > 0 {
			kinds |= mask
		}
	}
	return kinds
}

// Field is an airfield, seen from a place.
type Field struct {
	Found
	Number     int // in the gazetteer's table
	Ident      string
	Name       string
	Kind       gazetteer.Kind
	Region     Region
	Height     geo.AltMSL
	HeightSet  bool
	RunwayM    float64 // the longest; 0 when none is listed
	HeadingDeg float64 // true, of its lower-numbered end; 0 unknown
}

// NearestFields lists the nearest airfields of the kinds in mask, nearest first. Large and medium are those that
// mostly have a tower; whether one has is not in the data.
func (m *Map) NearestFields(p geo.Point, mask uint8, withinM float64, atMost int) []Field {
	near := make([]nearby.Near, min(max(atMost, 0), 1000))
	near = near[:m.airfields.Index.Nearest(p, withinM, mask, near)]
	fields := make([]Field, len(near))
	for i, n := range near {
		fields[i] = m.field(p, int(n.Number))
	}
	return fields
}

func (m *Map) field(p geo.Point, i int) Field {
	a := m.airfields
	f := Field{Found: toward(p, a.Point(i)), Number: i, Ident: a.Ident(i), Name: a.Name(i), Kind: a.Kind(i), Region: m.Region(a.Region(i))}
	f.Height, f.HeightSet = a.Height(i)
	f.RunwayM, f.HeadingDeg, _ = a.Runway(i)
	return f
}

// NearTown is a town, seen from a place.
type NearTown struct {
	Found
	Number     int // in the gazetteer's table
	Name       string
	Region     Region
	Population int
	// FromTownDeg is the true bearing of the place asked, seen from the town: "8 km north-west of".
	FromTownDeg float64
}

// NearestTown finds the nearest town of the classes in mask (gazetteer.AnyTown for all).
func (m *Map) NearestTown(p geo.Point, mask uint8, withinM float64) (NearTown, bool) {
	towns := m.NearestTowns(p, mask, withinM, 1)
	if len(towns) == 0 {
		return NearTown{}, false
	}
	return towns[0], true
}

// NearestTowns lists the nearest towns, nearest first.
func (m *Map) NearestTowns(p geo.Point, mask uint8, withinM float64, atMost int) []NearTown {
	near := make([]nearby.Near, min(max(atMost, 0), 1000))
	near = near[:m.towns.Index.Nearest(p, withinM, mask, near)]
	towns := make([]NearTown, len(near))
	for k, n := range near {
		i := int(n.Number)
		t := NearTown{Found: toward(p, m.towns.Point(i)), Number: i, Name: m.towns.Name(i), Region: m.Region(m.towns.Region(i)), Population: m.towns.Population(i)}
		_, back, _ := geo.Inverse(t.Point, p)
		t.FromTownDeg = compass(back)
		towns[k] = t
	}
	return towns
}

var winds = [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}

// Wind names a bearing by one of eight winds.
func Wind(bearingDeg float64) string {
	return winds[int(compass(bearingDeg)/45+0.5)%8]
}
