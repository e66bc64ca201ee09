package ensemble

import (
	"fmt"
	"strings"
	"time"

	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/motion/trajectory"
	"pappus/odds/landing"
)

// Probabilities are the regions that every answer gives.
var probabilities = []float64{0.5, 0.9}

// Answer is where a flight comes down and how sure that is. Units are SI and
// stand last in every key.
type Answer struct {
	Name        string      `json:"name,omitempty"`
	Nominal     NominalWay  `json:"nominal"`
	Members     int         `json:"members,omitempty"`
	Seed        uint64      `json:"seed,omitempty"`
	Landing     *Ground     `json:"landing,omitempty"`
	Burst       *Aloft      `json:"burst,omitempty"`
	Chances     []Chance    `json:"chances,omitempty"`
	NotLookedAt []string    `json:"not_looked_at"`
	Weather     WeatherUsed `json:"weather"`
	Launch      Spot        `json:"launch"`
}

// Spot is a point of a flight.
type Spot struct {
	Lat  float64 `json:"lat_deg"`
	Lon  float64 `json:"lon_deg"`
	Alt  float64 `json:"alt_m"`
	Time string  `json:"time"`
}

// NominalWay is the flight with every spread at its centre.
type NominalWay struct {
	Burst   Spot    `json:"burst"`
	Landing Spot    `json:"landing"`
	Drift   float64 `json:"drift_m"`
	Bearing float64 `json:"bearing_deg"`
	Speed   float64 `json:"landing_speed_mps"`
}

// Middle is a geometric median.
type Middle struct {
	Lat float64  `json:"lat_deg"`
	Lon float64  `json:"lon_deg"`
	Alt *float64 `json:"alt_m,omitempty"`
}

// Ground is the landing distribution.
type Ground struct {
	Median   Middle   `json:"median"`
	Radius50 float64  `json:"radius_50_m"`
	Radius90 float64  `json:"radius_90_m"`
	Regions  []Region `json:"regions"`
	Time     TimeBand `json:"time"`
	Speed    Band     `json:"speed_mps"`
	Drift    Band     `json:"drift_m"`
}

// Region is the smallest area that holds a share of the landings.
type Region struct {
	Probability float64        `json:"probability"`
	Area        float64        `json:"area_km2"`
	Merged      float64        `json:"merged_share,omitempty"`
	Geometry    any            `json:"geometry"`
	Shape       landing.Region `json:"-"`
}

// TimeBand is a spread of instants.
type TimeBand struct {
	P10 string `json:"p10"`
	P50 string `json:"p50"`
	P90 string `json:"p90"`
}

// Aloft is the distribution of the bursts.
type Aloft struct {
	Median   Middle   `json:"median"`
	Radius50 float64  `json:"radius_50_m"`
	Radius90 float64  `json:"radius_90_m"`
	Alt      Band     `json:"alt_m"`
	Time     TimeBand `json:"time"`
}

// Chance is the share of all flights in which something happens.
type Chance struct {
	What        string  `json:"what"`
	Probability float64 `json:"probability"`
}

// WeatherUsed says what sky the answer stands on.
type WeatherUsed struct {
	Source    string   `json:"source"`
	Cycle     *string  `json:"cycle"`
	Age       *float64 `json:"age_s"`
	LevelsTop *float64 `json:"levels_top_m"`
	Members   int      `json:"members"`
	Steps     []string `json:"steps"`
	Held      []HeldAt `json:"held"`
	Unused    []string `json:"unused,omitempty"`
	Notes     []string `json:"notes,omitempty"` // what was made of the files that they do not say
}

// HeldAt is an edge of the sky at which a value was held.
type HeldAt struct {
	What  string  `json:"what"`
	From  string  `json:"from"`
	Share float64 `json:"share"`
}

// OutOfSky says that too many flights leave what the files cover.
type OutOfSky struct{ Message string }

func (e *OutOfSky) Error() string { return e.Message }

// mostOutside is the share of flights that may leave the files' time or area.
const mostOutside = 0.1

// spotAt turns a place of the flight into an answer's.
func spotAt(sky *forecast.Cube, p trajectory.Place) Spot {
	return Spot{p.LatDeg, p.LonDeg, p.Alt, instant(sky, p.Seconds)}
}

