package hours

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"pappus/measure/unit"
)

// Finish ranks the hours and says in a sentence which is the best. Within one
// verdict the hour that uses up least of any limit comes first, then the earlier.
func (a *Answer) Finish(system unit.System) {
	order := a.Best()
	for rank, i := range order {
		a.Hours[i].Rank = rank + 1
	}
	a.Summary = a.sentence(order, system)
}

// Best answers the numbers of the hours, the best first.
func (a *Answer) Best() []int {
	order := make([]int, len(a.Hours))
	for i := range order {
		order[i] = i
	}
	standing := map[Verdict]int{Go: 0, Wait: 1, No: 2}
	place := func(h *Hour) int {
		if !h.Answered() { // nothing is known of it
			return len(standing)
		}
		return standing[h.Verdict]
	}
	slices.SortStableFunc(order, func(i, j int) int {
		x, y := &a.Hours[i], &a.Hours[j]
		return cmp.Or(cmp.Compare(place(x), place(y)), cmp.Compare(x.worst, y.worst))
	})
	return order
}

func (a *Answer) sentence(order []int, system unit.System) string {
	count := map[Verdict]int{}
	for i := range a.Hours {
		count[a.Hours[i].Verdict]++
	}
	total := fmt.Sprintf("Of %d launches: %d go, %d wait, %d no, by what was looked at.", len(a.Hours), count[Go], count[Wait], count[No])
	if len(order) == 0 || !a.Hours[order[0]].Answered() {
		return total
	}
	h := &a.Hours[order[0]]
	best := fmt.Sprintf("Best is %s from %s (%s): lands %s towards %s, half of the landings within %s", h.launch.Format("Mon 2 Jan 15:04 -07:00"),
		h.Site, h.Verdict, unit.FormatDistance(*h.Drift, system), Towards(*h.Bearing), unit.FormatDistance(h.Landing.Radius50, system))
	if h.AtLaunch.Wind != nil {
		best += ", wind at launch " + unit.FormatSpeed(*h.AtLaunch.Wind, system)
	}
	return total + " " + best + "."
}

var eight = [...]string{"N", "NE", "E", "SE", "S", "SW", "W", "NW"}

// Towards names one of eight directions.
func Towards(bearingDeg float64) string { return eight[octant(bearingDeg)] }

// octant is the number of the eighth of the circle about a direction, N first.
func octant(bearingDeg float64) int {
	return int(math.Floor(math.Mod(bearingDeg+360+22.5, 360)/45)) % len(eight)
}

// NewAnswer gathers hours that were flown.
func NewAnswer(q *Request, sites []Site, times []time.Time, every time.Duration) *Answer {
	a := &Answer{Name: q.File.Name, From: stamp(times[0]), To: stamp(times[len(times)-1]), Every: every.Seconds(),
		Members: q.Members, Seed: q.Seed, Limits: q.Limits.Rows(), Hours: []Hour{}, Weather: []WeatherRow{}, NotSeen: NotLookedAt(q.Look)}
	for _, s := range sites {
		row := SiteRow{Name: s.Name, Lat: s.Point.LatDeg, Lon: s.Point.LonDeg, Elevation: float64(s.Elevation)}
		if s.Drive.Given {
			row.Drive = &s.Drive.Value
		}
		a.Sites = append(a.Sites, row)
	}
	return a
}

// NotLookedAt lists what no hour is judged by.
func NotLookedAt(look *Look) []string {
	list := []string{"rain, ice, thunderstorms and visibility", "airspace and temporary restrictions", "the drive: only straight lines, without roads"}
	if look == nil {
		return append(list, "what lies at the landing: water, towns, airfields, borders, forest, wires")
	}
	return append(list, look.NotLookedAt...)
}
