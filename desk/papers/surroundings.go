// Package papers makes the sheets that others ask for, as headings, rows and
// figures.
package papers

import (
	"time"

	"pappus/ground/landcover"
	"pappus/ground/magnetic"
	"pappus/ground/sun"
	"pappus/ground/terrain"
	"pappus/ground/terrain/gazetteer"
	"pappus/measure/geo"
	"pappus/measure/unit"
)

// Surroundings is what lies around a place, for a notice and for the crew.
type Surroundings struct {
	Lat        float64     `json:"lat_deg"`
	Lon        float64     `json:"lon_deg"`
	Time       string      `json:"time"`
	Ground     string      `json:"ground"`
	State      string      `json:"state,omitempty"`
	Country    string      `json:"country,omitempty"`
	Elevation  Elevation   `json:"elevation"`
	Towns      []Town      `json:"towns"`
	Airfields  []Airfield  `json:"airfields"`
	Own        []OwnArea   `json:"own_areas,omitempty"`
	Sun        Sun         `json:"sun"`
	Magnetic   Declination `json:"magnetic"`
	NotLooked  []string    `json:"not_looked_at"`
	TowerNotes string      `json:"tower_note"`
}

// Elevation is the ground's height with its error.
type Elevation struct {
	Alt    float64 `json:"alt_m"`
	Error  float64 `json:"error_m"`
	Source string  `json:"source"`
}

// Town is a town nearby.
type Town struct {
	Name       string  `json:"name"`
	State      string  `json:"state,omitempty"`
	Population int     `json:"population"`
	Distance   float64 `json:"distance_m"`
	Bearing    float64 `json:"bearing_true_deg"`
	FromTown   float64 `json:"from_town_true_deg"`
}

// Airfield is a field nearby. Bearings are from the field to the place, as an
// authority wants a place given.
type Airfield struct {
	Ident    string   `json:"ident"`
	Name     string   `json:"name"`
	Kind     string   `json:"kind"`
	Distance float64  `json:"distance_m"`
	NM       float64  `json:"distance_nmi"`
	True     float64  `json:"bearing_from_field_true_deg"`
	Magnetic float64  `json:"bearing_from_field_magnetic_deg"`
	Alt      *float64 `json:"alt_m,omitempty"`
	Runway   float64  `json:"longest_runway_m,omitempty"`
}

// OwnArea is an area of the person's own that holds the place.
type OwnArea struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
}

// Sun is the day's light at the place, on the ground.
type Sun struct {
	Rise  string  `json:"rise,omitempty"`
	Set   string  `json:"set,omitempty"`
	Dawn  string  `json:"civil_dawn,omitempty"`
	Dusk  string  `json:"civil_dusk,omitempty"`
	Note  string  `json:"note,omitempty"`
	Above float64 `json:"elevation_deg"`
	Light string  `json:"light"`
}

// Declination is the angle from true to magnetic north.
type Declination struct {
	East    float64 `json:"declination_east_deg"`
	Error   float64 `json:"error_deg"`
	Model   string  `json:"model"`
	From    string  `json:"valid_from"`
	Until   string  `json:"valid_until"`
	Caution string  `json:"caution,omitempty"`
}

// How far and how many neighbours are looked for.
const (
	townReach, townsListed   = 80e3, 4
	fieldReach, fieldsListed = 200e3, 3
)

// Around answers what lies around a place at an instant. elevation is the
// place's own when it is known, else the relief's.
func Around(land *landcover.Map, relief terrain.Relief, at geo.Point, when time.Time, unlooked []string) Surroundings {
	here := land.At(at)
	region := land.Region(here.Region)
	height, err, source := relief.Elevation(at)
	s := Surroundings{
		Lat: at.LatDeg, Lon: at.LonDeg, Time: when.UTC().Format(time.RFC3339),
		Ground: here.Ground.String(), State: region.State, Country: region.Country,
		Elevation: Elevation{float64(height), err, source},
		Towns:     []Town{}, Airfields: []Airfield{}, NotLooked: unlooked,
		TowerNotes: "large and medium airfields mostly have a tower; whether one has, and its hours, is not in the data",
	}
	for _, t := range land.NearestTowns(at, gazetteer.AnyTown, townReach, townsListed) {
		s.Towns = append(s.Towns, Town{t.Name, t.Region.State, t.Population, t.DistanceM, t.BearingDeg, t.FromTownDeg})
	}
	for _, f := range fieldsAround(land, at) {
		s.Airfields = append(s.Airfields, airfield(f, at, when))
	}
	own := land.Own()
	for _, n := range land.OwnAt(at, nil) {
		s.Own = append(s.Own, OwnArea{own[n].Name, own[n].Kind})
	}
	s.Sun = sunAt(at, when)
	field := magnetic.At(at, geo.AltHAE(height), when)
	s.Magnetic = Declination{
		field.DeclinationDeg, field.DeclinationErrorDeg, magnetic.ModelName,
		magnetic.ValidFrom().Format(time.DateOnly), magnetic.ValidUntil().Format(time.DateOnly), field.Standing.String(),
	}
	return s
}

// fieldsAround lists the nearest fields with a runway, and after them the
// nearest large and medium ones that are not among them.
func fieldsAround(land *landcover.Map, at geo.Point) []landcover.Field {
	list := land.NearestFields(at, gazetteer.Runways, fieldReach, fieldsListed)
	major := gazetteer.Large.Mask() | gazetteer.Medium.Mask()
	known := map[int]bool{}
	for _, f := range list {
		known[f.Number] = true
	}
	for _, f := range land.NearestFields(at, major, fieldReach, fieldsListed) {
		if !known[f.Number] {
			list = append(list, f)
		}
	}
	return list
}

func airfield(f landcover.Field, at geo.Point, when time.Time) Airfield {
	distance, bearing, _ := geo.Inverse(f.Point, at)
	a := Airfield{
		Ident: f.Ident, Name: f.Name, Kind: f.Kind.String(), Distance: distance, NM: distance / unit.NauticalMile,
		True: bearing, Magnetic: magnetic.At(f.Point, 0, when).FromTrueDeg(bearing), Runway: f.RunwayM,
	}
	if f.HeightSet {
		height := float64(f.Height)
		a.Alt = &height
	}
	return a
}

func sunAt(at geo.Point, when time.Time) Sun {
	day := sun.DayAt(when, at, 0)
	s := Sun{Above: sun.At(when, at).ApparentDeg, Light: sun.LightAt(when, at, 0).String()}
	for _, c := range []struct {
		into *string
		when sun.Crossing
	}{{&s.Rise, day.Disc.Up}, {&s.Set, day.Disc.Down}, {&s.Dawn, day.Civil.Up}, {&s.Dusk, day.Civil.Down}} {
		if c.when.Course == sun.Crosses {
			*c.into = c.when.Time.UTC().Format(time.RFC3339)
		}
	}
	if day.Disc.Up.Course != sun.Crosses {
		s.Note = "the Sun " + day.Disc.Up.Course.String()
	}
	return s
}
