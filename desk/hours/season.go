package hours

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/odds/landing"
	"pappus/record"
)

// PastDay is one past day's launch and the sky over it.
type PastDay struct {
	Launch time.Time
	Cycle  time.Time
	Sky    *forecast.Cube
	Why    string // why there is no sky
}

// SeasonRow is the flight on one past day.
type SeasonRow struct {
	Day     string          `json:"day"`
	Launch  string          `json:"launch"`
	Cycle   string          `json:"cycle"`
	Median  ensemble.Middle `json:"median"`
	Drift   float64         `json:"drift_m"`
	Bearing float64         `json:"bearing_deg"`
	Water   *float64        `json:"water,omitempty"` // share of landings, where the ground was looked at
}

// Petal is one of eight directions.
type Petal struct {
	Towards string         `json:"towards"`
	Share   float64        `json:"share"`
	Drift   *ensemble.Band `json:"drift_m,omitempty"`
}

// LeftDay is a past day that was not flown.
type LeftDay struct {
	Day string `json:"day"`
	Why string `json:"why"`
}

// SeasonLanding is where the landings of all days lie together.
type SeasonLanding struct {
	Median   ensemble.Middle `json:"median"`
	Radius50 float64         `json:"radius_50_m"`
	Radius90 float64         `json:"radius_90_m"`
	Drift    ensemble.Band   `json:"drift_m"`
}

// Season is a sample of past days, each flown at the flight's own local hour.
type Season struct {
	Name    string        `json:"name,omitempty"`
	Kind    string        `json:"kind"` // always "season"
	Label   string        `json:"label"`
	Summary string        `json:"summary"`
	Hour    string        `json:"local_hour"`
	Days    int           `json:"days"`
	Members int           `json:"members_a_day"`
	Seed    uint64        `json:"seed"`
	Landing SeasonLanding `json:"landing"` // of all days together
	Rose    []Petal       `json:"rose"`
	Chances []Chance      `json:"chances"`
	Spread  ensemble.Band `json:"day_drift_m"` // of the days' median landings
	Flown   []SeasonRow   `json:"flown"`
	Left    []LeftDay     `json:"not_flown"`
	Notes   []string      `json:"notes"`
	NotSeen []string      `json:"not_looked_at"`
}

const seasonLabel = "A season, not a forecast: past days flown as a sample. It says what such a time of year can do, not what the day will."

// SameHour answers the flight's local launch hour on the days about an instant.
func SameHour(f *record.Flight, day time.Time) []time.Time {
	local := day.In(f.Launch.Time.Location())
	var list []time.Time
	for shift := -1; shift <= 1; shift++ {
		h := f.Launch.Time
		list = append(list, time.Date(local.Year(), local.Month(), local.Day()+shift, h.Hour(), h.Minute(), h.Second(), 0, h.Location()))
	}
	return list
}

// drawn is one landing of the pool.
type drawn struct {
	at             geo.Point
	drift, bearing float64
}

// FlySeason flies past days, one sky at a time, and gathers them.
func FlySeason(ctx context.Context, q Request, count int, day func(int) (PastDay, error)) (*Season, error) {
	site := Sites(q.File)[0]
	s := &Season{Name: q.File.Name, Kind: "season", Label: seasonLabel, Hour: q.File.Launch.Time.Format("15:04 -07:00"), Members: q.Members, Seed: q.Seed,
		Chances: []Chance{}, Flown: []SeasonRow{}, Left: []LeftDay{}, Notes: []string{}, NotSeen: NotLookedAt(q.Look)}
	var pool []drawn
	for i := range count {
		past, err := day(i)
		if err != nil {
			return nil, err
		}
		f, err := q.flyPast(ctx, Slot{site, past.Launch, past.Sky, past.Why})
		var no *cannot
		if errors.As(err, &no) {
			s.Left = append(s.Left, LeftDay{past.Launch.Format(time.DateOnly), no.reason})
			continue
		} else if err != nil {
			return nil, err
		}
		row := SeasonRow{Day: past.Launch.Format(time.DateOnly), Launch: stamp(past.Launch), Cycle: stamp(past.Cycle), Median: f.answer.Landing.Median}
		row.Drift, row.Bearing, _ = geo.Inverse(site.Point, geo.Point{LatDeg: row.Median.Lat, LonDeg: row.Median.Lon})
		points := places(f.result)
		for _, p := range points {
			way, bearing, _ := geo.Inverse(site.Point, p)
			pool = append(pool, drawn{p, way, bearing})
		}
		if q.Look != nil {
			row.Water = shareOf(water, q.Look.Chances(site.Point, points, len(points)))
		}
		s.Flown = append(s.Flown, row)
		if q.Progress != nil {
			q.Progress(i + 1)
		}
	}
	if len(s.Flown) == 0 {
		why := "the files hold no day that covers its launch hour"
		if len(s.Left) > 0 {
			why = s.Left[0].Why
		}
		return nil, &NoCycle{"no past day could be flown: " + why}
	}
	return s, s.gather(&q, site, pool)
}

