package odds

import (
	"bytes"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"pappus/air/forecast"
	"pappus/craft/envelope"
	"pappus/craft/inflation"
	"pappus/demo"
	"pappus/desk/sizing"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
	"pappus/record"
)

// demoRequest is the demo's flight under two steps of its forecast, all spreads on.
func demoRequest(tb testing.TB, members int) ensemble.Request {
	tb.Helper()
	f, err := record.Parse(demo.Flight())
	if err != nil {
		tb.Fatal(err)
	}
	name, data := demo.Forecast()
	cube, err := forecast.Load([]forecast.File{{Name: name, Data: data}}, forecast.Request{Place: f.Launch.Point, Launch: f.Launch.Time, Workers: 2})
	if err != nil {
		tb.Fatal(err)
	}
	parts, err := sizing.FromFile(f)
	if err != nil {
		tb.Fatal(err)
	}
	setting := sizing.Setting{
		Sky: cube, Ground: trajectory.GroundOf(cube, f.Launch.Point, f.Launch.Elevation),
		Start: trajectory.Place{
			LatDeg: f.Launch.Point.LatDeg, LonDeg: f.Launch.Point.LonDeg,
			Alt: float64(f.Launch.Elevation), Seconds: cube.Seconds(f.Launch.Time),
		},
	}
	if err := parts.Fill(setting, unit.Metric); err != nil {
		tb.Fatal(err)
	}
	return ensemble.Request{
		Craft: parts.Craft, Spread: parts.Spread, Sky: cube, Ground: setting.Ground, Start: setting.Start,
		LeadHours: ensemble.Lead(cube, f.Launch.Time), Members: members, Seed: 1, Workers: 1,
	}
}

// written gathers doubles and floats for the C side.
type written struct{ bytes.Buffer }

func (w *written) doubles(values ...float64) {
	for _, v := range values {
		w.Write(binary.NativeEndian.AppendUint64(nil, math.Float64bits(v)))
	}
}

// floats writes every number in a slice of float32 or of structs of them. The
// cube keeps its nodes to itself; reflection reads them where they lie.
func (w *written) floats(slice reflect.Value) {
	for i := range slice.Len() {
		one := slice.Index(i)
		if one.Kind() == reflect.Float32 {
			w.Write(binary.NativeEndian.AppendUint32(nil, math.Float32bits(float32(one.Float()))))
			continue
		}
		for j := range one.NumField() {
			w.Write(binary.NativeEndian.AppendUint32(nil, math.Float32bits(float32(one.Field(j).Float()))))
		}
	}
}

// number answers a field of the cube as a double.
func number(cube reflect.Value, name string) float64 {
	v := cube.FieldByName(name)
	if v.CanInt() {
		return float64(v.Int())
	}
	return v.Float()
}

// setting writes everything but the draws.
func (w *written) setting(q *ensemble.Request, law *trajectory.Law) {
	cube := reflect.ValueOf(q.Sky).Elem()
	for _, name := range []string{"rows", "cols", "lat0", "dLat", "lon0", "dLon"} {
		w.doubles(number(cube, name))
	}
	times, levels, surface := cube.FieldByName("times"), cube.FieldByName("logPressure"), cube.FieldByName("surface")
	w.doubles(float64(times.Len()), float64(levels.Len()), number(cube, "first"), number(cube, "last"), float64(min(surface.Len(), 1)))
	w.doubles(law.WindSigma[:]...)
	w.doubles(law.WindCorrelation[:]...)
	w.doubles(law.RiseCorrelation[:]...)
	w.doubles(law.RiseSigma, law.TimeScale)
	c, s, at := &q.Craft, &q.Spread, q.Start
	sampler := q.Sky.Sampler(0)
	a := sampler.At(at.LatDeg, at.LonDeg, at.Alt, at.Seconds)
	air := inflation.Air{Pressure: a.Pressure, Temperature: a.Temperature, Density: a.Density}
	gross := inflation.Gross(c.GasMoles, air, c.Gas, 0)
	w.doubles(c.GasMoles, c.Gas.MolarMass(), c.EnvelopeMass, c.TrainMass, c.Burst.Median, envelope.WeibullShape(c.Burst.Variation),
		c.Burst.EarlyShare, c.CanopyArea, c.FillingWay, c.BodyArea, c.Remains.Low, c.Remains.Centre, c.Remains.High,
		envelope.Diameter(inflation.Volume(c.GasMoles, air, 0)), float64(gross.Neck(c.EnvelopeMass))/float64(gross))
	w.doubles(s.Drag, s.Lift, s.GasOffset, s.Canopy, s.Fouled, s.FouledLow, s.FouledTop, s.Start)
	shift := 0.0
	if model, ok := q.Sky.SurfaceHeight(at.Point()); ok {
		shift = at.Alt - float64(model)
	}
	w.doubles(at.LatDeg, at.LonDeg, at.Alt, at.Seconds, shift)
	u := trajectory.UsualSteps
	w.doubles(u.Rise, u.Fall, u.Way, u.Most)
	for _, list := range []reflect.Value{times, levels} {
		for i := range list.Len() {
			w.doubles(list.Index(i).Float())
		}
	}
	w.floats(cube.FieldByName("nodes"))
	w.floats(surface)
}

