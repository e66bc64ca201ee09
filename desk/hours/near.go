package hours

import (
	"fmt"
	"math"

	"pappus/air/forecast"
	"pappus/measure/geo"
)

// Near is the air near the ground at a place and time. With ensemble members
// each figure is their mean. What is not known is null.
type Near struct {
	Wind     *float64 `json:"wind_mps"` // mean wind at 10 m
	From     *float64 `json:"wind_from_deg"`
	Gust     *float64 `json:"gust_mps"`
	Cloud    *float64 `json:"cloud_share"`
	Pressure *float64 `json:"sea_level_pressure_pa"`
	Rule     string   `json:"wind_source"`
}

// The logarithmic law of the wind over even ground in neutral air,
// u(10 m) = u(z) ln(10 m/z0) / ln(z/z0) with the roughness length z0 of short
// grass, 0.03 m: [WMO8] volume I, chapter 5 (from memory). It holds in the
// lowest 100 m or so, so it starts there, from the wind that the flight meets.
// Where the lowest level stands higher, its wind counts as that at 100 m, which
// makes the wind at 10 m rather too strong than too weak.
const (
	windHeight = 10.0
	roughness  = 0.03
	lawReaches = 100.0
)

// tenMetreShare is what the law leaves of the wind at 100 m.
var tenMetreShare = math.Log(windHeight/roughness) / math.Log(lawReaches/roughness)

// nearAt answers the air near the ground. It is nil where the files end.
func nearAt(sky *forecast.Cube, at geo.Point, ground geo.AltMSL, seconds float64) *Near {
	n := &Near{}
	members := sky.Members()
	var speed, east, north, gust, cloud, pressure mean
	for m := range members {
		s := sky.Surface(at, seconds, m)
		if s.HasWind {
			speed.add(math.Hypot(s.WindEast, s.WindNorth))
			east.add(s.WindEast)
			north.add(s.WindNorth)
		}
		if s.HasGust {
			gust.add(s.Gust)
		}
		if s.HasCloud {
			cloud.add(s.Cloud)
		}
		if s.HasPressure {
			pressure.add(s.Pressure)
		}
	}
	n.Rule = "wind at 10 m of the forecast"
	if speed.count < members {
		speed, east, north, n.Rule = levelWind(sky, at, ground, seconds)
	}
	if n.Wind = speed.value(members); n.Wind == nil {
		n.Rule = "none"
	} else {
		from, _ := forecast.WindFrom(east.sum, north.sum)
		n.From = &from
	}
	n.Gust, n.Cloud, n.Pressure = gust.value(members), cloud.value(members), pressure.value(members)
	return n
}

// levelWind answers the wind 100 m over the ground, brought to 10 m, and how.
func levelWind(sky *forecast.Cube, at geo.Point, ground geo.AltMSL, seconds float64) (speed, east, north mean, rule string) {
	for m := range sky.Members() {
		sampler := sky.Sampler(m)
		air := sampler.At(at.LatDeg, at.LonDeg, float64(ground)+lawReaches, seconds)
		speed.add(tenMetreShare * math.Hypot(air.WindEast, air.WindNorth))
		east.add(air.WindEast)
		north.add(air.WindNorth)
	}
	from := "the forecast's levels, 100 m over the ground"
	if over := float64(sky.Column(at, seconds, 0)[0].Alt - ground); over > lawReaches {
		from = fmt.Sprintf("the forecast's lowest level, %.0f m over the ground", over)
	}
	return speed, east, north, from + ", brought to 10 m by the logarithmic law over short grass"
}

// mean adds up values in the order of the members.
type mean struct {
	sum   float64
	count int
}

func (m *mean) add(v float64) {
	m.sum += v
	m.count++
}

// value is the mean if every member gave one.
func (m *mean) value(members int) *float64 {
	if m.count < members {
		return nil
	}
	v := m.sum / float64(m.count)
	return &v
}