func instant(sky *forecast.Cube, seconds float64) string {
	return sky.Instant(seconds).UTC().Format(time.RFC3339)
}

// AnswerNominal answers the central flight alone.
func AnswerNominal(q *Request, out trajectory.Outcome) (*Answer, error) {
	if out.Status != trajectory.Landed {
		return nil, &OutOfSky{"the flight does not come down within the time allowed: more free lift makes it rise and burst"}
	}
	a := &Answer{Launch: spotAt(q.Sky, q.Start)}
	a.Nominal = NominalWay{Burst: spotAt(q.Sky, out.Burst), Landing: spotAt(q.Sky, out.Landing), Speed: out.LandingSpeed}
	a.Nominal.Drift, a.Nominal.Bearing, _ = geo.Inverse(q.Start.Point(), out.Landing.Point())
	a.Weather = WeatherFor(q, out, nil)
	return a, nil
}

// WeatherFor says what sky flights stood on, and the share of them that met each
// of its edges: of a run where there is one, else of the central flight alone.
func WeatherFor(q *Request, nominal trajectory.Outcome, r *Result) WeatherUsed {
	share := func(edge forecast.Held) float64 {
		if nominal.Edges&edge != 0 {
			return 1
		}
		return 0
	}
	if r != nil {
		share = r.HeldShare
	}
	w := weatherOf(q)
	w.Held = held(q, share)
	return w
}

// Answer adds what a run of many flights says.
func (r *Result) Answer(q *Request, nominal trajectory.Outcome) (*Answer, error) {
	return r.answer(q, nominal, probabilities)
}

// Brief is the answer without regions, which are most of its work and size.
func (r *Result) Brief(q *Request, nominal trajectory.Outcome) (*Answer, error) {
	return r.answer(q, nominal, nil)
}

func (r *Result) answer(q *Request, nominal trajectory.Outcome, probabilities []float64) (*Answer, error) {
	a, err := AnswerNominal(q, nominal)
	if err != nil {
		return nil, err
	}
	a.Weather = WeatherFor(q, nominal, r)
	if err := r.inSky(q); err != nil {
		return nil, err
	}
	a.Members, a.Seed = len(r.Landings), q.Seed
	lat, lon := r.Places()
	if len(lat) == 0 {
		return nil, &OutOfSky{"no flight came down within the time allowed: more free lift makes it rise and burst"}
	}
	down, err := landing.Summarise(landing.Points{LatDeg: lat, LonDeg: lon}, probabilities)
	if err != nil {
		return nil, fmt.Errorf("landing regions: %w", err)
	}
	a.Landing = &Ground{
		Median: Middle{Lat: down.Median.LatDeg, Lon: down.Median.LonDeg}, Radius50: down.Radius50, Radius90: down.Radius90,
		Time: r.times(q.Sky, func(l *Landing) float64 { return l.Seconds }),
	}
	for _, region := range down.Regions {
		a.Landing.Regions = append(a.Landing.Regions, Region{region.Probability, region.AreaKm2, region.MergedShare, region.GeoJSON(), region})
	}
	a.Landing.Speed, _ = r.BandOf(func(l *Landing) float64 { return float64(l.Speed) })
	a.Landing.Drift, _ = r.BandOf(func(l *Landing) float64 {
		way, _, _ := geo.Inverse(q.Start.Point(), geo.Point{LatDeg: l.Lat, LonDeg: l.Lon})
		return way
	})
	if a.Burst, err = r.aloft(q.Sky); err != nil {
		return nil, err
	}
	a.Chances = r.chances()
	return a, nil
}

func (r *Result) aloft(sky *forecast.Cube) (*Aloft, error) {
	lat, lon := r.Bursts()
	up, err := landing.Summarise(landing.Points{LatDeg: lat, LonDeg: lon}, nil)
	if err != nil {
		return nil, fmt.Errorf("burst places: %w", err)
	}
	b := &Aloft{Radius50: up.Radius50, Radius90: up.Radius90}
	b.Alt, _ = r.BandOf(func(l *Landing) float64 { return l.BurstAlt })
	b.Median = Middle{up.Median.LatDeg, up.Median.LonDeg, &b.Alt.P50}
	b.Time = r.times(sky, func(l *Landing) float64 { return l.BurstSeconds })
	return b, nil
}