// flyPast flies a past day: its air, but the envelope as old as on the flight's own date.
func (q *Request) flyPast(ctx context.Context, s Slot) (*flown, error) {
	file := *q.File
	age := s.Time.Sub(q.File.Launch.Time)
	if made := &file.Envelope.Made; made.Known() {
		shifted := time.Date(made.Year, made.Month, 1, 0, 0, 0, 0, time.UTC).AddDate(0, int(math.Round(age.Hours()/hoursAMonth)), 0)
		made.Year, made.Month = shifted.Year(), shifted.Month()
	}
	past := *q
	past.File = &file
	return past.fly(ctx, s, q.Workers)
}

const hoursAMonth = 365.2425 / 12 * 24

func shareOf(id string, chances []Chance) *float64 {
	for _, c := range chances {
		if c.ID == id {
			return &c.Probability
		}
	}
	return nil
}

// gather works out what all days say together.
func (s *Season) gather(q *Request, site Site, pool []drawn) error {
	s.Days = len(s.Flown)
	var all landing.Points
	points := make([]geo.Point, len(pool))
	drifts := make([]float64, len(pool))
	for i, d := range pool {
		all.LatDeg, all.LonDeg = append(all.LatDeg, d.at.LatDeg), append(all.LonDeg, d.at.LonDeg)
		points[i], drifts[i] = d.at, d.drift
	}
	sum, err := landing.Summarise(all, nil)
	if err != nil {
		return fmt.Errorf("landings of the season: %w", err)
	}
	s.Landing = SeasonLanding{ensemble.Middle{Lat: sum.Median.LatDeg, Lon: sum.Median.LonDeg}, sum.Radius50, sum.Radius90, bandOf(drifts)}
	var days []float64
	for _, row := range s.Flown {
		days = append(days, row.Drift)
	}
	s.Spread = bandOf(days)
	s.Rose = rose(pool)
	if q.Look != nil {
		s.Chances = append(s.Chances, q.Look.Chances(site.Point, points, len(points))...)
	}
	s.notes(q.File)
	s.Summary = s.sentence(q.System)
	return nil
}

// rose counts the landings by eight directions.
func rose(pool []drawn) []Petal {
	var ways [len(eight)][]float64
	for _, d := range pool {
		i := octant(d.bearing)
		ways[i] = append(ways[i], d.drift)
	}
	petals := make([]Petal, len(eight))
	for i, list := range ways {
		petals[i] = Petal{Towards: eight[i], Share: float64(len(list)) / float64(len(pool))}
		if len(list) > 0 {
			band := bandOf(list)
			petals[i].Drift = &band
		}
	}
	return petals
}

// bandOf answers the quantiles of values, as the ensemble does.
func bandOf(values []float64) ensemble.Band {
	sorted := slices.Sorted(slices.Values(values))
	at := func(p float64) float64 {
		x := p * float64(len(sorted)-1)
		i := min(int(x), max(len(sorted)-2, 0))
		return sorted[i] + (x-float64(i))*(sorted[min(i+1, len(sorted)-1)]-sorted[i])
	}
	return ensemble.Band{P10: at(0.1), P50: at(0.5), P90: at(0.9)}
}

// Judgements: with fewer days a rose shows the days and not the season; farther
// from the flight's date the sun and the jets are others.
const (
	fewDays    = 20
	farFromDay = 45 * 24 * time.Hour
)

func (s *Season) notes(f *record.Flight) {
	if s.Days < fewDays {
		s.Notes = append(s.Notes, fmt.Sprintf("%s: too few to trust shares; give %d days or more from several years", dayWords(s.Days), fewDays))
	}
	far := 0
	for _, row := range s.Flown {
		day, err := time.Parse(time.RFC3339, row.Launch)
		if err == nil && awayInYear(day, f.Launch.Time) > farFromDay {
			far++
		}
	}
	if far > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("over six weeks from the flight's time of year: %d of %s", far, dayWords(s.Days)))
	}
}

func dayWords(n int) string {
	if n == 1 {
		return "1 past day"
	}
	return fmt.Sprintf("%d past days", n)
}

// awayInYear answers how far two instants lie apart within the year.
func awayInYear(a, b time.Time) time.Duration {
	const year = time.Duration(365.2425 * 24 * float64(time.Hour))
	apart := a.Sub(b) % year
	if apart < 0 {
		apart += year
	}
	return min(apart, year-apart)
}

func (s *Season) sentence(system unit.System) string {
	most := slices.MaxFunc(s.Rose, func(a, b Petal) int {
		switch {
		case a.Share < b.Share:
			return -1
		case a.Share > b.Share:
			return 1
		}
		return 0
	})
	text := fmt.Sprintf("On %s at %s the flight came down %s away in the median (4 in 5: %s to %s), most often towards %s (%s).", dayWords(s.Days), s.Hour,
		unit.FormatDistance(s.Landing.Drift.P50, system), unit.FormatDistance(s.Landing.Drift.P10, system), unit.FormatDistance(s.Landing.Drift.P90, system),
		most.Towards, unit.FormatShare(most.Share))
	if w := shareOf(water, s.Chances); w != nil {
		text += fmt.Sprintf(" Into water: %s.", unit.FormatShare(*w))
	}
	return text
}
