package hours

import (
	"pappus/measure/unit"
	"pappus/record"
)

// limit is one threshold of the person's.
type limit struct {
	id      string
	text    string
	unit    string
	atLeast bool // the value must not be below it
	value   float64
	set     bool // the person's or a default
	own     bool // the person's
}

// Limits are the thresholds that hours are held against.
type Limits struct{ list []limit }

// LimitRow is a limit as the answer lists it.
type LimitRow struct {
	ID    string  `json:"id"`
	Text  string  `json:"text"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	// AtLeast: values below the limit are beyond it; otherwise those above.
	AtLeast bool `json:"at_least"`
	Own     bool `json:"own"` // from the flight file; otherwise the usual one
}

// The identities of the limits.
const (
	launchWind, launchGust, landingWind, daylight, forecastAge = "launch_wind", "launch_gust", "landing_wind", "daylight", "forecast_age"
	water, town, airfield, border, cloud, drift                = "water", "town", "airfield", "border", "cloud", "drift"
	landingSpeed, landingEnergy, rise                          = "landing_speed", "landing_energy", "rise"
)

// Usual limits where the person states none: common practice, no source. The
// others have none, and are held only when stated.
var usual = map[string]float64{
	launchWind: 5, launchGust: 8, landingWind: 10, daylight: 3 * unit.Hour, forecastAge: 12 * unit.Hour,
	water: 5 * unit.Percent, town: 2 * unit.Percent,
}

// LimitsOf answers the person's limits, and the usual ones where there are none.
func LimitsOf(l record.Limits) Limits {
	var all Limits
	add := func(id, text, unit string, atLeast bool, q record.Quantity) {
		value, has := usual[id]
		if q.Given {
			value = q.Value
		}
		all.list = append(all.list, limit{id, text, unit, atLeast, value, has || q.Given, q.Given})
	}
	add(launchWind, "mean surface wind at launch", "m/s", false, l.LaunchWind)
	add(launchGust, "gust at launch", "m/s", false, l.LaunchGust)
	add(landingWind, "surface wind at the landing", "m/s", false, l.LandingWind)
	add(daylight, "daylight left at the landing", "s", true, l.Daylight)
	add(water, "landings in water", "share", false, l.Water)
	add(town, "landings in a town", "share", false, l.Town)
	add(airfield, "landings on an airfield", "share", false, l.Airfield)
	add(border, "landings beyond a border", "share", false, l.Border)
	add(cloud, "cloud cover at launch", "share", false, l.Cloud)
	add(drift, "way from launch to landing", "m", false, l.Drift)
	add(landingSpeed, "speed at the ground", "m/s", false, l.LandingSpeed)
	add(landingEnergy, "energy of the heaviest box at the ground", "J", false, l.LandingEnergy)
	add(rise, "mean rise", "m/s", true, l.Rise)
	add(forecastAge, "age of the forecast at launch", "s", false, l.ForecastAge)
	return all
}

// Rows lists the limits that are set.
func (l Limits) Rows() []LimitRow {
	var rows []LimitRow
	for _, x := range l.list {
		if x.set {
			rows = append(rows, LimitRow{ID: x.id, Text: x.text, Value: x.value, Unit: x.unit, AtLeast: x.atLeast, Own: x.own})
		}
	}
	return rows
}