func (r *Result) times(sky *forecast.Cube, figure func(*Landing) float64) TimeBand {
	band, _ := r.BandOf(figure)
	return TimeBand{instant(sky, band.P10), instant(sky, band.P50), instant(sky, band.P90)}
}

func (r *Result) chances() []Chance {
	list := []Chance{
		{"the envelope bursts well below its size (two thirds of its rated diameter or less)", r.Share(func(l *Landing) bool { return l.Early })},
		{"the canopy is fouled by the envelope's rags", r.Share(func(l *Landing) bool { return l.Fouled })},
	}
	if p := r.Share(func(l *Landing) bool { return l.Status == trajectory.NoLift }); p > 0 {
		list = append(list, Chance{"the gas does not lift the train", p})
	}
	if p := r.Share(func(l *Landing) bool { return l.Status == trajectory.Aloft }); p > 0 {
		list = append(list, Chance{"still in the air after twelve hours (a floater)", p})
	}
	return list
}

// inSky refuses an answer of which too much rests on held values. A start drawn
// some minutes before the first step, with the launch itself covered, is listed
// and not counted: the sky hardly changes in that time.
func (r *Result) inSky(q *Request) error {
	if r.HeldShare(forecast.AfterLast|forecast.OutsideArea) <= mostOutside {
		return nil
	}
	late, outside := r.HeldShare(forecast.AfterLast), r.HeldShare(forecast.OutsideArea)
	_, last := q.Sky.Span()
	var why, fetch []string
	if late > 0 {
		why = append(why, fmt.Sprintf("%.0f %% of the flights are in the air after the forecast's last step, %s", 100*late, last.UTC().Format(time.RFC3339)))
		fetch = append(fetch, "later steps of the same cycle")
	}
	if outside > 0 {
		why = append(why, fmt.Sprintf("%.0f %% of the flights leave the area of the forecast", 100*outside))
		fetch = append(fetch, "a wider area around the launch")
	}
	return &OutOfSky{strings.Join(why, ", and ") + ": fetch " + strings.Join(fetch, ", and ")}
}

func weatherOf(q *Request) WeatherUsed {
	info := q.Sky.Info()
	w := WeatherUsed{Source: info.Source, Members: q.Sky.Members(), Unused: info.Unused, Notes: info.Notes, Steps: []string{}, Held: []HeldAt{}}
	if info.Kind == forecast.Gridded {
		for _, t := range info.Steps {
			w.Steps = append(w.Steps, t.UTC().Format(time.RFC3339))
		}
	}
	if !info.Cycle.IsZero() {
		cycle := info.Cycle.UTC().Format(time.RFC3339)
		age := q.Sky.Instant(q.Start.Seconds).Sub(info.Cycle).Seconds()
		w.Cycle, w.Age = &cycle, &age
	}
	if info.Kind != forecast.Standard {
		column := q.Sky.Column(q.Start.Point(), q.Start.Seconds, 0)
		top := float64(column[len(column)-1].Alt)
		w.LevelsTop = &top
	}
	return w
}

// held lists the edges met, with the share of flights that met them.
func held(q *Request, share func(forecast.Held) float64) []HeldAt {
	list := []HeldAt{}
	if q.Sky.Info().Kind == forecast.Standard {
		return list
	}
	first, last := q.Sky.Span()
	column := q.Sky.Column(q.Start.Point(), q.Start.Seconds, 0)
	for _, edge := range forecast.HeldEdges() {
		p := share(edge)
		if p == 0 {
			continue
		}
		from := "the edge of the area"
		switch edge {
		case forecast.AboveTop:
			from = fmt.Sprintf("%.0f m", float64(column[len(column)-1].Alt))
		case forecast.BelowBottom:
			from = fmt.Sprintf("%.0f m", float64(column[0].Alt))
		case forecast.BeforeFirst:
			from = first.UTC().Format(time.RFC3339)
		case forecast.AfterLast:
			from = last.UTC().Format(time.RFC3339)
		case forecast.OutsideArea:
		}
		list = append(list, HeldAt{edge.String(), from, p})
	}
	return list
}
