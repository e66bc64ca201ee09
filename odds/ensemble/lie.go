package ensemble

import (
	"fmt"

	"pappus/ground/landcover"
	"pappus/ground/sun"
	"pappus/ground/terrain/gazetteer"
	"pappus/measure/geo"
)

const (
	// fieldReach is how near an airfield a landing is counted.
	fieldReach = 5000.0
	// shoreReach lets a launch place off a coarse coast belong to the land beside it.
	shoreReach = 5000.0
)

// lie is what the landings fall on, counted.
type lie struct {
	ground  [landcover.Forest + 1]int
	field   [gazetteer.Kinds]int
	country int
	state   int
	dark    int
	leave   [landcover.Permission + 1]int
	own     []int
}

// LieOfTheLand counts what the landings fall on: water, towns, airfields
// nearby, other countries and states, the person's own areas, and darkness.
// Chances are shares of all members; one that happens to nobody is not listed,
// except water and towns, which are always.
func (r *Result) LieOfTheLand(q *Request, land *landcover.Map) []Chance {
	home := land.RegionNear(q.Start.Point(), shoreReach)
	own := land.Own()
	count := lie{own: make([]int, len(own))}
	numbers := make([]int, 0, len(own))
	for i := range r.Landings {
		l := &r.Landings[i]
		if !l.Came() {
			continue
		}
		at := geo.Point{LatDeg: l.Lat, LonDeg: l.Lon}
		numbers = count.add(land, at, home, numbers[:0])
		if sun.LightAt(q.Sky.Instant(l.Seconds), at, 0) != sun.Daylight {
			count.dark++
		}
	}
	return count.chances(len(r.Landings), own)
}

func (c *lie) add(land *landcover.Map, at geo.Point, home int, numbers []int) []int {
	here := land.At(at)
	c.ground[here.Ground]++
	c.leave[here.Leave]++
	kinds := land.FieldsWithin(at, fieldReach)
	for k := range c.field {
		if kinds&gazetteer.Kind(k).Mask() != 0 {
			c.field[k]++
		}
	}
	switch {
	case here.Region == 0 || home == 0 || here.Region == home:
	case land.SameCountry(here.Region, home):
		c.state++
	default:
		c.country++
	}
	numbers = land.OwnAt(at, numbers)
	for _, n := range numbers {
		c.own[n]++
	}
	return numbers
}

func (c *lie) chances(members int, own []landcover.OwnArea) []Chance {
	list := []Chance{}
	add := func(always bool, n int, format string, words ...any) {
		if n > 0 || always {
			list = append(list, Chance{fmt.Sprintf(format, words...), float64(n) / float64(members)})
		}
	}
	add(true, c.ground[landcover.Sea], "lands in the sea")
	add(true, c.ground[landcover.Lake], "lands in a lake")
	add(true, c.ground[landcover.Town], "lands in a town")
	add(false, c.ground[landcover.Forest], "lands in a forest that you have drawn")
	for k, n := range c.field {
		add(false, n, "lands within 5 km of an airfield (%s)", gazetteer.Kind(k))
	}
	add(false, c.country, "lands in another country")
	add(false, c.state, "lands in another state or province")
	add(false, c.leave[landcover.KeepOut], "lands where you have drawn keep out")
	add(false, c.leave[landcover.Permission], "lands where you have drawn permission")
	for i, n := range c.own {
		add(true, n, "lands in your area %q (%s)", own[i].Name, own[i].Kind)
	}
	add(true, c.dark, "lands after sunset or before sunrise")
	return list
}

// WaterShare is the share of the landings that fall into the sea or a lake.
func (r *Result) WaterShare(land *landcover.Map) float64 {
	return r.Share(func(l *Landing) bool {
		ground := land.At(geo.Point{LatDeg: l.Lat, LonDeg: l.Lon}).Ground
		return l.Came() && (ground == landcover.Sea || ground == landcover.Lake)
	})
}
