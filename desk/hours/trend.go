package hours

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
)

// CycleSky is one cycle of a forecast over the launch.
type CycleSky struct {
	Cycle  time.Time
	Source string
	Sky    *forecast.Cube // nil: the cycle does not serve
	Why    string         // why not
}

// TrendRow is the flight through one cycle.
type TrendRow struct {
	Cycle   string   `json:"cycle"`
	Source  string   `json:"source"`
	Age     float64  `json:"age_s"` // at launch
	Landing *Landing `json:"landing"`
	Drift   float64  `json:"drift_m"` // launch to the median landing
	// From the newest cycle's median landing to this one's.
	Moved   float64  `json:"moved_m"`
	Bearing *float64 `json:"moved_bearing_deg"` // null where nothing moved
	central geo.Point
}

// Left is a cycle that was not flown.
type Left struct {
	Cycle string `json:"cycle"`
	Why   string `json:"why"`
}

// Agreement holds how far the landing moved from cycle to cycle against what
// the assumed wind error says it should.
type Agreement struct {
	Moves   int      `json:"moves"`
	Ratio   *float64 `json:"ratio"`      // moved over assumed; null where it cannot be told
	Low     *float64 `json:"chance_low"` // nine of ten ratios lie between these by chance alone
	High    *float64 `json:"chance_high"`
	Verdict string   `json:"verdict"` // "agrees", "moved more", "moved less", "cannot tell"
	Text    string   `json:"text"`
}

// Trend is the same flight through every cycle at hand, the newest first.
type Trend struct {
	Name      string     `json:"name,omitempty"`
	Launch    string     `json:"launch"`
	Summary   string     `json:"summary"`
	Members   int        `json:"members"`
	Seed      uint64     `json:"seed"`
	Cycles    []TrendRow `json:"cycles"`
	Left      []Left     `json:"not_flown"`
	Agreement Agreement  `json:"agreement"`
	NotSeen   []string   `json:"not_looked_at"`
}

// NoCycle says that no cycle could be flown.
type NoCycle struct{ Message string }

func (e *NoCycle) Error() string { return e.Message }

// FlyTrend flies the launch of the file through each cycle; cycles come newest
// first, one at a time, so that one sky alone is in memory.
func FlyTrend(ctx context.Context, q Request, count int, cycle func(int) (CycleSky, error)) (*Trend, error) {
	site := Sites(q.File)[0]
	t := &Trend{Name: q.File.Name, Launch: stamp(q.File.Launch.Time), Members: q.Members, Seed: q.Seed, Cycles: []TrendRow{}, Left: []Left{}, NotSeen: NotLookedAt(nil)}
	var growth []float64 // mean square way of the landings about their middle, for the lead of each cycle in the newest sky
	var newest *flown
	several := false
	for i := range count {
		c, err := cycle(i)
		if err != nil {
			return nil, err
		}
		f, err := q.fly(ctx, Slot{site, q.File.Launch.Time, c.Sky, c.Why}, q.Workers)
		var no *cannot
		if errors.As(err, &no) {
			t.Left = append(t.Left, Left{stamp(c.Cycle), no.reason})
			continue
		} else if err != nil {
			return nil, err
		}
		if newest == nil {
			newest = f
		}
		several = several || c.Sky.Members() > 1
		t.Cycles = append(t.Cycles, trendRow(f, c, site))
		square, err := newest.scatter(ctx, f.request.LeadHours)
		if err != nil {
			return nil, err
		}
		growth = append(growth, square)
		if q.Progress != nil {
			q.Progress(i + 1)
		}
	}
	if newest == nil {
		why := "the files hold none"
		if len(t.Left) > 0 {
			why = t.Left[0].Why
		}
		return nil, &NoCycle{"no cycle could be flown: " + why}
	}
	t.moves()
	t.Agreement = agreement(t.Cycles, growth, several)
	t.Summary = t.sentence(q.System)
	return t, nil
}

func trendRow(f *flown, c CycleSky, site Site) TrendRow {
	g := f.answer.Landing
	row := TrendRow{Cycle: stamp(c.Cycle), Source: c.Source, Landing: &Landing{g.Median, g.Radius50, g.Radius90, g.Time, g.Speed, g.Drift, g.Regions}}
	if f.answer.Weather.Age != nil {
		row.Age = *f.answer.Weather.Age
	}
	row.Drift, _, _ = geo.Inverse(site.Point, row.median())
	row.central = f.nominal.Landing.Point()
	return row
}

func (r *TrendRow) median() geo.Point {
	return geo.Point{LatDeg: r.Landing.Median.Lat, LonDeg: r.Landing.Median.Lon}
}

