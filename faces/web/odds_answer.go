package web

import (
	"math"
	"net/http"
	"slices"
	"strconv"
	"time"

	"pappus/flight"
	"pappus/ground/landcover"
	"pappus/measure/geo"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
)

// oddsAnswer is odds with what drawing them takes.
type oddsAnswer struct {
	Key      string            `json:"key"`
	Odds     *contractDocument `json:"odds"`
	Launch   time.Time         `json:"launch"` // when after_s counts from
	Up       wayAnswer         `json:"up"`     // the central flight
	Down     wayAnswer         `json:"down"`
	Shade    *shadeAnswer      `json:"shade,omitempty"`
	Middle   *besideAnswer     `json:"middle,omitempty"` // the town that the middle of the landings is told by
	FrozenAt *time.Time        `json:"frozen_at,omitempty"`
	Moved    *movedAnswer      `json:"moved,omitempty"`
	Invented bool              `json:"invented"`
}

// wayAnswer is a line in columns.
type wayAnswer struct {
	LatDeg []float64 `json:"lat_deg"`
	LonDeg []float64 `json:"lon_deg"`
	AltM   []float64 `json:"alt_m"`
	AfterS []float64 `json:"after_s"`
}

// shadeAnswer is the landing density in cells, row by row from the south, as
// 255ths of the densest.
type shadeAnswer struct {
	Columns int          `json:"columns"`
	Rows    int          `json:"rows"`
	Cells   []int        `json:"cells"`
	Corners [][2]float64 `json:"corners"` // longitude and latitude: south-west, south-east, north-east, north-west
}

// besideAnswer tells a place by a town.
type besideAnswer struct {
	Town      string  `json:"town"`
	Region    string  `json:"region"`
	DistanceM float64 `json:"distance_m"`
	Wind      string  `json:"wind"` // on which side of the town the place lies
}

type movedAnswer struct {
	DistanceM  float64       `json:"distance_m"`
	Wind       string        `json:"wind"`
	ElevationM float64       `json:"elevation_m"`
	Beside     *besideAnswer `json:"beside,omitempty"`
}

func besideOf(p geo.Point) *besideAnswer {
	t, found := flight.TownNear(p)
	if !found {
		return nil
	}
	return &besideAnswer{t.Name, t.Region.Name(), t.DistanceM, landcover.Wind(t.FromTownDeg)}
}

const (
	drawnPoints = 400 // of each way of the central flight
	shadeCells  = 3600
)

func (w *wanted) show(o *flight.Odds) (*oddsAnswer, error) {
	a := &oddsAnswer{
		Key: w.key, Odds: documentOf(o.Answer), Launch: o.Start.UTC(), Invented: w.weather.demo,
		Up: wayOf(o, o.Nominal.Up, drawnPoints), Down: wayOf(o, o.Nominal.Down, drawnPoints),
	}
	if o.Sky.Frozen() && o.Answer.Weather.Cycle != nil {
		at := o.Sky.Epoch().UTC()
		a.FrozenAt = &at
	}
	if g := o.Answer.Landing; g != nil {
		a.Middle = besideOf(geo.Point{LatDeg: g.Median.Lat, LonDeg: g.Median.Lon})
	}
	if w.to != nil {
		away, bearing, _ := geo.Inverse(w.launch, *w.to)
		a.Moved = &movedAnswer{DistanceM: away, Wind: landcover.Wind(bearing), ElevationM: o.Answer.Launch.Alt, Beside: besideOf(*w.to)}
	}
	// The ways meet at the burst and end on the ground, between two rows.
	for _, end := range []struct {
		way  *wayAnswer
		at   ensemble.Spot
		last bool
	}{{&a.Up, o.Answer.Nominal.Burst, true}, {&a.Down, o.Answer.Nominal.Burst, false}, {&a.Down, o.Answer.Nominal.Landing, true}} {
		end.way.join(o, end.at, end.last)
	}
	d, err := o.Shade(shadeCells)
	if err != nil {
		return nil, err
	}
	shade := &shadeAnswer{Columns: d.Columns, Rows: d.Rows, Cells: make([]int, len(d.PerKm2))}
	for i, v := range d.PerKm2 {
		shade.Cells[i] = int(math.Round(255 * v / d.PeakPerKm2))
	}
	for i, at := range [][2]int{{0, 0}, {d.Columns - 1, 0}, {d.Columns - 1, d.Rows - 1}, {0, d.Rows - 1}} {
		p := d.Cell(at[0], at[1])[i]
		shade.Corners = append(shade.Corners, [2]float64{p.LonDeg, p.LatDeg})
	}
	a.Shade = shade
	return a, nil
}

