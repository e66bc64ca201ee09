package hours

import (
	"math"
	"testing"
	"time"

	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/record"
)

// flightText is an invented flight; tests add tables to it.
const flightText = `format = 1
name = "Test flight"
[launch]
place = "Home field"
latitude = 40
longitude = -99
elevation = "600 m"
time = 2027-04-17T13:00:00Z
[envelope]
mass = "1200 g"
made = "2027-01"
[gas]
kind = "helium"
fill = { free_lift = "1200 g" }
[[train]]
part = "parachute"
diameter = "1.5 m"
mass = "180 g"
[[train]]
part = "box"
mass = "1350 g"
`

func flight(t testing.TB, more string) *record.Flight {
	t.Helper()
	f, err := record.Parse("flight.toml", []byte(flightText+more))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

var start = time.Date(2027, 4, 17, 0, 0, 0, 0, time.UTC)

// standardNode is the standard atmosphere's height and temperature at a
// pressure, [USSA76] equations 33a and 33b solved for the height, in the two
// lowest layers and an isothermal sky above.
func standardNode(pressure float64) forecast.Node {
	const rg = 287.05287 / 9.80665
	x := pressure / 101325
	if x > 0.22336 {
		temperature := 288.15 * math.Pow(x, 0.0065*rg)
		return forecast.Node{Height: geo.Geopotential((288.15 - temperature) / 0.0065), Temperature: temperature}
	}
	return forecast.Node{Height: geo.Geopotential(11000 - 216.65*rg*math.Log(x/0.22336)), Temperature: 216.65}
}

// analytic is a sky from a formula: wind by the time in hours from the start,
// steps every hour, cycle at the start.
func analytic(hours int, wind func(hour float64) (east, north float64), near func(hour float64) forecast.Surface) *forecast.Cube {
	s := forecast.Shape{South: 30, West: -115, LatStep: 10, LonStep: 16, Rows: 3, Cols: 3, Members: 1, Source: "a formula", Cycle: start,
		Pressures: []float64{100000, 85000, 70000, 50000, 30000, 20000, 10000, 5000, 2000, 1000}}
	for h := range hours {
		s.Times = append(s.Times, start.Add(time.Duration(h)*time.Hour))
	}
	if near != nil {
		s.Near = func(_, _, seconds float64, _ int) forecast.Surface { return near(seconds / 3600) }
	}
	return forecast.Invent(s, func(_, _, pressure, seconds float64, _ int) forecast.Node {
		n := standardNode(pressure)
		n.East, n.North = wind(seconds / 3600)
		return n
	})
}

// still is the air near the ground with nothing to object to.
func still(float64) forecast.Surface {
	return forecast.Surface{HasWind: true, HasGust: true, HasCloud: true, HasPressure: true, WindEast: 2, Gust: 3, Cloud: 0.25, Pressure: 101300}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %v, want %v within %v", what, got, want, tolerance)
	}
}

func slots(f *record.Flight, sky *forecast.Cube, hours ...float64) []Slot {
	var list []Slot
	for _, h := range hours {
		for _, site := range Sites(f) {
			list = append(list, Slot{Site: site, Time: start.Add(time.Duration(h * float64(time.Hour))), Sky: sky})
		}
	}
	return list
}
