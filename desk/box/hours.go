package box

import (
	"fmt"

	"pappus/measure/unit"
	"pappus/odds/ensemble"
)

// energy answers every source of current of a box. Without walls the temperature
// is not known: the band then runs from a cold box to a warm one.
func (j *job) energy(v *inventory, traces []*trace) []Energy {
	var list []Energy
	for k := range v.supplies {
		s := &v.supplies[k]
		e := Energy{Cells: v.items[s.cells].Name, Chemistry: s.chemistry.Name, Content: s.energy, Cold: s.chemistry.Note, Feeds: []string{}}
		for _, i := range s.feeds {
			e.Feeds = append(e.Feeds, v.items[i].Name)
			e.Load += v.items[i].Power.Value * float64(v.items[i].Count)
		}
		if e.Load <= 0 {
			continue
		}
		e.Hours = s.energy / e.Load
		if len(traces) > 0 {
			j.coldHours(&e, v, k, traces)
		} else {
			j.unwalledHours(&e, s)
		}
		list = append(list, e)
	}
	return list
}

// coldHours reads how long the cells last off the traces. What is left at the end
// of what was looked at is drawn on at the temperature they have then.
func (j *job) coldHours(e *Energy, v *inventory, k int, traces []*trace) {
	left := func(t *trace) float64 {
		s := &t.supplies[k]
		if s.empty {
			return s.at - t.landing
		}
		rest := s.energy*s.chemistry.Share(t.last[s.cells]) - s.used
		drawn := s.used / max(j.clock.end-j.clock.on, 1) // with this flight's own load
		return j.clock.end + max(rest, 0)/drawn - t.landing
	}
	e.AfterLanding = over(traces, left)
	middle := left(traces[0])
	e.AfterLandingMid = &middle
	e.DiesAloft = share(traces, func(t *trace) bool { return t.supplies[k].empty && t.supplies[k].at < t.landing })
	cold := traces[0].extremes[v.supplies[k].cells+1].coldest
	usable := e.Content * v.supplies[k].chemistry.Share(cold)
	e.Used = 1
	if need := e.Load * (j.On + traces[0].landing); need < usable {
		e.Used = need / usable
	}
}

// unwalledHours takes -20 to 20 °C for the cells.
func (j *job) unwalledHours(e *Energy, s *supply) {
	landing := j.flights[0].way.landing()
	at := func(deg float64) float64 {
		return s.energy*s.chemistry.Share(celsius(deg))/e.Load - j.On - landing
	}
	e.AfterLanding = &ensemble.Band{P10: at(-20), P50: at(0), P90: at(20)}
	middle := at(0)
	e.AfterLandingMid = &middle
	e.Used = min(e.Load*(j.On+landing)/(s.energy*s.chemistry.Share(celsius(-20))), 1)
	e.Cold = fmt.Sprintf("the walls are not known: -20 to 20 °C are taken; %s", e.Cold)
}

// margin is the share of a source's content that may be used by the landing: half
// of it is the usual reserve (common practice).
const margin = 0.5

// hoursText says how long something lasts beyond the landing.
func hoursText(seconds float64) string {
	if seconds < 0 {
		return unit.FormatDuration(-seconds) + " before the landing"
	}
	return unit.FormatDuration(seconds) + " after the landing"
}
