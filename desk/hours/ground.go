package hours

import (
	"pappus/ground/landcover"
	"pappus/measure/geo"
)

const (
	// fieldReach is how near to an airfield's reference point a landing counts as
	// on the airfield: half of a long runway and its surroundings (judgement).
	fieldReach = 1000.0
	// shoreReach lets a launch place off a coarse coast belong to the land beside it.
	shoreReach = 5000.0
)

// LookAt looks at the ground of a map. Chances that no flight has are not
// listed, except those that a limit may stand for.
func LookAt(land *landcover.Map, notLookedAt []string) *Look {
	return &Look{NotLookedAt: notLookedAt, Chances: func(launch geo.Point, landings []geo.Point, flights int) []Chance {
		home := land.RegionNear(launch, shoreReach)
		var sea, lake, built, field, country, state, keepOut int
		for _, p := range landings {
			here := land.At(p)
			switch here.Ground {
			case landcover.Sea:
				sea++
			case landcover.Lake:
				lake++
			case landcover.Town:
				built++
			}
			switch {
			case here.Region == 0 || home == 0 || here.Region == home:
			case land.SameCountry(here.Region, home):
				state++
			default:
				country++
			}
			if land.FieldsWithin(p, fieldReach) != 0 {
				field++
			}
			if here.Leave == landcover.KeepOut {
				keepOut++
			}
		}
		share := func(n int) float64 { return float64(n) / float64(max(flights, 1)) }
		list := []Chance{
			{water, "lands in water (sea or lake)", share(sea + lake)},
			{town, "lands in a town", share(built)},
			{airfield, "lands within 1 km of an airfield", share(field)},
			{border, "lands in another country", share(country)},
		}
		for _, c := range []struct {
			n    int
			what string
		}{{sea, "lands in the sea"}, {lake, "lands in a lake"}, {state, "lands in another state or province"}, {keepOut, "lands where you have drawn keep out"}} {
			if c.n > 0 {
				list = append(list, Chance{What: c.what, Probability: share(c.n)})
			}
		}
		return list
	}}
}