// wayOf thins a way to some number of points, its ends among them.
func wayOf(o *flight.Odds, rows []trajectory.Row, points int) wayAnswer {
	w := wayAnswer{LatDeg: []float64{}, LonDeg: []float64{}, AltM: []float64{}, AfterS: []float64{}}
	stride := max(1, (len(rows)+points-1)/points)
	begin := o.Sky.Seconds(o.Start)
	round := func(v, parts float64) float64 { return math.Round(v*parts) / parts }
	for i, row := range rows {
		if i%stride != 0 && i != len(rows)-1 {
			continue
		}
		w.LatDeg = append(w.LatDeg, round(row.LatDeg, 1e5))
		w.LonDeg = append(w.LonDeg, round(row.LonDeg, 1e5))
		w.AltM = append(w.AltM, round(row.Alt, 1))
		w.AfterS = append(w.AfterS, round(row.Seconds-begin, 1))
	}
	return w
}

// join adds a spot at an end of a way, unless the way reaches it already.
func (w *wayAnswer) join(o *flight.Odds, at ensemble.Spot, last bool) {
	when, err := time.Parse(time.RFC3339, at.Time)
	if err != nil {
		panic("web: an answer's own time cannot be read: " + err.Error())
	}
	after, n := when.Sub(o.Start).Seconds(), len(w.AfterS)
	add := func(list *[]float64, v float64) {
		if last {
			*list = append(*list, v)
		} else {
			*list = slices.Insert(*list, 0, v)
		}
	}
	if n > 0 && (last && after <= w.AfterS[n-1] || !last && after >= w.AfterS[0]) {
		return
	}
	add(&w.LatDeg, at.Lat)
	add(&w.LonDeg, at.Lon)
	add(&w.AltM, at.Alt)
	add(&w.AfterS, after)
}

type groundAnswer struct {
	Towns     []townAnswer  `json:"towns"`
	Airfields []fieldAnswer `json:"airfields"`
}

type townAnswer struct {
	Name   string  `json:"name"`
	LatDeg float64 `json:"lat_deg"`
	LonDeg float64 `json:"lon_deg"`
	People int     `json:"people"` // rounded
}

type fieldAnswer struct {
	Name   string  `json:"name"`
	Kind   string  `json:"kind"`
	LatDeg float64 `json:"lat_deg"`
	LonDeg float64 `json:"lon_deg"`
}

// ground names what lies in a box on the map.
func (s *Server) ground(r *http.Request) (any, error) {
	var sides [4]float64
	for i, name := range [...]string{"south", "west", "north", "east"} {
		v, err := strconv.ParseFloat(r.URL.Query().Get(name), 64)
		if err != nil || math.Abs(v) > 360 {
			return nil, badRequest("%s must be degrees, not %q", name, r.URL.Query().Get(name))
		}
		sides[i] = v
	}
	b := flight.Box{South: sides[0], West: sides[1], North: sides[2], East: sides[3]}
	const widest = 20.0
	if !(b.South < b.North && b.West < b.East && b.South >= -90 && b.North <= 90 && b.North-b.South <= widest && b.East-b.West <= widest) {
		return nil, wrong{http.StatusBadRequest, "the box must go from south to north and from west to east, 20 degrees at most"}
	}
	n, err := flight.Named(b, 80)
	if err != nil {
		return nil, err
	}
	answer := groundAnswer{Towns: []townAnswer{}, Airfields: []fieldAnswer{}}
	for _, t := range n.Towns {
		answer.Towns = append(answer.Towns, townAnswer{t.Name, t.Point.LatDeg, t.Point.LonDeg, t.Population})
	}
	for _, f := range n.Fields {
		answer.Airfields = append(answer.Airfields, fieldAnswer{f.Name, f.Kind.String(), f.Point.LatDeg, f.Point.LonDeg})
	}
	return answer, nil
}