// moves works out the way from the newest median to each.
func (t *Trend) moves() {
	for i := range t.Cycles {
		row := &t.Cycles[i]
		way, bearing, _ := geo.Inverse(t.Cycles[0].median(), row.median())
		if row.Moved = way; way > 0 {
			row.Bearing = &bearing
		}
	}
}

func (t *Trend) sentence(system unit.System) string {
	last := len(t.Cycles) - 1
	if last == 0 {
		return "One cycle alone could be flown: fetch older ones, or wait for newer ones, to see how the landing moves."
	}
	farthest := 0
	for i := range t.Cycles {
		if t.Cycles[i].Moved > t.Cycles[farthest].Moved {
			farthest = i
		}
	}
	return fmt.Sprintf("Through %d cycles the median landing lay at most %s from where the newest puts it; the one before the newest has it %s away.",
		len(t.Cycles), unit.FormatDistance(t.Cycles[farthest].Moved, system), unit.FormatDistance(t.Cycles[1].Moved, system))
}

// scatter flies the same members once more as though the forecast were of
// another age, and answers the mean square way of the landings about their
// middle. With the same draws, two ages differ by the wind error alone.
func (f *flown) scatter(ctx context.Context, leadHours float64) (float64, error) {
	request := f.request
	request.LeadHours = leadHours
	result, err := ensemble.Run(ctx, request)
	if err != nil {
		return 0, ensemble.ErrStopped
	}
	points := places(result)
	plane := geo.NewPlane(f.nominal.Landing.Point())
	var sumX, sumY, square float64
	for _, p := range points {
		x, y := plane.To(p)
		sumX += x
		sumY += y
		square += float64(x*x) + float64(y*y)
	}
	n := float64(len(points))
	return (square - (float64(sumX*sumX)+float64(sumY*sumY))/n) / n, nil
}

// fewestMoves are the least from which a ratio is told: with fewer, chance alone
// spans a factor of three.
const fewestMoves = 3

// agreement compares the central landings of neighbouring cycles. An older
// cycle's error is taken as the newer's and an independent rest, so that the
// mean square way between the two is by how much the mean square scatter grows
// from the one's age to the other's. The two components of each move count as
// normal and alike: the sum of squares over its expectation is then chi-square
// with two degrees of freedom a move.
func agreement(rows []TrendRow, growth []float64, members bool) Agreement {
	a := Agreement{Verdict: "cannot tell"}
	if members {
		a.Text = "Cannot tell: the forecasts hold ensemble members, whose own spread stands for the wind error."
		return a
	}
	sum := 0.0
	for i := range rows {
		newer := i - 1 // the cycle after this one, of the same centre
		for newer >= 0 && rows[newer].Source != rows[i].Source {
			newer--
		}
		if newer < 0 {
			continue
		}
		expected := growth[i] - growth[newer]
		if expected <= 1e-6*growth[i] { // both younger than the error is known for
			continue
		}
		way, _, _ := geo.Inverse(rows[newer].central, rows[i].central)
		sum += way * way / expected
		a.Moves++
	}
	if a.Moves < fewestMoves {
		a.Text = fmt.Sprintf("Cannot tell whether the assumed wind error fits: %s between cycles that count, and at least %d are needed.", moveWords(a.Moves), fewestMoves)
		return a
	}
	n := float64(a.Moves)
	ratio := math.Sqrt(sum / n)
	low, high := math.Sqrt(chiSquare(2*n, -ninety)/(2*n)), math.Sqrt(chiSquare(2*n, ninety)/(2*n))
	a.Ratio, a.Low, a.High = &ratio, &low, &high
	by := fmt.Sprintf("%.1f times what the assumed wind error says (%s; chance alone gives %.1f to %.1f)", ratio, moveWords(a.Moves), low, high)
	switch {
	case ratio > high:
		a.Verdict = "moved more"
		a.Text = "From cycle to cycle the landing moved " + by + ": this weather is harder to forecast than assumed, so take the regions as too small."
	case ratio < low:
		a.Verdict = "moved less"
		a.Text = "From cycle to cycle the landing moved only " + by + ". That does not prove a good forecast: cycles of one model share their faults."
	default:
		a.Verdict = "agrees"
		a.Text = "From cycle to cycle the landing moved " + by + ": they agree."
	}
	return a
}

func moveWords(n int) string {
	if n == 1 {
		return "1 move"
	}
	return fmt.Sprintf("%d moves", n)
}

// ninety is the normal quantile for a two-sided range of 90 %.
const ninety = 1.6448536269514722

// chiSquare answers the quantile of the chi-square law at a normal quantile z,
// n (1 - 2/9n + z sqrt(2/9n))³ [Wilson1931], within 2 % from 6 degrees of freedom on.
func chiSquare(n, z float64) float64 {
	v := 2 / (9 * n)
	x := 1 - v + z*math.Sqrt(v)
	return n * x * x * x
}