// drawn is a flight with draws of this test's own, written out for the C side too.
func (w *written) drawn(q *ensemble.Request, rng *rand.Rand, doubt *trajectory.Doubt) trajectory.Flight {
	f := q.Craft.Nominal(q.Start)
	f.Doubt = doubt
	f.Balloon.DragFactor = math.Exp(0.1 * rng.NormFloat64())
	f.Balloon.GasMoles *= 1 + 0.03*rng.NormFloat64()
	f.Balloon.GasOffset = 5 * rng.NormFloat64()
	f.Balloon.BurstDiameter *= 0.5 + 0.55*rng.Float64()
	f.Fall.CanopyArea *= math.Exp(0.3 * rng.NormFloat64())
	f.Fall.Mass += rng.Float64() * q.Craft.EnvelopeMass / 2
	f.Start.Seconds += 600 * (2*rng.Float64() - 1)
	w.doubles(f.Balloon.DragFactor, f.Balloon.GasMoles, f.Balloon.GasOffset, f.Balloon.BurstDiameter, f.Fall.CanopyArea, f.Fall.Mass, f.Start.Seconds)
	for _, nodes := range []*[trajectory.NodeCount]float64{&doubt.East, &doubt.North, &doubt.FreshEast, &doubt.FreshNorth, &doubt.Rise} {
		nodes[0] = rng.NormFloat64()
		for k := 1; k < len(nodes); k++ {
			nodes[k] = 0.75*nodes[k-1] + 0.66*rng.NormFloat64()
		}
		w.doubles(nodes[:]...)
	}
	return f
}

// plain is the C program and the file it reads.
type plain struct{ program, input, output string }

// build compiles the C program, or skips where there is no compiler.
func build(tb testing.TB) plain {
	tb.Helper()
	compiler, err := exec.LookPath("gcc")
	if err != nil {
		if os.Getenv("CI") != "" {
			tb.Fatal("gcc is not installed")
		}
		tb.Skip("gcc is not installed")
	}
	dir := tb.TempDir()
	p := plain{filepath.Join(dir, "odds"), filepath.Join(dir, "in"), filepath.Join(dir, "out")}
	if text, err := exec.Command(compiler, "-O3", "-o", p.program, filepath.Join("..", "oddsc", "loop.c"), "-lm").CombinedOutput(); err != nil {
		tb.Fatalf("gcc: %v\n%s", err, text)
	}
	return p
}

type landing struct{ Status, BurstAlt, Lat, Lon, Seconds float64 }

// run answers the landings and the CPU time, s.
func (p plain) run(tb testing.TB, arguments ...string) ([]landing, float64) {
	tb.Helper()
	arguments = append([]string{arguments[0], p.input, p.output}, arguments[1:]...)
	text, err := exec.Command(p.program, arguments...).Output()
	if err != nil {
		tb.Fatalf("the C program: %v", err)
	}
	seconds, err := strconv.ParseFloat(strings.TrimSpace(string(text)), 64)
	if err != nil {
		tb.Fatal(err)
	}
	data, err := os.ReadFile(p.output)
	if err != nil {
		tb.Fatal(err)
	}
	all := make([]landing, len(data)/binary.Size(landing{}))
	if err := binary.Read(bytes.NewReader(data), binary.NativeEndian, all); err != nil {
		tb.Fatal(err)
	}
	return all, seconds
}

