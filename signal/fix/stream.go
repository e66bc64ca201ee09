package fix

import (
	"math"
	"time"
)

// doubles marks reports heard again: the same content, the same station at the same
// second in nearly the same place (the finest is kept), or, where no time is told, the
// same words within half a minute, as relays repeat them.
func doubles(all []Judged) {
	seen := map[string]int{}
	type moment struct {
		who    string
		second int64
	}
	groups := map[moment][]int{}
	untimed := map[string]time.Time{}
	for i := range all {
		j := &all[i]
		if _, known := seen[j.Key]; known {
			j.mark(Mark{Reason: Repeated})
			continue
		}
		seen[j.Key] = i
		if !j.Use {
			continue
		}
		r := j.Report
		if r.TimeKind == NoTime || j.Choice == ByArrival {
			words := r.Station + "\x00" + r.Comment + "\x00" + sameness(r)
			if last, heard := untimed[words]; heard && j.At.Sub(last) <= echoWithin {
				j.mark(Mark{Reason: Repeated})
				continue
			}
			untimed[words] = j.At
			continue
		}
		at := moment{r.identity(), j.At.Round(time.Second).Unix()}
		groups[at] = append(groups[at], i)
	}
	for _, group := range groups {
		echoes(all, group)
	}
}

// identity is who a report speaks of.
func (r Report) identity() string {
	if r.Station != "" {
		return r.Station
	}
	return "\x00" + r.Source
}

func sameness(r Report) string {
	bare := Report{Place: r.Place, HasPlace: r.HasPlace, Height: r.Height}
	return bare.Key()
}

// echoes marks all reports of one station and second that are the same but for rounding
// as another one that is at least as fine.
func echoes(all []Judged, group []int) {
	const most = 64 // of one station in one second; more are judged as they come
	if len(group) > most {
		group = group[:most]
	}
	for _, i := range group {
		for _, k := range group {
			a, b := &all[i], &all[k]
			if i == k || !a.Use || !b.Use || !finer(b, a, k < i) {
				continue
			}
			apart := spotOf(a.Report.Place, 0, 0, 0).distance(spotOf(b.Report.Place, 0, 0, 0))
			if apart <= 3*(a.Report.Expected.Across+b.Report.Expected.Across) && a.Report.Time.Sub(b.Report.Time).Abs() < time.Second/20 {
				a.mark(Mark{Reason: Repeated})
			}
		}
	}
}

// finer tells whether a says more than b: a choice of the person's, a height, a smaller
// expected error; else the earlier in the order of reports.
func finer(a, b *Judged, earlier bool) bool {
	if (a.Choice == Use) != (b.Choice == Use) {
		return a.Choice == Use
	}
	if a.UseHeight != b.UseHeight {
		return a.UseHeight
	}
	if a.Report.Expected.Across != b.Report.Expected.Across {
		return a.Report.Expected.Across < b.Report.Expected.Across
	}
	return earlier
}

// link is a report in the search for the chain that most reports agree with.
type link struct {
	index  int // in the reports; -1 is the launch
	weight float64
	value  float64 // the most weight of a chain that ends here
	before int
}

// chain finds among links in order of time the heaviest chain of which each reaches the
// next, by dynamic programming, and answers which links belong to it. The look back is
// bounded; the running best lets it stop at once in a sound stream. Of equally heavy
// chains the one with the later end is kept, for the newest place is what is looked for.
func chain(links []link, reaches func(a, b int) bool) []bool {
	best := make([]float64, len(links)) // the greatest value up to here
	end := -1
	for i := range links {
		links[i].before = -1
		links[i].value = links[i].weight
		for k := i - 1; k >= 0 && i-k <= longestLookBack; k-- {
			if best[k]+links[i].weight <= links[i].value {
				break
			}
			if v := links[k].value + links[i].weight; v > links[i].value && reaches(k, i) {
				links[i].value, links[i].before = v, k
			}
		}
		best[i] = links[i].value
		if i > 0 {
			best[i] = math.Max(best[i], best[i-1])
		}
		if end < 0 || links[i].value >= links[end].value {
			end = i
		}
	}
	kept := make([]bool, len(links))
	for ; end >= 0; end = links[end].before {
		kept[end] = true
	}
	return kept
}

// byHand is the weight of a report that the person believes: more than all others.
const byHand = 1e6

func weight(j *Judged) float64 {
	if j.Choice == Use || j.Choice == ByArrival {
		return byHand
	}
	return 1
}

