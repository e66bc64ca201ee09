package export

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"pappus/air/atmosphere"
	"pappus/air/forecast"
	"pappus/craft/canopy"
	"pappus/craft/envelope"
	"pappus/craft/inflation"
	"pappus/craft/liftgas"
	"pappus/flight"
	"pappus/measure/geo"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
)

var epoch = time.Date(2027, 4, 17, 12, 0, 0, 0, time.UTC)

const drawnMembers = 400

// scene is a flight over one corner of the globe.
type scene struct {
	name    string
	start   geo.Point
	wind    func(latDeg, lonDeg float64) (east, north float64)
	south   float64   // of the sky, which goes round the globe, 12 degrees high
	ringed  bool      // the landings are laid on a ring, so that the regions have a hole
	around  geo.Point // of the ring
	crosses bool      // the antimeridian is crossed
	pole    bool      // the pole is inside the regions
}

func westerly(_, _ float64) (float64, float64) { return 11, 3 }

// overThePole is one wind all over a plane about the pole: towards the meridian of
// 60 degrees east from whatever side.
func overThePole(_, lonDeg float64) (east, north float64) {
	sin, cos := math.Sincos((60 - lonDeg) * math.Pi / 180)
	return 10 * sin, -10 * cos
}

var scenes = []scene{
	{name: "plains", start: geo.Point{LatDeg: 40.2, LonDeg: -99.5}, wind: westerly, south: 34},
	{name: "antimeridian", start: geo.Point{LatDeg: 52.1, LonDeg: 178.7}, wind: westerly, south: 46, crosses: true},
	{name: "pole", start: geo.Point{LatDeg: 89.2, LonDeg: -120}, wind: overThePole, south: 78, crosses: true, pole: true},
	{name: "ring", start: geo.Point{LatDeg: 40.2, LonDeg: -99.5}, wind: westerly, south: 34, ringed: true, around: geo.Point{LatDeg: 40.4, LonDeg: -98.6}},
	{name: "ring on the antimeridian", start: geo.Point{LatDeg: -17.2, LonDeg: 178.7}, wind: westerly, south: -23,
		ringed: true, around: geo.Point{LatDeg: -17.1, LonDeg: -179.95}, crosses: true},
	{name: "ring round the pole", start: geo.Point{LatDeg: 89.2, LonDeg: -120}, wind: overThePole, south: 78,
		ringed: true, around: geo.Point{LatDeg: 89.95, LonDeg: 20}, crosses: true},
}

func (s scene) sky() *forecast.Cube {
	shape := forecast.Shape{
		South: s.south, West: -180, LatStep: 1, LonStep: 2, Rows: 13, Cols: 180, Source: "invented",
		Times: []time.Time{epoch, epoch.Add(6 * time.Hour)}, Cycle: epoch.Add(-6 * time.Hour),
	}
	for p := 105000.0; p > 500; p *= 0.85 {
		shape.Pressures = append(shape.Pressures, p)
	}
	return forecast.Invent(shape, func(latDeg, lonDeg, p, _ float64, _ int) forecast.Node {
		z := atmosphere.PressureAltitude(p)
		east, north := s.wind(latDeg, lonDeg)
		return forecast.Node{Height: geo.ToGeopotential(z, latDeg), Temperature: atmosphere.Temperature(z), East: east, North: north}
	})
}

// craft is 1200 g of latex with 1.6 kg below it, about 5 m/s.
func craft() ensemble.Craft {
	gas := liftgas.Gas{Kind: liftgas.Helium, Purity: 1}
	standard := atmosphere.At(0)
	air := inflation.Air{Pressure: standard.Pressure, Temperature: standard.Temperature, Density: standard.Density}
	open := canopy.FromDiameter(canopy.FlatCircular(), 1.5, 0.75)
	return ensemble.Craft{
		Gas: gas, GasMoles: inflation.MolesForGross(inflation.FreeLift(1.1).Neck(1.6).Gross(1.2), air, gas, 0),
		EnvelopeMass: 1.2, TrainMass: 1.6, Burst: envelope.NewBurstLaw(8.3, 0.06, 0.05),
		CanopyArea: open.DragArea(), FillingWay: open.FillingDistance(), BodyArea: 0.05,
		Remains: ensemble.Remains{Low: 0.1, Centre: 0.3, High: 0.9},
	}
}

// kept are the scenes that were flown already; tests run one after the other.
var kept = map[string]*flight.Odds{}

// odds answers a scene, with landings that a test may change.
func (s scene) odds(t *testing.T) *flight.Odds {
	t.Helper()
	if kept[s.name] == nil {
		kept[s.name] = s.fly(t)
	}
	o, result := *kept[s.name], *kept[s.name].Result
	result.Landings = slices.Clone(result.Landings)
	o.Result = &result
	return &o
}

func (s scene) fly(t *testing.T) *flight.Odds {
	t.Helper()
	q := ensemble.Request{
		Craft: craft(), Spread: ensemble.UsualSpread(), Sky: s.sky(), Ground: trajectory.Flat(120),
		Start:     trajectory.Place{LatDeg: s.start.LatDeg, LonDeg: s.start.LonDeg, Alt: 120, Seconds: 3600},
		LeadHours: 7, Members: drawnMembers, Seed: 5, Workers: 2,
	}
	out, track := ensemble.Nominal(q)
	result, err := ensemble.Run(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	if s.ringed {
		r := rand.New(rand.NewPCG(1, 1))
		for i := range result.Landings {
			l := &result.Landings[i]
			at, _ := geo.Direct(s.around, 360*r.Float64(), 30e3+2e3*r.NormFloat64())
			l.Lat, l.Lon = at.LatDeg, at.LonDeg
		}
	}
	answer, err := result.Answer(&q, out)
	if err != nil {
		t.Fatal(err)
	}
	answer.NotLookedAt = []string{"what lies at the landing"}
	return &flight.Odds{
		Answer: answer, Nominal: track, Result: result, Sky: q.Sky,
		Start: q.Sky.Instant(q.Start.Seconds), Launch: s.start,
	}
}

// nominalOnly leaves the spreads out.
func nominalOnly(o *flight.Odds) *flight.Odds {
	alone, answer := *o, *o.Answer
	answer.Members, answer.Seed, answer.Landing, answer.Burst, answer.Chances = 0, 0, nil, nil, nil
	alone.Answer, alone.Result = &answer, nil
	return &alone
}

// eachScene runs a check over all scenes.
func eachScene(t *testing.T, check func(t *testing.T, s scene, o *flight.Odds)) {
	t.Helper()
	for _, s := range scenes {
		t.Run(s.name, func(t *testing.T) { check(t, s, s.odds(t)) })
	}
}

type writer func(*flight.Odds, string) ([]byte, error)

func write(t *testing.T, w writer, o *flight.Odds, name string) []byte {
	t.Helper()
	data, err := w(o, name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// rows are the rows of the central flight in order of time.
func rows(o *flight.Odds) []trajectory.Row {
	return append(append([]trajectory.Row{}, o.Nominal.Up...), o.Nominal.Down...)
}

// instantOf reads an instant that must be written in UTC.
func instantOf(t *testing.T, text string) time.Time {
	t.Helper()
	at, err := time.Parse("2006-01-02T15:04:05.999Z", text)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// trueInstant is when a second of the sky is, worked out here.
func trueInstant(seconds float64) time.Time {
	return epoch.Add(time.Duration(seconds * float64(time.Second)))
}

func near(a, b time.Time) bool { return a.Sub(b).Abs() <= time.Millisecond }