// Flight by flight, with the same draws, both sides must land at one place:
// the C source is a second statement of the same steps.
func TestPlainLoopLandsWhereOursDo(t *testing.T) {
	p := build(t)
	const members = 500
	q := demoRequest(t, 1)
	law, err := ensemble.Run(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	var in written
	in.setting(&q, law.Law)
	in.doubles(members + 1)
	sampler := q.Sky.Sampler(0)
	rng := rand.New(rand.NewPCG(1, 2))
	doubt := &trajectory.Doubt{Law: law.Law}
	var ours []trajectory.Outcome
	for range members {
		f := in.drawn(&q, rng, doubt)
		ours = append(ours, f.Fly(&sampler, q.Ground, nil))
	}
	// The central flight last: no departures.
	central := q.Craft.Nominal(q.Start)
	ours = append(ours, central.Fly(&sampler, q.Ground, nil))
	in.doubles(1, central.Balloon.GasMoles, 0, central.Balloon.BurstDiameter, central.Fall.CanopyArea, central.Fall.Mass, central.Start.Seconds)
	in.doubles(make([]float64, 5*trajectory.NodeCount)...)
	if err := os.WriteFile(p.input, in.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	theirs, _ := p.run(t, "drawn")
	if len(theirs) != len(ours) {
		t.Fatalf("%d landings, want %d", len(theirs), len(ours))
	}
	worst := 0.0
	for i, o := range ours {
		l := theirs[i]
		away, _, _ := geo.Inverse(o.Landing.Point(), geo.Point{LatDeg: l.Lat, LonDeg: l.Lon})
		worst = max(worst, away)
		// Both work in doubles: 1 m is far above what rounding can do in some 600 steps.
		if l.Status != float64(o.Status) || away > 1 || math.Abs(l.BurstAlt-o.Burst.Alt) > 0.1 || math.Abs(l.Seconds-o.Landing.Seconds) > 0.1 {
			t.Errorf("flight %d: the C program ends at %+v, %.2f m from %+v", i, l, away, o)
		}
	}
	t.Logf("the landings lie %.2g m apart at most, the central ones %.2g m", worst, func() float64 {
		away, _, _ := geo.Inverse(ours[members].Landing.Point(), geo.Point{LatDeg: theirs[members].Lat, LonDeg: theirs[members].Lon})
		return away
	}())
}

// With draws of their own both sides must give one distribution.
func TestPlainLoopGivesOneDistribution(t *testing.T) {
	p := build(t)
	const members = 4000
	q := demoRequest(t, members)
	result, err := ensemble.Run(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	var in written
	in.setting(&q, result.Law)
	in.doubles(0)
	if err := os.WriteFile(p.input, in.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	theirs, _ := p.run(t, "free", strconv.Itoa(members))
	for _, c := range []struct {
		name        string
		ours, other func(i int) float64
	}{
		{"latitude", func(i int) float64 { return result.Landings[i].Lat }, func(i int) float64 { return theirs[i].Lat }},
		{"longitude", func(i int) float64 { return result.Landings[i].Lon }, func(i int) float64 { return theirs[i].Lon }},
		{"burst height", func(i int) float64 { return result.Landings[i].BurstAlt }, func(i int) float64 { return theirs[i].BurstAlt }},
		{"time", func(i int) float64 { return result.Landings[i].Seconds }, func(i int) float64 { return theirs[i].Seconds }},
	} {
		mean, deviation := moments(members, c.ours)
		otherMean, otherDeviation := moments(members, c.other)
		// Four standard errors of a difference of means; the deviations of long-tailed
		// figures scatter by some 1.5 % each.
		if math.Abs(mean-otherMean) > 4*deviation*math.Sqrt(2.0/members) || math.Abs(deviation/otherDeviation-1) > 0.08 {
			t.Errorf("%s: %.5g ± %.4g, the C program %.5g ± %.4g", c.name, mean, deviation, otherMean, otherDeviation)
		}
	}
}

func moments(n int, figure func(i int) float64) (mean, deviation float64) {
	for i := range n {
		mean += figure(i) / float64(n)
	}
	for i := range n {
		deviation += (figure(i) - mean) * (figure(i) - mean) / float64(n)
	}
	return mean, math.Sqrt(deviation)
}