// jumps marks the reports that cannot be reached from the others.
func jumps(all []Judged, terms Terms) {
	var links []link
	var spots []spot
	var epoch time.Time
	launched := !terms.HasLaunch || terms.LaunchTime.IsZero()
	launch := func() {
		launched = true
		links = append(links, link{index: -1, weight: launchWeight})
		spots = append(spots, spotOf(terms.Launch, terms.LaunchTime.Sub(epoch).Seconds(), 100, 0))
	}
	for i := range all {
		j := &all[i]
		if !j.Use {
			continue
		}
		if epoch.IsZero() {
			epoch = j.At
		}
		if !launched && j.At.After(terms.LaunchTime) {
			launch()
		}
		doubt := j.Report.Expected.Time
		if j.Report.TimeKind == NoTime || j.Choice == ByArrival {
			doubt = math.Max(doubt, ArrivalDelay)
		}
		links = append(links, link{index: i, weight: weight(j)})
		spots = append(spots, spotOf(j.Report.Place, j.At.Sub(epoch).Seconds(), j.Report.Expected.Across, doubt))
	}
	kept := chain(links, func(a, b int) bool { return spots[a].reaches(spots[b]) })
	for i, l := range links {
		if kept[i] || l.index < 0 {
			continue
		}
		m := Mark{Reason: Jump}
		if k := nearestKept(kept, i, func(k int) bool { return !spots[k].reaches(spots[i]) }); k >= 0 {
			m.Metres, m.Seconds = spots[k].distance(spots[i]), spots[i].at-spots[k].at
		}
		all[l.index].mark(m)
	}
}

// nearestKept finds the nearest kept link, before or after, that contradicts.
func nearestKept(kept []bool, i int, against func(int) bool) int {
	for step := 1; step <= longestLookBack; step++ {
		for _, k := range [2]int{i - step, i + step} {
			if k >= 0 && k < len(kept) && kept[k] && against(k) {
				return k
			}
		}
	}
	return -1
}

// heightJumps marks the heights that cannot be reached from the others. A rise is far
// slower than a fall.
func heightJumps(all []Judged) {
	type height struct{ at, alt, doubt, clock float64 }
	var links []link
	var heights []height
	for i := range all {
		j := &all[i]
		if !j.Use || !j.UseHeight {
			continue
		}
		alt, doubt, ok := j.Report.Height.MSL()
		if !ok {
			continue
		}
		links = append(links, link{index: i, weight: weight(j)})
		at := j.At.Sub(all[links[0].index].At).Seconds()
		heights = append(heights, height{at, float64(alt), math.Hypot(doubt, j.Report.Expected.Up), j.Report.Expected.Time})
	}
	reaches := func(a, b int) bool {
		from, to := heights[a], heights[b]
		dt := to.at - from.at + from.clock + to.clock + 1
		margin := sigmas*(from.doubt+to.doubt) + slack
		return to.alt-from.alt <= fastestUp*dt+margin && from.alt-to.alt <= fastestDown*dt+margin
	}
	kept := chain(links, reaches)
	for i, l := range links {
		if kept[i] {
			continue
		}
		m := Mark{Reason: HeightJump}
		against := func(k int) bool { return !reaches(min(i, k), max(i, k)) }
		if k := nearestKept(kept, i, against); k >= 0 {
			m.Metres, m.Seconds = math.Abs(heights[k].alt-heights[i].alt), heights[i].at-heights[k].at
		}
		all[l.index].mark(m)
	}
}

// What a stretch of equal heights must be to count as frozen: real receivers scatter by
// metres, so equal heights to the last digit are rare in flight. On the ground they are
// usual, but there the place stands still too.
const (
	frozenCount    = 3
	frozenSpan     = 60 * time.Second
	frozenPairSpan = 5 * time.Minute // two alone suffice over so long a time
	frozenMoved    = 300.0           // m
	frozenSpeed    = 2.0             // m/s
)

func sameHeight(a, b Height) bool { return a.Metres == b.Metres && a.Kind == b.Kind }

// frozen marks heights that stand still while the place moves on. The first of them may
// have been true and is kept.
func frozen(all []Judged) {
	runs := map[string][]int{}
	finish := func(run []int) {
		if len(run) < 2 {
			return
		}
		first, last := &all[run[0]], &all[run[len(run)-1]]
		span := last.At.Sub(first.At)
		moved := spotOf(first.Report.Place, 0, 0, 0).distance(spotOf(last.Report.Place, 0, 0, 0))
		margin := frozenMoved + sigmas*(first.Report.Expected.Across+last.Report.Expected.Across)
		long := len(run) >= frozenCount && span >= frozenSpan || span >= frozenPairSpan
		if !long || moved < margin || moved < frozenSpeed*span.Seconds() {
			return
		}
		for _, i := range run[1:] {
			all[i].mark(Mark{Reason: FrozenHeight, Seconds: span.Seconds(), Count: len(run)})
		}
	}
	for i := range all {
		j := &all[i]
		if !j.Use || !j.UseHeight {
			continue
		}
		who := j.Report.identity()
		run := runs[who]
		if len(run) > 0 && !sameHeight(all[run[0]].Report.Height, j.Report.Height) {
			finish(run)
			run = nil
		}
		runs[who] = append(run, i)
	}
	for _, run := range runs {
		finish(run)
	}
}
